"""The proof of reading books."""
