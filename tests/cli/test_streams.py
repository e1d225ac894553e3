"""Closed pipes, full disks, Ctrl-C and odd terminals: a quiet end, never a traceback."""

from __future__ import annotations

import os
import signal
import socket
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from hangtag.cli import screen

Program = Callable[..., subprocess.Popen[bytes]]
posix = pytest.mark.skipif(os.name == "nt", reason="signals and devices of POSIX")


def end(process: subprocess.Popen[bytes]) -> tuple[int, str, str]:
    out, err = process.communicate(timeout=120)
    said = (err or b"").decode(errors="replace").splitlines(keepends=True)
    # a busy machine makes any run a long one: lines of progress are no part of what is looked at
    told = "".join(line for line in said if not line.endswith(" ...\n"))
    return process.returncode, (out or b"").decode(errors="replace"), told


def test_a_reader_that_leaves_early_is_no_mistake(program: Program) -> None:
    read, write = os.pipe()
    os.close(read)
    process = program("show", "denier", stdout=write, stderr=subprocess.PIPE)
    os.close(write)
    code, _, err = end(process)
    assert (code, err) == (0, "")


def test_problems_still_count_when_nobody_reads_them(program: Program, broken: Path) -> None:
    read, write = os.pipe()
    os.close(read)
    process = program("check", str(broken), stdout=write, stderr=subprocess.PIPE)
    os.close(write)
    code, _, err = end(process)
    assert (code, err) == (1, "")


def test_a_full_disk_is_said(program: Program) -> None:
    with Path("/dev/full").open("wb") as full:
        code, _, err = end(program("show", "denier", stdout=full, stderr=subprocess.PIPE))
    assert code == 2
    assert err.startswith("this could not be read or written: no space left on device\n")


def test_a_full_disk_for_messages_too(program: Program) -> None:
    with Path("/dev/full").open("wb") as full:
        code, _, _ = end(program("show", "denier", stdout=full, stderr=full))
    assert code == 2


def test_closed_streams() -> None:
    closed = (
        "import os, sys; os.close(1); os.execv(sys.executable, [sys.executable, '-m', 'hangtag', 'show', 'denier'])"
    )
    code, _, err = end(subprocess.Popen([sys.executable, "-c", closed], stderr=subprocess.PIPE))
    assert (code, err) == (0, "")


def test_control_c_stops_the_preview_quietly(program: Program, club: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        port = taken.getsockname()[1]
    address = f"127.0.0.1:{port}"
    process = program("serve", str(club), "--address", address, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    said = b""
    while b"Look at" not in said:
        line = process.stdout.readline()
        assert line, process.communicate()[1].decode()
        said += line
    process.send_signal(signal.SIGINT)
    code, out, err = end(process)
    assert f"http://{address}/" in said.decode()
    assert code == 0
    assert "Traceback" not in out + err


def test_a_taken_address_is_said(program: Program, club: Path) -> None:
    with socket.create_server(("127.0.0.1", 0)) as taken:
        address = f"127.0.0.1:{taken.getsockname()[1]}"
        code, out, err = end(
            program("serve", str(club), "--address", address, stdout=subprocess.PIPE, stderr=subprocess.PIPE)
        )
    assert (code, out) == (2, "")
    assert f"cannot serve at {address}: address already in use" in err.lower()


def test_bytes_that_are_no_text(program: Program) -> None:
    code, _, err = end(program(b"work", b"water-column", b"head=\xff\xfe", stderr=subprocess.PIPE))
    assert code == 2
    assert "Traceback" not in err
    assert "head" in err


@pytest.mark.parametrize("encoding", ["ascii", "cp1252", "utf-8"])
def test_terminals_that_cannot_print_every_sign(program: Program, encoding: str) -> None:
    env = {"PYTHONIOENCODING": encoding, "PYTHONUTF8": "0"}
    code, out, err = end(program("work", "water-column", env=env, stdout=subprocess.PIPE, stderr=subprocess.PIPE))
    assert (code, err) == (0, "")
    assert "kPa" in out


def test_a_quick_run_says_nothing_of_progress(capfd: pytest.CaptureFixture[str]) -> None:
    with screen.Progress("Reading") as progress:
        progress("Writing")
    assert capfd.readouterr().err == ""


def test_a_long_run_says_each_stage_from_then_on(capfd: pytest.CaptureFixture[str]) -> None:
    with screen.Progress("Reading") as progress:
        progress("Checking")
        progress._begin()  # what the timer does when patience ends
        progress("Writing")
    assert capfd.readouterr().err == "Checking ...\nWriting ...\n"
