"""Numbers that changed between two states of a book."""
