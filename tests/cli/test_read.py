"""`hangtag read`: a tag explained as text and as JSON, files of tags as streams, and what ends a run."""

from __future__ import annotations

import io
import json
import os
import signal
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest

from hangtag import tag_reader
from hangtag.book import Book
from hangtag.cli import screen
from hangtag.cli.read_records import Faulty, Record
from hangtag.cli.read_stream import Document, stream, summary_lines
from tests.cli.conftest import Hangtag

TENT = "Fly: 20D ripstop nylon, 1200 mm. Floor: 40D nylon, 3000 mm. Min weight 2 lb 4 oz"
WRONG_DROP = "Trail running shoe: stack 34/26 mm, drop 4 mm"
RIGHT_DROP = "Trail running shoe: stack 34/26 mm, drop 8 mm"

Program = Callable[..., subprocess.Popen[bytes]]
posix = pytest.mark.skipif(os.name == "nt", reason="signals of POSIX")


@pytest.fixture(scope="module")
def reader(reference: Book) -> tag_reader.Reader:
    """The reader of the reference book."""
    return tag_reader.compile_book(reference)


@pytest.fixture(autouse=True)
def _book_in_hand(reference: Book, reader: tag_reader.Reader, monkeypatch: pytest.MonkeyPatch) -> None:
    """The reference book is read once for all tests here; `program` starts processes that read it themselves."""
    module = sys.modules["hangtag.cli.read"]
    monkeypatch.setattr(module, "good_book", lambda _: reference)
    monkeypatch.setattr(tag_reader, "compile_book", lambda _: reader)


