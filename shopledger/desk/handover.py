"""Handing over a month: the workbook for the tax preparer."""

from __future__ import annotations

from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.exports.month_book import write_month_book
from shopledger.ledger.month import Month, MonthBook


def export_month(desk: Desk, month: Month, folder: Path) -> Path:
    """Write the month's workbook; rows stream from the database into the file."""
    target = folder / f"month-{month}.xlsx"
    with desk.reading() as work:
        months = work.months
        book = MonthBook(
            month=month,
            shop_name=work.shop.profile().name,
            made_on=desk.today,
            ledger_head=str(work.journal.head()),
            totals=months.totals(month),
            sales=months.sales(month),
            payments=months.payments(month),
            tax=months.tax(month),
            stock=months.stock(month),
        )
        write_month_book(book, target)
    return target
