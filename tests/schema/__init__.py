"""The JSON Schemas: they take every good file, and refuse what they can see is wrong."""
