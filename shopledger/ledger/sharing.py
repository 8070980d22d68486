"""One order's money shared over its wearers: each receipt's part, exact to the cent.

A part holds what a wearer's own lines come to; what belongs to nobody (accessories without a wearer) is a part
of its own under None. Shipping is shared in proportion to net charges. Each payment is shared in proportion to what
each part still owes, so no part is ever overpaid and all parts are clear when the order is. A refund or a correction
belongs to the lines it names; what it takes off the shipping is shared in proportion to what is left of each part's
share.

What was put right counts as if the order had been so from the beginning; what was reduced or exchanged counts from its
place among the payments on. A payment that stands no longer is taken from the parts as it was shared.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from typing import NamedTuple, Protocol, TypeVar

from shopledger.ledger.corrections import FROM_THEN_ON, CorrectionKind, LinePart
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Order, OrderAccount, OrderLine, Payment, Refund
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

    @property
    def added_by(self) -> int | None:
        """Number of the correction that added it."""


class Gives(Protocol):
    """What sharing has to know of a refund."""

    @property
    def number(self) -> int | None:
        """Its number."""

    @property
    def parts(self) -> tuple[LinePart, ...]:
        """What each line gives."""


class Corrects(Gives, Protocol):
    """What sharing has to know of a correction."""

    @property
    def kind(self) -> CorrectionKind:
        """What is put right."""

    @property
    def payment_number(self) -> int | None:
        """The payment that it changes."""

    @property
    def after_payment(self) -> int:
        """Where it stands among the payments."""

    @property
    def after_refund(self) -> int:
        """Where it stands among the refunds."""

    @property
    def taken_from_paid(self) -> Cents:
        """By how much less was paid."""

    @property
    def written_off(self) -> Cents:
        """By how much less is to be paid."""


@dataclass(frozen=True, slots=True)
class LineSum:
    """A line of which nothing is told but what sharing has to know."""

    kind: LineKind
    wearer_number: int | None
    net: Cents
    tax: Cents
    added_by: int | None = None


@dataclass(frozen=True, slots=True)
class PaymentSum:
    """A payment of which nothing is told but what sharing has to know."""

    number: int
    amount: Cents


class OrderSums(NamedTuple):
    """An order's money, for who needs nothing else of it: much less to read than the order."""

    lines: Sequence[Charged]
    payments: Sequence[PaymentSum]
    refunds: Sequence[Gives] = ()
    corrections: Sequence[Corrects] = ()
    made_again: Order | None = None
    """The whole order where a job of it was made in the place of another, so that somebody wears other glasses."""


class Effect(NamedTuple):
    """What a correction changes of one part."""

    given_way: Cents = 0
    """What its lines give way, tax and shipping included."""
    unpaid: Cents = 0
    """By how much less was paid on it; below zero where money came again."""
    written_off: Cents = 0
    moved: Cents = 0
    """What was paid on others and counts for it now, below zero the other way round; only where that is asked for."""


class Share(NamedTuple):
    """What an order comes to for one wearer, with the share of each payment, refund and correction."""

    wearer_number: int | None
    charges: Cents
    shipping: Cents
    tax: Cents
    payments: tuple[Cents, ...]
    refunds: tuple[Cents, ...]
    corrections: tuple[Effect, ...] = ()
    shipping_back: Cents = 0
    """What was taken off its share of the shipping: given back, or without money."""
    shipping_tax_back: Cents = 0
    """And of the tax on that."""

    @property
    def paid(self) -> Cents:
        """What was paid on it and stands."""
        return sum(self.payments) - sum(each.unpaid - each.moved for each in self.corrections)

    @property
    def refunded(self) -> Cents:
        """What was given back on it."""
        return sum(self.refunds)

    @property
    def kept(self) -> Cents:
        """What was paid on it and not given back."""
        return self.paid - self.refunded

    @property
    def given_way(self) -> Cents:
        """What its lines gave way without money."""
        return sum(each.given_way for each in self.corrections)

    @property
    def written_off(self) -> Cents:
        """What of it will not be paid."""
        return sum(each.written_off for each in self.corrections)

    @property
    def total(self) -> Cents:
        """Charges, shipping and tax."""
        return self.charges + self.shipping + self.tax

    @property
    def balance(self) -> Cents:
        """What is still owed on it; a refund changes nothing here, since the charge falls by as much."""
        return self.total - self.given_way - self.paid - self.written_off


