"""MkDocs' own messages: kept off the screen, counted, and handed on as words.

Must not change what MkDocs does, only where it speaks.
"""

from __future__ import annotations

import logging
import os
from collections.abc import Iterator
from contextlib import contextmanager

# The theme prints a notice of its own on standard error when it is loaded, unless this is set.
os.environ.setdefault("NO_MKDOCS_2_WARNING", "1")


class _Collector(logging.Handler):
    def __init__(self) -> None:
        super().__init__(logging.WARNING)
        self.messages: list[str] = []

    def emit(self, record: logging.LogRecord) -> None:
        self.messages.append(record.getMessage())


@contextmanager
def listening() -> Iterator[list[str]]:
    """Collect MkDocs' warnings and errors in the list that is given, and let nothing through."""
    logger = logging.getLogger("mkdocs")
    collector = _Collector()
    passed_on = logger.propagate
    logger.addHandler(collector)
    logger.propagate = False
    try:
        yield collector.messages
    finally:
        logger.removeHandler(collector)
        logger.propagate = passed_on
