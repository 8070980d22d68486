"""Handing over a month: the workbook for the tax preparer."""

from __future__ import annotations

from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.errors import ExportError
from shopledger.exports.month_book import MonthBookCheck, write_month_book
from shopledger.ledger.month import Month, MonthBook


class BookDisagreesError(ExportError):
    """The rows of a month do not add up to the ledger's own figures; the workbook says where."""

    def __init__(self, target: Path, check: MonthBookCheck) -> None:
        super().__init__(target, check)
        self.target = target
        self.check = check

    def __str__(self) -> str:
        """Say which figures differ, and not to hand the book over."""
        figures = ", ".join(difference.figure for difference in self.check.differences)
        return (
            f"{self.target} does not add up to the ledger ({figures}). Do not hand it over: run 'shopledger verify', "
            "and restore a backup if that fails."
        )


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
            posted=months.posted(month),
            sales=months.sales(month),
            refunds=months.refunds(month),
            payments=months.payments(month),
            money_back=months.money_back(month),
            tax=months.tax(month),
            stock=months.stock(month),
        )
        check = write_month_book(book, target)
    if not check.agrees:
        raise BookDisagreesError(target, check)
    return target