@dataclass(frozen=True, slots=True)
class Part:
    """One wearer's part of an order."""

    lines: tuple[OrderLine, ...]
    share: Share
    payments: tuple[tuple[Payment, Cents], ...]
    """Each payment with the share of it that is this part's and stands."""
    refunds: tuple[tuple[Refund, Cents], ...] = ()
    """Each refund with the share of it that is this part's."""

    @property
    def wearer_number(self) -> int | None:
        """Whose it is."""
        return self.share.wearer_number

    @property
    def whom(self) -> str:
        """Whose it is, as sentences say it."""
        return f"wearer {self.wearer_number}" if self.wearer_number else "nobody in particular"

    @property
    def shipping(self) -> Cents:
        """Its share of the shipping."""
        return self.share.shipping

    @property
    def tax(self) -> Cents:
        """The tax on its lines and on that."""
        return self.share.tax

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
        """What was paid on this part and stands."""
        return self.share.paid

    @property
    def refunded(self) -> Cents:
        """What was given back on this part."""
        return self.share.refunded

    @property
    def kept(self) -> Cents:
        """What was paid on this part and not given back."""
        return self.share.kept

    @property
    def balance(self) -> Cents:
        """What is still owed on this part; a refund changes nothing here, since the charge falls by as much."""
        return self.share.balance


def parts_of(account: OrderAccount) -> tuple[Part, ...]:
    """Give every part of an order; their totals and payments add up to the order's."""
    order, payments, refunds = account.order, account.payments, account.refunds
    sums = sums_of(account)
    return tuple(
        Part(
            _own_lines(order, share.wearer_number),
            share,
            _shared(payments, standing_shares(sums, share)),
            _shared(refunds, share.refunds),
        )
        for share in shares_of(sums)
    )


def sums_of(account: OrderAccount) -> OrderSums:
    """Give of an order what sharing has to know."""
    return OrderSums(
        account.order.lines,
        [PaymentSum(each.number or 0, each.amount) for each in account.payments],
        account.refunds,
        account.corrections,
    )


def part_for(account: OrderAccount, wearer_number: int | None) -> Part | None:
    """Give the part of one wearer, or of nobody in particular; None where the order holds nothing of the kind."""
    return next((part for part in parts_of(account) if part.wearer_number == wearer_number), None)


def shares_of(order: OrderSums, *, evened: bool = False) -> tuple[Share, ...]:
    """Give what every part of an order comes to.

    Where they are `evened`, what was paid on a part that gave way later counts for those that still owe: so it is with
    the lines of one wearer, and not with wearers.
    """
    wearers = _wearers(order.lines)
    charges, taxes = dict.fromkeys(wearers, 0), dict.fromkeys(wearers, 0)
    for line in order.lines:
        if line.kind is not LineKind.SHIPPING:
            charges[line.wearer_number] += line.net
            taxes[line.wearer_number] += line.tax
    if not order.corrections and not order.refunds:
        return _as_sold(order, charges, taxes)
    carried, carried_tax = _carried(order, wearers)
    tax = [own + more for own, more in zip(taxes.values(), carried_tax, strict=True)]
    weights = list(charges.values())
    left = [list(carried), list(carried_tax)]
    back, way = _line_shares(order, wearers, left)
    owed = [sum(each) for each in zip(weights, carried, tax, strict=True)]
    still = _StillOwed(order, _owed_at_first(order, wearers, owed, way), evened=evened)
    paid, effects = _payment_shares(order, still, way)
    return tuple(
        Share(
            wearer,
            charge,
            ship,
            own,
            tuple(each[place] for each in paid),
            tuple(each[place] for each in back),
            tuple(each[place] for each in effects),
            ship - left[0][place],
            carried_tax[place] - left[1][place],
        )
        for place, (wearer, charge, ship, own) in enumerate(zip(wearers, weights, carried, tax, strict=True))
    )


