"""An order with its prices for the customer: confirmed once it is recorded, quoted while it is not.

Neither is a receipt nor proves a payment, and both say so; a plan is served by the claim receipt alone.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parties import Customer, Shop
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One line as priced."""

    description: str
    quantity: int
    list_price: Cents
    reduction: Cents
    net: Cents


@dataclass(frozen=True, slots=True)
class SummaryGroup:
    """The lines of one pair under its heading, or those of no pair; `position` is then 0 and the title empty."""

    position: int
    title: str
    wearer: str
    lines: tuple[SummaryLine, ...]


@dataclass(frozen=True, slots=True)
class OrderSummary:
    """Everything on a confirmation or a quote. Days are ISO text, amounts whole cents, absent things empty text."""

    number: int
    """The order's number; 0 on a quote, which has none."""
    day: str
    valid_until: str
    """Last day of a quote; empty on a confirmation."""
    shop: ShopLines
    customer: str
    customer_lines: tuple[str, ...]
    ship_to: tuple[str, ...]
    groups: tuple[SummaryGroup, ...]
    list_total: Cents
    reduction_total: Cents
    net_total: Cents
    tax: Cents
    total: Cents
    paid: Cents
    balance: Cents
    refunded: Cents = 0
    """What was given back of the payments so far."""


def order_confirmation(facts: OrderFacts) -> OrderSummary:
    """Give what the confirmation of a recorded order says, with what was paid on it so far."""
    account, order = facts.account, facts.account.order
    if order.number is None:
        raise RefusedError(
            "order", "not recorded", "only a recorded order is confirmed", "Record it, or print a quote."
        )
    summary = _summary(
        order, facts.shop, facts.customer, facts.names, paid=account.paid, day=order.day, valid_until=None
    )
    return replace(summary, refunded=account.refunded)


def quote(
    order: Order, shop: Shop, customer: Customer, names: OrderNames, *, day: date, valid_until: date
) -> OrderSummary:
    """Give what a quote says of an order that is priced and not recorded."""
    if valid_until < day:
        raise RefusedError(
            "valid until",
            valid_until.isoformat(),
            f"it lies before the quote's day, {day.isoformat()}",
            "Give a later day.",
        )
    return _summary(order, shop, customer, names, paid=0, day=day, valid_until=valid_until)


def _summary(
    order: Order,
    shop: Shop,
    customer: Customer,
    names: OrderNames,
    *,
    paid: Cents,
    day: date,
    valid_until: date | None,
) -> OrderSummary:
    return OrderSummary(
        number=0 if valid_until else order.number or 0,
        day=day.isoformat(),
        valid_until=valid_until.isoformat() if valid_until else "",
        shop=shop_lines(shop),
        customer=customer.name,
        customer_lines=customer.address.lines,
        ship_to=order.ship_to.lines,
        groups=tuple(_groups(order, names)),
        list_total=order.list_total,
        reduction_total=order.reduction_total,
        net_total=order.net_total,
        tax=order.tax_total,
        total=order.total,
        paid=paid,
        balance=order.total - paid,
    )


def _groups(order: Order, names: OrderNames) -> Iterator[SummaryGroup]:
    """Give the lines pair by pair, then goods beside them, shipping last."""
    for pair in order.standing_pairs:
        lines = tuple(_lines(order, pair.place))
        yield SummaryGroup(pair.place, names.pair(order.worn(pair)), names.wearer(pair.wearer_number), lines)
    if rest := tuple(_lines(order, None)):
        yield SummaryGroup(0, "", "", rest)


def _lines(order: Order, place: int | None) -> Iterator[SummaryLine]:
    of_group = [line for line in order.lines if line.pair == place]
    for line in sorted(of_group, key=lambda line: line.kind is LineKind.SHIPPING):
        yield SummaryLine(line.description, line.quantity, line.list_price, line.reduction, line.net)
