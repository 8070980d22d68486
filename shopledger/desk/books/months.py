"""A month's own figures, as the ledger adds them up."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.ledger.books.month import Month, MonthTotals
from shopledger.ledger.books.month_views import MonthFigures
from shopledger.ledger.settings import Accounting


def month_figures(desk: Desk, month: Month) -> MonthTotals:
    """Give a month's totals: what was sold, paid and taken back."""
    with desk.reading() as work:
        return work.months.totals(month)


def whole_month(desk: Desk, month: Month) -> tuple[MonthFigures, Accounting]:
    """Give all of a month's figures, and which view of them the shop looks at first."""
    with desk.reading() as work:
        return work.months.figures(month), work.shop.settings().accounting
