"""The house itself: who may import whom, what is public, and whether the documents tell the truth."""
