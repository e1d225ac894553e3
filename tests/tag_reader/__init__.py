"""How tags print entries."""
