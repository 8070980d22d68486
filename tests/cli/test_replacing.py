"""A slip in `--into` costs nothing: no ledger, nothing of the owner's, and no question where nobody can answer."""

from __future__ import annotations

import shutil
from collections.abc import Callable
from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, Typed, done, read_json, type_in

pytestmark = pytest.mark.slow


@pytest.fixture
def traced(typed: Typed, trace_file: Path) -> Typed:
    """Trace the frame in stock."""
    done(typed("trace", "add", "WREN-52", str(trace_file)))
    return typed


def test_a_trace_file_never_takes_the_place_of_the_ledger(
    traced: Typed, ledger: Path, everything: Callable[[], bytes]
) -> None:
    """One mistyped word must not cost the shop its books, with `--replace` neither."""
    before = everything()
    for target in (ledger, ledger.with_name("ledger.db-wal"), ledger.with_name("ledger.db-shm")):
        for words in (("trace", "write"), ("trace", "draw")):
            refused = traced(*words, "WREN-52", "--into", str(target), "--replace")
            assert refused.exit_code == 1
            assert "never written over" in refused.stderr
    assert everything() == before


def test_another_ledger_is_as_safe(traced: Typed, ledger: Path, tmp_path: Path) -> None:
    """A copy or the ledger of another shop is known by its first bytes, whatever it is called."""
    other = tmp_path / "last year"
    shutil.copy(ledger, other)
    assert "never written over" in traced("trace", "write", "WREN-52", "--into", str(other)).stderr
    assert other.read_bytes()[:15] == b"SQLite format 3"


def test_a_file_of_the_owner_s_is_replaced_only_with_a_yes(traced: Typed, tmp_path: Path) -> None:
    """Refused away from a terminal, asked at one; `--replace` says yes beforehand."""
    letter = tmp_path / "letter.txt"
    words = ("trace", "write", "WREN-52", "--into", str(letter))
    letter.write_text("Dear Odalys")
    refused = traced(*words)
    assert refused.exit_code == 1
    assert "is no trace file that shopledger wrote under this name" in refused.stderr
    assert "'--replace'" in refused.stderr
    asked = traced(*words, answers="n\n")
    assert "Write over it?" in asked.stderr
    assert "Nothing was stored." in asked.stderr
    assert letter.read_text() == "Dear Odalys"
    done(traced(*words, answers="y\n"))
    assert letter.read_bytes().startswith(b"JOB=WREN-52\r\n")
    letter.write_text("Dear Odalys")
    done(traced(*words, "--replace"))
    assert letter.read_bytes().startswith(b"JOB=WREN-52\r\n")


def test_its_own_files_are_written_again_unasked(traced: Typed, tmp_path: Path) -> None:
    """Traces, drawings, workbooks, sheets and papers, each by the same command twice."""
    done(traced("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    commands = (
        ("trace", "write", "WREN-52", "--into", str(tmp_path / "written.txt")),
        ("trace", "draw", "WREN-52", "--into", str(tmp_path / "wren.svg")),
        ("trace", "compare", "WREN-52", "WREN-52", "--into", str(tmp_path / "both.svg")),
        ("month", "export", "2026-03", "--into", str(tmp_path / "out")),
        ("month", "export", "2026-03", "--csv", "--into", str(tmp_path / "out")),
        ("paper", "confirmation", "1", "--into", str(tmp_path / "out")),
        ("paper", "check", "--into", str(tmp_path / "out")),
        ("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path / "out")),
        ("receipt", "print", "1", "--into", str(tmp_path / "out")),
        ("receipt", "print", "1", "--into", str(tmp_path / "out")),
    )
    for words in commands:
        done(traced(*words))
        if words[:2] != ("receipt", "issue"):
            done(traced(*words))


def test_a_paper_in_the_way_costs_no_number(traced: Typed, tmp_path: Path) -> None:
    """A file called as the receipt would be is no receipt of this shop; the yes then issues one, not two."""
    done(traced("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    (tmp_path / "receipt-00001.pdf").write_bytes(b"%PDF-1.4 of somebody else")
    words = ("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path))
    assert "is no paper that shopledger wrote" in traced(*words).stderr
    done(traced(*words, answers="y\n"))
    assert (tmp_path / "receipt-00001.pdf").read_bytes().startswith(b"%PDF-")
    assert [each["number"] for each in read_json(traced("receipt", "list", "--json"))["receipts"]] == [1]


@pytest.mark.parametrize("into", ["/dev/null", "/dev/full", "x" * 6_000, "a/" * 3_000])
def test_an_odd_place_is_one_line(traced: Typed, tmp_path: Path, into: str) -> None:
    """Devices and endless paths get a sentence, as a file and as a folder."""
    place = into if into.startswith("/") else str(tmp_path / into)
    for words in (("trace", "write", "WREN-52"), ("month", "export", "2026-03")):
        refused = traced(*words, "--into", place)
        assert refused.exit_code in {1, 2, 60}, refused.output
        assert refused.stderr.count("Error: ") == 1
        assert "Traceback" not in refused.output


def test_a_word_that_is_no_text_is_refused(tmp_path: Path) -> None:
    """A byte that is no letter in UTF-8 can be stored nowhere, so it is refused before anything is done."""
    refused = type_in("customer", "find", "Fern\udcff", ledger=tmp_path / "none.db")
    assert refused.exit_code == 2
    assert "Word 5 of the command, 'Fern\\udcff', holds a byte that is no letter in UTF-8" in refused.stderr
