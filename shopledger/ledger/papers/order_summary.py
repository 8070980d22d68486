"""An order with its prices for the customer: confirmed once it is recorded, quoted while it is not.

Neither is a receipt nor proves a payment, and both say so; a plan is served by the claim receipt alone.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines
from shopledger.ledger.parties import Customer, Shop
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class SummaryLine:
    """One line as priced, and what was given back of it."""

    description: str
    quantity: int
    list_price: Cents
    reduction: Cents
    net: Cents
    given_back: Cents = 0
    """Or taken off without money."""

    @property
    def kept(self) -> Cents:
        """What stands of it."""
        return self.net - self.given_back


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
    given_back: Cents = 0
    """What was given back of the total, or taken off it without money."""
    written_off: Cents = 0
    """What is owed no longer although it was not paid."""

    @property
    def stands(self) -> Cents:
        """What stands of the total."""
        return self.total - self.given_back


def order_confirmation(facts: OrderFacts) -> OrderSummary:
    """Give what the confirmation of a recorded order says, with what was paid on it so far."""
    account, order = facts.account, facts.account.order
    if order.number is None:
        raise RefusedError(
            "order", "not recorded", "only a recorded order is confirmed", "Record it, or print a quote."
        )
    going = replace(account, order=replace(order, ship_to=account.ship_to))
    summary = _summary(going, facts.shop, facts.customer, facts.names, day=order.day, valid_until=None)
    return replace(
        summary,
        paid=account.paid,
        balance=account.balance,
        refunded=account.refunded,
        written_off=account.written_off,
    )


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
    return _summary(OrderAccount(order), shop, customer, names, day=day, valid_until=valid_until)


def _summary(
    account: OrderAccount,
    shop: Shop,
    customer: Customer,
    names: OrderNames,
    *,
    day: date,
    valid_until: date | None,
) -> OrderSummary:
    """Give the order as it stands; what was taken out as a mistake is not shown."""
    order = account.order
    lines = [each for each in kept_lines(account) if not each.put_right]
    net, tax = sum(each.line.net for each in lines), sum(each.line.tax for each in lines)
    return OrderSummary(
        number=0 if valid_until else order.number or 0,
        day=day.isoformat(),
        valid_until=valid_until.isoformat() if valid_until else "",
        shop=shop_lines(shop),
        customer=customer.name,
        customer_lines=customer.address.lines,
        ship_to=order.ship_to.lines,
        groups=tuple(_groups(order, lines, names)),
        list_total=sum(each.line.list_price for each in lines),
        reduction_total=sum(each.line.reduction for each in lines),
        net_total=net,
        tax=tax,
        total=net + tax,
        paid=0,
        balance=net + tax,
        given_back=sum(each.given_back + each.tax_back for each in lines),
    )


def _groups(order: Order, lines: Sequence[KeptLine], names: OrderNames) -> Iterator[SummaryGroup]:
    """Give the lines pair by pair, then goods beside them, shipping last."""
    for pair in order.standing_pairs:
        if own := tuple(_lines(lines, pair.place, names)):
            yield SummaryGroup(pair.place, names.pair(order.worn(pair)), names.wearer(pair.wearer_number), own)
    if rest := tuple(_lines(lines, None, names)):
        yield SummaryGroup(0, "", "", rest)


def _lines(lines: Sequence[KeptLine], place: int | None, names: OrderNames) -> Iterator[SummaryLine]:
    """Give the lines of a pair; those of none with the name of whoever they are for."""
    of_group = [each for each in lines if each.line.pair == place]
    for each in sorted(of_group, key=lambda each: each.line.kind is LineKind.SHIPPING):
        line = each.line
        words = line.description
        if line.pair is None and line.wearer_number is not None:
            words = f"{words}, for {names.wearer(line.wearer_number)}"
        yield SummaryLine(words, line.quantity, line.list_price, line.reduction, line.net, each.given_back)
