"""Payments on orders, and their shipments."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any

from sqlalchemy import Row

from shopledger.ledger.orders import Method, Payment, Shipment
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


def payment_of(row: Row[Any]) -> Payment:
    """Give the payment in a row."""
    return Payment(row.order_number, read_day(row.day), row.amount, Method(row.method), row.reference, row.number)


def shipment_of(row: Row[Any]) -> Shipment:
    """Give the shipment in a row."""
    return Shipment(row.order_number, read_day(row.day), row.carrier, row.tracking)
