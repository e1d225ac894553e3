"""The book as plain Markdown and assets, for whatever makes sites from Markdown when today's generators are gone.

The pages are the ones that the site is made from. Links between them are relative links to Markdown files; only links
within raw HTML, which some generators rewrite and others leave alone, are addresses as they will be where each page has
a folder, and a script sets them right elsewhere. Must not need anything of ours to be read again: no plugin, no theme.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping, Sequence
from pathlib import Path

import yaml

from hangtag import markup
from hangtag.book import Book
from hangtag.output import DOCS, Progress, new_site, place_for
from hangtag.output.whole import loaded_book
from hangtag.plain.content import parts_of, raise_for_dead, whole_list
from hangtag.plain.links import Links
from hangtag.plain.settings import NavItem, Settings, read_settings
from hangtag.resources import CONFIG, template_dirs

_FIRST_STYLE = "styles/hangtag.css"
_SCRIPTS = ("find-field", "address", "hangtag", "scales", "carried")
_CARRIED = "carried"
_TO_PAGE = re.compile(rf'href="{markup.TARGET}([^"#?]*\.md(?:#[^"]*)?)"')
_README = """\
# {title}, as plain Markdown

Made by `hangtag export-docs`. Everything is in `docs/`: the pages as Markdown with front matter, the scripts of the
calculators, styles, drawings, and the same data as JSON below `docs/api/`. Nothing here needs hangtag again.

`mkdocs.yml` names the order of the pages and the Markdown extensions they use; other generators can read the order from
it. The pages expect attribute lists (`{{ #id }}`), definition lists, tables, and Markdown inside HTML blocks. Links
within HTML blocks count on a folder for each page (`terms/denier/`), which is what most generators make; elsewhere
`scripts/carried.js` sets them right. A page shows its calculator at work where it loads `scripts/hangtag.js`; without
it the page still shows a worked result.
"""


def export_docs(root: Path, out: Path, progress: Progress = lambda _: None) -> Path:
    """Write the book in `root` as plain Markdown and assets into `out`, and give the folder's full path.

    Raises ProblemError for problems of the book, for a link that leads nowhere, for a folder that holds anything but an
    earlier export, and where nothing can be written.
    """
    place = place_for(out, root, DOCS)
    progress("Reading the book")
    book = loaded_book(root)
    with new_site(place) as aside:
        progress("Writing pages")
        for path, data in exported(book).items():
            file = aside / path
            file.parent.mkdir(parents=True, exist_ok=True)
            file.write_bytes(data.encode() if isinstance(data, str) else data)
    return place.out


def exported(book: Book) -> Mapping[str, str | bytes]:
    """Every file of an export by its path. Raises ProblemError with every link that leads nowhere."""
    settings = read_settings(book)
    settings = Settings(**{**vars(settings), "folders": True})
    listed = whole_list(book, settings, disk=False)
    links = Links.of(listed, folders=True)
    files: dict[str, str | bytes] = {}
    titles: dict[str, str] = {}
    for path, file in listed.items():
        if file.is_page:
            text = str(file.content)
            titles[path] = str(parts_of(text)[0].get("title") or Path(path).stem)
            files[f"docs/{path}"] = _with_addresses(path, text, links)
        else:
            files[f"docs/{path}"] = file.content
    raise_for_dead(links, listed, book)
    files[f"docs/scripts/{_CARRIED}.js"] = _carried_script(book)
    styles = sorted((path for path in listed if path.startswith("styles/")), key=lambda path: path != _FIRST_STYLE)
    files[CONFIG] = _config(book, settings, titles, styles)
    files["README.md"] = _README.format(title=book.title)
    return files


def _with_addresses(page: str, text: str, links: Links) -> str:
    """A page whose links within HTML name their page twice: as an address, and for `carried.js` by its path."""
    named = _TO_PAGE.sub(r'data-page="\1" \g<0>', text)
    return markup.resolved(named, lambda path: links.from_html(page, path))


def _carried_script(book: Book) -> bytes:
    found = (folder / "plain" / f"{_CARRIED}.js" for folder in template_dirs(book))
    return next(file for file in found if file.is_file()).read_bytes()


def _config(book: Book, settings: Settings, titles: Mapping[str, str], styles: Sequence[str]) -> str:
    """A mkdocs.yml without plugin and theme; JSON is YAML too, and quotes whatever an author wrote."""
    parts = {
        "site_name": settings.name,
        **({"site_description": settings.description} if settings.description else {}),
        **({"site_url": settings.url} if settings.url else {}),
        "nav": _whole_nav(book, settings, titles),
        "markdown_extensions": [
            {name: dict(options)} if options else name for name, options in settings.extensions.items()
        ],
        "extra_css": [*styles, *settings.styles],
        "extra_javascript": [*(f"scripts/{name}.js" for name in _SCRIPTS), *settings.scripts],
    }
    return yaml.safe_dump(json.loads(json.dumps(parts)), sort_keys=False, allow_unicode=True, width=120)


def _whole_nav(book: Book, settings: Settings, titles: Mapping[str, str]) -> list[NavItem]:
    """The book's own navigation, then every page that it leaves out, by area and by kind."""
    nav: list[NavItem] = list(settings.nav or ["index.md"])
    named = json.dumps(nav)
    left = {path for path in titles if json.dumps(path) not in named}

    def group(title: str, paths: list[str]) -> None:
        there: list[NavItem] = [{titles[path]: path} for path in paths if path in left]
        left.difference_update(paths)
        if there:
            nav.append({title: there})

    for area in book.areas.values():
        entries = sorted(book.entries_of(area.id), key=lambda entry: str(entry.name))
        paths = [f"areas/{area.id}.md", *(f"terms/{entry.id}.md" for entry in entries)]
        group(titles.get(paths[0], area.id), paths)
    folders = {path.partition("/")[0] for path in left if "/" in path}
    for folder in sorted(folders):
        group(folder.replace("-", " ").capitalize(), sorted(path for path in left if path.startswith(f"{folder}/")))
    nav += [{titles[path]: path} for path in sorted(left)]
    return nav