def _as_sold(
    order: OrderSums, charges: Mapping[int | None, Cents], taxes: Mapping[int | None, Cents]
) -> tuple[Share, ...]:
    """Give the shares of an order to which nothing but payments happened: nearly all are so, and lists ask for many."""
    shipping = [line for line in order.lines if line.kind is LineKind.SHIPPING]
    weights = list(charges.values())
    carried = split_by_weight(sum(line.net for line in shipping), weights)
    tax = [
        own + more
        for own, more in zip(taxes.values(), split_by_weight(sum(line.tax for line in shipping), weights), strict=True)
    ]
    owed = [sum(each) for each in zip(weights, carried, tax, strict=True)]
    paid: list[tuple[Cents, ...]] = []
    for payment in order.payments:
        paid.append(split_by_weight(payment.amount, owed))
        owed = [rest - share for rest, share in zip(owed, paid[-1], strict=True)]
    parts = zip(charges.items(), carried, tax, strict=True)
    return tuple(
        Share(wearer, charge, ship, own, tuple(each[place] for each in paid), ())
        for place, ((wearer, charge), ship, own) in enumerate(parts)
    )


def _wearers(lines: Iterable[Charged]) -> tuple[int | None, ...]:
    met = {line.wearer_number for line in lines if line.kind is not LineKind.SHIPPING}
    return tuple(sorted(met, key=lambda number: (number is None, number or 0)))


def _own_lines(order: Order, wearer: int | None) -> tuple[OrderLine, ...]:
    return tuple(line for line in order.lines if line.kind is not LineKind.SHIPPING and line.wearer_number == wearer)


def _shared(entries: Iterable[T], shares: Iterable[Cents]) -> tuple[tuple[T, Cents], ...]:
    """Give each entry with its share, where that is not nothing."""
    return tuple((entry, share) for entry, share in zip(entries, shares, strict=True) if share)


def standing_shares(order: OrderSums, share: Share) -> Iterator[Cents]:
    """Give what stands of each payment's share."""
    for payment, paid in zip(order.payments, share.payments, strict=True):
        gone = zip(order.corrections, share.corrections, strict=True)
        yield paid - sum(effect.unpaid for each, effect in gone if each.payment_number == payment.number)


def _carried(order: OrderSums, wearers: Sequence[int | None]) -> tuple[tuple[Cents, ...], tuple[Cents, ...]]:
    """Give each part's share of the shipping and of the tax on it, in proportion to the charges as put right.

    What was exchanged later changes nobody's share. Shipping of an order of which all was taken out stays where the
    charges were.
    """
    right = {each.number for each in order.corrections if each.kind is CorrectionKind.PUT_RIGHT}
    weights, gross = dict.fromkeys(wearers, 0), dict.fromkeys(wearers, 0)
    shipping = tax = 0
    for line in order.lines:
        if line.kind is LineKind.SHIPPING:
            shipping, tax = shipping + line.net, tax + line.tax
        elif line.added_by is None or line.added_by in right:
            weights[line.wearer_number] += line.net
            gross[line.wearer_number] += line.net
    for each in order.corrections:
        if each.number in right:
            for part in each.parts:
                line = order.lines[part.line - 1]
                if line.kind is not LineKind.SHIPPING and (line.added_by is None or line.added_by in right):
                    weights[line.wearer_number] -= part.net
    by = list(weights.values()) if any(weights.values()) else list(gross.values())
    return split_by_weight(shipping, by), split_by_weight(tax, by)


