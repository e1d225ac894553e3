"""The one room that knows MkDocs: a book's files become a site, for the web, for disk, or as a live preview.

Must not decide what a site holds (that is `site.py`) nor what is right in a book.
"""

from __future__ import annotations

from hangtag.mkdocs_plugin.build import build_site
from hangtag.mkdocs_plugin.plugin import HangtagPlugin
from hangtag.mkdocs_plugin.serve import serve_site

__all__ = ["HangtagPlugin", "build_site", "serve_site"]
