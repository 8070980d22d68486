"""One order's money shared over its wearers: each receipt's part, exact to the cent.

A part holds what a wearer's own lines come to; what belongs to nobody (accessories without a wearer) is a part
of its own under None. Shipping is shared in proportion to net charges. Each payment is shared in proportion to what
each part still owes, so no part is ever overpaid and all parts are clear when the order is. A refund belongs to the
lines it names; what it gives back of the shipping is shared in proportion to what is left of each part's share.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol, TypeVar

from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Payment, Refund, RefundPart
from shopledger.money.amount import Cents
from shopledger.money.split import split_by_weight

T = TypeVar("T")


class Charged(Protocol):
    """What sharing has to know of an order's line."""

    @property
    def kind(self) -> LineKind:
        """What is sold; shipping is shared by all."""

    @property
    def wearer_number(self) -> int | None:
        """Whose it is."""

    @property
    def net(self) -> Cents:
        """Its net charge."""

    @property
    def tax(self) -> Cents:
        """The tax on it."""


@dataclass(frozen=True, slots=True)
class LineSum:
    """A line of which nothing is told but what sharing has to know."""

    kind: LineKind
    wearer_number: int | None
    net: Cents
    tax: Cents


class OrderSums(NamedTuple):
    """An order's money, for who needs nothing else of it: much less to read than the order."""

    lines: Sequence[Charged]
    payments: Sequence[Cents]
    refunds: Sequence[Sequence[RefundPart]] = ()


class Share(NamedTuple):
    """What an order comes to for one wearer, with the share of each payment and refund."""

    wearer_number: int | None
    charges: Cents
    shipping: Cents
    tax: Cents
    payments: tuple[Cents, ...]
    refunds: tuple[Cents, ...]

    @property
    def paid(self) -> Cents:
        """What was paid on it."""
        return sum(self.payments)

    @property
    def refunded(self) -> Cents:
        """What was given back on it."""
        return sum(self.refunds)

    @property
    def kept(self) -> Cents:
        """What was paid on it and not given back."""
        return self.paid - self.refunded

    @property
    def balance(self) -> Cents:
        """What is still owed on it; a refund changes nothing here, since the charge falls by as much."""
        return self.charges + self.shipping + self.tax - self.paid


@dataclass(frozen=True, slots=True)
class Part:
    """One wearer's part of an order."""

    wearer_number: int | None
    lines: tuple[OrderLine, ...]
    shipping: Cents
    tax: Cents
    payments: tuple[tuple[Payment, Cents], ...]
    """Each payment with the share of it that is this part's."""
    refunds: tuple[tuple[Refund, Cents], ...] = ()
    """Each refund with the share of it that is this part's."""

    @property
    def charges_total(self) -> Cents:
        """Net charges of the part's lines."""
        return sum(line.net for line in self.lines)

    @property
    def total(self) -> Cents:
        """Charges, shipping and tax."""
        return self.charges_total + self.shipping + self.tax

    @property
    def paid(self) -> Cents:
        """What was paid on this part."""
        return sum(share for _, share in self.payments)

    @property
    def refunded(self) -> Cents:
        """What was given back on this part."""
        return sum(share for _, share in self.refunds)

    @property
    def kept(self) -> Cents:
        """What was paid on this part and not given back."""
        return self.paid - self.refunded

    @property
    def balance(self) -> Cents:
        """What is still owed on this part; a refund changes nothing here, since the charge falls by as much."""
        return self.total - self.paid


def parts_of(account: OrderAccount) -> tuple[Part, ...]:
    """Give every part of an order; their totals and payments add up to the order's."""
    order, payments, refunds = account.order, account.payments, account.refunds
    sums = OrderSums(order.lines, [each.amount for each in payments], [each.parts for each in refunds])
    return tuple(
        Part(
            share.wearer_number,
            _own_lines(order, share.wearer_number),
            share.shipping,
            share.tax,
            _shared(payments, share.payments),
            _shared(refunds, share.refunds),
        )
        for share in shares_of(sums)
    )


def part_for(account: OrderAccount, wearer_number: int) -> Part | None:
    """Give the part of one wearer, or None where the order holds nothing for that wearer."""
    return next((part for part in parts_of(account) if part.wearer_number == wearer_number), None)


def shares_of(order: OrderSums) -> tuple[Share, ...]:
    """Give what every part of an order comes to."""
    wearers = _wearers(order.lines)
    charges, taxes, shipping, shipping_tax = dict.fromkeys(wearers, 0), dict.fromkeys(wearers, 0), 0, 0
    for line in order.lines:
        if line.kind is LineKind.SHIPPING:
            shipping, shipping_tax = shipping + line.net, shipping_tax + line.tax
        else:
            charges[line.wearer_number] += line.net
            taxes[line.wearer_number] += line.tax
    weights = list(charges.values())
    carried, carried_tax = split_by_weight(shipping, weights), split_by_weight(shipping_tax, weights)
    tax = [own + more for own, more in zip(taxes.values(), carried_tax, strict=True)]
    owed = [sum(each) for each in zip(weights, carried, tax, strict=True)]
    paid = _payment_shares(order.payments, owed)
    back = _refund_shares(order, wearers, [list(carried), list(carried_tax)])
    return tuple(
        Share(wearer, charge, ship, own, tuple(each[place] for each in paid), tuple(each[place] for each in back))
        for place, (wearer, charge, ship, own) in enumerate(zip(wearers, weights, carried, tax, strict=True))
    )


def _wearers(lines: Iterable[Charged]) -> tuple[int | None, ...]:
    met = {line.wearer_number for line in lines if line.kind is not LineKind.SHIPPING}
    return tuple(sorted(met, key=lambda number: (number is None, number or 0)))


def _own_lines(order: Order, wearer: int | None) -> tuple[OrderLine, ...]:
    return tuple(line for line in order.lines if line.kind is not LineKind.SHIPPING and line.wearer_number == wearer)


def _shared(entries: Iterable[T], shares: Iterable[Cents]) -> tuple[tuple[T, Cents], ...]:
    """Give each entry with its share, where that is not nothing."""
    return tuple((entry, share) for entry, share in zip(entries, shares, strict=True) if share)


def _payment_shares(payments: Iterable[Cents], totals: Sequence[Cents]) -> list[tuple[Cents, ...]]:
    owed = list(totals)
    shares: list[tuple[Cents, ...]] = []
    for payment in payments:
        share = split_by_weight(payment, owed)
        owed = [rest - part for rest, part in zip(owed, share, strict=True)]
        shares.append(share)
    return shares


def _refund_shares(order: OrderSums, wearers: Sequence[int | None], left: list[list[Cents]]) -> list[tuple[Cents, ...]]:
    """Give each part's share of each refund; `left` holds what each part's shipping and its tax can still give back."""
    shares: list[tuple[Cents, ...]] = []
    for refund in order.refunds:
        share = [0] * len(wearers)
        for part in refund:
            line = order.lines[part.line - 1]
            if line.kind is not LineKind.SHIPPING:
                share[wearers.index(line.wearer_number)] += part.net + part.tax
                continue
            for at, amount in enumerate((part.net, part.tax)):
                taken = split_by_weight(amount, left[at])
                left[at] = [rest - some for rest, some in zip(left[at], taken, strict=True)]
                share = [sum(both) for both in zip(share, taken, strict=True)]
        shares.append(tuple(share))
    return shares
