"""The sheet of checks: every one from two sides, and one cell that says whether all hold."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook

from shopledger.exports.figure_rows import AGREES, DIFFERS, FigureRows
from shopledger.exports.month_checks import checks
from shopledger.exports.month_summary import CHECKS_TITLE, FIRST_FIGURE
from shopledger.exports.sheet_writer import add_sheet
from shopledger.ledger.books.month_book import MonthBook

_WIDTHS: Final = (58.0, 18.0, 18.0, 13.0)


def write_checks(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the checks; the first line says whether all below hold."""
    sheet = add_sheet(book, CHECKS_TITLE, _WIDTHS, footer, landscape=False)
    sheet.freeze_panes = f"A{FIRST_FIGURE + 1}"
    sheet.print_title_rows = "4:4"
    rows = FigureRows(sheet)
    words = "Each figure from two sides; DIFFERS means that a sheet was changed or is not whole."
    rows.head(month_book, words, ("Check", "From the one", "From the other", "Check"))
    sections = checks(month_book.figures.totals)
    count = sum(len(section.figures) for section in sections)
    first = FIRST_FIGURE + 1
    last = FIRST_FIGURE + count + len(sections)
    rows.verdict("All checks below", f'=IF(COUNTIF(D{first}:D{last},"{AGREES}")={count},"{AGREES}","{DIFFERS}")')
    for section in sections:
        rows.section(section)
    rows.mark_differences(FIRST_FIGURE)