def _line_shares(
    order: OrderSums, wearers: Sequence[int | None], left: list[list[Cents]]
) -> tuple[list[list[Cents]], list[list[Cents]]]:
    """Give each part's share of each refund, and of what each correction's lines give way.

    `left` holds what each part's shipping and its tax can still give; refunds and corrections take of it in turn.
    """
    back: list[list[Cents]] = []
    way: list[list[Cents]] = []
    for kind, parts in in_turn(order.refunds, order.corrections):
        share = [0] * len(wearers)
        (back if kind is None else way).append(share)
        for part in parts:
            line = order.lines[part.line - 1]
            if line.kind is not LineKind.SHIPPING:
                share[wearers.index(line.wearer_number)] += part.net + part.tax
                continue
            for at, amount in enumerate((part.net, part.tax)):
                taken = split_by_weight(amount, left[at])
                left[at] = [rest - some for rest, some in zip(left[at], taken, strict=True)]
                share[:] = [sum(both) for both in zip(share, taken, strict=True)]
    return back, way


def in_turn(
    refunds: Sequence[Gives], corrections: Sequence[Corrects]
) -> Iterator[tuple[CorrectionKind | None, Sequence[LinePart]]]:
    """Give what lines gave by each refund and each correction, as they came after one another; a refund has no kind."""
    waiting = list(corrections)
    for refund in refunds:
        while waiting and waiting[0].after_refund < (refund.number or 0):
            correction = waiting.pop(0)
            yield correction.kind, correction.parts
        yield None, refund.parts
    yield from ((correction.kind, correction.parts) for correction in waiting)


def _owed_at_first(
    order: OrderSums, wearers: Sequence[int | None], whole: Sequence[Cents], way: Sequence[Sequence[Cents]]
) -> list[Cents]:
    """Give what each part owes before anything is paid: as put right, without what was exchanged or reduced later."""
    owed = list(whole)
    for each, share in zip(order.corrections, way, strict=True):
        if each.kind is CorrectionKind.PUT_RIGHT:
            owed = [rest - some for rest, some in zip(owed, share, strict=True)]
            for place, amount in _of_exchanged(order, wearers, each):
                owed[place] += amount
        if each.kind in FROM_THEN_ON:
            for place, amount in _added(order, wearers, each):
                owed[place] -= amount
    return owed


def _added(order: OrderSums, wearers: Sequence[int | None], correction: Corrects) -> Iterator[tuple[int, Cents]]:
    """Give what a correction added, line by line, each with the place of its part; shipping counts from the start."""
    for line in order.lines:
        if line.added_by == correction.number and line.kind is not LineKind.SHIPPING:
            yield wearers.index(line.wearer_number), line.net + line.tax


def _of_exchanged(order: OrderSums, wearers: Sequence[int | None], correction: Corrects) -> Iterator[tuple[int, Cents]]:
    """Give what a correction takes of lines that came in by an exchange: they owe nothing before that."""
    later = {each.number for each in order.corrections if each.kind in FROM_THEN_ON}
    for part in correction.parts:
        line = order.lines[part.line - 1]
        if line.added_by in later and line.kind is not LineKind.SHIPPING:
            yield wearers.index(line.wearer_number), part.net + part.tax


def _payment_shares(
    order: OrderSums, still: _StillOwed, way: Sequence[Sequence[Cents]]
) -> tuple[list[tuple[Cents, ...]], list[list[Effect]]]:
    """Give each part's share of each payment, and what each correction changes of it, in turn."""
    waiting = list(zip(order.corrections, way, strict=True))
    for payment in order.payments:
        while waiting and waiting[0][0].after_payment < payment.number:
            still.correct(*waiting.pop(0))
        still.pay(payment)
    for correction, share in waiting:
        still.correct(correction, share)
    return [tuple(each) for each in still.paid], still.effects


