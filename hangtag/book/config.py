"""What the engine needs to know of a book's mkdocs.yml: its name, its language, and the book it inherits.

MkDocs reads the rest. The file may hold MkDocs' own tags, so it is read with marks and nothing is
constructed. Must not judge what belongs to MkDocs.
"""

from __future__ import annotations

import os
from dataclasses import dataclass
from pathlib import Path

import yaml

from hangtag import tell_us
from hangtag.problems import Problems, Span, near_hint
from hangtag.resources import CONFIG, reference_book
from hangtag.strings import DEFAULT_LANGUAGE

OPTIONS = ("inherits", "tell_us", "version")


@dataclass(frozen=True)
class Config:
    """The engine's part of one mkdocs.yml."""

    root: Path
    title: str
    language: str
    parent: Path | None
    parent_as_written: str
    parent_span: Span | None
    tell_us: str | None = None
    version: str | None = None


def read_config(root: Path, problems: Problems) -> Config | None:
    """The engine's part of `root`/mkdocs.yml; None, with a Problem, where it cannot be read."""
    path = root / CONFIG
    try:
        tree = yaml.compose(path.read_text(encoding="utf-8"), Loader=yaml.SafeLoader)
    except OSError as error:
        problems.add("file-unreadable", str(path), because=error.strerror or "unknown reason")
        return None
    except UnicodeDecodeError:
        problems.add("file-not-utf8", str(path))
        return None
    except yaml.YAMLError as error:
        mark = getattr(error, "problem_mark", None)
        span = Span(mark.line + 1, mark.column + 1, mark.line + 1, mark.column + 2) if mark else None
        problems.add("yaml-syntax", str(path), span, what=getattr(error, "problem", None) or "it cannot be read")
        return None
    title = _text(_value(tree, "site_name")) or root.resolve().name
    language = _text(_value(_value(tree, "theme"), "language")) or DEFAULT_LANGUAGE
    options = _options(tree)
    for key, _ in options.value if isinstance(options, yaml.MappingNode) else ():
        if key.value not in OPTIONS:
            problems.add(
                "unknown-key",
                str(path),
                _span(key),
                key=key.value,
                what="the plugin hangtag",
                hint=near_hint(key.value, OPTIONS),
            )
    inherits = _value(options, "inherits")
    word = _text(inherits)
    parent = None
    if word:
        parent = reference_book() if word == "reference" else Path(root, word).resolve()
    return Config(
        root,
        title,
        language,
        parent,
        word or "",
        _span(inherits) if inherits is not None else None,
        tell_us=_tell_us(_value(options, "tell_us"), str(path), problems),
        version=_setting(_value(options, "version")),
    )


def _tell_us(node: yaml.Node | None, path: str, problems: Problems) -> str | None:
    template = _setting(node)
    found = tell_us.fault(template) if template else None
    if found is not None and node is not None:
        code, values = found
        problems.add(code, path, _span(node), **values)
    return template


def _options(tree: yaml.Node | None) -> yaml.Node | None:
    plugins = _value(tree, "plugins")
    if isinstance(plugins, yaml.SequenceNode):
        for item in plugins.value:
            found = _value(item, "hangtag")
            if found is not None:
                return found
        return None
    return _value(plugins, "hangtag")


def _value(node: yaml.Node | None, key: str) -> yaml.Node | None:
    if isinstance(node, yaml.MappingNode):
        return next((value for name, value in node.value if getattr(name, "value", None) == key), None)
    return None


def _text(node: yaml.Node | None) -> str | None:
    return str(node.value) if isinstance(node, yaml.ScalarNode) and node.value else None


def _setting(node: yaml.Node | None) -> str | None:
    """A text, or as MkDocs reads it `!ENV NAME` and `!ENV [NAME, ..., default]`."""
    if node is None or node.tag != "!ENV":
        return _text(node)
    if isinstance(node, yaml.ScalarNode):
        return os.environ.get(node.value) or None
    parts = [str(part.value) for part in node.value] if isinstance(node, yaml.SequenceNode) else []
    found = next((value for name in parts[:-1] if (value := os.environ.get(name))), None)
    return found or (parts[-1] if len(parts) > 1 else None) or None


def _span(node: yaml.Node) -> Span:
    start, end = node.start_mark, node.end_mark
    return Span(start.line + 1, start.column + 1, end.line + 1, end.column + 1)
