"""A book's short mkdocs.yml takes from the books it inherits what it does not say itself.

Theme options, template folders, Markdown extensions, navigation and checks; never names, addresses or plugins.
Must not read terms or calculators.
"""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Any

from mkdocs.config import load_config
from mkdocs.utils.yaml import yaml_load

from hangtag.resources import CONFIG, template_dirs

if TYPE_CHECKING:
    from mkdocs.config.defaults import MkDocsConfig

    from hangtag.book import Book

OVERRIDES = "overrides"
_NEVER_TAKEN = {"name", "locale", "custom_dir"}


def inherit(config: MkDocsConfig, book: Book) -> None:
    """Complete `config` in place: the nearest book that says something wins."""
    said = as_written(Path(config.config_file_path))
    theme = said.get("theme")
    own_options = set(theme) if isinstance(theme, dict) else set()
    own_extras = dict(config.extra)
    for root in book.parents:
        parent = load_config(str(root / CONFIG), strict=False)
        for option, value in parent.theme.items():
            if option not in own_options | _NEVER_TAKEN:
                config.theme[option] = value
                own_options.add(option)
        config.theme.static_templates |= parent.theme.static_templates
        for extension in parent.markdown_extensions:
            if extension not in config.markdown_extensions:
                config.markdown_extensions.append(extension)
            config.mdx_configs[extension] = {
                **parent.mdx_configs.get(extension, {}),
                **config.mdx_configs.get(extension, {}),
            }
        if config.nav is None:
            config.nav = parent.nav
        if "validation" not in said:
            config.validation = parent.validation
        own_extras = {**parent.extra, **own_extras}
    config.extra.update(own_extras)
    _add_templates(config, book)


def as_written(config_file: Path) -> dict[str, Any]:
    """What the file itself says, before MkDocs adds its defaults."""
    with config_file.open(encoding="utf-8-sig") as file:
        return dict(yaml_load(file))


def _add_templates(config: MkDocsConfig, book: Book) -> None:
    """Theme templates are looked for in this book, then in each it inherits, then in the theme."""
    ours = [str(folder / OVERRIDES) for folder in template_dirs(book) if (folder / OVERRIDES).is_dir()]
    known = {Path(folder).resolve() for folder in ours}
    own = config.theme.custom_dir
    first = [own] if own and Path(own).resolve() not in known else []
    rest = [folder for folder in config.theme.dirs if Path(folder).resolve() not in known and folder != own]
    config.theme.dirs = [*first, *ours, *rest]
