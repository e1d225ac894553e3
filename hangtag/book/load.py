"""Reading a book: its layers from the oldest ancestor to the book itself, each over the one before.

One file replaces one id; the `_` files merge by key; `<id>.adds.yml` adds to what is inherited. Must not
look across files: that is `links.py`.
"""

from __future__ import annotations

import datetime as dt
from collections.abc import Callable
from dataclasses import dataclass, field, replace
from functools import partial
from pathlib import Path
from typing import TypeVar

from hangtag.book.config import Config, read_config
from hangtag.book.groups import read_areas, read_gear, read_strings
from hangtag.book.links import check_links
from hangtag.book.model import Area, Book, DangerWord, Gear, Loaded
from hangtag.calculator_reader import read_calculator
from hangtag.calculators import Calculator
from hangtag.entries import Addition, Entry
from hangtag.entry_reader import Context, read_addition, read_entry
from hangtag.memory import Memory, fingerprint
from hangtag.problems import Problems, did_you_mean
from hangtag.resources import CALCULATORS, TEMPLATES, TERMS, is_book, reference_book
from hangtag.sources import Source, read_sources
from hangtag.strings import DEFAULT_LANGUAGE, LocalText, Strings
from hangtag.units import UnitList, read_units
from hangtag.version import __version__
from hangtag.yaml_source import Mapping, Node, read_file

ADDS = ".adds.yml"
T = TypeVar("T")


def load_book(root: Path, memory: Memory | None = None) -> Loaded:
    """Read, merge and check the book in `root`. Never raises for what an author wrote.

    With the `memory` of an earlier time, only files that changed are read again.
    """
    problems = Problems()
    configs = _ancestry(root, problems)
    book = _Loader(configs, problems, memory or Memory()).book() if configs else None
    return Loaded(None if problems else book, problems.sorted())


def _ancestry(root: Path, problems: Problems) -> list[Config]:
    """The configurations of the book and its ancestors, the oldest first; empty, with a Problem, for a circle."""
    configs: list[Config] = []
    seen: set[Path] = set()
    at: Path | None = root
    while at is not None:
        config = read_config(at, problems)
        if config is None:
            return []
        configs.insert(0, config)
        seen.add(at.resolve())
        if config.parent is not None:
            mkdocs = str(config.root / "mkdocs.yml")
            if config.parent.resolve() in seen:
                problems.add("inherits-circle", mkdocs, config.parent_span)
                return []
            if not is_book(config.parent):
                problems.add("inherits-no-book", mkdocs, config.parent_span, parent=config.parent_as_written)
                return []
        at = config.parent
    return configs


@dataclass
class _Parts:
    """What the layers so far have given."""

    strings: dict[str, dict[str, str]] = field(default_factory=dict)
    units: UnitList = field(default_factory=UnitList)
    sources: dict[str, Source] = field(default_factory=dict)
    areas: dict[str, Area] = field(default_factory=dict)
    gear: dict[str, Gear] = field(default_factory=dict)
    danger: tuple[DangerWord, ...] = ()
    entries: dict[str, Entry] = field(default_factory=dict)
    calculators: dict[str, Calculator] = field(default_factory=dict)


