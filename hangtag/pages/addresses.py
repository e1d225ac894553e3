"""The permanent addresses of a site's pages, where the site knows its own.

They are those of the web, also in a copy for the disk: what is shared from a copy must lead to the site. Must not know
MkDocs.
"""

from __future__ import annotations

import posixpath
from dataclasses import dataclass

_INDEX = ("index.md", "README.md")


@dataclass(frozen=True)
class Addresses:
    """Where pages stand: below `root`, an absolute address, in folders or (for some hosts) as files ending in .html."""

    root: str | None = None
    folders: bool = True

    def of(self, path: str) -> str | None:
        """The address of a page by its Markdown path, such as `terms/denier.md`; None where the site knows none."""
        return None if self.root is None else self.root.rstrip("/") + "/" + self.below(path)

    def file(self, path: str) -> str | None:
        """The address of a file that is no page, such as `corrections.xml`."""
        return None if self.root is None else self.root.rstrip("/") + "/" + path

    def below(self, path: str) -> str:
        """The same below the site's root; that of the home page is empty."""
        folder, name = posixpath.split(path)
        stem = name.removesuffix(".md")
        if not self.folders:
            name = "index.html" if name in _INDEX else f"{stem}.html"
            return posixpath.join(folder, name)
        below = folder if name in _INDEX else posixpath.join(folder, stem)
        return f"{below}/" if below else ""
