"""What may be given back on an order: by line or one lens of it, never more than is left of it nor than was paid.

The tax of a part is in proportion to its net charge. It is worked out on all that was given back of the line so far,
less what went before, so that giving a line back piece by piece gives back exactly its tax. What lines give way by a
correction is worked out by the same rule.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.orders import Method, OrderAccount, Refund
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import STOCKED
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import round_half_away
from shopledger.optics.sides import Side


@dataclass(frozen=True, slots=True)
class RefundedLine:
    """What is asked back on one line: some of its net charge, or None for all that is left of it."""

    line: int
    """Position of the line in the order, from 1."""
    net: Cents | None = None
    returned: int = 0
    """How many of the line's goods came back."""
    side: Side | None = None
    """The one lens of a line of two; None for the whole line."""


@dataclass(frozen=True, slots=True)
class RefundRequest:
    """A refund as asked for; without lines it is all that is left of the order."""

    method: Method
    reason: str
    lines: tuple[RefundedLine, ...] = ()
    reference: str = ""
    day: date | None = None


def plan_refund(account: OrderAccount, asked: RefundRequest, day: date) -> Refund:
    """Work out a refund to the cent, or refuse what cannot be given back."""
    order = account.order
    if account.cancellation is not None:
        raise cancelled("refund", account)
    earliest = max([order.day, *(payment.day for payment in account.payments)])
    if day < earliest:
        raise RefusedError(
            "refund day", day.isoformat(), f"the order was last paid on {earliest.isoformat()}", "Type a later day."
        )
    lines = asked.lines or tuple(RefundedLine(each.place) for each in kept_lines(account) if each.kept or each.tax_kept)
    parts = parts_of_lines(account, lines)
    number = order.number or 0
    if not parts:
        raise RefusedError("refund", f"on order {number}", "everything was given back already", "Nothing is left.")
    refund = Refund(number, day, asked.method, asked.reference, asked.reason, parts)
    _check_paid(account, refund)
    return refund


def parts_of_lines(account: OrderAccount, lines: tuple[RefundedLine, ...]) -> tuple[LinePart, ...]:
    """Work out what lines give, to the cent; a line, or one lens of it, is named once."""
    named = [(each.line, each.side) for each in lines]
    for place, side in named:
        if named.count((place, side)) > 1 or (side and (place, None) in named):
            raise RefusedError("refund", f"twice on line {place}", "a line is named once", "Add the two amounts up.")
    found: list[LinePart] = []
    for each in lines:
        found.append(_part(account, each, found))
    return tuple(found)


def cancelled(what: str, account: OrderAccount) -> RefusedError:
    """Give the refusal of anything more on a cancelled order."""
    order, cancellation = account.order, account.cancellation
    day = cancellation.day.isoformat() if cancellation else ""
    return RefusedError(
        what,
        f"for order {order.number}",
        f"that order was cancelled on {day}",
        "Record a new order with 'shopledger sale record'.",
    )


def _part(account: OrderAccount, asked: RefundedLine, with_it: Sequence[LinePart]) -> LinePart:
    """Work out what one line gives; `with_it` is what is given at once of lines before, of its other lens too."""
    order = account.order
    if not 1 <= asked.line <= len(order.lines):
        raise RefusedError(
            "line",
            asked.line,
            f"order {order.number} has lines 1 to {len(order.lines)}",
            f"Look with 'shopledger sale show {order.number}'.",
        )
    kept = kept_lines(account)[asked.line - 1]
    line, left = kept.line, _left(kept, asked)
    net = left if asked.net is None else asked.net
    if not 0 <= net <= left:
        which = f"line {asked.line}, {line.description}" + (f", {asked.side.value} lens" if asked.side else "")
        raise RefusedError(
            "refund",
            f"{write_amount(net)} on {which}",
            f"{write_amount(left)} of its net charge is left",
            f"Give back {write_amount(left)} or less." if left else "Nothing is left to give back on it.",
        )
    _check_returned(kept, asked)
    beside = [part for part in with_it if part.line == asked.line]
    before, taxed = kept.given_back + sum(part.net for part in beside), kept.tax_back + sum(part.tax for part in beside)
    tax = round_half_away(line.tax * (before + net), line.net) if line.net else line.tax
    return LinePart(asked.line, net, tax - taxed, asked.returned, asked.side)


def _left(kept: KeptLine, asked: RefundedLine) -> Cents:
    """Give what is left of a line, or of the one lens that is asked for."""
    if asked.side is None:
        return kept.kept
    mine = [each for each in kept.charges if each.charge.side is asked.side]
    if not mine:
        raise RefusedError(
            "lens",
            asked.side.value,
            f"line {asked.line}, {kept.line.description}, is not charged by that lens",
            "Leave the side out.",
        )
    return sum(each.kept for each in mine)


def _check_returned(kept: KeptLine, asked: RefundedLine) -> None:
    line = kept.line
    if not asked.returned:
        return
    if line.kind not in STOCKED:
        raise RefusedError(
            "returned goods",
            f"{line.kind.value} on line {asked.line}",
            "only frames and accessories are kept in stock",
            "Give the money back without goods.",
        )
    if not 0 < asked.returned <= kept.count:
        raise RefusedError(
            "returned goods",
            f"{asked.returned} of {line.item_code}",
            f"{kept.count} of line {asked.line} are with the customer",
            "Type how many came back.",
        )


def _check_paid(account: OrderAccount, refund: Refund) -> None:
    """Refuse to give a wearer's part more back than was paid on it."""
    after = replace(account, refunds=(*account.refunds, refund))
    for part in parts_of(after):
        if part.kept < 0:
            raise RefusedError(
                "refund",
                write_amount(refund.amount),
                f"it is {write_amount(-part.kept)} more than was paid and kept on what is for {part.whom}",
                f"Give back less; lower what is still owed with 'shopledger sale reduce {account.order.number}'.",
            )
