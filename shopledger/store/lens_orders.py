"""Lens orders as they were sent out, and the arrival of their lenses; neither is ever changed."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.lens_orders import LensArrival, LensOrder
from shopledger.ledger.orders import Entered
from shopledger.store.records import Fields, Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.tables.lens_orders import lens_arrival, lens_order
from shopledger.store.transaction import Area, Where

LENS_ORDER: Final = Record(
    LensOrder,
    lens_order,
    {"entered": Fields(Entered, lens_order, {"at": lens_order.c.recorded_at})},
    parts=("arrival",),
    counter="lens order",
)
LENS_ARRIVAL: Final = Record(LensArrival, lens_arrival)


class LensOrders(Area):
    """The lens orders of the ledger."""

    def next_number(self) -> int:
        """Take the next number, for the content that is about to be frozen."""
        return self.transaction.next_number(LENS_ORDER.counter)

    def add(self, order: LensOrder) -> LensOrder:
        """Post a lens order."""
        self.transaction.put(LENS_ORDER, order)
        return order

    def arrive(self, arrival: LensArrival) -> LensArrival:
        """Post that the lenses of an order came in."""
        self.transaction.put(LENS_ARRIVAL, arrival)
        return arrival

    def get(self, number: int) -> LensOrder:
        """Give the lens order with that number."""
        found = self._whole({lens_order.c.number: number})
        if not found:
            raise NumberUnknownError("lens order", number)
        return found[0]

    def of_job(self, job_number: int) -> tuple[LensOrder, ...]:
        """Give a job's lens orders, oldest first."""
        return self._whole({lens_order.c.job_number: job_number})

    def _whole(self, where: Where) -> tuple[LensOrder, ...]:
        found = list(self.transaction.unfinished(LENS_ORDER, (lens_order.c.number,), where, (lens_order.c.number,)))
        numbers = [number for (number,), _ in found]
        came = self.transaction.all(LENS_ARRIVAL, {lens_arrival.c.lens_order_number: numbers})
        arrivals = {arrival.lens_order_number: arrival for arrival in came}
        return tuple(made(arrival=arrivals.get(number)) for (number,), made in found)
