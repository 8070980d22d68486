"""One order's money shared over its wearers: each receipt's part, exact to the cent.

A part holds what a wearer's own lines come to; what belongs to nobody (accessories without a wearer) is a part
of its own under None. Shipping is shared in proportion to net charges. Each payment is shared in proportion to what
each part still owes, so no part is ever overpaid and all parts are clear when the order is. A refund belongs to the
lines it names; what it gives back of the shipping is shared in proportion to what is left of each part's share.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Payment, Refund
from shopledger.money.amount import Cents
from shopledger.money.split import split_by_weight


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
    order = account.order
    wearers = _wearers(order)
    own = [_own_lines(order, wearer) for wearer in wearers]
    carried = [line for line in order.lines if line.kind is LineKind.SHIPPING]
    weights = [sum(line.net for line in lines) for lines in own]
    shipping = split_by_weight(sum(line.net for line in carried), weights)
    shipping_tax = split_by_weight(sum(line.tax for line in carried), weights)
    taxes = [sum(line.tax for line in lines) + tax for lines, tax in zip(own, shipping_tax, strict=True)]
    totals = [weight + ship + tax for weight, ship, tax in zip(weights, shipping, taxes, strict=True)]
    shares = _payment_shares(account.payments, totals)
    back = _refund_shares(account, wearers, [list(shipping), list(shipping_tax)])
    return tuple(
        Part(
            wearer,
            own[place],
            shipping[place],
            taxes[place],
            tuple(
                (payment, share[place]) for payment, share in zip(account.payments, shares, strict=True) if share[place]
            ),
            tuple((refund, share[place]) for refund, share in zip(account.refunds, back, strict=True) if share[place]),
        )
        for place, wearer in enumerate(wearers)
    )


def part_for(account: OrderAccount, wearer_number: int) -> Part | None:
    """Give the part of one wearer, or None where the order holds nothing for that wearer."""
    return next((part for part in parts_of(account) if part.wearer_number == wearer_number), None)


def _wearers(order: Order) -> tuple[int | None, ...]:
    met = dict.fromkeys(line.wearer_number for line in order.lines if line.kind is not LineKind.SHIPPING)
    return tuple(sorted(met, key=lambda number: (number is None, number or 0)))


def _own_lines(order: Order, wearer: int | None) -> tuple[OrderLine, ...]:
    return tuple(line for line in order.lines if line.kind is not LineKind.SHIPPING and line.wearer_number == wearer)


def _payment_shares(payments: Iterable[Payment], totals: Sequence[Cents]) -> list[tuple[Cents, ...]]:
    owed = list(totals)
    shares: list[tuple[Cents, ...]] = []
    for payment in payments:
        share = split_by_weight(payment.amount, owed)
        owed = [rest - part for rest, part in zip(owed, share, strict=True)]
        shares.append(share)
    return shares


def _refund_shares(
    account: OrderAccount, wearers: Sequence[int | None], left: list[list[Cents]]
) -> list[tuple[Cents, ...]]:
    """Give each part's share of each refund; `left` holds what each part's shipping and its tax can still give back."""
    lines = account.order.lines
    shares: list[tuple[Cents, ...]] = []
    for refund in account.refunds:
        share = [0] * len(wearers)
        for part in refund.parts:
            line = lines[part.line - 1]
            if line.kind is not LineKind.SHIPPING:
                share[wearers.index(line.wearer_number)] += part.net + part.tax
                continue
            for at, amount in enumerate((part.net, part.tax)):
                taken = split_by_weight(amount, left[at])
                left[at] = [rest - some for rest, some in zip(left[at], taken, strict=True)]
                share = [sum(both) for both in zip(share, taken, strict=True)]
        shares.append(tuple(share))
    return shares
