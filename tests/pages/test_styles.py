"""What can be read off the styles: contrast of every pair of colours, light and dark, and that nothing is fetched."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from hangtag.resources import reference_book

STYLES = reference_book() / "site_templates" / "styles"
TEXT = ("ink", "soft", "blue", "madder")
GROUNDS = ("paper", "wash", "field")


def palette(selector: str) -> dict[str, str]:
    """The custom properties of the first rule with this selector."""
    css = (STYLES / "hangtag.css").read_text(encoding="utf-8")
    start = css.index(selector + " {")
    return dict(re.findall(r"--ht-([a-z]+): (#[0-9a-f]+);", css[start : css.index("}", start)]))


def luminance(colour: str) -> float:
    """Relative luminance as WCAG 2.2 defines it."""
    digits = colour[1:] if len(colour) == len("#rrggbb") else "".join(digit * 2 for digit in colour[1:])
    parts = [int(digits[at : at + 2], 16) / 255 for at in (0, 2, 4)]
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    low, high = sorted((luminance(one), luminance(other)))
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("selector", [":root", ':root[data-look="dark"]'])
def test_text_and_edges_stand_out(selector: str) -> None:
    colours = palette(selector)
    for ground in GROUNDS:
        for text in TEXT:
            assert contrast(colours[text], colours[ground]) >= 4.5, (text, ground)
        assert contrast(colours["edge"], colours[ground]) >= 3, ("edge", ground)


def test_dark_is_the_same_by_choice_and_by_device() -> None:
    assert palette(':root[data-look="dark"]') == palette(':root:not([data-look="light"])')


@pytest.mark.parametrize("sheet", sorted(STYLES.glob("*.css")), ids=lambda sheet: sheet.name)
def test_styles_fetch_nothing(sheet: Path) -> None:
    css = sheet.read_text(encoding="utf-8")
    assert "url(" not in css
    assert "@import" not in css
    assert "@font-face" not in css
