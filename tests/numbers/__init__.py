"""Numbers: printing them, and reading what was typed."""
