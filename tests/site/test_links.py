"""Links that last: every page names its permanent address and itself, every address of every release answers."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from hangtag.book import Book
from hangtag.mkdocs_plugin import build_site
from hangtag.pages import Addresses, Page, hand_written, linked, moved, pages
from hangtag.pages.head import linked_data, structured_data
from tests.site.books import loaded
from tests.site.linked import SITE, make_linked

RELEASED = Path(__file__).with_name("released.txt")
RESET = "run `pytest --reset tests/site/test_links.py`: it adds lines and takes none away"
WEB = Addresses(SITE)
# The properties that schema.org gives these types (of DefinedTermSet, those that a set of words can use).
THING = (
    "additionalType alternateName description disambiguatingDescription identifier image mainEntityOfPage name sameAs "
    "subjectOf url"
).split()
WORK = "about author dateModified datePublished hasPart inLanguage isPartOf license publisher version".split()
PROPERTIES = {
    "DefinedTerm": {*THING, "inDefinedTermSet", "termCode"},
    "DefinedTermSet": {*THING, *WORK, "hasDefinedTerm"},
}


class Head(HTMLParser):
    """What stands in the head of a page, and the words of its article."""

    def __init__(self, text: str) -> None:
        super().__init__()
        self.named: dict[str, list[str]] = {}
        self.links: dict[str, list[str]] = {}
        self.data: list[Any] = []
        self.words = ""
        self._in = ""
        self.feed(text)

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        values = {name: value or "" for name, value in attrs}
        if tag == "meta":
            key = values.get("property") or values.get("name", "")
            self.named.setdefault(key, []).append(values.get("content", ""))
        elif tag == "link":
            self.links.setdefault(values.get("rel", ""), []).append(values.get("href", ""))
        elif tag == "script":
            self._in = values.get("type", "script")

    def handle_data(self, data: str) -> None:
        if self._in == "application/ld+json":
            self.data.append(json.loads(data))
        elif not self._in:
            self.words += data

    def handle_endtag(self, tag: str) -> None:
        self._in = "" if tag == "script" else self._in


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    return make_linked(tmp_path_factory.mktemp("links") / "book")


@pytest.fixture(scope="module")
def web(folder: Path) -> Path:
    return build_site(folder, folder.parent / "web")


@pytest.fixture(scope="module")
def disk(folder: Path) -> Path:
    return build_site(folder, folder.parent / "disk", disk=True)


def heads(site: Path) -> Iterator[tuple[str, Head]]:
    for file in sorted(site.rglob("*.html")):
        yield file.relative_to(site).as_posix(), Head(file.read_text(encoding="utf-8"))


@pytest.fixture(scope="module")
def every(reference: Book) -> list[Page]:
    """The pages of the reference book without their calculators."""
    return pages(reference, lambda *_: "<div></div>", reference.language, WEB)


# ------------------------------------------------------------------------------------------- canonical and Open Graph


@pytest.mark.parametrize("kind", ["web", "disk"])
def test_every_page_names_its_address_and_describes_itself(kind: str, request: pytest.FixtureRequest) -> None:
    seen = 0
    for path, head in heads(request.getfixturevalue(kind)):
        one = {name: values for name, values in head.named.items() if name.startswith("og:") or name == "description"}
        assert all(len(values) == 1 for values in one.values()), path
        (description,) = one["description"]
        assert 50 <= len(description) <= 160, (path, description)
        assert one["og:description"] == [description], path
        assert one["og:title"][0].strip(), path
        if path == "404.html":  # stands at any address, so it has none of its own
            assert "canonical" not in head.links
            continue
        (canonical,) = head.links["canonical"]
        assert canonical.startswith(SITE), path
        assert not canonical.endswith(".html"), "the permanent addresses are those of the web"
        assert one["og:url"] == [canonical], path
        seen += 1
    assert seen > 12


def test_a_site_of_files_has_addresses_that_end_in_html(tmp_path: Path) -> None:
    book = make_linked(tmp_path / "book", more="use_directory_urls: false\n")
    found = dict(heads(build_site(book, tmp_path / "site")))
    assert found["terms/pole-length.html"].links["canonical"] == [f"{SITE}terms/pole-length.html"]
    assert found["terms/stick-length.html"].links["canonical"] == [f"{SITE}terms/pole-length.html"]
    assert found["calculators/pole-mass/index.html"].links["canonical"] == [f"{SITE}calculators/pole-mass/index.html"]
    (data,) = found["terms/pole-length.html"].data
    assert data["url"] == f"{SITE}terms/pole-length.html"


def test_without_an_address_of_the_site_no_page_names_one(trial_site: Path) -> None:
    for path, head in heads(trial_site):
        if "robots" not in head.named:
            assert "canonical" not in head.links, path
        assert "og:url" not in head.named, path
        assert head.data == [], path


def test_every_page_of_the_reference_describes_itself(every: list[Page]) -> None:
    wrong = [page.path for page in every if not 50 <= len(page.description) <= 160]
    assert wrong == []


# ------------------------------------------------------------------------------------------------------------ JSON-LD


def test_data_for_machines_stands_once_in_the_head_of_entries_areas_and_home(web: Path) -> None:
    kinds = {path: [data["@type"] for data in head.data] for path, head in heads(web) if head.data}
    assert kinds == {
        "index.html": ["DefinedTermSet"],
        "areas/trail/index.html": ["DefinedTermSet"],
        "terms/pole-length/index.html": ["DefinedTerm"],
        "terms/pole-wood/index.html": ["DefinedTerm"],
    }
    text = (web / "terms/pole-length/index.html").read_text(encoding="utf-8")
    assert text.index("application/ld+json") < text.index("</head>")


def test_a_term_says_what_its_page_says(web: Path) -> None:
    head = Head((web / "terms/pole-length/index.html").read_text(encoding="utf-8"))
    (term,) = head.data
    assert term == {
        "@context": "https://schema.org",
        "@type": "DefinedTerm",
        "@id": f"{SITE}terms/pole-length/#pole-length",
        "name": "Pole length",
        "alternateName": ["stick length"],
        "description": "How long the stick is from tip to grip, in millimetres.",
        "url": f"{SITE}terms/pole-length/",
        "termCode": "pole-length",
        "inDefinedTermSet": {"@id": f"{SITE}#home"},
    }
    assert head.links["canonical"] == [term["url"]]
    for words in (term["name"], *term["alternateName"], term["description"]):
        assert words in head.words


def test_the_book_and_its_areas_are_sets_that_hold_every_term(reference: Book, every: list[Page]) -> None:
    found = {page.path: linked_data(reference, page.path, WEB, "en") for page in every}
    data = {path: one for path, one in found.items() if one}
    assert set(data) == {
        "index.md",
        *(f"areas/{area}.md" for area in reference.areas),
        *(f"terms/{entry}.md" for entry in reference.entries),
    }
    home: Any = data["index.md"]
    assert [part["@id"] for part in home["hasPart"]] == [f"{SITE}areas/{area}/#{area}" for area in reference.areas]
    areas: list[Any] = [data[f"areas/{area}.md"] for area in reference.areas]
    held = [term["@id"] for area in areas for term in area["hasDefinedTerm"]]
    terms: list[Any] = [one for one in data.values() if one["@type"] == "DefinedTerm"]
    assert sorted(held) == sorted(term["@id"] for term in terms)
    assert all(term["inDefinedTermSet"] == {"@id": home["@id"]} for term in terms)


def test_only_properties_that_there_are_are_used(reference: Book, every: list[Page]) -> None:
    for page in every:
        data = linked_data(reference, page.path, WEB, "en")
        if data:
            assert set(data) - {"@context", "@type", "@id"} <= PROPERTIES[str(data["@type"])], page.path
            assert all(value not in (None, "", []) for value in data.values()), page.path


def test_what_an_author_wrote_cannot_end_the_data(folder: Path, tmp_path: Path) -> None:
    entry = (folder / "terms/trail/pole-wood.yml").read_text(encoding="utf-8")
    copy = make_linked(tmp_path / "book")
    hostile = "in_short: The </script><script>alert(1)</script> <!-- wood."
    (copy / "terms/trail/pole-wood.yml").write_text(re.sub("in_short:.*", hostile, entry), encoding="utf-8")
    block = str(structured_data(loaded(copy), "terms/pole-wood.md", WEB, "en"))
    inner = block.removeprefix('<script type="application/ld+json">').removesuffix("</script>")
    assert "<" not in inner
    assert "</script><script>" in json.loads(inner)["description"]


# ---------------------------------------------------------------------------------------------------- earlier addresses


def test_an_earlier_id_of_a_calculator_leads_on_like_that_of_an_entry(web: Path, disk: Path) -> None:
    for site, path, to in (
        (web, "calculators/stick-mass/index.html", "../pole-mass/"),
        (disk, "calculators/stick-mass/index.html", "../pole-mass/index.html"),
        (web, "terms/stick-length/index.html", "../pole-length/"),
        (disk, "terms/stick-length.html", "pole-length.html"),
    ):
        text = (site / path).read_text(encoding="utf-8")
        target = (site / path).parent / to
        assert (target / "index.html" if to.endswith("/") else target).is_file()
        assert f'<a href="{to}">' in text
        assert f'data-to="{to}"' in text
        assert '<meta name="robots" content="noindex">' in text
        assert f'<link rel="canonical" href="{SITE}{path.split("/")[0]}/pole-' in text
        (script,) = re.findall(r'<script src="([^"]+)"', text)
        assert ((site / path).parent / script).resolve() == site / "scripts/moved.js"


def test_every_address_of_every_release_answers(
    reference: Book, every: list[Page], request: pytest.FixtureRequest
) -> None:
    """Lines of `released.txt` are never taken out of it; new ones go in with `--reset`."""
    here = {f"/{WEB.below(path)}" for path in (*(page.path for page in every), *hand_written(reference))}
    owners: list[Any] = [*reference.entries.values(), *reference.calculators.values()]
    old = {moved(reference, was, its, disk=False, addresses=WEB)[0] for its in owners for was in its.was}
    answering = here | {f"/{path.removesuffix('index.html')}" for path in old}
    listed = _released(request, "page", answering)
    assert sorted(listed - answering) == [], "an address that was released leads nowhere: give its heir `was`"
    assert sorted(answering - listed) == [], RESET


# ---------------------------------------------------------------------------------------------------------- headings


def test_anchors_of_headings_never_change(reference: Book, every: list[Page], request: pytest.FixtureRequest) -> None:
    found = {
        f"{kind}#{_shape(anchor, reference)}"
        for kind, text in _markdown(reference, every)
        for anchor in re.findall(r"^#+ .*\{ ?#([\w-]+)[^}]*\}$", text, re.MULTILINE)
    }
    listed = _released(request, "anchor", found)
    assert sorted(listed - found) == [], "an anchor that was released is gone"
    assert sorted(found - listed) == [], RESET


def test_every_heading_has_an_id_of_its_own(reference: Book, every: list[Page]) -> None:
    for kind, text in _markdown(reference, every):
        for line in re.findall(r"^#+ .*$", text, re.MULTILINE):
            assert re.search(r"\{ ?#[\w-]+[^}]*\}$", line), (kind, line)


def test_headings_are_links_to_themselves(web: Path) -> None:
    for path in ("terms/pole-length/index.html", "calculators/pole-mass/index.html", "about/index.html"):
        text = (web / path).read_text(encoding="utf-8")
        found = re.findall(r"<h[23][^>]*?id=\"([\w-]+)\"[^>]*>(.*?)</h[23]>", text, re.DOTALL)
        assert found, path
        for anchor, words in found:
            assert re.fullmatch(rf'<a href="#{anchor}">[^<]+</a>', words.strip()), (path, words)


@pytest.mark.parametrize(
    ("line", "becomes"),
    [
        ("## The scale { #scale }", "## [The scale](#scale) { #scale }"),
        ("### Caution {#c .ht-x}", "### [Caution](#c) {#c .ht-x}"),
        ("## [Entry](x.md) { #e }", None),
        ("## No id", None),
        ("# The page { #page }", None),
        ("```\n## code { #c }\n```", None),
        ("~~~\n```\n## code { #c }\n~~~", None),
        ("## A &#42; B { #ab }", "## [A &#42; B](#ab) { #ab }"),
    ],
)
def test_a_heading_is_linked_where_it_can_be(line: str, becomes: str | None) -> None:
    assert linked(line) == (becomes or line)


def _markdown(book: Book, every: list[Page]) -> Iterator[tuple[str, str]]:
    """The Markdown of every page without its code, and its kind."""
    texts = [page.markdown for page in every]
    texts += [linked(file.read_text(encoding="utf-8")) for file in hand_written(book).values()]
    for text in texts:
        kind = re.search(r'^kind: "?([\w-]+)', text, re.MULTILINE)
        yield kind[1] if kind else "text", re.sub(r"^```.*?^```", "", text, flags=re.DOTALL | re.MULTILINE)


def _shape(anchor: str, book: Book) -> str:
    """An anchor without the part that is an id, a letter or a date."""
    ids = {*book.entries, *book.calculators, *book.areas, *book.sources, *book.gear}
    for prefix in ("", "area-", "entry-", "gear-", "kind-"):
        if anchor.startswith(prefix) and anchor.removeprefix(prefix) in ids:
            return f"{prefix}ID"
    return re.sub(r"^(letter)-\w+$|^(on)-[\d-]+$", lambda found: f"{found[1] or found[2]}-ID", anchor)


def _released(request: pytest.FixtureRequest, kind: str, found: set[str]) -> set[str]:
    lines = set(RELEASED.read_text(encoding="utf-8").splitlines()) if RELEASED.exists() else set()
    if request.config.getoption("--reset"):
        lines |= {f"{kind} {one}" for one in found}
        RELEASED.write_text("".join(f"{line}\n" for line in sorted(lines)), encoding="utf-8", newline="")
    return {line.removeprefix(f"{kind} ") for line in lines if line.startswith(f"{kind} ")}
