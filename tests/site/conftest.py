"""Sites for the tests of this room, each built once."""

from __future__ import annotations

from pathlib import Path

import pytest

from hangtag.mkdocs_plugin import build_site
from hangtag.plain import build_plain
from tests.site.books import CLUB_CONFIG, make_trial, write


@pytest.fixture(scope="session")
def trial(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """The trial book."""
    return make_trial(tmp_path_factory.mktemp("books") / "trial")


@pytest.fixture(scope="session")
def trial_site(trial: Path) -> Path:
    """Its site for the web."""
    return build_site(trial, trial.parent / "web")


@pytest.fixture(scope="session")
def trial_disk(trial: Path) -> Path:
    """Its site for opening from disk."""
    return build_site(trial, trial.parent / "disk", disk=True)


@pytest.fixture(scope="session")
def club(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A club's book: six lines of mkdocs.yml, one new entry, one addition to an inherited one."""
    return write(
        tmp_path_factory.mktemp("club"),
        {
            "mkdocs.yml": CLUB_CONFIG,
            "terms/warmth/larkmoor-blanket.yml": (
                "name: Larkmoor blanket\n"
                "in_short: A blanket that the club lends to beginners.\n"
                "text: Lent at the beginners' weekend. Compare [[fill-power]].\n"
            ),
            "terms/warmth/fill-power.adds.yml": (
                "by: Larkmoor Hill Club\n"
                'date: "2026-11-20"\n'
                "text: The club's own bags are listed at the hut.\n"
                "ask: [Has the hut's list been read?]\n"
                "caution: The hut is colder than the valley.\n"
            ),
        },
    )


@pytest.fixture(scope="session")
def club_site(club: Path) -> Path:
    """Its site for the web."""
    return build_site(club, club.parent / "club-web")


@pytest.fixture(scope="session")
def trial_plain(trial: Path) -> Path:
    """The plain look of the trial book for the web."""
    return build_plain(trial, trial.parent / "plain")


@pytest.fixture(scope="session")
def trial_plain_disk(trial: Path) -> Path:
    """The plain look of the trial book for opening from disk."""
    return build_plain(trial, trial.parent / "plain-disk", disk=True)


@pytest.fixture(scope="session")
def club_plain(club: Path) -> Path:
    """The plain look of the club's book, which holds every page of the reference book."""
    return build_plain(club, club.parent / "club-plain")
