"""hangtag: a folder of plain YAML becomes a reference site for outdoor gear in which every number is calculated.

The public list is below; a room is imported when one of its names is first asked for. Must not hold anything else.
"""

from importlib import import_module
from typing import TYPE_CHECKING

from hangtag.version import __version__

if TYPE_CHECKING:
    from hangtag.answers import Answer, work
    from hangtag.book import Book, Loaded, load_book
    from hangtag.checking import check_book
    from hangtag.mkdocs_plugin import build_site
    from hangtag.problems import Problem, ProblemError
    from hangtag.resources import find_book

__all__ = [
    "Answer",
    "Book",
    "Loaded",
    "Problem",
    "ProblemError",
    "__version__",
    "build_site",
    "check_book",
    "find_book",
    "load_book",
    "work",
]

_ROOMS = {
    "Answer": "answers",
    "Book": "book",
    "Loaded": "book",
    "Problem": "problems",
    "ProblemError": "problems",
    "build_site": "mkdocs_plugin",
    "check_book": "checking",
    "find_book": "resources",
    "load_book": "book",
    "work": "answers",
}


def __getattr__(name: str) -> object:
    if name not in _ROOMS:
        raise AttributeError(f"module {__name__!r} has no attribute {name!r}")
    return getattr(import_module(f"{__name__}.{_ROOMS[name]}"), name)
