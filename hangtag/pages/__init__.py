"""A Book becomes its pages: Markdown through templates, one page a term, a calculator and an area, and the lists.

Says what stands on a page and where; how it looks is the templates' and styles' part. Must not know MkDocs: links are
relative `*.md` links or, in raw HTML, `hangtag:` addresses, and another room turns both into what a browser needs.
"""

from __future__ import annotations

from hangtag.pages.addresses import Addresses
from hangtag.pages.build import Page, each_page, hand_written, pages, pages_about, templates
from hangtag.pages.corrections import FEED, feed
from hangtag.pages.examples_view import strongest_example
from hangtag.pages.frame import described, frame_words
from hangtag.pages.headings import linked
from hangtag.pages.moved import moved

__all__ = [
    "FEED",
    "Addresses",
    "Page",
    "described",
    "each_page",
    "feed",
    "frame_words",
    "hand_written",
    "linked",
    "moved",
    "pages",
    "pages_about",
    "strongest_example",
    "templates",
]
