"""The corpus of awkward trace files, all invented: each has its verdict beside it, with the same name.

A verdict says why the file is there, and either what is read from it (radii an eye, bridge, whether an eye was
mirrored, the records that are kept, whether the shapes are those of `tidy.txt`) or in which line and with which words
it is refused.
"""

from __future__ import annotations

import tomllib
from pathlib import Path
from typing import Any

import pytest

from shopledger.exchange.refusals import FileRefusedError
from shopledger.exchange.trace_file import read_trace_file, write_trace_file
from shopledger.ledger.traces import StatedFigures
from shopledger.optics.trace import FrameTrace

CORPUS = Path(__file__).parent / "corpus"
VERDICTS = {path.stem: tomllib.loads(path.read_text(encoding="utf-8")) for path in sorted(CORPUS.glob("*.toml"))}
READABLE = {name: verdict for name, verdict in VERDICTS.items() if verdict["reads"]}
REFUSED = {name: verdict for name, verdict in VERDICTS.items() if not verdict["reads"]}


def tidy_radii() -> list[tuple[int, ...]]:
    """Take the radii of both eyes out of the tidy file, by looking at its lines alone."""
    lines = (CORPUS / "tidy.txt").read_text(encoding="ascii").split("\n")
    rows = [line.removeprefix("R=").strip() for line in lines if line.startswith("R=")]
    half = len(rows) // 2
    return [tuple(int(field) for row in eye for field in row.split(";")) for eye in (rows[:half], rows[half:])]


def test_every_file_has_its_verdict() -> None:
    """No file lies there without a word on what must become of it, and no verdict without its file."""
    assert {path.stem for path in CORPUS.glob("*.txt")} == VERDICTS.keys()
    assert len(READABLE) >= 30
    assert len(REFUSED) >= 40


@pytest.mark.parametrize(("name", "verdict"), READABLE.items(), ids=READABLE)
def test_a_readable_file_says_what_its_verdict_says(name: str, verdict: dict[str, Any]) -> None:
    """Counts, bridge, kept records and radii are those of the verdict."""
    read = read_trace_file(CORPUS / f"{name}.txt")
    assert (read.right.count, read.left.count) == (verdict["count"], verdict["count"])
    assert read.dbl == verdict.get("dbl")
    assert read.mirrored is verdict["mirrored"]
    assert list(read.other_records) == verdict["kept"]
    assert ([read.right.hundredths, read.left.hundredths] == tidy_radii()) is verdict["same_as_tidy"]


@pytest.mark.parametrize(("name", "verdict"), REFUSED.items(), ids=REFUSED)
def test_a_bad_file_is_refused_as_its_verdict_says(name: str, verdict: dict[str, Any]) -> None:
    """The refusal names the file and the line, says what is wrong, and ends with what to do."""
    with pytest.raises(FileRefusedError) as caught:
        read_trace_file(CORPUS / f"{name}.txt")
    assert caught.value.line == verdict.get("line")
    assert caught.value.file == f"{name}.txt"
    assert verdict["says"] in str(caught.value)
    assert caught.value.hint.endswith(".")


@pytest.mark.parametrize("name", READABLE, ids=READABLE)
def test_a_readable_file_comes_back_after_writing(name: str) -> None:
    """What is read from any dialect and written is read again the same, unknown records of the frame included."""
    read = read_trace_file(CORPUS / f"{name}.txt")
    frame = FrameTrace(read.right, read.left, read.dbl or 18.0)
    again = read_trace_file(write_trace_file(frame, StatedFigures(), "", read.other_records))
    assert (again.right, again.left, again.dbl) == (read.right, read.left, frame.dbl)
    own = [record for record in read.other_records if record.startswith(("FTYP", "ZFMT", "Z="))]
    assert list(again.other_records) == own
