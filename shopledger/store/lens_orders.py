"""Lens orders as they were sent out, and the arrival of their lenses; neither is ever changed."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.lens_orders import LensArrival, LensOrder
from shopledger.ledger.orders import Entered
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_WITH_ARRIVAL: Final = """
SELECT lens_order.*, lens_arrival.day AS arrived_on, lens_arrival.note AS arrival_note
FROM lens_order LEFT JOIN lens_arrival ON lens_arrival.lens_order_number = lens_order.number
"""


@dataclass(frozen=True, slots=True)
class LensOrders:
    """The lens orders of the ledger."""

    transaction: Transaction

    def next_number(self) -> int:
        """Take the next number, for the content that is about to be frozen."""
        return self.transaction.next_number("lens order")

    def add(self, order: LensOrder) -> LensOrder:
        """Post a lens order."""
        values = {
            "number": order.number,
            "job_number": order.job_number,
            "supplier_number": order.supplier_number,
            "day": day_text(order.day),
            "expected_on": day_text(order.expected_on) if order.expected_on else None,
            "follows": order.follows,
            "note": order.note,
            "body": order.body,
            "sha256": order.sha256,
        }
        self.transaction.add("lens_order", {**values, **self.transaction.stamp})
        return order

    def arrive(self, arrival: LensArrival) -> LensArrival:
        """Post that the lenses of an order came in."""
        values = {
            "lens_order_number": arrival.lens_order_number,
            "day": day_text(arrival.day),
            "note": arrival.note,
        }
        self.transaction.add("lens_arrival", {**values, **self.transaction.stamp})
        return arrival

    def get(self, number: int) -> LensOrder:
        """Give the lens order with that number."""
        rows = self.transaction.asked(f"{_WITH_ARRIVAL} WHERE lens_order.number = :number", number=number)
        if not rows:
            raise NumberUnknownError("lens order", number)
        return _order(rows[0])

    def of_job(self, job_number: int) -> tuple[LensOrder, ...]:
        """Give a job's lens orders, oldest first."""
        question = f"{_WITH_ARRIVAL} WHERE lens_order.job_number = :job ORDER BY lens_order.number"
        return _orders(self.transaction.asked(question, job=job_number))


def _orders(rows: Sequence[Row[Any]]) -> tuple[LensOrder, ...]:
    return tuple(_order(row) for row in rows)


def _order(row: Row[Any]) -> LensOrder:
    arrival = LensArrival(row.number, read_day(row.arrived_on), row.arrival_note) if row.arrived_on else None
    return LensOrder(
        number=row.number,
        job_number=row.job_number,
        supplier_number=row.supplier_number,
        day=read_day(row.day),
        body=row.body,
        sha256=row.sha256,
        expected_on=read_day(row.expected_on) if row.expected_on else None,
        note=row.note,
        follows=row.follows,
        arrival=arrival,
        entered=Entered(row.operator, row.recorded_at),
    )
