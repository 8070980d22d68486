"""The month's workbook for the tax preparer: rows pass through once, so that a long month needs no more memory."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import datetime, time
from pathlib import Path

from openpyxl import Workbook

from shopledger.exports.month_notes import write_notes
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS, STOCK, TAX, sales_sheet
from shopledger.exports.month_summary import write_summary
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheet_writer import write_sheet
from shopledger.files import written_whole
from shopledger.ledger.month import MonthBook
from shopledger.ledger.postings import MONEY_ACCOUNTS


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
    refund_lines: int
    payments: int
    money_back: int
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
    refunds = write_sheet(workbook, REFUNDS, book.refunds, footer)
    payments = write_sheet(workbook, PAYMENTS, book.payments, footer)
    money_back = write_sheet(workbook, MONEY_BACK, book.money_back, footer)
    tax = write_sheet(workbook, TAX, book.tax, footer)
    stock = write_sheet(workbook, STOCK, book.stock, footer)
    write_notes(workbook, book, (sales, REFUNDS, PAYMENTS, MONEY_BACK, TAX, STOCK), footer)
    differences = _differences(book, _Sums(lines.sums, refunds.sums, payments.sums, money_back.sums, tax.sums))
    return MonthBookCheck(
        sales_lines=lines.rows,
        refund_lines=refunds.rows,
        payments=payments.rows,
        money_back=money_back.rows,
        tax_rows=tax.rows,
        stock_items=stock.rows,
        differences=differences,
    )


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


@dataclass(frozen=True, slots=True)
class _Sums:
    """What each sheet's columns came to, counted while the rows passed by."""

    lines: dict[str, int]
    refunds: dict[str, int]
    payments: dict[str, int]
    money_back: dict[str, int]
    tax: dict[str, int]


def _differences(book: MonthBook, sums: _Sums) -> tuple[FigureDiffers, ...]:
    pairs = (*_against_ledger(book, sums), *_against_journal(book, sums))
    return tuple(FigureDiffers(*pair) for pair in pairs if pair[1] != pair[2])


def _against_ledger(book: MonthBook, sums: _Sums) -> tuple[tuple[str, int, int], ...]:
    totals, lines = book.totals, sums.lines
    return (
        ("Orders less cancellations", lines["Orders"], totals.orders - totals.cancellations),
        ("List prices", lines["List price"], totals.list_total - totals.cancelled_list),
        ("Reductions by offers", lines["Reduction"], totals.reduction_total - totals.cancelled_reduction),
        ("Net sales less cancellations", lines["Net"], totals.net_total - totals.cancelled_net),
        ("Sales tax less cancellations", lines["Tax"], totals.tax_total - totals.cancelled_tax),
        ("Refunded net", sums.refunds["Net"], totals.refunded_net),
        ("Refunded tax", sums.refunds["Tax"], totals.refunded_tax),
        ("Payments received", sums.payments["Amount"], totals.payments_total),
        ("Money given back", sums.money_back["Amount"], totals.money_back),
        ("Net sales, from Tax by state", sums.tax["Net sales"], totals.net_kept),
        ("Sales tax, from Tax by state", sums.tax["Tax"], totals.tax_kept),
    )


def _against_journal(book: MonthBook, sums: _Sums) -> tuple[tuple[str, int, int], ...]:
    posted = book.posted
    money = posted.change(*set(MONEY_ACCOUNTS.values()))
    return (
        ("Net sales, as posted", sums.lines["Net"] - sums.refunds["Net"], posted.net_sales),
        ("Sales tax, as posted", sums.lines["Tax"] - sums.refunds["Tax"], posted.tax_owed),
        ("Money, as posted", sums.payments["Amount"] - sums.money_back["Amount"], money),
    )
