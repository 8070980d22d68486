"""Months and years on pages: their figures, what stands against closing and how it is mended, workbooks."""

from __future__ import annotations

import re
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.counter.pages.months.closing import MENDED_BY
from shopledger.counter.pictures.bars import bars
from shopledger.counter.station import Station
from shopledger.desk.books.closing import month_states
from shopledger.desk.context import Desk
from shopledger.desk.sales import record_sale
from shopledger.ledger.books import closing
from tests.counter.visitor import Visitor
from tests.desk.family import DISTANCE, ordered

MARCH = "/months/2026-03"


@pytest.fixture
def desk(desk: Desk) -> Desk:
    """Sell a pair in March, which is neither paid nor shipped."""
    record_sale(desk, ordered(DISTANCE))
    return desk


@pytest.fixture
def station(station: Station) -> Station:
    """Stand at the counter in April."""
    return replace(station, day=date(2026, 4, 6))


def closed(desk: Desk) -> bool:
    """Tell whether March is closed."""
    return next(each.closed for each in month_states(desk) if str(each.month) == "2026-03")


def yes_to(visitor: Visitor) -> list[str]:
    """Give the codes of all that the page asks about."""
    return re.findall(r'name="accept" value="([A-Z-]+)"', visitor.text)


def test_months_are_listed_with_a_picture_and_its_numbers(visitor: Visitor) -> None:
    """What is over and open can be closed from there; the picture says in words what it shows."""
    said = visitor.go("/months").words
    assert "2026-03 is over and open" in said
    assert '<svg class="drawing bars" role="img"' in visitor.text
    assert "Net sales by month" in said


def test_a_month_shows_its_figures_by_both_methods(visitor: Visitor) -> None:
    """In words for who keeps no books."""
    said = visitor.go(MARCH).words
    for each in ("March 2026", "Net sales that stand", "By what was sold and used up", "By what was received and paid"):
        assert each in said


def test_what_stands_against_closing_has_the_page_that_mends_it(visitor: Visitor, desk: Desk) -> None:
    """Each finding is said without commands, with links; nothing is closed before somebody says yes to each."""
    visitor.go(f"{MARCH}/close")
    assert 'href="/orders/1"' in visitor.text
    asked = yes_to(visitor)
    assert {"NOT-SHIPPED", "NOT-PAID"} <= set(asked)
    visitor.send({"accept": asked[:1]})
    assert visitor.code == 422
    assert not closed(desk)
    visitor.send({"accept": asked})
    assert visitor.path == MARCH
    assert closed(desk)


def test_a_month_closed_twice_is_closed_once(visitor: Visitor, desk: Desk) -> None:
    """A second press finds it closed."""
    visitor.go(f"{MARCH}/close")
    visitor.send({"accept": yes_to(visitor)})
    assert closed(desk)
    assert visitor.go(f"{MARCH}/close").code == 409


def test_a_closed_month_is_opened_again_with_a_reason(visitor: Visitor, desk: Desk) -> None:
    """The reason is needed, and kept with it."""
    visitor.go(f"{MARCH}/close")
    visitor.send({"accept": yes_to(visitor)})
    visitor.go(f"{MARCH}/reopen").send({"reason": ""})
    assert visitor.code == 422
    visitor.send({"reason": "a late bill"})
    assert not closed(desk)
    assert "a late bill" in visitor.words


def test_a_month_that_is_not_over_is_not_closed(visitor: Visitor) -> None:
    """It is said in a sentence."""
    assert visitor.go("/months/2026-04/close").code == 409
    assert "lasts until" in visitor.words


def test_every_warning_of_closing_has_a_way(visitor: Visitor) -> None:
    """None of what the ledger may warn of is a dead end."""
    source = Path(closing.__file__).read_text()
    codes = set(re.findall(r'"([A-Z]+(?:-[A-Z]+)+)"', source))
    assert codes
    assert codes <= set(MENDED_BY)
    assert visitor.go("/months/put-off").code == 200


def test_a_month_s_workbook_is_written(visitor: Visitor, station: Station) -> None:
    """Among the papers, from where it is taken."""
    visitor.go(MARCH).press(f"{MARCH}/workbook")
    (book,) = Path(station.papers).iterdir()
    assert book.name == "month-2026-03.xlsx"
    assert book.name in visitor.path


def test_a_year_shows_its_lines_and_its_balance_sheet(visitor: Visitor) -> None:
    """A year that is not over is a draft."""
    said = visitor.go("/months/years/2026").words
    for each in ("On the lines of Schedule C", "draft", "The owner's capital", "Tentative profit"):
        assert each in said


def test_a_year_s_workbook_is_written(visitor: Visitor, station: Station) -> None:
    """A draft is named so."""
    visitor.go("/months/years/2026").press("/months/years/2026/workbook")
    assert [each.name for each in Path(station.papers).iterdir()] == ["year-2026-DRAFT.xlsx"]


@pytest.mark.parametrize("path", ["/months/March", "/months/2026-13", "/months/years/26"])
def test_a_month_that_is_none_is_said(visitor: Visitor, path: str) -> None:
    """With how one is written."""
    assert visitor.go(path).code in {404, 409}
    assert "20" in visitor.words


def test_bars_are_as_high_as_their_amounts() -> None:
    """The largest fills the picture; what is below nothing hangs down from the line of nothing."""
    drawn = bars((("Jan 26", 20000), ("Feb 26", 10000), ("Mar 26", -20000)), "<b>")
    heights = [float(each) for each in re.findall(r'height="([0-9.]+)"><title>', drawn)]
    assert heights == [80.0, 40.0, 80.0]
    assert "&lt;b&gt;" in drawn
    assert 'class="bar less"' in drawn
    assert "Mar 26: \N{MINUS SIGN}$200.00" in drawn


def test_bars_of_nothing_are_drawn() -> None:
    """A shop without sales has bars of no height, and no month at all an empty picture."""
    assert 'height="0.0"' in bars((("Jan 26", 0),), "none")
    assert "<rect" not in bars((), "none")
