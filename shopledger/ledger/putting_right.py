"""What a change of an order's lines comes to: which lines stand, what is owed no longer, and what money goes back.

What is taken out is worth what is left of it. That value first pays for what is added in its place and lowers what is
still owed; only the rest is money to give back, so that no part of an order is ever paid for more than it comes to.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.orders import Method, OrderAccount, OrderLine, Refund
from shopledger.ledger.sharing import Part, parts_of
from shopledger.ledger.stock import STOCKED
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import round_half_away

_CHANGING = frozenset({CorrectionKind.PUT_RIGHT, CorrectionKind.EXCHANGED})


@dataclass(frozen=True, slots=True)
class Settled:
    """What lines give that are taken out or lowered: without money, and with."""

    way: tuple[LinePart, ...]
    """What is replaced, or owed no longer."""
    back: tuple[LinePart, ...]
    """What was paid and is to be given back."""

    @property
    def due_back(self) -> Cents:
        """How much money is to be given back."""
        return sum(part.net + part.tax for part in self.back)


def taken_out(account: OrderAccount) -> Mapping[int, Correction]:
    """Give the lines that were taken out whole, each with the correction that did it."""
    lines = account.order.lines
    gone: dict[int, Correction] = {}
    for correction in account.corrections:
        if correction.kind in _CHANGING:
            gone |= {part.line: correction for part in correction.parts}
    # Of several pieces some may have been taken out, and the others stand.
    some = {each.place for each in kept_lines(account) if each.line.quantity > 1 and each.kept and each.count}
    return {place: correction for place, correction in gone.items() if place <= len(lines) and place not in some}


def standing_lines(account: OrderAccount) -> tuple[KeptLine, ...]:
    """Give the lines of an order that were not taken out."""
    gone = taken_out(account)
    return tuple(each for each in kept_lines(account) if each.place not in gone)


def standing_line(account: OrderAccount, place: int) -> KeptLine:
    """Give a line by its position, or refuse one that is not there any more."""
    order, lines = account.order, account.order.lines
    if not 1 <= place <= len(lines):
        raise RefusedError(
            "line", place, f"order {order.number} has lines 1 to {len(lines)}", f"Look with {_look(account)}."
        )
    gone = taken_out(account).get(place)
    if gone is not None:
        added = [str(at) for at, line in enumerate(lines, start=1) if line.added_by == gone.number]
        instead = (
            f"Name what stands in its place: line {' or '.join(added)}." if added else f"Look with {_look(account)}."
        )
        raise RefusedError(
            "line", place, f"it was taken out on {gone.day.isoformat()} ({gone.kind.value}: {gone.reason})", instead
        )
    return kept_lines(account)[place - 1]


def whole_line(kept: KeptLine, returned: int | None = None) -> LinePart:
    """Give all that is left of a line, with its goods unless it is said how many of them come back."""
    goods = kept.count if kept.line.kind in STOCKED else 0
    return LinePart(kept.place, kept.kept, kept.tax_kept, goods if returned is None else returned)


def settled(
    account: OrderAccount, kind: CorrectionKind, out: Sequence[LinePart], added: Iterable[OrderLine] = ()
) -> Settled:
    """Say of what lines give how much is replaced or owed no longer, and how much goes back in money.

    What is put right counts for the order as a whole, since all it owes is shared anew; anything else for each part.
    """
    due: dict[int | None, Cents]
    if kind is CorrectionKind.PUT_RIGHT:
        value = sum(part.net + part.tax for part in out)
        due = {None: value - sum(line.net + line.tax for line in added) - account.balance}
        keys: list[int | None] = [None] * len(out)
    else:
        keys = [account.order.lines[part.line - 1].wearer_number for part in out]
        due = {part.wearer_number: -part.balance for part in parts_of(account)}
        for key, part in zip(keys, out, strict=True):
            due[key] = due.get(key, 0) + part.net + part.tax
        for line in added:
            due[line.wearer_number] = due.get(line.wearer_number, 0) - line.net - line.tax
    way: list[LinePart] = []
    back: list[LinePart] = []
    for key, part in zip(keys, out, strict=True):
        given = _in_money(part, max(0, due[key]))
        due[key] -= given.net + given.tax
        way.append(replace(part, net=part.net - given.net, tax=part.tax - given.tax))
        if given.net or given.tax:
            back.append(given)
    return Settled(tuple(way), tuple(back))


def _in_money(part: LinePart, most: Cents) -> LinePart:
    """Give as much of a part as goes back in money, its tax in proportion."""
    whole = part.net + part.tax
    amount = min(whole, most)
    net = round_half_away(amount * part.net, whole) if whole else 0
    return LinePart(part.line, net, amount - net, 0, part.side)


@dataclass(frozen=True, slots=True)
class Righted:
    """A change of lines worked out: the correction, what goes back with it in money, the order as it would stand."""

    correction: Correction
    back: tuple[LinePart, ...]
    after: OrderAccount


def righted(
    account: OrderAccount, correction: Correction, out: Sequence[LinePart], added: Sequence[OrderLine] = ()
) -> Righted:
    """Work a change of lines out, or refuse one after which a part would come to less than was settled on it.

    What is put right shares all payments anew. Where a part has given money back since, that may leave it with less
    than it gave; the change then counts from now on, as an exchange does.
    """
    found = _righted(account, correction, out, added)
    if correction.kind is CorrectionKind.PUT_RIGHT and _below_nothing(found.after):
        later = _righted(account, replace(correction, kind=CorrectionKind.EXCHANGED), out, added)
        found = found if _below_nothing(later.after) else later
    refuse_below_nothing(correction.kind.value, found.after)
    return found


def _righted(
    account: OrderAccount, correction: Correction, out: Sequence[LinePart], added: Sequence[OrderLine]
) -> Righted:
    split = settled(account, correction.kind, out, added)
    whole = replace(correction, parts=split.way)
    number, day = correction.order_number, correction.day
    refund = Refund(number, day, Method.CASH, "", correction.reason, split.back) if split.back else None
    return Righted(whole, split.back, as_corrected(account, whole, added, refund))


def as_corrected(
    account: OrderAccount, correction: Correction, lines: Sequence[OrderLine] = (), refund: Refund | None = None
) -> OrderAccount:
    """Give an order as it would stand after a correction, and after the money that goes back with it."""
    number = 1 + max((each.number or 0 for each in account.corrections), default=0)
    payment = max((each.number or 0 for each in account.payments), default=0)
    given = max((each.number or 0 for each in account.refunds), default=0)
    stamped = replace(correction, number=number, after_payment=payment, after_refund=given)
    added = tuple(replace(line, added_by=number) for line in lines)
    refunds = (*account.refunds, replace(refund, number=given + 1)) if refund else account.refunds
    return replace(
        account,
        order=replace(account.order, lines=(*account.order.lines, *added)),
        corrections=(*account.corrections, stamped),
        refunds=refunds,
    )


def refuse_below_nothing(what: str, after: OrderAccount) -> None:
    """Refuse a change after which more was paid, or written off, on somebody's part than it comes to."""
    for part in _below_nothing(after):
        least = write_amount(-min(part.balance, part.kept))
        raise RefusedError(
            what,
            f"on order {after.order.number}",
            f"what is for {part.whom} would come to {least} less than was settled on it",
            _instead(after),
        )


def _below_nothing(after: OrderAccount) -> list[Part]:
    return [part for part in parts_of(after) if min(part.balance, part.kept) < 0]


def _instead(after: OrderAccount) -> str:
    if after.written_off:
        return "What was written off counts as settled: let it be owed again first, or change less."
    return f"Change less, or give money back with 'shopledger refund give {after.order.number}'."


def _look(account: OrderAccount) -> str:
    return f"'shopledger sale show {account.order.number}'"
