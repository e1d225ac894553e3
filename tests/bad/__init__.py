"""One mistake a file, beside the exact text it gives."""
