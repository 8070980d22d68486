"""A month's own figures, shown."""

from __future__ import annotations

from shopledger.cli.output import Fields, Json
from shopledger.cli.views.figures import money
from shopledger.ledger.month import Month, MonthTotals
from shopledger.money.amount import write_amount


def month_data(month: Month, totals: MonthTotals) -> dict[str, Json]:
    """Give a month's figures as JSON."""
    return {
        "month": str(month),
        "orders": totals.orders,
        "list_total": money(totals.list_total),
        "reduction_total": money(totals.reduction_total),
        "net_total": money(totals.net_total),
        "tax_total": money(totals.tax_total),
        "payments_total": money(totals.payments_total),
        "cancellations": totals.cancellations,
        "cancelled_net": money(totals.cancelled_net),
        "cancelled_tax": money(totals.cancelled_tax),
        "refunds": totals.refunds,
        "refunded_net": money(totals.refunded_net),
        "refunded_tax": money(totals.refunded_tax),
        "net_kept": money(totals.net_kept),
        "tax_kept": money(totals.tax_kept),
        "money_back": money(totals.money_back),
        "money_kept": money(totals.money_kept),
    }


def month_blocks(month: Month, totals: MonthTotals) -> tuple[Fields, ...]:
    """Give a month's figures for reading: what was sold and paid, and what was taken back if anything was."""
    sold = Fields(
        f"Month {month}",
        (
            ("orders", str(totals.orders)),
            ("list prices", write_amount(totals.list_total)),
            ("reductions", write_amount(-totals.reduction_total)),
            ("net sales", write_amount(totals.net_total)),
            ("sales tax", write_amount(totals.tax_total)),
            ("payments received", write_amount(totals.payments_total)),
        ),
    )
    if not totals.cancellations and not totals.refunds:
        return (sold,)
    return (sold, _taken_back(totals), _left(totals))


def _taken_back(totals: MonthTotals) -> Fields:
    return Fields(
        "Taken back in the month",
        (
            ("orders cancelled", str(totals.cancellations)),
            ("net sales cancelled", write_amount(totals.cancelled_net)),
            ("sales tax cancelled", write_amount(totals.cancelled_tax)),
            ("refunds", str(totals.refunds)),
            ("net sales refunded", write_amount(totals.refunded_net)),
            ("sales tax refunded", write_amount(totals.refunded_tax)),
            ("money given back", write_amount(totals.money_back)),
        ),
    )


def _left(totals: MonthTotals) -> Fields:
    return Fields(
        "Left after that",
        (
            ("net sales", write_amount(totals.net_kept)),
            ("sales tax", write_amount(totals.tax_kept)),
            ("money", write_amount(totals.money_kept)),
        ),
    )
