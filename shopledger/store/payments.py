"""Payments on orders, refunds and cancellations: what happens to an order once it is posted."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Final

from sqlalchemy import and_

from shopledger.ledger.corrections import LinePart
from shopledger.ledger.orders import Cancellation, Payment, Refund
from shopledger.ledger.sharing import PaymentSum
from shopledger.store.records import Record
from shopledger.store.refusals import DuplicateError, NumberUnknownError
from shopledger.store.tables import payments as tables
from shopledger.store.tables.corrections import payment_origin, refund_part_side
from shopledger.store.tables.year_lists import refund_credit
from shopledger.store.transaction import Area

PAYMENT: Final = Record(
    Payment,
    tables.payment,
    {"moved_from": payment_origin.c.moved_from, "corrects": payment_origin.c.corrects},
    source=tables.payment.outerjoin(payment_origin, payment_origin.c.payment_number == tables.payment.c.number),
)
PAYMENT_SUM: Final = Record(PaymentSum, tables.payment, only_read=True)
REFUND: Final = Record(Refund, tables.refund, parts=("parts",))
REFUND_PART: Final = Record(
    LinePart,
    tables.refund_part,
    {"side": refund_part_side.c.side},
    also=("refund_number", "order_number"),
    source=tables.refund_part.outerjoin(
        refund_part_side,
        and_(
            refund_part_side.c.refund_number == tables.refund_part.c.refund_number,
            refund_part_side.c.position == tables.refund_part.c.position,
        ),
    ),
)
CANCELLATION: Final = Record(Cancellation, tables.cancellation)


class Payments(Area):
    """The payments of the ledger; none is ever changed."""

    def add(self, payment: Payment) -> Payment:
        """Post a payment; gives it back with its number."""
        posted = self.transaction.post(PAYMENT, payment)
        origin = {"moved_from": posted.moved_from, "corrects": posted.corrects}
        if any(origin.values()):
            self.transaction.add(payment_origin, {"payment_number": posted.number, **origin})
        return posted

    def get(self, number: int) -> Payment:
        """Give the payment with that number."""
        return self.transaction.get(PAYMENT, number)

    def of_orders(self, numbers: list[int]) -> Mapping[int, tuple[Payment, ...]]:
        """Give the payments of each order, oldest first."""
        payment = tables.payment.c
        return self.transaction.groups(
            PAYMENT, payment.order_number, {payment.order_number: numbers}, (payment.number,)
        )

    def moved_from(self, number: int) -> tuple[Payment, ...]:
        """Give the payments on other orders to which parts of a payment were moved, oldest first."""
        return self.transaction.all(PAYMENT, {payment_origin.c.moved_from: number}, (tables.payment.c.number,))

    def sums_of_orders(self, numbers: list[int]) -> Mapping[int, tuple[PaymentSum, ...]]:
        """Give what was paid on each order, oldest payment first."""
        payment = tables.payment.c
        where = {payment.order_number: numbers}
        return self.transaction.groups(PAYMENT_SUM, payment.order_number, where, (payment.number,))


class Refunds(Area):
    """The refunds of the ledger; none is ever changed."""

    def add(self, refund: Refund) -> Refund:
        """Post a refund with its parts; gives it back with its number."""
        posted = self.transaction.post(REFUND, refund)
        own = {"refund_number": posted.number, "order_number": posted.order_number}
        self.transaction.put(REFUND_PART, *posted.parts, **own)
        sides = ((place, part.side) for place, part in enumerate(posted.parts, start=1) if part.side)
        rows = ({"refund_number": posted.number, "position": place, "side": side} for place, side in sides)
        self.transaction.add(refund_part_side, *rows)
        return posted

    def keep_credit(self, number: int, deposit_number: int) -> None:
        """Note in which deposit waits what a refund gave back as credit."""
        self.transaction.add(refund_credit, {"refund_number": number, "deposit_number": deposit_number})

    def of_credit(self, deposit_number: int) -> int | None:
        """Give the number of the refund that a credit came from; None of a deposit that was paid."""
        found = self.transaction.lists(
            refund_credit.c.refund_number,
            refund_credit.c.deposit_number,
            {refund_credit.c.deposit_number: deposit_number},
        )
        return next(iter(found[deposit_number]), None)

    def get(self, number: int) -> Refund:
        """Give the refund with that number."""
        refund = tables.refund.c
        orders = self.transaction.lists(refund.order_number, refund.number, {refund.number: number})
        if not orders:
            raise NumberUnknownError("refund", number)
        return next(each for each in self.of_order(orders[number][0]) if each.number == number)

    def of_order(self, order_number: int) -> tuple[Refund, ...]:
        """Give an order's refunds, oldest first."""
        return self.of_orders([order_number])[order_number]

    def of_orders(self, numbers: list[int]) -> Mapping[int, tuple[Refund, ...]]:
        """Give the refunds of each order, oldest first."""
        refund, part = tables.refund.c, tables.refund_part.c
        parts = self.transaction.groups(REFUND_PART, part.refund_number, {part.order_number: numbers}, (part.position,))
        found: dict[int, tuple[Refund, ...]] = defaultdict(tuple)
        if parts:
            told = (refund.order_number, refund.number)
            for (order_number, number), made in self.transaction.unfinished(
                REFUND, told, {refund.order_number: numbers}, (refund.number,)
            ):
                found[order_number] += (made(parts=parts[number]),)
        return found


class Cancellations(Area):
    """The cancellations of the ledger; an order has one at most."""

    def add(self, cancellation: Cancellation) -> Cancellation:
        """Post a cancellation."""
        if self.of_order(cancellation.order_number) is not None:
            raise DuplicateError("cancellation", f"order {cancellation.order_number}")
        self.transaction.put(CANCELLATION, cancellation)
        return cancellation

    def of_order(self, order_number: int) -> Cancellation | None:
        """Give an order's cancellation, or None."""
        return self.of_orders([order_number]).get(order_number)

    def of_orders(self, numbers: list[int]) -> Mapping[int, Cancellation]:
        """Give the cancellations of those orders that were taken back."""
        found = self.transaction.all(CANCELLATION, {tables.cancellation.c.order_number: numbers})
        return {cancellation.order_number: cancellation for cancellation in found}
