"""Orders that are put off until their goods leave, for reading and as JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.tables import Column, Table
from shopledger.cli.views.figures import money
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from collections.abc import Sequence

    from shopledger.cli.output import Json
    from shopledger.desk.books.order_postings import PutOff


def put_off_data(found: Sequence[PutOff]) -> dict[str, Json]:
    """Give orders that are put off as JSON, with what counts less by them."""
    orders = [
        {
            "order": each.account.order.number,
            "day": each.account.order.day.isoformat(),
            "net_sales": money(each.net),
            "tax": money(each.tax),
        }
        for each in found
    ]
    return {"orders": orders, **{name: money(amount) for name, amount in _sums(found).items()}}


def put_off_table(found: Sequence[PutOff]) -> Table:
    """Give them for reading."""
    columns = (Column("order", right=True), Column("day"), Column("net sales", right=True), Column("tax", right=True))
    rows = [
        (str(each.account.order.number), each.account.order.day.isoformat(), *map(write_amount, (each.net, each.tax)))
        for each in found
    ]
    sums = _sums(found)
    together = [("together", "", *map(write_amount, sums.values()))] if rows else []
    none = "Every order counts as sold when its goods leave."
    return Table("Put off until their goods leave", columns, (*rows, *together), none)


def _sums(found: Sequence[PutOff]) -> dict[str, int]:
    return {"net_sales": sum(each.net for each in found), "tax": sum(each.tax for each in found)}
