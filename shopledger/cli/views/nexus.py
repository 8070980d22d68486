"""Sales and orders by state beside the limits that the owner watches."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Column, Table
from shopledger.cli.views.figures import Outside, day
from shopledger.ledger.books.period import Period
from shopledger.ledger.canonical import Shape
from shopledger.ledger.nexus import NexusLimit, NexusRow
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import write_rate

OUT = Outside(
    {
        NexusLimit: Shape(renamed={"valid_from": "from"}),
        NexusRow: Shape(
            keys=(
                *("state", "orders", "sales", "taken_back", "net", "limit_sales", "limit_orders", "needs_both"),
                *("share", "standing"),
            ),
            renamed={"net": "net_sales", "limit_sales": "sales_limit", "limit_orders": "orders_limit"},
            made={"needs_both": lambda row: bool(row.needs_both)},
        ),
    }
)


def limit_table(limits: Sequence[NexusLimit]) -> Table:
    """Give limits for reading."""
    rows = [
        (limit.state, day(limit.valid_from), _amount(limit.sales), _count(limit.orders), _needs(limit))
        for limit in limits
    ]
    columns = (
        *(Column("state"), Column("from", whole=True), Column("net sales", right=True), Column("orders", right=True)),
        Column("needs"),
    )
    return Table("Limit", columns, rows)


def watch_table(year: Period, rows: Sequence[NexusRow]) -> Table:
    """Give a year's states for reading."""
    shown = [
        (
            *(row.state, str(row.orders), write_amount(row.net), _amount(row.limit_sales), _count(row.limit_orders)),
            *("" if row.share is None else write_rate(row.share), row.standing.value),
        )
        for row in rows
    ]
    columns = (
        *(Column("state"), Column("orders", right=True), Column("net sales", right=True)),
        *(Column("sales limit", right=True), Column("orders limit", right=True), Column("reached", right=True)),
        Column("standing"),
    )
    return Table(f"States in {year}", columns, shown, "nothing was sold in that year.")


def _amount(amount: Cents | None) -> str:
    return "" if amount is None else write_amount(amount)


def _count(count: int | None) -> str:
    return "" if count is None else str(count)


def _needs(limit: NexusLimit) -> str:
    if limit.sales is None and limit.orders is None:
        return "not watched"
    return "both" if limit.needs_both else "either"
