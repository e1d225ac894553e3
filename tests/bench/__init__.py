"""Measurements, not tests: run them by hand."""
