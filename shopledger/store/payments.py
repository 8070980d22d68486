"""Payments on orders, refunds, shipments and cancellations: what happens to an order once it is posted."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.orders import Cancellation, Method, Payment, Refund, RefundPart, Shipment
from shopledger.store.refusals import DuplicateError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction


@dataclass(frozen=True, slots=True)
class Payments:
    """The payments of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, payment: Payment) -> Payment:
        """Post a payment; gives it back with its number."""
        number = self.transaction.next_number("payment")
        values = {
            "number": number,
            "order_number": payment.order_number,
            "day": day_text(payment.day),
            "amount": payment.amount,
            "method": payment.method.value,
            "reference": payment.reference,
            "deposit_number": payment.deposit_number,
        }
        self.transaction.add("payment", {**values, **self.transaction.stamp})
        return replace(payment, number=number)


@dataclass(frozen=True, slots=True)
class Shipments:
    """The shipments of the ledger; an order has one at most."""

    transaction: Transaction

    def add(self, shipment: Shipment) -> Shipment:
        """Post a shipment."""
        if self.transaction.row("shipment", order_number=shipment.order_number) is not None:
            raise DuplicateError("shipment", f"order {shipment.order_number}")
        values = {
            "order_number": shipment.order_number,
            "day": day_text(shipment.day),
            "carrier": shipment.carrier,
            "tracking": shipment.tracking,
        }
        self.transaction.add("shipment", {**values, **self.transaction.stamp})
        return shipment


@dataclass(frozen=True, slots=True)
class Refunds:
    """The refunds of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, refund: Refund) -> Refund:
        """Post a refund with its parts; gives it back with its number."""
        number = self.transaction.next_number("refund")
        values = {
            "number": number,
            "order_number": refund.order_number,
            "day": day_text(refund.day),
            "method": refund.method.value,
            "reference": refund.reference,
            "reason": refund.reason,
        }
        self.transaction.add("refund", {**values, **self.transaction.stamp})
        self.transaction.add("refund_part", *_part_values(number, refund))
        return replace(refund, number=number)

    def of_order(self, order_number: int) -> tuple[Refund, ...]:
        """Give an order's refunds, oldest first."""
        rows = self.transaction.rows("refund", {"order_number": order_number}, order=("number",))
        return tuple(self._whole(row) for row in rows)

    def _whole(self, row: Row[Any]) -> Refund:
        parts = self.transaction.rows("refund_part", {"refund_number": row.number}, order=("position",))
        return Refund(
            row.order_number,
            read_day(row.day),
            Method(row.method),
            row.reference,
            row.reason,
            tuple(RefundPart(part.line, part.net, part.tax, part.returned) for part in parts),
            row.number,
        )


@dataclass(frozen=True, slots=True)
class Cancellations:
    """The cancellations of the ledger; an order has one at most."""

    transaction: Transaction

    def add(self, cancellation: Cancellation) -> Cancellation:
        """Post a cancellation."""
        if self.of_order(cancellation.order_number) is not None:
            raise DuplicateError("cancellation", f"order {cancellation.order_number}")
        values = {
            "order_number": cancellation.order_number,
            "day": day_text(cancellation.day),
            "reason": cancellation.reason,
        }
        self.transaction.add("cancellation", {**values, **self.transaction.stamp})
        return cancellation

    def of_order(self, order_number: int) -> Cancellation | None:
        """Give an order's cancellation, or None."""
        row = self.transaction.row("cancellation", order_number=order_number)
        return Cancellation(row.order_number, read_day(row.day), row.reason) if row else None


def _part_values(number: int, refund: Refund) -> list[dict[str, object]]:
    return [
        {
            "refund_number": number,
            "position": place,
            "order_number": refund.order_number,
            "line": part.line,
            "net": part.net,
            "tax": part.tax,
            "returned": part.returned,
        }
        for place, part in enumerate(refund.parts, start=1)
    ]


def payment_of(row: Row[Any]) -> Payment:
    """Give the payment in a row."""
    return Payment(
        order_number=row.order_number,
        day=read_day(row.day),
        amount=row.amount,
        method=Method(row.method),
        reference=row.reference,
        deposit_number=row.deposit_number,
        number=row.number,
    )


def shipment_of(row: Row[Any]) -> Shipment:
    """Give the shipment in a row."""
    return Shipment(row.order_number, read_day(row.day), row.carrier, row.tracking)