class _Loader:
    def __init__(self, configs: list[Config], problems: Problems, memory: Memory) -> None:
        self._configs = configs
        self._problems = problems
        self._memory = memory
        self._parts = _Parts()

    def book(self) -> Book:
        parts = self._parts
        roots = [config.root for config in self._configs]
        reference = reference_book()
        if reference.resolve() not in {root.resolve() for root in roots}:
            self._strings(reference)  # as templates do, labels fall back on the reference book's
        for root in roots:
            self._strings(root)
            self._groups(root)
        languages = tuple(parts.strings) or (DEFAULT_LANGUAGE,)
        context = Context(parts.units, languages, self._problems, dt.datetime.now(tz=dt.UTC).date())
        for config in self._configs:
            self._calculators(config.root, context)
            self._entries(config.root, context)
        own = self._configs[-1]
        book = Book(
            root=own.root,
            title=own.title,
            language=own.language,
            areas=parts.areas,
            gear=parts.gear,
            danger=parts.danger,
            sources=parts.sources,
            units=parts.units,
            entries=dict(sorted(parts.entries.items())),
            calculators=dict(sorted(parts.calculators.items())),
            strings=Strings(parts.strings),
            parents=tuple(config.root for config in reversed(self._configs[:-1])),
            tell_us=own.tell_us,
            version=own.version or __version__,
        )
        check_links(book, self._problems)
        return book

    # ------------------------------------------------------------------------------------------------- `_` files

    def _strings(self, root: Path) -> None:
        for path in self._files(root, root / TEMPLATES / "strings"):
            read = self._read(path, (), partial(_strings_of, str(path)))
            if read is not None:
                self._parts.strings.setdefault(path.stem, {}).update(read)

    def _groups(self, root: Path) -> None:
        parts = self._parts
        units, sources = root / CALCULATORS / "_units.yml", root / TERMS / "_sources.yml"
        areas, gear = root / TERMS / "_areas.yml", root / TERMS / "_gear.yml"
        older = parts.units
        new_units = self._mapping(root, units, (older,), lambda node, its: read_units(node, str(units), its, older))
        parts.units = older if new_units is None else new_units
        languages = tuple(parts.strings) or (DEFAULT_LANGUAGE,)
        parts.sources |= self._mapping(root, sources, (), lambda node, its: read_sources(node, str(sources), its)) or {}
        parts.areas |= (
            self._mapping(root, areas, languages, lambda node, its: read_areas(node, str(areas), its, languages)) or {}
        )
        kinds, danger = self._mapping(
            root, gear, languages, lambda node, its: read_gear(node, str(gear), its, languages)
        ) or ({}, ())
        parts.gear |= kinds
        parts.danger += danger

    def _mapping(
        self, root: Path, path: Path, beside: tuple[object, ...], make: Callable[[Mapping, Problems], T]
    ) -> T | None:
        if not path.is_file() or not self._inside(root, path):
            return None

        def of_mapping(node: Node, problems: Problems) -> T | None:
            if isinstance(node, Mapping):
                return make(node, problems)
            problems.add("not-a-mapping", str(path), node.span, what=path.name)
            return None

        return self._read(path, beside, of_mapping)

    def _read(self, path: Path, beside: tuple[object, ...], make: Callable[[Node, Problems], T]) -> T | None:
        """What `make` gives of a file, `beside` being what else it is made from; None where it cannot be read."""

        def afresh(problems: Problems) -> T | None:
            node = read_file(path, problems)
            return None if node is None else make(node, problems)

        return self._memory.recall(path, (fingerprint(path), *beside), afresh, self._problems)

    # --------------------------------------------------------------------------------------- entries, calculators

    def _calculators(self, root: Path, context: Context) -> None:
        own: dict[str, Path] = {}
        for path in self._files(root, root / CALCULATORS):
            if path.name.startswith("_"):
                if path.name != "_units.yml":
                    self._problems.add("unknown-file", str(path), name=path.name, known="_units.yml")
                continue
            if not self._identified(path, path.stem, own):
                continue
            new = self._read(path, context.beside, partial(_calculator_of, path, context))
            if new is None:
                continue
            old = self._parts.calculators.get(path.stem)
            if old:
                new = replace(new, inherited_caution=_cautions(old))
            self._parts.calculators[path.stem] = new

    def _entries(self, root: Path, context: Context) -> None:
        terms = root / TERMS
        own: dict[str, Path] = {}
        additions: list[Path] = []
        for path in self._files(root, terms):
            if path.name not in ("_areas.yml", "_gear.yml", "_sources.yml"):
                code = "unknown-file" if path.name.startswith("_") else "entry-without-area"
                self._problems.add(code, str(path), name=path.name, known="_areas.yml, _gear.yml and _sources.yml")
        for area in sorted(folder for folder in terms.iterdir() if folder.is_dir()) if terms.is_dir() else ():
            for path in self._files(root, area):
                if path.name.endswith(ADDS):
                    additions.append(path)
                    continue
                if self._identified(path, path.stem, own):
                    self._entry(path, area.name, context)
        for path in additions:
            self._addition(path, context)

    def _entry(self, path: Path, area: str, context: Context) -> None:
        new = self._read(path, context.beside, partial(_entry_of, path, area, context))
        if new is None:
            return
        old = self._parts.entries.get(path.stem)
        if old:
            new = replace(new, inherited_caution=_cautions(old), additions=old.additions)
        if area not in self._parts.areas:
            hint = did_you_mean(area, self._parts.areas)
            self._problems.add(
                "unknown-area",
                str(path),
                area=area,
                hint=f"Did you mean {hint}?" if hint else "Add it to terms/_areas.yml.",
            )
        self._parts.entries[path.stem] = new

    def _addition(self, path: Path, context: Context) -> None:
        target = path.name.removesuffix(ADDS)
        entries = self._parts.entries
        entry = entries.get(target) or next((its for its in entries.values() if target in its.was), None)
        addition = self._read(path, context.beside, partial(_addition_of, path, context))
        if entry is None:
            near = did_you_mean(target, entries)
            self._problems.add("adds-to-unknown", str(path), id=target, hint=f"Did you mean {near}?" if near else None)
        if addition is None or entry is None:
            return
        entries[entry.id] = replace(entry, additions=(*entry.additions, addition))

    def _identified(self, path: Path, its_id: str, own: dict[str, Path]) -> bool:
        if not its_id or not all(c.isascii() and (c.islower() or c.isdigit() or c == "-") for c in its_id):
            self._problems.add("bad-id", str(path), id=its_id)
            return False
        if its_id in own:
            self._problems.add("id-twice", str(path), id=its_id, other=own[its_id].name)
            return False
        own[its_id] = path
        return True

    # ------------------------------------------------------------------------------------------------------- files

    def _files(self, root: Path, folder: Path) -> list[Path]:
        """The YAML files of a folder in order; a misnamed one, or one outside the book, is a Problem."""
        found = []
        for path in sorted(folder.iterdir()) if folder.is_dir() else ():
            if path.suffix == ".yaml":
                self._problems.add("file-yaml-ending", str(path), name=path.with_suffix(".yml").name)
            elif path.suffix == ".yml" and self._inside(root, path):
                found.append(path)
        return found

    def _inside(self, root: Path, path: Path) -> bool:
        if path.resolve().is_relative_to(root.resolve()):
            return True
        self._problems.add("file-outside-book", str(path))
        return False


def _strings_of(path: str, node: Node, problems: Problems) -> dict[str, str]:
    return read_strings(node, path, problems)


def _calculator_of(path: Path, context: Context, node: Node, problems: Problems) -> Calculator:
    return read_calculator(node, path.stem, str(path), replace(context, problems=problems))


def _entry_of(path: Path, area: str, context: Context, node: Node, problems: Problems) -> Entry:
    return read_entry(node, path.stem, area, str(path), replace(context, problems=problems))


def _addition_of(path: Path, context: Context, node: Node, problems: Problems) -> Addition:
    return read_addition(node, str(path), replace(context, problems=problems))


def _cautions(old: Entry | Calculator) -> LocalText | None:
    """All cautions that stand with what is replaced: an override further down must not lose the first one."""
    texts = [text for text in (old.inherited_caution, old.caution) if text]
    if len(texts) < 2:  # noqa: PLR2004  nothing to join
        return texts[0] if texts else None
    languages = dict.fromkeys(language for text in texts for language in text.by_language)
    joined = {language: "\n\n".join(text.within(language) for text in texts) for language in languages}
    return LocalText(joined, texts[-1].span)
