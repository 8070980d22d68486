"""The commands on jobs: the board, one job, the sheet."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from shopledger.cli.job import USUAL_DAYS
from shopledger.ledger.stages import OVERDUE_AFTER
from tests.cli.conftest import PAIR, Typed, done, read_json


@pytest.fixture
def sold(typed: Typed, trace_file: Path) -> Typed:
    """Give the shop with its frame traced and one pair sold in it."""
    done(typed("trace", "add", "WREN-52", str(trace_file)))
    done(typed("sale", "record", "--customer", "1", *PAIR))
    return typed


def test_the_board_is_listed(sold: Typed) -> None:
    """The form of the list is a promise to other programs."""
    assert read_json(sold("job", "list", "--json")) == {
        "jobs": [
            {
                "job": 1,
                "order": 1,
                "wearer": "O.F.",
                "frame": "WREN-52",
                "lens": "SV-150",
                "stage": "ordered",
                "next": "order lenses, cut, inspect",
                "command": "shopledger job order-lenses 1 --from SUPPLIER",
                "ordered_on": "2026-03-02",
                "lens_order": None,
                "lenses_ordered_on": None,
                "lenses_expected_on": None,
                "lenses_arrived_on": None,
                "in_place_of": None,
                "overtaken_by": None,
                "days": 0,
                "overdue": False,
            }
        ]
    }
    table = done(sold("job", "list"))
    for said in ("O.F.", "WREN-52", "SV-150", "ordered"):
        assert said in table.stdout
    assert "Fernhollow" not in table.stdout
    assert "OVERDUE" not in table.stdout


def test_what_waits_too_long_is_marked_and_counted(sold: Typed) -> None:
    """After fourteen days, or after as many as are asked for."""
    fifteen = done(sold("--today", "2026-03-17", "job", "list"))
    assert "OVERDUE" in fifteen.stdout
    assert "Overdue, more than 14 days after the order: 1." in fifteen.stderr
    assert not read_json(sold("--today", "2026-03-17", "job", "list", "--overdue-after", "20", "--json"))["jobs"][0][
        "overdue"
    ]
    refused = sold("job", "list", "--overdue-after", "-1")
    assert refused.exit_code == 2
    assert "0<=x<=3650" in refused.stderr


def test_the_usual_days_are_said_once_for_all() -> None:
    """What the help shows is what the rule takes."""
    assert USUAL_DAYS == OVERDUE_AFTER


def test_an_empty_board_says_so(typed: Typed) -> None:
    """Nothing is open before anything is sold."""
    assert read_json(typed("job", "list", "--json")) == {"jobs": []}
    assert "no job is open." in done(typed("job", "list")).stdout


def test_one_job_is_shown(sold: Typed) -> None:
    """For reading and as JSON: where it stands, what to make, where the centres go."""
    shown = read_json(sold("job", "show", "1", "--json"))
    assert (shown["wearer"], shown["initials"], shown["stage"]) == ("Odalys Fernhollow", "O.F.", "ordered")
    assert (shown["cutting"], shown["trace"], shown["stops"]) == ("wet", "1 of 2026-03-02", [])
    right = shown["right"]
    assert (right["power"], right["pd"], right["height"], right["blank"]) == ("-2.50 -1.25 x 090", 31.5, 19.0, 70.0)
    assert (right["decentration_in"], right["offset_up"]) == (3.5, 1.0)
    assert right["to_spare"] == pytest.approx(70 - right["blank_needed"], abs=0.01)
    text = done(sold("job", "show", "1")).stdout
    for said in ("Job 1", "3.5 mm in", "1.0 mm up", "'shopledger job order-lenses 1 --from SUPPLIER'"):
        assert said in " ".join(text.split())


def test_a_sheet_is_printed(sold: Typed, tmp_path: Path) -> None:
    """The file's place goes to stdout, the cautions to stderr."""
    printed = sold("job", "sheet", "1", "--into", str(tmp_path / "bench"), "--json")
    file = tmp_path / "bench" / "job-00001.pdf"
    assert read_json(printed) == {"job": 1, "file": str(file)}
    assert file.read_bytes().startswith(b"%PDF")
    assert "eye protection" in printed.stderr
    assert done(sold("job", "sheet", "1", "--into", str(tmp_path / "bench"))).stdout.strip() == str(file)


def test_an_unknown_or_cancelled_job_is_refused_and_nothing_is_stored(
    sold: Typed, tmp_path: Path, everything: Callable[[], bytes]
) -> None:
    """One line each, and no file."""
    unknown = sold("job", "sheet", "9", "--into", str(tmp_path / "bench"))
    assert unknown.exit_code == 40
    assert "job 9" in unknown.stderr
    assert sold("job", "show", "9").exit_code == 40
    done(sold("sale", "cancel", "1", "--reason", "changed her mind"))
    before = everything()
    refused = sold("job", "sheet", "1", "--into", str(tmp_path / "bench"))
    assert refused.exit_code == 30
    assert "cancelled" in refused.stderr
    assert everything() == before
    assert list((tmp_path / "bench").glob("*")) == []
    assert read_json(sold("job", "show", "1", "--json"))["stage"] == "cancelled"
