"""The content security policy: strict where nothing is inline, and no wider than what a book's own templates need."""

from __future__ import annotations

import base64
import hashlib
from pathlib import Path

import pytest

from hangtag.output import POLICY_FILE, policy_of, read_policy
from tests.site.books import write

STRICT = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; font-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-src 'none'"
)


@pytest.mark.parametrize("look", ["trial_site", "trial_disk", "trial_plain", "trial_plain_disk", "club_site"])
def test_a_site_of_ours_keeps_the_strictest_policy(request: pytest.FixtureRequest, look: str) -> None:
    site: Path = request.getfixturevalue(look)
    assert read_policy(site) == f"Content-Security-Policy: {STRICT}"
    lines = (site / POLICY_FILE).read_text(encoding="utf-8").splitlines()
    assert [line for line in lines if not line.startswith("#")] == [read_policy(site)]


def of(tmp_path: Path, *pages: str) -> dict[str, tuple[str, ...]]:
    write(tmp_path, {f"{number}.html": page for number, page in enumerate(pages)})
    return policy_of(tmp_path).directives


def test_an_empty_site_is_allowed_nothing_else(tmp_path: Path) -> None:
    of(tmp_path, "<p>Words</p><a href='https://larkmoor.example/'>out</a><form><input></form>")
    assert policy_of(tmp_path).value == STRICT
    assert policy_of(tmp_path).hosts == []


def test_inline_scripts_and_styles_are_allowed_by_their_hash_alone(tmp_path: Path) -> None:
    # the hash of this script stands as the example in W3C, Content Security Policy Level 2, section 4.2.5
    allowed = of(tmp_path, "<script>alert('Hello, world.');</script>", "<style>p { color: red }</style>")
    assert allowed["script-src"] == ("'self'", "'sha256-qznLcsROx4GACP2dm0UCKCzCG+HiZ1guq6ZZDob/Tng='")
    assert [word[:8] for word in allowed["style-src"]] == ["'self'", "'sha256-"]
    assert allowed["img-src"] == ("'self'",)


def test_blocks_of_data_are_no_scripts(tmp_path: Path) -> None:
    allowed = of(tmp_path, '<script type="application/ld+json">{"a": 1}</script><script src="x.js"> </script>')
    assert allowed["script-src"] == ("'self'",)
    allowed = of(tmp_path, '<script type="module">import "./x.js"</script>')
    assert len(allowed["script-src"]) == 2


def test_attributes_with_styles_or_scripts_are_allowed_one_by_one(tmp_path: Path) -> None:
    allowed = of(tmp_path, '<p style="color: red" onclick="go(&quot;x&quot;)">', '<p style="color: red">')
    # of the value alone, entities resolved: W3C, Content Security Policy Level 3, section 6.7.3.3
    for directive, value in (("style-src", "color: red"), ("script-src", 'go("x")')):
        digest = base64.b64encode(hashlib.sha256(value.encode()).digest()).decode()
        assert set(allowed[directive]) == {"'self'", "'unsafe-hashes'", f"'sha256-{digest}'"}


def test_other_hosts_and_frames_stand_there_for_all_to_see(tmp_path: Path) -> None:
    page = (
        '<script src="https://scripts.larkmoor.example/a.js"></script><iframe src="https://film.larkmoor.example/1">'
        '</iframe><link rel="stylesheet" href="//style.larkmoor.example/a.css"><form action="/ask"></form>'
        '<img src="data:image/png;base64,AA=="><link rel="canonical" href="https://larkmoor.example/">'
    )
    allowed = of(tmp_path, page)
    assert allowed["script-src"] == ("'self'", "https://scripts.larkmoor.example")
    assert allowed["style-src"] == ("'self'", "https://style.larkmoor.example")
    assert allowed["frame-src"] == ("https://film.larkmoor.example",)
    assert allowed["form-action"] == ("'self'",)
    assert allowed["img-src"] == ("'self'", "data:")
    assert len(policy_of(tmp_path).hosts) == 3
