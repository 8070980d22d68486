"""A month's own figures, as the ledger adds them up."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.ledger.month import Month, MonthTotals


def month_figures(desk: Desk, month: Month) -> MonthTotals:
    """Give a month's totals."""
    with desk.reading() as work:
        return work.months.totals(month)
