"""What stands at the foot of an entry and of a calculator: how to cite it, and how to tell that something is wrong.

Must not write Markdown beyond its links: `parts/foot.md.j2` does.
"""

from __future__ import annotations

from dataclasses import dataclass

from markupsafe import Markup

from hangtag import tell_us
from hangtag.book import Book
from hangtag.calculators import Calculator
from hangtag.entries import Change, Entry
from hangtag.pages.addresses import Addresses
from hangtag.pages.writer import Writer

KINDS = ("wrong", "unclear", "missing")


@dataclass(frozen=True)
class Foot:
    """The lines below an entry or a calculator. `tell` is empty where the book names no address to write to."""

    cite: Markup
    address: str | None
    tell: tuple[tuple[Markup, Markup], ...]
    history: tuple[Change, ...]
    corrections: Markup


def foot(w: Writer, its: Entry | Calculator, addresses: Addresses) -> Foot:
    """The foot of one page."""
    address = addresses.of(w.path)
    reviewed = its.reviewed if isinstance(its, Entry) else None
    cite = w.say(
        "cite-reviewed" if reviewed else "cite-plain",
        term=w.words(its.name),
        book=w.book.title,
        version=w.book.version,
        **({"date": reviewed} if reviewed else {}),
    )
    return Foot(
        cite=cite,
        address=address,
        tell=tuple((w.say(f"tell-{kind}"), Markup(link)) for kind in KINDS if (link := _told(w, its, kind, addresses))),
        history=its.history,
        corrections=w.to("corrections.md"),
    )


def _told(w: Writer, its: Entry | Calculator, kind: str, addresses: Addresses) -> str:
    return tell_address(w.book, kind, w.language, its_id=its.id, page=addresses.of(w.path) or addresses.below(w.path))


def tell_address(book: Book, kind: str, language: str, *, its_id: str = "", page: str = "") -> str:
    """The address to tell something by, or nothing where the book has none.

    `kind` is one of KINDS. Without a page `{words}` stays in it, in place of the words somebody looked for.
    """
    if book.tell_us is None:
        return ""
    words = "" if page else tell_us.LATER

    def say(name: str, **values: str) -> str:
        return book.strings.say(name, language, **values)

    values = {
        "what": say(f"tell-{kind}"),
        "id": its_id,
        "page": page,
        "version": book.version,
        "words": words,
    }
    about = "page" if page else "words"
    values["subject"] = say(f"tell-subject-{about}", **values)
    values["body"] = say(f"tell-body-{about}", **values)
    return tell_us.filled(book.tell_us, values)
