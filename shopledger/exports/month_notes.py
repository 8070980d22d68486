"""The month's notes: how the workbook was made, what its columns mean, and what it does not decide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from openpyxl import Workbook

from shopledger.exports.columns import Sheet
from shopledger.exports.sheet_writer import add_sheet, heading_cell, make_room, text_cell
from shopledger.exports.view_figures import WHY, views
from shopledger.ledger.books.month_book import MonthBook
from shopledger.money.amount import write_amount

_WIDTHS: Final = (28.0, 92.0)

CAUTIONS: Final = (
    "What is income, what is deductible and how stock is valued is for a tax preparer to decide.",
    "Sales tax was charged at the rates that the owner had set; the program did not check them.",
    "Which sales are taxed, in which state and at which rate is for the owner and the tax preparer to find out.",
    "Sales stand in the month of the order, payments in the month the money came in, so the two need not be equal.",
    "A refund or cancellation counts in its own month, also for a sale of an earlier one; that month stays as it was.",
    "The stock's value is what the goods cost, first in first out, after what was recorded. It is no physical count.",
    "Equipment is no expense here on accrual; how it is written off is for the tax preparer to decide.",
    "Customers' names stand in this file. Keep it as you would the prescriptions.",
)


def notes(book: MonthBook, sheets: Sequence[Sheet[Any]]) -> Iterator[tuple[str, str]]:
    """Give the notes one by one: what about, and what is said."""
    yield "This workbook", f"The month {book.month} of {book.shop_name}, {book.month.first} to {book.month.last}."
    yield "How it was made", f"Written on {book.made_on} from the shop's ledger; nothing was typed in by hand."
    yield "State of the month", book.state
    yield "Ledger head", book.ledger_head
    yield "", "The same head on a later day proves that the ledger still holds the same history up to then."
    yield (
        "Checks",
        (
            "On the Summary, figures worked out from the sheets stand beside the ledger's own; on the sheet Checks, "
            "sheets stand beside one another and beside what the journal's accounts changed by. OK means that they "
            "agree; DIFFERS means that a sheet was changed or is not whole."
        ),
    )
    yield (
        "Totals",
        (
            "Totals below a table are for the rows in view, so they follow a filter; the Summary always counts all "
            "rows. Both are formulas: a preview that does not calculate shows them empty."
        ),
    )
    yield from _two_views(book)
    for place, caution in enumerate(CAUTIONS):
        yield "" if place else "Cautions", caution
    for sheet in sheets:
        for column in sheet.columns:
            yield f"{sheet.title}: {column.header}", column.means


def _two_views(book: MonthBook) -> Iterator[tuple[str, str]]:
    """Say what the two views are, and the way from one to the other with its figures."""
    figures = book.figures
    first, second = views(figures, book.accounting)
    yield (
        "Accrual and cash",
        (
            "On accrual a sale counts on the day of the order, goods as they are shipped, and bills and expenses on "
            "their day. On cash all counts as money comes and goes; a payment's share of the order's sales tax is "
            f"left out. The shop has chosen {first.name.lower()}; {second.name.lower()} stands beside it."
        ),
    )
    yield "Result on accrual", write_amount(figures.accrual_result)
    for line, amount in figures.between.items():
        yield line.value, f"{write_amount(amount)}. {WHY[line]}"
    yield "Result on cash", write_amount(figures.cash_result)


def write_notes(book: Workbook, month_book: MonthBook, sheets: Sequence[Sheet[Any]], footer: str) -> None:
    """Add the notes as a sheet of two columns."""
    sheet = add_sheet(book, "Notes", _WIDTHS, footer, landscape=False)
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
    sheet.append([heading_cell(sheet, words, right=False) for words in ("About", "Note")])
    for row, (about, said) in enumerate(notes(month_book, sheets), start=2):
        make_room(sheet, row, zip((about, said), _WIDTHS, strict=True))
        sheet.append([text_cell(sheet, about, bold=True, wrapped=True), text_cell(sheet, said, wrapped=True)])
