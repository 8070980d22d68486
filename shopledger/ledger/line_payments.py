"""What was paid on each line of a wearer's part and given back of it, move by move: the line model with its days.

The part's share of each payment is shared over its lines, and over tax and shipping together, as payments are shared
over parts: in proportion to what each still owes. A refund or a correction belongs to the lines it names. So no line is
ever overpaid, and once all is paid, what was paid on a line and not given back is what stands of it. What was paid on a
line that is exchanged or reduced counts from that day for what the wearer still owes.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass
from datetime import date
from typing import NamedTuple

from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.sharing import Effect, LineSum, OrderSums, Part, PaymentSum, shares_of
from shopledger.money.amount import Cents


class Move(NamedTuple):
    """Money that came in on a part, or went out again: so much on each of its lines, then on tax and shipping."""

    day: date
    amounts: tuple[Cents, ...]


@dataclass(frozen=True, slots=True)
class _Given:
    """What a refund gives back of one part, line by line."""

    number: int | None
    parts: tuple[LinePart, ...]


@dataclass(frozen=True, slots=True)
class _Changed:
    """What a correction changes of one part."""

    number: int | None
    kind: CorrectionKind
    payment_number: int | None
    after_payment: int
    after_refund: int
    parts: tuple[LinePart, ...]
    taken_from_paid: Cents
    written_off: Cents


def moves_of(account: OrderAccount, part: Part) -> tuple[Move, ...]:
    """Give every move of a part as it was recorded: payments, then payments that fell away or came again, refunds."""
    refunds = [
        (refund, _Given(refund.number, tuple(_of_part(account, part, refund.parts, amount))))
        for refund, amount in zip(account.refunds, part.share.refunds, strict=True)
    ]
    corrections = [
        _changed(each, effect, tuple(_of_part(account, part, each.parts, effect.given_way)))
        for each, effect in zip(account.corrections, part.share.corrections, strict=True)
    ]
    payments = [
        PaymentSum(each.number or 0, amount) for each, amount in zip(account.payments, part.share.payments, strict=True)
    ]
    sums = OrderSums(list(_pieces(part)), payments, [given for _, given in refunds], corrections)
    pieces = shares_of(sums, evened=True)
    moves = [
        Move(each.day, tuple(piece.payments[place] for piece in pieces)) for place, each in enumerate(account.payments)
    ]
    moves += [
        Move(each.day, tuple(_came(piece.corrections[place]) for piece in pieces))
        for place, each in enumerate(account.corrections)
    ]
    moves += [
        Move(refund.day, tuple(-piece.refunds[place] for piece in pieces)) for place, (refund, _) in enumerate(refunds)
    ]
    if account.cancellation:
        left = (-sum(each) for each in zip(*(move.amounts for move in moves), strict=True))
        moves.append(Move(account.cancellation.day, tuple(left)))
    return tuple(move for move in moves if any(move.amounts))


def _came(effect: Effect) -> Cents:
    return effect.moved - effect.unpaid


def _pieces(part: Part) -> Iterator[LineSum]:
    """Give each line by itself, then tax and shipping as one: the tax on what was exchanged comes in with it."""
    later = [(line.tax, line.added_by) for line in part.lines if line.added_by is not None]
    for place, line in enumerate(part.lines):
        yield LineSum(line.kind, place, line.net, 0, line.added_by)
    rest = len(part.lines)
    yield LineSum(LineKind.ACCESSORY, rest, part.shipping + part.tax - sum(tax for tax, _ in later), 0)
    for tax, added_by in later:
        yield LineSum(LineKind.ACCESSORY, rest, tax, 0, added_by)


def _of_part(account: OrderAccount, part: Part, given: Iterable[LinePart], amount: Cents) -> Iterator[LinePart]:
    """Give what a part's own lines give; the rest of the amount is of tax and shipping."""
    places = _places(account, part)
    rest = amount
    for each in given:
        if each.line in places:
            rest -= each.net
            yield LinePart(1 + places.index(each.line), each.net, 0)
    yield LinePart(1 + len(places), rest, 0)


def _places(account: OrderAccount, part: Part) -> Sequence[int]:
    """Give where the part's lines stand in the order, from 1."""
    return [
        place
        for place, line in enumerate(account.order.lines, start=1)
        if line.kind is not LineKind.SHIPPING and line.wearer_number == part.wearer_number
    ]


def _changed(each: Correction, effect: Effect, parts: tuple[LinePart, ...]) -> _Changed:
    return _Changed(
        each.number,
        each.kind,
        each.payment_number,
        each.after_payment,
        each.after_refund,
        parts,
        effect.unpaid,
        effect.written_off,
    )
