"""What payments carry of an order besides goods: sales tax and shipping, for the books as money came and went.

A payment on an order to which nothing was put right carries its proportion of the lines of the sale, all that was paid
so far less what went before, rounded half up. Once something is put right, what stands paid carries its proportion of
the order as it is then; each payment and each correction from there on carries what is new of that. So all of them
together carry exactly what the order does, and what a closed month says of its payments never changes. What a refund
gives back of the tax is its own, and no part of this.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import astuple, dataclass

from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderAccount, OrderLine
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away


@dataclass(frozen=True, slots=True)
class PaidShare:
    """What a payment carries, or a correction takes of what payments carry, below zero."""

    tax: Cents = 0
    """Sales tax laid on the buyer."""
    sellers_tax: Cents = 0
    """Sales tax laid on the seller."""
    shipping: Cents = 0

    def __bool__(self) -> bool:
        """Tell whether there is anything."""
        return self != PaidShare()


def newest_share(account: OrderAccount, kept: Iterable[PaidShare]) -> PaidShare:
    """Give what the newest payment or correction carries of an order that was put right; `kept` is what others do."""
    lines = account.order.lines
    sold = [_Charged.of(line, line.net, line.tax) for line in lines if line.added_by is None]
    first = account.corrections[0].after_payment
    paid = sum(each.amount for each in account.payments if (each.number or 0) <= first)
    before = (_carried(sold, paid), *kept)
    return _less(_carried(_as_it_is(account), account.paid), before)


@dataclass(frozen=True, slots=True)
class _Charged:
    """What a line charges, or below zero what of it gave way."""

    total: Cents
    carried: PaidShare

    @classmethod
    def of(cls, line: OrderLine, net: Cents, tax: Cents) -> _Charged:
        """Tell taxes apart by whom they are laid on, and shipping from goods."""
        buyers = line.tax_imposed_on is ImposedOn.BUYER
        shipping = net if line.kind is LineKind.SHIPPING else 0
        return cls(net + tax, PaidShare(tax if buyers else 0, 0 if buyers else tax, shipping))


def _as_it_is(account: OrderAccount) -> list[_Charged]:
    """Give what the lines of an order charge now, with those that were added and without what gave way."""
    lines = account.order.lines
    parts = (part for each in account.corrections for part in each.parts)
    return [
        *(_Charged.of(line, line.net, line.tax) for line in lines),
        *(_Charged.of(lines[part.line - 1], -part.net, -part.tax) for part in parts),
    ]


def _carried(charged: Iterable[_Charged], paid: Cents) -> PaidShare:
    """Give what so much of what is charged carries."""
    listed = list(charged)
    total = sum(each.total for each in listed)
    if not total:
        return PaidShare()
    sums = (sum(amounts) for amounts in zip(*(astuple(each.carried) for each in listed), strict=True))
    return PaidShare(*(round_half_away(amount * paid, total) for amount in sums))


def _less(whole: PaidShare, others: Iterable[PaidShare]) -> PaidShare:
    rest = list(astuple(whole))
    for other in others:
        rest = [amount - part for amount, part in zip(rest, astuple(other), strict=True)]
    return PaidShare(*rest)
