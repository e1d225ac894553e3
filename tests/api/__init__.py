"""The JSON documents."""
