"""What the plain look needs of mkdocs.yml: names, addresses, navigation, Markdown extensions; inherited if left out.

The file is read in pieces, so that a tag in a part that concerns the theme alone stops nothing. Must not judge what
belongs to MkDocs.
"""

from __future__ import annotations

import os
from collections.abc import Mapping
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any
from urllib.parse import urljoin

import yaml

from hangtag.book import Book
from hangtag.problems import Problem, ProblemError, Span
from hangtag.resources import CONFIG

# Markdown's own, which every MkDocs book has without saying so.
_ALWAYS = ("toc", "tables", "fenced_code")
NavItem = str | Mapping[str, "str | list[NavItem]"]


@dataclass(frozen=True)
class Settings:
    """The settings of one book, those of the books it inherits below its own."""

    name: str
    docs: Path
    description: str | None = None
    url: str | None = None
    copyright: str | None = None
    folders: bool = True
    templates: Path | None = None
    nav: list[NavItem] | None = None
    extensions: Mapping[str, Mapping[str, Any]] = field(default_factory=dict)
    styles: tuple[str, ...] = ()
    scripts: tuple[Any, ...] = ()
    extra: Mapping[str, Any] = field(default_factory=dict)
    edit: str | None = None

    def edit_address(self, path: str | None) -> str | None:
        """Where a file of the book may be edited, by its path below the book's root."""
        if path is None or self.edit is None:
            return None
        return self.edit.format(path=path, path_noext=path.rpartition(".")[0])


def read_settings(book: Book) -> Settings:
    """The settings of a loaded book. Raises ProblemError where a part of mkdocs.yml cannot be read."""
    own = _File(book.root / CONFIG)
    theme = own.get("theme")
    custom = theme.get("custom_dir") if isinstance(theme, Mapping) else None
    extensions: dict[str, Mapping[str, Any]] = {name: {} for name in _ALWAYS} | _extensions(own)
    nav, extra = own.get("nav"), dict(own.get("extra") or {})
    for root in book.parents:
        parent = _File(root / CONFIG)
        for name, options in _extensions(parent).items():
            extensions[name] = {**options, **extensions.get(name, {})}
        nav = parent.get("nav") if nav is None else nav
        extra = {**(parent.get("extra") or {}), **extra}
    return Settings(
        name=book.title,
        docs=book.root / str(own.get("docs_dir") or "docs"),
        description=own.get("site_description") or None,
        url=own.get("site_url") or None,
        copyright=own.get("copyright") or None,
        folders=bool(own.get("use_directory_urls", True)),
        templates=book.root / custom if custom else None,
        nav=nav,
        extensions=extensions,
        styles=tuple(map(str, own.get("extra_css") or ())),
        scripts=tuple(own.get("extra_javascript") or ()),
        extra=extra,
        edit=_edit(own),
    )


def _edit(own: _File) -> str | None:
    template, uri, repository = own.get("edit_uri_template"), own.get("edit_uri"), own.get("repo_url")
    if not template and not uri:
        return None
    address = template or uri.replace("{", "{{").replace("}", "}}") + "{path}"
    return urljoin(f"{repository.rstrip('/')}/", address) if repository else str(address)


def _extensions(file: _File) -> dict[str, Mapping[str, Any]]:
    """Extensions with their options; written as a list of names and of names with options, or as keys."""
    said = file.get("markdown_extensions") or []
    items = said.items() if isinstance(said, Mapping) else (pair for item in said for pair in _pairs(item))
    return {str(name): options or {} for name, options in items}


def _pairs(item: Any) -> list[tuple[Any, Any]]:  # noqa: ANN401  whatever YAML gives
    return list(item.items()) if isinstance(item, Mapping) else [(item, {})]


class _Loader(yaml.SafeLoader):
    """Reads plain values and MkDocs' `!ENV`; any other tag is a mistake here."""


def _environment(loader: yaml.SafeLoader, node: yaml.Node) -> Any:  # noqa: ANN401  whatever YAML gives
    parts = loader.construct_sequence(node) if isinstance(node, yaml.SequenceNode) else [node.value]
    names, default = (parts[:-1], parts[-1]) if len(parts) > 1 else (parts, None)
    return next((value for name in names if (value := os.environ.get(str(name)))), default)


_Loader.add_constructor("!ENV", _environment)


class _File:
    """One mkdocs.yml, of which only what is asked for is read."""

    def __init__(self, path: Path) -> None:
        self._path = path
        tree = yaml.compose(path.read_text(encoding="utf-8-sig"), Loader=_Loader)
        pairs = tree.value if isinstance(tree, yaml.MappingNode) else []
        self._nodes: dict[str, yaml.Node] = {key.value: value for key, value in pairs}

    def get(self, key: str, default: Any = None) -> Any:  # noqa: ANN401  whatever YAML gives
        """The value of a key. Raises ProblemError where it holds a tag that only MkDocs understands."""
        node = self._nodes.get(key)
        if node is None:
            return default
        try:
            loader = _Loader("")
            return loader.construct_document(node)
        except yaml.MarkedYAMLError as error:
            mark = error.problem_mark or node.start_mark
            span = Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2)
            what = error.problem or "it cannot be read"
            raise ProblemError(Problem("plain-setting", {"key": key, "what": what}, str(self._path), span)) from error
