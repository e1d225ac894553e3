"""The command line: exit codes, JSON shapes, one clear message for each mistake, and never a traceback."""
