"""Shipping an order: the day that a claim calls the date of service."""

from __future__ import annotations

from datetime import date

from shopledger.desk.books.goods_moves import ship_goods
from shopledger.desk.books.job_costs import costs_in_work
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import shipping_check
from shopledger.errors import RefusedError
from shopledger.ledger.books.postings import shipment_entry
from shopledger.ledger.orders import OrderAccount, Shipment
from shopledger.ledger.refunds import cancelled


def ship_order(
    desk: Desk,
    order_number: int,
    carrier: str,
    tracking: str = "",
    day: date | None = None,
    *,
    without_inspection: str = "",
) -> OrderAccount:
    """Store the shipment of an order; an order is shipped once.

    Each of its jobs has passed its inspection, or `without_inspection` says why it leaves all the same.
    """
    shipped_on = desk.day(day, "shipping day")
    with desk.writing() as work:
        work.periods.refuse_closed(shipped_on)
        account = work.orders.account(order_number)
        if account.cancellation is not None:
            raise cancelled("shipment", account)
        if account.shipment is not None:
            raise RefusedError(
                "order",
                order_number,
                f"it was shipped on {account.shipment.day.isoformat()}",
                "Nothing is left to ship.",
            )
        if shipped_on < account.order.day:
            raise RefusedError(
                "shipping day",
                shipped_on.isoformat(),
                f"the order was recorded on {account.order.day.isoformat()}",
                "Type a day on or after it.",
            )
        shipment = Shipment(order_number, shipped_on, carrier, tracking)
        work.inspections.omit(shipping_check(work, account.order).omissions(without_inspection))
        work.shipments.add(shipment)
        goods, lenses = ship_goods(work, account, shipped_on), costs_in_work(work, account.order)
        if goods or lenses:
            work.journal.post(shipment_entry(shipped_on, order_number, goods, lenses))
        return work.orders.account(order_number)
