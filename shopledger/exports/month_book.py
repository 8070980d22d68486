"""The month's workbook for the tax preparer: rows pass through once, so that a long month needs no more memory."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path

from openpyxl import Workbook

from shopledger.exports.month_notes import write_notes
from shopledger.exports.month_sheets import PAYMENTS, STOCK, TAX, sales_sheet
from shopledger.exports.month_summary import write_summary
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheet_writer import Written, write_sheet
from shopledger.files import written_whole
from shopledger.ledger.month import MonthBook, MonthTotals


@dataclass(frozen=True, slots=True)
class FigureDiffers:
    """A figure of the month that the rows do not add up to; counts as they are, money in cents."""

    figure: str
    from_rows: int
    in_ledger: int


@dataclass(frozen=True, slots=True)
class MonthBookCheck:
    """What went into the workbook, and where the rows do not add up to the ledger's own figures."""

    sales_lines: int
    payments: int
    tax_rows: int
    stock_items: int
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
    sales = sales_sheet()
    write_summary(workbook, book, footer)
    lines = write_sheet(workbook, sales, book.sales, footer)
    payments = write_sheet(workbook, PAYMENTS, book.payments, footer)
    tax = write_sheet(workbook, TAX, book.tax, footer)
    stock = write_sheet(workbook, STOCK, book.stock, footer)
    write_notes(workbook, book, (sales, PAYMENTS, TAX, STOCK), footer)
    differences = _differences(book.totals, lines, payments, tax)
    return MonthBookCheck(lines.rows, payments.rows, tax.rows, stock.rows, differences)


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


def _differences(totals: MonthTotals, lines: Written, payments: Written, tax: Written) -> tuple[FigureDiffers, ...]:
    pairs = (
        ("Orders", lines.sums["New order"], totals.orders),
        ("List prices", lines.sums["List price"], totals.list_total),
        ("Reductions by offers", lines.sums["Reduction"], totals.reduction_total),
        ("Net sales", lines.sums["Net"], totals.net_total),
        ("Sales tax charged", lines.sums["Tax"], totals.tax_total),
        ("Payments received", payments.sums["Amount"], totals.payments_total),
        ("Net sales, from Tax by state", tax.sums["Sales"], totals.net_total),
        ("Sales tax, from Tax by state", tax.sums["Tax"], totals.tax_total),
    )
    return tuple(FigureDiffers(*pair) for pair in pairs if pair[1] != pair[2])
