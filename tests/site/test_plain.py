"""The plain look: the same articles without any theme, and without the generator that makes the other look."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
import zipfile
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from mkdocs.config import load_config
from mkdocs.utils import get_relative_url

from hangtag.mkdocs_plugin import build_site
from hangtag.mkdocs_plugin.inherited import inherit
from hangtag.output import SITE
from hangtag.plain import build_plain
from hangtag.plain.links import Links, absolute, relative
from hangtag.plain.settings import read_settings
from hangtag.problems import ProblemError
from tests.site.books import TRIAL, loaded, make_trial, write
from tests.site.looks import articles, dead_links, our_files

ALONE = """
import sys
from pathlib import Path
for name in ("mkdocs", "material", "properdocs", "click"):
    sys.modules[name] = None
from hangtag.plain import build_plain
build_plain(Path(sys.argv[1]), Path(sys.argv[2]))
"""


@pytest.fixture
def book(tmp_path: Path) -> Path:
    """The trial book, to be changed."""
    return make_trial(tmp_path / "book")


def change(root: Path, old: str, new: str) -> Path:
    """The book with another line in its mkdocs.yml."""
    config = root / "mkdocs.yml"
    text = config.read_text(encoding="utf-8")
    assert old in text
    config.write_text(text.replace(old, new), encoding="utf-8")
    return root


def problem_of(root: Path, out: Path) -> tuple[str, str]:
    with pytest.raises(ProblemError) as caught:
        build_plain(root, out)
    assert not out.exists()
    problem = caught.value.problems[0]
    return problem.code, problem.message


def same(themed: Path, plain: Path) -> int:
    """How many articles are the same, byte for byte; all of them have to be."""
    ours, theirs = articles(plain), articles(themed)
    assert list(ours) == list(theirs)
    assert [path for path in ours if ours[path] != theirs[path]] == []
    assert our_files(themed).items() <= our_files(plain).items()
    return len(ours)


def test_every_article_of_the_reference_book_is_the_same(club_site: Path, club_plain: Path) -> None:
    # the club's book holds every page of the reference book, and two files of its own
    assert same(club_site, club_plain) > 100
    assert "terms/larkmoor-blanket/index.html" in articles(club_plain)
    assert dead_links(club_plain) == []


def test_every_article_of_the_trial_book_is_the_same_on_the_web_and_on_disk(
    trial_site: Path, trial_plain: Path, trial_disk: Path, trial_plain_disk: Path
) -> None:
    assert same(trial_site, trial_plain) == same(trial_disk, trial_plain_disk) > 10


def test_the_frame_is_ours_alone(trial_plain: Path) -> None:
    files = [file.relative_to(trial_plain).as_posix() for file in trial_plain.rglob("*") if file.is_file()]
    assert [path for path in files if path.startswith("assets/")] == ["assets/hangtag.svg"]
    text = (trial_plain / "terms/pole-wood/index.html").read_text(encoding="utf-8")
    asked = re.findall(r'<(?:link rel="stylesheet" href|script src)="([^"]*)"', text)
    assert asked[:2] == ["../../styles/plain.css", "../../styles/hangtag.css"]
    assert [address for address in asked if not address.startswith(("../../styles/", "../../scripts/"))] == []
    assert '<html lang="en" class="no-js">' in text
    assert text.count("<main>") == text.count('<header class="ht-header">') == text.count("<footer") == 1
    assert '<a class="md-skip" href="#pole-wood">' in text
    assert "mkdocs" not in text


def test_it_needs_no_generator_and_no_theme(trial: Path, trial_plain: Path, tmp_path: Path) -> None:
    ran = subprocess.run(
        [sys.executable, "-c", ALONE, trial, tmp_path / "site"], capture_output=True, text=True, check=False
    )
    assert ran.returncode == 0, ran.stderr
    assert articles(tmp_path / "site") == articles(trial_plain)


def test_a_disk_build_is_packed(trial_plain_disk: Path) -> None:
    with zipfile.ZipFile(trial_plain_disk.with_suffix(".zip")) as packed:
        names = set(packed.namelist())
    files = {
        f"plain-disk/{path.relative_to(trial_plain_disk)}" for path in trial_plain_disk.rglob("*") if path.is_file()
    }
    assert names == files - {f"plain-disk/{SITE.mark}"}


@pytest.mark.parametrize("build", [build_site, build_plain])
def test_a_site_of_files_below_a_path(book: Path, tmp_path: Path, build: type) -> None:
    change(
        book, "docs_dir: docs", "docs_dir: docs\nuse_directory_urls: false\nsite_url: https://larkmoor.example/gear/"
    )
    site = build(book, tmp_path / "site")
    assert (site / "terms/pole-wood.html").is_file()
    assert not (site / "terms/pole-wood/index.html").exists()
    assert dead_links(site) == []
    text = (site / "terms/pole-wood.html").read_text(encoding="utf-8")
    assert '<link rel="canonical" href="https://larkmoor.example/gear/terms/pole-wood.html">' in text
    assert "https://larkmoor.example/gear/terms/pole-wood.html" in (site / "sitemap.xml").read_text(encoding="utf-8")
    lost = (site / "404.html").read_text(encoding="utf-8")
    assert 'href="/gear/styles/hangtag.css"' in lost
    assert 'href="/gear/a-to-z.html"' in lost
    # nothing but the page's own names is absolute: the folder may be put anywhere
    rest = re.sub(r'<link rel="(?:canonical|alternate)"[^>]*>|<meta property[^>]*>|<script type.*?</script>', "", text)
    assert "larkmoor.example" not in re.sub(r'<p class="ht-(?:cite|tell)".*?</p>', "", rest, flags=re.DOTALL)


def test_a_short_book_inherits_the_plain_look(trial: Path, tmp_path: Path) -> None:
    club = write(
        tmp_path / "club",
        {
            "mkdocs.yml": "site_name: Larkmoor Hill Club\ndocs_dir: terms\ntheme: material\nplugins:\n"
            f"  - hangtag:\n      inherits: {trial}\n",
            "terms/trail/club-pole.yml": "name: Club pole\nin_short: A pole to borrow.\ntext: See [[pole-wood]].\n",
        },
    )
    plain = build_plain(club, tmp_path / "plain")
    same(build_site(club, tmp_path / "themed"), plain)
    home = (plain / "index.html").read_text(encoding="utf-8")
    assert "Larkmoor Hill Club" in home
    assert 'href="a-to-z/"' in home
    assert (plain / "terms/club-pole/index.html").is_file()


def test_settings_are_read_as_the_generator_reads_them(trial: Path, club: Path) -> None:
    for root in (trial, club):
        book = loaded(root)
        config = load_config(str(root / "mkdocs.yml"))
        inherit(config, book)
        ours = read_settings(book)
        assert list(ours.extensions) == config.markdown_extensions
        theirs = {name: options for name, options in config.mdx_configs.items() if options}
        assert {name: dict(options) for name, options in ours.extensions.items() if options} == theirs
        assert ours.nav == config.nav
        assert str(ours.docs.resolve()) == config.docs_dir
        assert (ours.name, ours.url or "", ours.folders) == (config.site_name, config.site_url or "", True)


def test_a_page_leads_to_its_file_where_the_book_says_so(book: Path, tmp_path: Path) -> None:
    change(book, "docs_dir: docs", "docs_dir: docs\nedit_uri_template: 'https://code.larkmoor.example/edit/{path}'")
    site = build_plain(book, tmp_path / "site")
    text = (site / "terms/pole-wood/index.html").read_text(encoding="utf-8")
    assert 'href="https://code.larkmoor.example/edit/terms/trail/pole-wood.yml"' in text


@pytest.mark.parametrize(
    ("old", "new", "expected"),
    [
        ("sources.md, about.md", "sources.md, nowhere.md", ("plain-nav", "nowhere.md")),
        ("[attr_list,", "[no_such_extension, attr_list,", ("plain-extension", "no_such_extension")),
        ("nav: [index.md,", "nav: [!unknown index.md,", ("plain-setting", "nav")),
    ],
)
def test_settings_that_cannot_be_kept_are_problems(
    book: Path, tmp_path: Path, old: str, new: str, expected: tuple[str, str]
) -> None:
    code, message = problem_of(change(book, old, new), tmp_path / "site")
    assert code == expected[0]
    assert expected[1] in message


def test_a_template_that_only_a_theme_can_fill_is_a_problem(book: Path, tmp_path: Path) -> None:
    footer = book / "site_templates/overrides/partials/footer.html"
    footer.write_text('{% include "partials/copyright.html" %}', encoding="utf-8")
    code, message = problem_of(book, tmp_path / "site")
    assert code == "plain-template"
    assert "partials/copyright.html" in message


@pytest.mark.parametrize("link", ["no-such-page.md", "terms/pole-wood.md#no-such-place", "/terms/pole-wood/"])
def test_a_failed_build_leaves_the_last_site_alone(book: Path, tmp_path: Path, link: str) -> None:
    out = build_plain(book, tmp_path / "site")
    before = articles(out)
    write(book, {"docs/hut.md": f"# Hut\n\n[dead]({link})\n"})
    with pytest.raises(ProblemError) as caught:
        build_plain(book, out)
    assert [problem.code for problem in caught.value.problems] == ["plain-dead-link"]
    assert link.rpartition("#")[2] in caught.value.problems[0].message
    assert articles(out) == before
    assert sorted(path.name for path in tmp_path.iterdir()) == ["book", "site"]


def test_two_builds_give_the_same_bytes(trial: Path, trial_plain: Path, tmp_path: Path) -> None:
    again = build_plain(trial, tmp_path / "again")
    files = {file.relative_to(again): file.read_bytes() for file in again.rglob("*") if file.is_file()}
    assert files == {path: (trial_plain / path).read_bytes() for path in files}


def test_what_lies_beside_the_hand_written_pages_comes_along(tmp_path: Path) -> None:
    book = make_trial(tmp_path / "book")
    write(
        book,
        {
            "docs/maps/the hut.txt": "A map.",
            "docs/maps/walk.md": "# Walk\n\n[map](the%20hut.txt) [poles](../terms/pole-wood.md#pole-wood)\n",
            "docs/.hidden/secret.txt": "no",
            "docs/notes.yml": "no: no",
        },
    )
    shutil.copy(TRIAL / "docs/about.md", book / "docs")
    site = build_plain(book, tmp_path / "site")
    assert (site / "maps/the hut.txt").read_text() == "A map."
    assert not (site / ".hidden").exists()
    assert not (site / "notes.yml").exists()
    walk = (site / "maps/walk/index.html").read_text(encoding="utf-8")
    assert '<a href="../the%20hut.txt">map</a>' in walk
    assert '<a href="../../terms/pole-wood/#pole-wood">poles</a>' in walk
    assert same(build_site(book, tmp_path / "themed"), site)


FOLDERS = st.lists(st.sampled_from(["a/", "b/", "terms/", "x-y/"]), max_size=3).map("".join)
FILES = st.builds(lambda folder, name: folder + name, FOLDERS, st.sampled_from(["c.html", "d.js"]))
ADDRESSES = st.one_of(FOLDERS, FILES)


@given(here=ADDRESSES, there=ADDRESSES)
def test_our_resolver_gives_the_addresses_of_the_generator(here: str, there: str) -> None:
    # source of the expected value: mkdocs.utils.get_relative_url, a general-purpose library
    ours = relative(here or "./", there or "./")
    assert ours == get_relative_url(there or "./", here or "./")
    assert absolute(here or "./", ours) in {there, there or "./"}


def test_links_out_and_to_the_page_itself_stay() -> None:
    links = Links.of(["index.md", "terms/a.md"], folders=True)
    for link in ("https://larkmoor.example/a.md", "mailto:hut@larkmoor.example", "#here", "?value=1"):
        assert links.from_markdown("terms/a.md", link) == link
    assert links.from_markdown("terms/a.md", "../index.md?x=1#y") == "../../?x=1#y"
    assert links.from_markdown("index.md", "terms/a.md") == "terms/a/"
    assert links.dead == []
    assert links.from_markdown("index.md", "terms/b.md") == "terms/b.md"
    assert [dead.link for dead in links.dead] == ["terms/b.md"]
