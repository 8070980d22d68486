"""The year's workbook for the tax preparer: lists stream through once, everything else is figures and formulas."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path
from typing import Any, Final

from openpyxl import Workbook

from shopledger.exports.columns import Sheet
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheet_writer import write_sheet
from shopledger.exports.year_accounts import PRIOR, TRIAL, prior_grid, trial_grid
from shopledger.exports.year_cards import BRIDGE, bridge_grid, cards_grid
from shopledger.exports.year_cards import TITLE as CARDS
from shopledger.exports.year_checks import (
    CHECKS,
    SUMMARY,
    Sums,
    checks_grid,
    differing,
    mark_differences,
    summary_grid,
)
from shopledger.exports.year_grid import Grid, mark_draft, write_grids
from shopledger.exports.year_lists import CUSTOMERS, LOTS, STATES, expenses_sheet, spent
from shopledger.exports.year_months import TITLE as MONTHS
from shopledger.exports.year_months import months_grid
from shopledger.exports.year_notes import TITLE as NOTES
from shopledger.exports.year_notes import write_year_notes
from shopledger.exports.year_schedule import TITLE as SCHEDULE
from shopledger.exports.year_schedule import schedule_grid
from shopledger.files import written_whole
from shopledger.ledger.books.year import YearBook

ORDER: Final = (
    SUMMARY,
    MONTHS,
    SCHEDULE,
    LOTS.title,
    CARDS,
    BRIDGE,
    STATES.title,
    CUSTOMERS.title,
    "Expenses",
    PRIOR,
    TRIAL,
    CHECKS,
    NOTES,
)
"""The sheets as they lie in the workbook; the lists are written first, since the checks count what passed by."""


@dataclass(frozen=True, slots=True)
class YearBookCheck:
    """What went into the workbook, the grids as they were written, and the checks that do not hold."""

    rows: Mapping[str, int]
    """How many rows each list has."""
    grids: tuple[Grid, ...]
    differences: tuple[str, ...]

    @property
    def agrees(self) -> bool:
        """Whether every check holds by the ledger's own figures."""
        return not self.differences


def write_year_book(book: YearBook, target: Path) -> YearBookCheck:
    """Write the year's workbook, whole or not at all, and tell whether its sheets agree."""
    workbook = Workbook(write_only=True)
    workbook.properties.title = f"Year {book.year}{' (draft)' if book.state.draft else ''}"
    workbook.properties.creator = "shopledger"
    workbook.properties.created = datetime.combine(book.made_on, time())
    with written_whole(target) as draft, _let_go(workbook):
        check = _filled(workbook, book)
        _save(workbook, draft, target)
    return check


def year_grids(book: YearBook) -> tuple[Grid, ...]:
    """Give the sheets of figures that need no list."""
    figures = book.figures
    return (
        months_grid(figures),
        schedule_grid(book),
        cards_grid(figures),
        bridge_grid(figures),
        prior_grid(figures),
        trial_grid(figures),
    )


def year_lists(book: YearBook) -> tuple[tuple[Sheet[Any], Iterator[Any]], ...]:
    """Give the lists with their rows, which may be read once."""
    return ((LOTS, book.lots), (STATES, book.states), (CUSTOMERS, book.customers), (expenses_sheet(book), spent(book)))


def draft_words(book: YearBook) -> str:
    """Give what every page of a draft says at its top and its foot; nothing where the year is whole."""
    return book.state.sentence if book.state.draft else ""


def _filled(workbook: Workbook, book: YearBook) -> YearBookCheck:
    """Write all sheets, the lists first as their rows come in, and put them in order."""
    draft = draft_words(book)
    footer = f"{'DRAFT, ' if draft else ''}{book.shop_name}, {book.year}"
    sums, rows, sheets = {}, {}, []
    for sheet, listed in year_lists(book):
        written = write_sheet(workbook, sheet, listed, footer)
        mark_draft(workbook[sheet.title], draft)
        sums[sheet.table], rows[sheet.title] = written.sums, written.rows
        sheets.append(sheet)
    grids = year_grids(book)
    checks = checks_grid(book, {grid.title: grid for grid in grids}, Sums(sums))
    grids = (summary_grid(book, checks), *grids, checks)
    write_grids(workbook, grids, footer, draft, [title for title in ORDER if title in {grid.title for grid in grids}])
    mark_differences(workbook, checks)
    write_year_notes(workbook, book, sheets, footer, draft)
    _put_in_order(workbook, ORDER)
    return YearBookCheck(rows, grids, differing(checks))


def _put_in_order(workbook: Workbook, order: Sequence[str]) -> None:
    """Let the summary lie in front, though it was written late; it is also the sheet that opens."""
    for place, title in enumerate(order):
        workbook.move_sheet(title, place - workbook.sheetnames.index(title))
    workbook.active = 0


def _save(workbook: Workbook, draft: Path, target: Path) -> None:
    try:
        workbook.save(draft)
    except OSError as error:
        raise NotSavedError(target, (error.strerror or str(error)).lower()) from error


@contextmanager
def _let_go(workbook: Workbook) -> Iterator[None]:
    """End sheets that a failure left half written; they would complain on the owner's screen otherwise."""
    try:
        yield
    finally:
        for sheet in workbook.worksheets:
            if not getattr(sheet, "closed", True):
                sheet.close()