class _StillOwed:
    """What each part still owes, while payments and corrections are gone through."""

    def __init__(self, order: OrderSums, owed: list[Cents], *, evened: bool) -> None:
        self._order = order
        self._wearers = _wearers(order.lines)
        self._owed = owed
        self._evens = evened
        self._stands: dict[int | None, list[Cents]] = {}
        """What stands of each payment, and of what was written off under None, by part."""
        self._gone: dict[int | None, list[Cents]] = {}
        """What was taken from each payment, by part."""
        self.paid: list[list[Cents]] = []
        self.effects: list[list[Effect]] = []

    def pay(self, payment: PaymentSum) -> None:
        """Share a payment in proportion to what each part still owes."""
        share = self._by_owed(payment.amount)
        self._stands[payment.number] = list(share)
        self.paid.append(list(share))
        self._less(share)

    def correct(self, correction: Corrects, way: Sequence[Cents]) -> None:
        """Share what a correction changes."""
        if correction.kind in FROM_THEN_ON:
            self._exchange(correction)
        if correction.kind in {*FROM_THEN_ON, CorrectionKind.REDUCED}:
            self._less(way)
        if correction.kind is CorrectionKind.PUT_RIGHT:
            for place, amount in _of_exchanged(self._order, self._wearers, correction):
                self._owed[place] -= amount
        unpaid, off = self._unpaid(correction), self._written_off(correction)
        self._less([-each for each in unpaid])
        self._less(off)
        moved = self._evened() if self._evens else [0] * len(self._owed)
        self.effects.append([Effect(*each) for each in zip(way, unpaid, off, moved, strict=True)])

    def _unpaid(self, correction: Corrects) -> list[Cents]:
        """Take back what stands of a payment as it was shared, or give again what was taken."""
        nothing = [0] * len(self._owed)
        stands = self._stands.get(correction.payment_number, nothing)
        gone = self._gone.setdefault(correction.payment_number, list(nothing))
        taken = correction.taken_from_paid
        shared = list(split_by_weight(taken, stands if taken >= 0 else gone)) if taken else nothing
        stands[:] = [some - each for some, each in zip(stands, shared, strict=True)]
        gone[:] = [some + each for some, each in zip(gone, shared, strict=True)]
        return shared

    def _written_off(self, correction: Corrects) -> list[Cents]:
        """Write off in proportion to what each part still owes, and revive as it was written off."""
        off = self._stands.setdefault(None, [0] * len(self._owed))
        amount = correction.written_off
        if amount < 0:
            shared = list(split_by_weight(amount, off))
        else:
            shared = list(self._by_owed(amount)) if amount else [0] * len(off)
        off[:] = [some + each for some, each in zip(off, shared, strict=True)]
        return shared

    def _exchange(self, correction: Corrects) -> None:
        """Let each part owe what was added for it."""
        for place, amount in _added(self._order, self._wearers, correction):
            self._owed[place] += amount

    def _evened(self) -> list[Cents]:
        """Let what was paid on parts beyond what they owe count for those that still owe."""
        paid = [stands for number, stands in self._stands.items() if number is not None]
        stands = [sum(each) for each in zip(*paid, strict=True)] or [0] * len(self._owed)
        over = [min(max(0, -owed), some) for owed, some in zip(self._owed, stands, strict=True)]
        owing = [max(0, owed) for owed in self._owed]
        amount = min(sum(over), sum(owing))
        taken, given = split_by_weight(amount, over), list(split_by_weight(amount, owing))
        moved = [more - less for more, less in zip(given, taken, strict=True)]
        gone = [
            split_by_weight(less, [each[place] for each in paid]) if less else () for place, less in enumerate(taken)
        ]
        for at, each in enumerate(paid):
            away = [some[at] if some else 0 for some in gone]
            came = split_by_weight(sum(away), given) if any(away) else [0] * len(given)
            given = [rest - some for rest, some in zip(given, came, strict=True)]
            each[:] = [some - less + more for some, less, more in zip(each, away, came, strict=True)]
        self._less(moved)
        return moved

    def _by_owed(self, amount: Cents) -> tuple[Cents, ...]:
        return split_by_weight(amount, [max(0, each) for each in self._owed])

    def _less(self, share: Sequence[Cents]) -> None:
        self._owed = [rest - part for rest, part in zip(self._owed, share, strict=True)]
