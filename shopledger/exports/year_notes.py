"""The year's notes: how the workbook was made, what its sheets say, and what it does not decide."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import Any, Final

from openpyxl import Workbook

from shopledger.exports.columns import Sheet
from shopledger.exports.sheet_writer import add_sheet, heading_cell, make_room, text_cell
from shopledger.exports.year_grid import mark_draft
from shopledger.exports.year_schedule import GOODS_WORDS
from shopledger.ledger.books.payee_forms import threshold
from shopledger.ledger.books.year import YearBook
from shopledger.money.amount import write_amount

TITLE: Final = "Notes"
_WIDTHS: Final = (26.0, 94.0)

CAUTIONS: Final = (
    (
        "This is a worksheet and no tax advice. What is income, what is deductible, and which method may be used "
        "is for a tax preparer to decide."
    ),
    (
        "Lines 1 to 7 and Part III follow IRS Publication 334 (2024); the numbers of the expense lines are from "
        "memory, after the form of 2024. Compare them with the form of the year."
    ),
    (
        "A small taxpayer (average gross receipts of the three years before not above about $30 million; 2024's "
        "figure, and it rises with the years) may treat goods as materials that are not incidental instead of "
        "keeping inventories. Choose one way and keep it: another needs Form 3115."
    ),
    (
        "In the cash view goods are deducted as they are in the accrual view. What is not paid for yet may have "
        "to wait: see what is owed to suppliers in the trial balance."
    ),
    (
        "In the cash view deposits count when they are received, and sales tax that is laid on the shop is an "
        "expense as it is charged."
    ),
    (
        "Meals stand in full; often only a part is deductible. Equipment stands apart, since how it is written "
        "off is not decided here. The owner's own labour is never a cost."
    ),
    "Opening inventory must equal last year's closing inventory; where it does not, the return must explain why.",
    (
        "A 1099-K counts what was processed, with sales tax, before refunds and fees. For payment cards there is "
        "no lowest sum; other networks report above $20,000 and 200 transactions (Public Law 119-21; compare with"
        " the law of the year)."
    ),
    "Sales tax was charged at the rates that the owner had set; the program did not check them.",
    "A refund or cancellation counts in its own month, also for a sale of an earlier year; that year stays as it was.",
    "Customers' names stand in this file. Keep it as you would the prescriptions.",
)


def notes(book: YearBook, sheets: Sequence[Sheet[Any]]) -> Iterator[tuple[str, str]]:
    """Give the notes one by one: what about, and what is said."""
    yield "This workbook", f"The year {book.year} of {book.shop_name}, {book.year.first} to {book.year.last}."
    yield "State", book.state.sentence
    yield "How it was made", f"Written on {book.made_on} from the shop's ledger; nothing was typed in by hand."
    yield "Ledger head", book.ledger_head
    yield "", "The same head on a later day proves that the ledger still holds the same history up to then."
    chosen = f"{book.accounting.value}, goods as {GOODS_WORDS[book.inventory_view]}"
    yield (
        "The owner's choice",
        f"{chosen}. Both views of each stand on Schedule C, side by side; change neither lightly.",
    )
    yield (
        "Checks",
        (
            "Each check holds two figures against each other that must be the same. OK means that they are; "
            "DIFFERS means that a sheet was changed or is not whole."
        ),
    )
    yield (
        "Totals",
        (
            "Totals are formulas: a preview that does not calculate shows them empty. Those below a list are for "
            "the rows in view, so they follow a filter."
        ),
    )
    yield (
        "Accrual and cash",
        (
            "Accrual counts what was sold and billed; cash what was received and paid. The last rows of Schedule "
            "C lead from line 1 of the one to line 1 of the other. A bill that is paid in part counts in part "
            "under each of its headings."
        ),
    )
    yield (
        "To report",
        (
            f"Payees to whom {write_amount(threshold(book.year))} or more was paid in the year for services or "
            "rent, cards left out. From 2026 on the sum is 2,000, before it was 600. Whether a payee is exempt is"
            " not known here."
        ),
    )
    for place, caution in enumerate(CAUTIONS):
        yield ("Cautions" if not place else "", caution)
    for sheet in sheets:
        for place, column in enumerate(sheet.columns):
            yield (sheet.title if not place else "", f"{column.header}: {column.means}")


def write_year_notes(
    book: Workbook, year_book: YearBook, sheets: Sequence[Sheet[Any]], footer: str, draft: str
) -> None:
    """Add the notes as the last sheet."""
    sheet = add_sheet(book, TITLE, _WIDTHS, footer, landscape=False)
    mark_draft(sheet, draft)
    sheet.freeze_panes = "A2"
    sheet.print_title_rows = "1:1"
    sheet.append([heading_cell(sheet, words, right=False) for words in ("About", "Note")])
    for row, (about, said) in enumerate(notes(year_book, sheets), start=2):
        make_room(sheet, row, zip((about, said), _WIDTHS, strict=True))
        sheet.append([text_cell(sheet, about, bold=True, wrapped=True), text_cell(sheet, said, wrapped=True)])