def piped(monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    monkeypatch.setattr(sys, "stdin", io.TextIOWrapper(io.BytesIO(data), encoding="utf-8"))


def documents(out: str) -> list[Document]:
    return [json.loads(line) for line in out.splitlines()]


# ------------------------------------------------------------------------------------------------------------- one tag


def test_the_tag_is_underlined_and_every_part_explained(hangtag: Hangtag, reference: Book) -> None:
    ran = hangtag("read", TENT)
    assert (ran.code, ran.err) == (0, "")
    lines = ran.out.splitlines()
    at = next(at for at, line in enumerate(lines) if "20D ripstop" in line)
    for words in ("20D", "1200 mm"):
        column = lines[at].index(words)
        assert lines[at + 1][column : column + len(words)] == "^" + "~" * (len(words) - 1)
        assert lines[at + 2][column].isdigit()
    assert lines.index("Fly") < lines.index("Floor")
    told = " ".join(ran.out.split())
    assert f"Denier: {reference.entries['denier'].in_short}" in told
    assert "Denier: see 1" in told
    assert "2.25 lb (" in told
    assert str(reference.strings.say("frame-promise")) in told


def test_words_without_quotes_are_one_tag(hangtag: Hangtag) -> None:
    assert hangtag("read", *TENT.split()).out == hangtag("read", TENT).out


def test_one_document(hangtag: Hangtag) -> None:
    ran = hangtag("read", TENT, "--json", "--site", "https://example.org/gear/")
    document = ran.json
    assert set(document) >= {
        "id", "text", "kind", "readings", "unread", "missing", "contradictions", "cautions", "questions",
    }  # fmt: skip
    assert (document["id"], document["text"], document["kind"]) == (None, TENT, "tent")
    first = document["readings"][0]
    assert set(first) >= {
        "term", "part", "role", "start", "end", "text", "value", "unit", "bound", "group", "other_units", "band",
        "basis", "ask", "caution", "page", "because", "fills", "also_possible",
    }  # fmt: skip
    assert (first["term"], first["value"], first["unit"], first["part"]) == ("denier", 20, "denier", "fly")
    assert TENT[first["start"] : first["end"]] == first["text"] == "20D"
    assert first["page"] == "https://example.org/gear/terms/denier/"


def test_what_does_not_fit_is_said_with_the_numbers_of_the_readings(hangtag: Hangtag) -> None:
    told = " ".join(hangtag("read", WRONG_DROP).out.split())
    assert "What does not fit together" in told
    assert "(certain: arithmetic; see " in told
    assert "What does not fit together" not in hangtag("read", RIGHT_DROP).out


def test_a_danger_word_brings_its_caution(hangtag: Hangtag, reference: Book) -> None:
    told = " ".join(hangtag("read", "Hammock, 70D nylon, straps 12 kN").out.split())
    danger = next(each for each in reference.danger if "kN" in each.words)
    assert "Take care" in told
    assert " ".join(str(danger.caution).split())[:60] in told


def test_a_tag_with_nothing_to_read(hangtag: Hangtag) -> None:
    ran = hangtag("read", "Ring 0555 0100")
    assert (ran.code, ran.err) == (0, "")
    assert "Nothing on this tag is a claim that this reference knows." in " ".join(ran.out.split())


def test_a_tag_cannot_steer_the_terminal(hangtag: Hangtag) -> None:
    out = hangtag("read", "20D \x1b[31m\u202e nylon").out
    assert "\x1b" not in out
    assert "\u202e" not in out


def test_wide_letters_and_long_tags_keep_their_marks_below_them(hangtag: Hangtag) -> None:
    lines = hangtag("read", "帐篷 20D").out.splitlines()
    at = next(at for at, line in enumerate(lines) if "20D" in line)
    assert lines[at + 1] == "  " + " " * 5 + "^~~"
    long = hangtag("read", "words " * 40 + "20D").out.splitlines()
    at = next(at for at, line in enumerate(long) if "20D" in line)
    assert max(map(len, long)) <= 100
    assert long[at + 1].index("^") == long[at].index("20D")


def test_the_kind_is_said_and_can_be_given(hangtag: Hangtag, reference: Book) -> None:
    assert f"Read as the tag of: {reference.gear['tent'].name}." in hangtag("read", TENT).out
    assert hangtag("read", "24 oz", "--kind", "pack", "--json").json["kind"] == "pack"
    ran = hangtag("read", "24 oz", "--kind", "tnet")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith("there is no kind of gear tnet")
    assert "Did you mean tent?" in ran.err


@pytest.mark.parametrize("arguments", [(), ("-",)])
def test_a_pipe_is_one_tag_however_many_lines(
    hangtag: Hangtag, monkeypatch: pytest.MonkeyPatch, arguments: tuple[str, ...]
) -> None:
    piped(monkeypatch, b"Tent\nFly 20D\nFloor 40D\n")
    document = hangtag("read", *arguments, "--json").json
    assert document["text"] == "Tent\nFly 20D\nFloor 40D"
    assert [each["value"] for each in document["readings"] if each["term"] == "denier"] == [20, 40]


@pytest.mark.parametrize(
    ("arguments", "message"),
    [
        (("20D", "--file", "tags.txt"), "a tag and a file of tags are two things to read"),
        (("20D", "--id", "sku"), "--id names a column of a file, and no --file is given"),
        (("20D", "--site", "example.org"), "--site takes an address that begins with https:// or http://"),
        (("20D", "--fail-on", "all"), "invalid value for '--fail-on'"),
        (("  ",), "the tag is empty"),
        (("20D", "--accept", "none.txt"), "none.txt cannot be read: no such file or directory"),
        (("--file", "none.txt"), "none.txt cannot be read: no such file or directory"),
        (("--file", "."), ". cannot be read: is a directory"),
        (("--file", "a\0b"), "cannot be read"),
    ],
)
def test_wrong_use(hangtag: Hangtag, arguments: tuple[str, ...], message: str) -> None:
    ran = hangtag("read", *arguments)
    assert (ran.code, ran.out) == (2, "")
    assert message in ran.err
    as_json = hangtag("read", *arguments, "--json")
    assert as_json.code == 2
    assert message in as_json.json["problems"][0]["message"]


@pytest.mark.parametrize("data", [b"", b"\n \n", b"20D \xff", b"20D\0"])
def test_a_pipe_that_holds_no_tag(hangtag: Hangtag, monkeypatch: pytest.MonkeyPatch, data: bytes) -> None:
    piped(monkeypatch, data)
    ran = hangtag("read")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(("the tag is empty", "standard input:1:"))


# ---------------------------------------------------------------------------------------------------------- many tags


def test_a_file_becomes_one_document_a_line_and_a_summary(hangtag: Hangtag, tmp_path: Path) -> None:
    file = tmp_path / "tags.txt"
    file.write_text(f"{TENT}\n\n{WRONG_DROP}\n{WRONG_DROP}\nRing 0555\n", encoding="utf-8")
    ran = hangtag("read", "--file", file)
    found = documents(ran.out)
    assert ran.code == 0
    assert [(each["id"], each["text"]) for each in found] == [
        ("1", TENT),
        ("3", WRONG_DROP),
        ("4", WRONG_DROP),
        ("5", "Ring 0555"),
    ]
    code = found[1]["contradictions"][0]["code"]
    lines = ran.err.splitlines()
    assert lines[0] == "4 tags read"
    assert lines[1] == "Most often missing:"
    assert f"  {code}  2 (certain: arithmetic)" in lines


def test_a_table_with_ids(hangtag: Hangtag, tmp_path: Path) -> None:
    file = tmp_path / "tags.csv"
    file.write_text("sku,text,weight_g\nA1,Tent with 20D fly,1450\nA2,x\nA3,,\n", encoding="utf-8")
    ran = hangtag("read", "--file", file, "--id", "sku", "--site", "https://example.org/")
    first, fault = documents(ran.out)
    assert ran.code == 2
    assert (first["id"], first["text"]) == ("A1", "Tent with 20D fly; weight: 1450 g")
    assert [each["term"] for each in first["readings"] if each["value"] == 1450] == ["item-weight"]
    assert all(each["page"].startswith("https://example.org/terms/") for each in first["readings"])
    message = f"{file}:3: the header names 3 columns, and this row has 2"
    assert (fault["line"], fault["problems"][0]["message"]) == (3, message)
    assert ran.err.startswith(message)
    assert "1 line could not be read" in ran.err


def test_a_column_that_is_not_there_is_refused_before_anything_is_read(hangtag: Hangtag, tmp_path: Path) -> None:
    file = tmp_path / "tags.csv"
    file.write_text("sku,text\nA1,20D\n", encoding="utf-8")
    ran = hangtag("read", "--file", file, "--id", "skus")
    assert (ran.code, ran.out) == (2, "")
    assert ran.err == f"{file} has no column skus\n  Did you mean sku?\n"


def test_many_faults_are_told_ten_times(hangtag: Hangtag, tmp_path: Path) -> None:
    file = tmp_path / "tags.txt"
    file.write_bytes(b"\xff\n" * 30)
    ran = hangtag("read", "--file", file)
    assert ran.code == 2
    assert len(documents(ran.out)) == 30
    assert ran.err.count("is not UTF-8 text") == 10
    assert ran.err.splitlines()[-2:] == ["0 tags read", "30 lines could not be read"]


def test_standard_input_as_a_file(hangtag: Hangtag, monkeypatch: pytest.MonkeyPatch) -> None:
    piped(monkeypatch, b"20D\n30D\n")
    assert [each["id"] for each in documents(hangtag("read", "--file", "-").out)] == ["1", "2"]
    piped(monkeypatch, b"sku,a\nX,20D\n")
    assert [each["id"] for each in documents(hangtag("read", "--file", "-", "--id", "sku").out)] == ["X"]


# ----------------------------------------------------------------------------------------------- --fail-on and --accept


def test_failing_on_what_is_certain(hangtag: Hangtag, tmp_path: Path) -> None:
    assert hangtag("read", WRONG_DROP).code == 0
    assert hangtag("read", WRONG_DROP, "--fail-on", "certain").code == 1
    assert hangtag("read", RIGHT_DROP, "--fail-on", "certain").code == 0
    file = tmp_path / "tags.txt"
    file.write_text(f"{RIGHT_DROP}\n{WRONG_DROP}\n", encoding="utf-8")
    assert hangtag("read", "--file", file, "--fail-on", "certain").code == 1


def test_what_is_accepted_no_longer_fails(hangtag: Hangtag, tmp_path: Path) -> None:
    code = hangtag("read", WRONG_DROP, "--json").json["contradictions"][0]["code"]
    file, accept = tmp_path / "tags.txt", tmp_path / "accept.txt"
    file.write_text(f"{WRONG_DROP}\n{WRONG_DROP}\n", encoding="utf-8")
    accept.write_text(f"1, {code}\n9, {code}\n", encoding="utf-8")
    ran = hangtag("read", "--file", file, "--fail-on", "certain", "--accept", accept)
    assert ran.code == 1
    assert [each["contradictions"][0]["accepted"] for each in documents(ran.out)] == [True, False]
    assert f"  {code}  1 (certain: arithmetic)" in ran.err
    assert ran.err.endswith(f"Accepted exceptions met: 1\n  never met: 9, {code}\n")
    accept.write_text(f"*, {code}\n", encoding="utf-8")
    assert hangtag("read", "--file", file, "--fail-on", "certain", "--accept", accept).code == 0
    assert hangtag("read", WRONG_DROP, "--fail-on", "certain", "--accept", accept).code == 0


def test_a_list_with_an_unknown_code_is_refused(hangtag: Hangtag, tmp_path: Path) -> None:
    accept = tmp_path / "accept.txt"
    accept.write_text("1, no-such-code\n", encoding="utf-8")
    ran = hangtag("read", TENT, "--accept", accept)
    assert (ran.code, ran.out) == (2, "")
    assert ran.err.startswith(f"{accept}:1: no contradiction has the code no-such-code\n  ")


# ------------------------------------------------------------------------------------------------- streams and signals


def document_of(record: Record) -> Document:
    return {"id": record.id, "missing": [{"term": "denier", "because": ""}], "contradictions": []}


def test_each_document_is_printed_before_the_next_tag_is_read(capfd: pytest.CaptureFixture[str]) -> None:
    def records() -> Any:  # noqa: ANN401  a generator that looks at the output
        yield Record(1, "1", "20D")
        assert [each["id"] for each in documents(capfd.readouterr().out)] == ["1"]
        yield Record(2, "2", "20D")

    summary = stream(records(), document_of, None)
    assert list(summary_lines(summary, None)) == [
        "2 tags read",
        "Most often missing:",
        "  denier  on 2 tags",
        "Nothing contradicts itself.",
    ]


def test_progress_is_told_to_a_terminal_alone(
    capfd: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    told: list[str] = []

    class Told(screen.Progress):
        def __call__(self, words: str) -> None:
            told.append(words)

    monkeypatch.setattr(screen, "Progress", Told)
    monkeypatch.setattr("hangtag.cli.read_stream._BETWEEN_COUNTS", -1)
    records: list[Record | Faulty] = [Record(1, "1", "20D"), Record(2, "2", "20D")]
    stream(records, document_of, None)
    assert told == []
    monkeypatch.setattr(screen, "is_watched", lambda: True)
    stream(records, document_of, None)
    assert told == ["Reading the tags: 1", "Reading the tags: 2"]
    assert capfd.readouterr().err == ""


def test_a_reader_that_leaves_ends_the_run(program: Program, tmp_path: Path) -> None:
    file = tmp_path / "tags.txt"
    file.write_text(f"{TENT}\n" * 50_000, encoding="utf-8")
    process = program("read", "--file", str(file), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    assert json.loads(process.stdout.readline())["id"] == "1"
    process.stdout.close()
    assert process.stderr is not None
    told = [line for line in process.stderr.read().decode().splitlines() if not line.endswith(" ...")]
    process.stderr.close()
    assert (process.wait(timeout=60), told) == (0, [])


@posix
def test_control_c_ends_after_a_whole_line(program: Program, tmp_path: Path) -> None:
    file = tmp_path / "tags.txt"
    file.write_text(f"{TENT}\n" * 50_000, encoding="utf-8")
    process = program("read", "--file", str(file), stdout=subprocess.PIPE, stderr=subprocess.PIPE)
    assert process.stdout is not None
    first = process.stdout.readline()
    process.send_signal(signal.SIGINT)
    out, err = process.communicate(timeout=60)
    assert process.returncode == 130
    assert err.decode().endswith("stopped before the end\n")
    assert "Traceback" not in err.decode()
    whole = documents((first + out).decode())
    assert [each["id"] for each in whole] == [str(number + 1) for number in range(len(whole))]
