"""Handing over a month: the workbook for the tax preparer, or its rows as plain CSV."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

from shopledger.desk.context import Desk
from shopledger.errors import ExportError
from shopledger.exports.month_book import MonthBookCheck, write_month_book
from shopledger.exports.plain import write_plain
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.month_book import MonthBook
from shopledger.ledger.books.periods import PeriodDeed, PeriodEvent

if TYPE_CHECKING:
    from shopledger.store.work import Work


class BookDisagreesError(ExportError):
    """The rows of a month do not add up to the ledger's own figures; the workbook says where."""

    target: Path
    check: MonthBookCheck
    sentence = (
        "{target} does not add up to the ledger ({figures}). Do not hand it over: run 'shopledger verify', "
        "and restore a backup if that fails."
    )

    @property
    def figures(self) -> str:
        """The figures that differ."""
        return ", ".join(difference.figure for difference in self.check.differences)


def export_month(desk: Desk, month: Month, folder: Path) -> Path:
    """Write the month's workbook; rows stream from the database into the file."""
    target = folder / f"month-{month}.xlsx"
    with desk.reading() as work:
        check = write_month_book(_book(work, desk, month), target)
    if not check.agrees:
        raise BookDisagreesError(target, check)
    return target


def export_plain(desk: Desk, month: Month, folder: Path) -> tuple[Path, ...]:
    """Write the month's rows as CSV, one file for each sheet of rows, and a list of them with the ledger's head."""
    with desk.reading() as work:
        return write_plain(_book(work, desk, month), folder)


def _book(work: Work, desk: Desk, month: Month) -> MonthBook:
    months = work.months
    return MonthBook(
        month=month,
        shop_name=work.shop.profile().name,
        made_on=desk.today,
        ledger_head=str(work.journal.head()),
        state=_state(work.periods.newest(month)),
        accounting=work.shop.settings().accounting,
        figures=months.figures(month),
        sales=months.sales(month),
        payments=months.payments(month),
        refunds=months.refunds(month),
        money_back=months.money_back(month),
        tax=months.tax(month),
        deposits=months.deposits(month),
        movements=months.movements(month),
        stock=months.stock(month),
        goods_cost=months.goods_cost(month),
        expenses=months.expenses(month),
        bills=months.bills(month),
        money_moves=months.money_moves(month),
        journal=months.journal(month),
        trial=months.trial(month),
    )


def _state(newest: PeriodEvent | None) -> str:
    """Say whether the month is closed, and on which state of the books."""
    if newest is None:
        return "The month is open: more may be recorded in it."
    day = newest.recorded_at[:10]
    if newest.deed is PeriodDeed.CLOSED:
        return f"The month was closed on {day} at ledger head {newest.head}."
    return f"The month is open: it was closed once and opened again on {day} ({newest.reason})."
