"""Tests of the room `problems`."""
