"""The book without a theme and without a generator: as pages of our own, and as plain Markdown to carry away.

The proof that a book outlives whatever makes its pages today. What stands inside an article is the same, byte for byte,
as in the themed site. Must not import MkDocs or a theme, nor decide what a site holds (that is `site.py`).
"""

from __future__ import annotations

from hangtag.plain.build import build_plain
from hangtag.plain.export import export_docs

__all__ = ["build_plain", "export_docs"]
