"""A site as one zip, for huts and sticks: the same site gives the same bytes.

Must not replace a zip that somebody else has made.
"""

from __future__ import annotations

import zipfile
from pathlib import Path

from hangtag.problems import Problem, ProblemError

_DATE = (1980, 1, 1, 0, 0, 0)  # the earliest a zip can say: the same site gives the same bytes
_MARK = b"hangtag site"


def archive_for(out: Path) -> Path:
    """The zip beside a site. Raises ProblemError where a file of that name is none of ours."""
    archive = out.with_name(f"{out.name}.zip")
    if archive.exists() and not _is_ours(archive):
        raise ProblemError(
            Problem("zip-not-ours", {"path": str(archive)}, hint="Move it away, or name another folder after --out.")
        )
    return archive


def pack(site: Path, archive: Path, name: str) -> None:
    """Pack every file of a site below a folder `name`."""
    with zipfile.ZipFile(archive, "w", zipfile.ZIP_DEFLATED) as packed:
        packed.comment = _MARK
        for file in sorted(site.rglob("*")):
            if file.is_file():
                info = zipfile.ZipInfo(f"{name}/{file.relative_to(site).as_posix()}", _DATE)
                info.compress_type = zipfile.ZIP_DEFLATED
                info.external_attr = 0o644 << 16
                packed.writestr(info, file.read_bytes())


def _is_ours(archive: Path) -> bool:
    try:
        with zipfile.ZipFile(archive) as packed:
            return packed.comment == _MARK
    except (OSError, zipfile.BadZipFile):
        return False
