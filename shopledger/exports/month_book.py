"""The month's workbook for the tax preparer: rows pass through once, so that a long month needs no more memory."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path

from openpyxl import Workbook

from shopledger.exports.month_agreement import FigureDiffers, Sums, differences
from shopledger.exports.month_charts import write_charts
from shopledger.exports.month_checks_sheet import write_checks
from shopledger.exports.month_contents import contents
from shopledger.exports.month_notes import write_notes
from shopledger.exports.month_summary import write_summary
from shopledger.exports.month_views_sheet import write_views
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheet_writer import write_sheet
from shopledger.files import written_whole
from shopledger.ledger.books.month_book import MonthBook


@dataclass(frozen=True, slots=True)
class MonthBookCheck:
    """How many rows went into each sheet of the workbook, and where they do not add up to the ledger's own figures."""

    rows: Mapping[str, int]
    differences: tuple[FigureDiffers, ...]

    @property
    def agrees(self) -> bool:
        """Whether the rows add up to the ledger's own figures."""
        return not self.differences


def write_month_book(book: MonthBook, target: Path) -> MonthBookCheck:
    """Write the month's workbook, whole or not at all, and tell whether its rows add up to the ledger's figures."""
    workbook = Workbook(write_only=True)
    _name(workbook, book)
    with written_whole(target) as draft:
        try:
            check = _filled(workbook, book)
            _save(workbook, draft, target)
        finally:
            _let_go(workbook)
    return check


def _filled(workbook: Workbook, book: MonthBook) -> MonthBookCheck:
    """Write all sheets, each as its rows come in."""
    footer = f"{book.shop_name}, {book.month}"
    write_summary(workbook, book, footer)
    parts = contents(book)
    rows: dict[str, int] = {}
    sums: Sums = {}
    for part in parts:
        written = write_sheet(workbook, part.sheet, part.rows, footer)
        rows[part.sheet.title], sums[part.sheet.title] = written.rows, written.sums
    write_views(workbook, book, footer)
    write_charts(workbook, book, footer)
    write_checks(workbook, book, footer)
    write_notes(workbook, book, [part.sheet for part in parts], footer)
    return MonthBookCheck(rows, differences(book.figures, sums))


def _name(workbook: Workbook, book: MonthBook) -> None:
    """Say in the file's properties what it is; a program that lists files shows them."""
    workbook.properties.title = f"Month {book.month}"
    workbook.properties.creator = "shopledger"
    workbook.properties.created = datetime.combine(book.made_on, time())


def _save(workbook: Workbook, draft: Path, target: Path) -> None:
    try:
        workbook.save(draft)
    except OSError as error:
        raise NotSavedError(target, (error.strerror or str(error)).lower()) from error


def _let_go(workbook: Workbook) -> None:
    """End sheets that a failure left half written; they would complain on the owner's screen otherwise."""
    for sheet in workbook.worksheets:
        if not getattr(sheet, "closed", True):
            sheet.close()
