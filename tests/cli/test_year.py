"""A year in the terminal: its lines on accrual and on cash, draft until all is closed, and the files written of it."""

from __future__ import annotations

from pathlib import Path

import pytest

from tests.cli.conftest import PAIR, SENT, Typed, done, read_json


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Sell a pair that left and is paid in part, so that both views differ."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "100", "--method", "cash"))
    done(typed("sale", "ship", "1", *SENT))
    return typed


def test_a_year_is_shown_on_the_lines_of_schedule_c(sold: Typed) -> None:
    """186.50 were sold and 100.00 received; what may still change is said beside the figures, not among them."""
    shown = done(sold("year", "show", "2026"))
    rows = [line.split() for line in shown.stdout.splitlines()]
    assert ["1", "Gross", "receipts", "or", "sales", "186.50", "100.00"] in rows
    assert "Year 2026 (DRAFT), goods as inventories" in shown.stdout
    assert "the year is not over; not closed: 2026-03." in shown.stderr


def test_the_owner_s_view_comes_first(sold: Typed) -> None:
    """Cash stands before accrual where the shop keeps its books so."""
    done(sold("shop", "change", "--accounting", "cash"))
    rows = [line.split() for line in done(sold("year", "show", "2026")).stdout.splitlines()]
    assert ["1", "Gross", "receipts", "or", "sales", "100.00", "186.50"] in rows


def test_a_year_is_written_as_a_workbook_and_as_csv(sold: Typed, tmp_path: Path) -> None:
    """Every file is named for the year and marked as a draft, and the names are all that is printed."""
    written = done(sold("year", "export", "2026", "--into", str(tmp_path / "out"), "--csv"))
    files = written.stdout.splitlines()
    assert files[0] == str(tmp_path / "out" / "year-2026-DRAFT.xlsx")
    assert {Path(file).name for file in files} == {file.name for file in (tmp_path / "out").iterdir()}
    assert all(file.endswith(("-DRAFT.xlsx", "-DRAFT.csv")) for file in files)
    assert "DRAFT, figures may still change" in written.stderr


@pytest.mark.parametrize("given", ["26", "2026-03", "next"])
def test_what_is_no_year_is_refused(typed: Typed, given: str) -> None:
    """The sentence says what was typed and how a year is written."""
    refused = typed("year", "show", given)
    assert refused.exit_code == 2
    assert "a year is YYYY, as in 2026" in refused.stderr


def test_a_year_long_past_is_whole_and_empty(typed: Typed) -> None:
    """Nothing was sold and nothing can change."""
    data = read_json(typed("year", "show", "2019", "--json"))
    assert (data["draft"], data["state"]) == (False, "Every month with entries is closed.")
    assert {line["accrual"] for line in data["lines"].values()} == {"0.00"}
