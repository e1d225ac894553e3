"""The proof: its rooms mirror the engine."""
