"""The commands for lenses from a lab: ordered, printed again, arrived, and what the board says meanwhile."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopledger.ledger.books.suppliers import Supplier
from shopledger.store.opening import ledger_url, open_ledger
from tests.cli.conftest import NOW, PAIR, Typed, done, read_json

ORDER = ("job", "order-lenses", "1", "--from", "Brightwater")


@pytest.fixture
def sold(typed: Typed, trace_file: Path, ledger: Path) -> Typed:
    """Give the shop with a lab, its frame traced, and one pair sold in it."""
    opened = open_ledger(ledger_url(str(ledger)))
    with opened.writing("Ilse", NOW) as work:
        work.suppliers.add(Supplier("Brightwater Lens Laboratory", "A-77"))
    opened.close()
    done(typed("trace", "add", "WREN-52", str(trace_file)))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_lenses_are_ordered(sold: Typed, tmp_path: Path) -> None:
    """The form of the answer is a promise to other programs; two files lie in the folder, which was made."""
    into = tmp_path / "out"
    said = sold(*ORDER, "--into", str(into), "--expected", "2026-03-09", "--note", "Odalys Fernhollow waits", "--json")
    right = {
        "ordered": True, "power": "-2.50 -1.25 x 090", "add": "", "prism": "", "pd": 31.5, "near_pd": None,
        "inset": None, "height": 19.0, "blank": 70.0, "blank_needed": 61.1, "a": 52.0, "b": 36.0, "ed": 52.0,
    }  # fmt: skip
    assert read_json(said) == {
        "lens_order": 1,
        "follows": None,
        "reason": "",
        "job": 1,
        "day": "2026-03-02",
        "expected_on": "2026-03-09",
        "supplier": "Brightwater Lens Laboratory",
        "initials": "O.F.",
        "lens": "Plain single vision",
        "design": "single vision",
        "material": "hard resin 1.50",
        "index": 1.498,
        "extras": [],
        "use": "distance",
        "edging": "uncut",
        "base_curve": None,
        "frame": "Thistledown Wren, slate, 52-18-140",
        "dbl": 18.0,
        "trace": "1 of 2026-03-02",
        "right": right,
        "left": right | {"power": "-2.25 -1.00 x 085"},
        "note": "O.F. waits",
        "files": [str(into / "lens-order-00001.txt"), str(into / "lens-order-00001.pdf")],
    }
    assert all(file.stat().st_size for file in into.iterdir())
    assert "job lenses-arrived 1" in said.stderr


def test_a_dry_run_writes_nothing(sold: Typed, tmp_path: Path) -> None:
    """Not even the folder."""
    into = tmp_path / "out"
    result = done(sold(*ORDER, "--into", str(into), "--edged", "--base-curve", "4.25", "--dry-run"))
    for said in ("not yet placed", "edged to trace 1 of 2026-03-02", "4.25 D", "-2.50 -1.25 x 090", "no day agreed"):
        assert said in " ".join(result.stdout.split())
    assert "dry run" in result.stderr
    assert not into.exists()
    assert read_json(sold("job", "list", "--json"))["jobs"][0]["stage"] == "ordered"


def test_the_files_are_written_again(sold: Typed, tmp_path: Path) -> None:
    """The same bytes as the first time; the plain form when asked for."""
    first, again = tmp_path / "first", tmp_path / "again"
    done(sold(*ORDER, "--into", str(first)))
    done(sold("--today", "2031-05-06", "job", "print-lens-order", "1", "--into", str(again)))
    for file in first.iterdir():
        assert (again / file.name).read_bytes() == file.read_bytes()
    done(sold("job", "print-lens-order", "1", "--into", str(again), "--form", "json"))
    assert json.loads((again / "lens-order-00001.json").read_text(encoding="utf-8"))["wearer_initials"] == "O.F."


def test_the_board_follows_the_lenses(sold: Typed, tmp_path: Path) -> None:
    """Awaited with the day, overdue after it, ready to cut when they came."""
    done(sold(*ORDER, "--into", str(tmp_path), "--expected", "2026-03-09"))
    waiting = read_json(sold("job", "list", "--json"))["jobs"][0]
    assert (waiting["stage"], waiting["next"]) == ("lenses awaited", "wait for the lenses, expected 2026-03-09")
    assert (waiting["command"], waiting["lenses_ordered_on"]) == ("shopledger job lenses-arrived 1", "2026-03-02")
    late = done(sold("--today", "2026-03-10", "job", "list"))
    assert "OVERDUE" in late.stdout
    assert "lenses that should have come by now: 1. Ask the lab." in late.stderr
    came = sold("--today", "2026-03-10", "job", "lenses-arrived", "1", "--note", "well packed", "--json")
    assert read_json(came) == {
        "job": 1,
        "lens_order": 1,
        "supplier": "Brightwater Lens Laboratory",
        "ordered_on": "2026-03-02",
        "expected_on": "2026-03-09",
        "arrived_on": "2026-03-10",
        "note": "well packed",
    }
    ready = done(sold("--today", "2026-03-10", "job", "list"))
    assert "ready to cut" in " ".join(ready.stdout.split())
    assert "OVERDUE" not in ready.stdout
    card = " ".join(done(sold("--today", "2026-03-10", "job", "show", "1")).stdout.split())
    assert "lens order 1: ordered 2026-03-02, expected 2026-03-09, arrived 2026-03-10" in card


def test_the_arrival_reads_well(sold: Typed, tmp_path: Path) -> None:
    """In words, with what comes next."""
    done(sold(*ORDER, "--into", str(tmp_path)))
    came = done(sold("job", "lenses-arrived", "1", "--order", "1"))
    assert "1 of 2026-03-02" in came.stdout
    assert "job sheet 1" in came.stderr


@pytest.mark.parametrize(
    ("words", "code", "said"),
    [
        (("job", "order-lenses", "1", "--into", "out"), 2, "--from"),
        ((*ORDER, "--into", "out", "--only", "middle"), 2, "right or left"),
        ((*ORDER, "--into", "out", "--expected", "2026-03-01"), 30, "the lenses are ordered on 2026-03-02"),
        ((*ORDER, "--into", "out", "--again", "lost"), 30, "Leave --again out"),
        (("job", "order-lenses", "9", "--from", "Brightwater", "--into", "out"), 40, "job 9"),
        (("job", "order-lenses", "1", "--from", "Nowhere", "--into", "out"), 40, "supplier"),
        (("job", "print-lens-order", "4", "--into", "out"), 40, "lens order 4"),
        (("job", "lenses-arrived", "1"), 30, "none were ordered for it"),
    ],
)
def test_a_refusal_is_one_sentence(
    sold: Typed, words: tuple[str, ...], code: int, said: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """With the exit code of its kind, and no file."""
    monkeypatch.chdir(tmp_path)
    refused = sold(*words)
    assert refused.exit_code == code
    assert said in " ".join(refused.stderr.split())
    assert "Traceback" not in refused.stderr
    assert list(tmp_path.glob("out/*")) == []


def test_lenses_ordered_again_say_why(sold: Typed, tmp_path: Path) -> None:
    """The reason is shown in the shop; the lab reads of a repeat."""
    done(sold(*ORDER, "--into", str(tmp_path)))
    twice = sold(*ORDER, "--into", str(tmp_path))
    assert twice.exit_code == 30
    assert "--again REASON" in twice.stderr
    again = done(sold(*ORDER, "--into", str(tmp_path), "--again", "lost in the post", "--only", "left"))
    assert "after lens order 1: lost in the post" in " ".join(again.stdout.split())
    assert "right, not ordered" in " ".join(again.stdout.split())
