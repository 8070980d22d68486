"""The one account of an order's lines: of each charge list price, reduction, charge, what was given back, what is kept.

Every paper, screen and report of an order takes its figures from here. What a refund gives back of a line, or a
correction takes from it, is shared over the line's charges (of the lens that it names, if it names one) in proportion
to what is left of each, one after the other; so nothing is spread over what was not given back, and a line that gave
everything back has nothing left on any of its charges.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from shopledger.ledger.corrections import CorrectionKind, LinePart
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Charge, OrderAccount, OrderLine
from shopledger.ledger.sharing import Part, in_turn
from shopledger.money.amount import Cents
from shopledger.money.split import split_by_weight


@dataclass(frozen=True, slots=True)
class KeptCharge:
    """One charge, and what was given back of it."""

    charge: Charge
    given_back: Cents = 0

    @property
    def kept(self) -> Cents:
        """What stands of it."""
        return self.charge.net - self.given_back


@dataclass(frozen=True, slots=True)
class KeptLine:
    """One line of an order as it stands now."""

    place: int
    """Its position in the order, from 1."""
    line: OrderLine
    charges: tuple[KeptCharge, ...]
    given_back: Cents = 0
    """What it gave back of its net charge: with money, or by a correction."""
    tax_back: Cents = 0
    returned: int = 0
    """How many of its goods came back, or are not needed."""
    put_right: bool = False
    """Whether nothing is left of it since it was taken out as a mistake, or exchanged though it cost nothing: papers do
    not show it."""

    @property
    def kept(self) -> Cents:
        """What stands of its net charge."""
        return self.line.net - self.given_back

    @property
    def tax_kept(self) -> Cents:
        """What stands of its sales tax."""
        return self.line.tax - self.tax_back

    @property
    def count(self) -> int:
        """How many of its goods are the customer's, or are to be."""
        return self.line.quantity - self.returned


def kept_lines(account: OrderAccount) -> tuple[KeptLine, ...]:
    """Give every line of an order as it stands; of a cancelled order nothing stands."""
    parts: dict[int, list[LinePart]] = {}
    taken_out: dict[int, Cents] = {}
    for kind, given in in_turn(account.refunds, account.corrections):
        for part in given:
            parts.setdefault(part.line, []).append(part)
            free = kind is CorrectionKind.EXCHANGED and not account.order.lines[part.line - 1].net
            if kind is CorrectionKind.PUT_RIGHT or free:
                taken_out[part.line] = taken_out.get(part.line, 0) + part.net
    return tuple(
        _cancelled(place, line)
        if account.cancellation
        else _kept(place, line, parts.get(place, ()), taken_out.get(place))
        for place, line in enumerate(account.order.lines, start=1)
    )


def part_lines(account: OrderAccount, part: Part) -> tuple[KeptLine, ...]:
    """Give the lines of one wearer's part as they stand; shipping is shared by all and is not among them."""
    return tuple(
        each
        for each in kept_lines(account)
        if each.line.kind is not LineKind.SHIPPING and each.line.wearer_number == part.wearer_number
    )


def whose(account: OrderAccount) -> tuple[int | None, ...]:
    """Give for whom something stands on an order: wearers by number, then None for what is nobody's."""
    lines = (each for each in kept_lines(account) if not each.put_right and each.line.kind is not LineKind.SHIPPING)
    met = {each.line.wearer_number for each in lines}
    return tuple(sorted(met, key=lambda number: (number is None, number or 0)))


def wearers_on(account: OrderAccount) -> tuple[int, ...]:
    """Give the numbers of the wearers for whom something stands on an order."""
    return tuple(number for number in whose(account) if number is not None)


def _kept(place: int, line: OrderLine, parts: Sequence[LinePart], taken_out: Cents | None) -> KeptLine:
    back = [0] * len(line.charges)
    for part in parts:
        shared = _shared(line, back, part)
        back = [some + more for some, more in zip(back, shared, strict=True)]
    return KeptLine(
        place,
        line,
        tuple(KeptCharge(charge, given) for charge, given in zip(line.charges, back, strict=True)),
        sum(part.net for part in parts),
        sum(part.tax for part in parts),
        sum(part.returned for part in parts),
        put_right=taken_out is not None and taken_out == line.net,
    )


def _shared(line: OrderLine, back: Sequence[Cents], part: LinePart) -> Sequence[Cents]:
    """Share what a line gives over its charges, of one lens or of all, in proportion to what is left of each."""
    if not line.charges:
        return ()
    mine = [part.side is None or charge.side is part.side for charge in line.charges]
    left = [charge.net - given if own else 0 for charge, given, own in zip(line.charges, back, mine, strict=True)]
    return split_by_weight(part.net, left) if part.net else [0] * len(left)


def _cancelled(place: int, line: OrderLine) -> KeptLine:
    charges = tuple(KeptCharge(charge, charge.net) for charge in line.charges)
    return KeptLine(place, line, charges, line.net, line.tax, line.quantity)
