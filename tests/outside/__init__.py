"""Checks against published tables, worked examples and general libraries; each names its source beside it."""
