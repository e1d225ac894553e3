"""The normaliser of words."""
