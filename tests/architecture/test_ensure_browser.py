"""The helper that finds a browser: one that is named is the only one meant, and without any it says what to do."""

from __future__ import annotations

import sys
from pathlib import Path

import pytest

from tests import ensure_browser


def nothing() -> None:
    return None


def test_without_a_browser_it_fails_and_says_what_to_do(capsys: pytest.CaptureFixture[str]) -> None:
    assert ensure_browser.main(nothing, nothing) == 1
    said = capsys.readouterr()
    assert said.out == ""
    assert "apt-get install chromium" in said.err
    assert "playwright install" in said.err


def test_it_says_where_the_browser_is(capsys: pytest.CaptureFixture[str]) -> None:
    assert ensure_browser.main(nothing, lambda: Path("here")) == 0
    assert capsys.readouterr().out == "Browser: here\n"


def test_a_named_browser_is_the_only_one_meant(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    monkeypatch.setenv(ensure_browser.NAMED, sys.executable)  # anything that knows --version
    assert ensure_browser.find() == Path(sys.executable)
    monkeypatch.setenv(ensure_browser.NAMED, str(tmp_path / "none"))
    assert ensure_browser.find() is None
