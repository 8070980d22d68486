"""The month's summary: its figures, each by formula over the other sheets beside the ledger's own, and both views."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from openpyxl import Workbook

from shopledger.exports.figure_rows import AGREES, DIFFERS, FigureRows
from shopledger.exports.formulas import summed
from shopledger.exports.month_figures import Part, by_kind, by_method, sections
from shopledger.exports.month_goods_sheets import STOCK
from shopledger.exports.sheet_writer import add_sheet
from shopledger.exports.view_figures import View, views
from shopledger.ledger.books.month_book import MonthBook
from shopledger.ledger.books.month_views import ViewLine

_WIDTHS: Final = (52.0, 20.0, 20.0, 13.0)
FIRST_FIGURE: Final = 5
"""The row of the first figure."""
CHECKS_TITLE: Final = "Checks"
CHECKS_VERDICT: Final = f"'{CHECKS_TITLE}'!D{FIRST_FIGURE}"
"""The cell that says whether all checks of the other sheets hold."""


def write_summary(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the summary as the first sheet; its formulas speak of tables that follow."""
    sheet = add_sheet(book, "Summary", _WIDTHS, footer, landscape=False)
    sheet.freeze_panes = f"A{FIRST_FIGURE}"
    # It never grows longer than a page takes, so it is kept on one.
    sheet.page_setup.fitToHeight = 1
    rows = FigureRows(sheet)
    month = month_book.month
    days = f"{month.first} to {month.last}; made on {month_book.made_on}. {month_book.state}"
    rows.head(month_book, days, ("Figure", "From the sheets", "In the ledger", "Check"))
    for section in sections(month_book):
        rows.section(section)
    rows.verdict("All figures above", rows.all_agree(FIRST_FIGURE))
    rows.verdict("All checks on sheet Checks", f"={CHECKS_VERDICT}")
    both = f'=IF(AND(D{rows.row - 1}="{AGREES}",D{rows.row}="{AGREES}"),"{AGREES}","{DIFFERS}")'
    rows.verdict("All checks", both)
    _views(rows, views(month_book.figures, month_book.accounting))
    _breakdown(rows, "Net sales by kind", ("Sold", "Cancelled", "Refunded"), by_kind())
    _breakdown(rows, "Money by method", ("Received", "Given back"), by_method())
    rows.write()
    rows.amounts("Stock at the month's end, at what it cost", (summed(STOCK, "Closing value"),))
    rows.mark_differences(FIRST_FIGURE)


def _views(rows: FigureRows, both: tuple[View, View]) -> None:
    """Set the views beside each other, line by line; the way from one to the other has a sheet of its own."""
    rows.write()
    rows.headings(("The month's result", *(view.name for view in both)))
    first = rows.row + 1
    for line in ViewLine:
        rows.amounts(line.value, (view.formulas.get(line) for view in both))
    last = rows.row
    rows.amounts("Result", (f"SUM({column}{first}:{column}{last})" for column in "BC"), bold=True)


def _breakdown(rows: FigureRows, title: str, headings: Sequence[str], parts: Sequence[Part]) -> None:
    rows.write()
    rows.headings((title, *headings))
    for part in parts:
        rows.amounts(part.word, part.formulas)
