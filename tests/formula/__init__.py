"""The proof of the formula language: one formula, three runs, one answer."""
