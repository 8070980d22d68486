"""Lists ask each table once: how many statements they take does not grow with what they show."""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from functools import partial

import pytest
from sqlalchemy import Engine, event

from shopledger.desk.books.deposits import DepositRequest, deposits, take_deposit
from shopledger.desk.books.job_costs import newest_margins
from shopledger.desk.claims import unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import newest_orders
from shopledger.desk.orders import take_payment
from shopledger.desk.sales import record_sale
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.stock import StockMovement, StockReason
from tests.desk.family import FAMILY_ORDER, later
from tests.desk.test_sales import TOTAL
from tests.shelf import CUSTOMER


def statements(desk: Desk, read: Callable[[Desk], object]) -> int:
    """Count the statements of a read."""
    said: list[str] = []

    def listen(_connection: object, _cursor: object, sql: str, *_others: object) -> None:
        said.append(sql)

    engine: Engine = desk.ledger._engine
    event.listen(engine, "before_cursor_execute", listen)
    try:
        read(desk)
    finally:
        event.remove(engine, "before_cursor_execute", listen)
    return len(said)


def sell(desk: Desk) -> None:
    """Record the family's order, pay it, and take a deposit."""
    order = record_sale(desk, FAMILY_ORDER).order
    take_payment(desk, order.number or 0, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    take_deposit(desk, DepositRequest(CUSTOMER, 5000, Method.CASH))


@pytest.mark.parametrize(
    ("read", "most"),
    [
        (partial(newest_orders, limit=10), 21),
        (unclaimed, 20),
        (deposits, 8),
        (newest_margins, 21),
    ],
    ids=["sale list", "receipt unclaimed", "deposit list", "job margins"],
)
def test_a_list_asks_each_table_once(desk: Desk, read: Callable[[Desk], object], most: int) -> None:
    """One order and four take the same statements, and few of them."""
    there = later(desk, date(2026, 3, 9))
    with there.writing() as work:
        for level in work.stock.levels():
            work.stock.bring(StockMovement(there.today, level.kind, level.item_code, 20, 20_000, StockReason.RECEIVED))
    sell(there)
    one = statements(there, read)
    for _ in range(3):
        sell(there)
    assert statements(there, read) == one <= most
