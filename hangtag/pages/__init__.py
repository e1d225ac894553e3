"""A Book becomes its pages: Markdown through templates, one page a term, a calculator and an area, and the lists.

Says what stands on a page and where; how it looks is the templates' and styles' part. Must not know MkDocs: links are
relative `*.md` links or, in raw HTML, `hangtag:` addresses, and another room turns both into what a browser needs.
"""

from __future__ import annotations

from hangtag.pages.build import Page, hand_written, pages

__all__ = ["Page", "hand_written", "pages"]
