"""What may be given back on an order: by line, never more than the line came to nor than was paid.

The tax of a part is in proportion to its net charge. It is worked out on all that was given back of the line so far,
less what went before, so that giving a line back piece by piece gives back exactly its tax.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, replace
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.orders import Method, OrderAccount, OrderLine, Refund, RefundPart
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import STOCKED
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import round_half_away


@dataclass(frozen=True, slots=True)
class RefundedLine:
    """What is asked back on one line: some of its net charge, or None for all that is left of it."""

    line: int
    """Position of the line in the order, from 1."""
    net: Cents | None = None
    returned: int = 0
    """How many of the line's goods came back."""


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
    lines = asked.lines or tuple(
        RefundedLine(place)
        for place, line in enumerate(order.lines, start=1)
        if line.net + line.tax > sum(given_back(account.refunds, place))
    )
    _refuse_twice(lines)
    parts = tuple(_part(account, each) for each in lines)
    number = order.number or 0
    if not parts:
        raise RefusedError("refund", f"on order {number}", "everything was given back already", "Nothing is left.")
    refund = Refund(number, day, asked.method, asked.reference, asked.reason, parts)
    _check_paid(account, refund)
    return refund


def given_back(refunds: Iterable[Refund], line: int) -> tuple[Cents, Cents]:
    """Give what net charge and tax of a line were given back so far."""
    parts = [part for refund in refunds for part in refund.parts if part.line == line]
    return sum(part.net for part in parts), sum(part.tax for part in parts)


def returned_so_far(refunds: Iterable[Refund], line: int) -> int:
    """Give how many of a line's goods came back so far."""
    return sum(part.returned for refund in refunds for part in refund.parts if part.line == line)


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


def _refuse_twice(lines: tuple[RefundedLine, ...]) -> None:
    places = [each.line for each in lines]
    for place in places:
        if places.count(place) > 1:
            raise RefusedError("refund", f"twice on line {place}", "a line is named once", "Add the two amounts up.")


def _part(account: OrderAccount, asked: RefundedLine) -> RefundPart:
    order = account.order
    if not 1 <= asked.line <= len(order.lines):
        raise RefusedError(
            "line",
            asked.line,
            f"order {order.number} has lines 1 to {len(order.lines)}",
            f"Look with 'shopledger sale show {order.number}'.",
        )
    line = order.lines[asked.line - 1]
    before, taxed = given_back(account.refunds, asked.line)
    left = line.net - before
    net = left if asked.net is None else asked.net
    if not 0 <= net <= left:
        raise RefusedError(
            "refund",
            f"{write_amount(net)} on line {asked.line}, {line.description}",
            f"{write_amount(left)} of its net charge is left",
            f"Give back {write_amount(left)} or less." if left else "Nothing is left to give back on it.",
        )
    _check_returned(account, asked, line)
    tax = round_half_away(line.tax * (before + net), line.net) if line.net else line.tax
    return RefundPart(asked.line, net, tax - taxed, asked.returned)


def _check_returned(account: OrderAccount, asked: RefundedLine, line: OrderLine) -> None:
    if not asked.returned:
        return
    if line.kind not in STOCKED:
        raise RefusedError(
            "returned goods",
            f"{line.kind.value} on line {asked.line}",
            "only frames and accessories are kept in stock",
            "Give the money back without goods.",
        )
    out = line.quantity - returned_so_far(account.refunds, asked.line)
    if not 0 < asked.returned <= out:
        raise RefusedError(
            "returned goods",
            f"{asked.returned} of {line.item_code}",
            f"{out} of line {asked.line} are with the customer",
            "Type how many came back.",
        )


def _check_paid(account: OrderAccount, refund: Refund) -> None:
    """Refuse to give a wearer's part more back than was paid on it."""
    after = replace(account, refunds=(*account.refunds, refund))
    for part in parts_of(after):
        if part.kept < 0:
            whose = f"wearer {part.wearer_number}" if part.wearer_number else "nobody in particular"
            raise RefusedError(
                "refund",
                write_amount(refund.amount),
                f"it is {write_amount(-part.kept)} more than was paid and kept on what is for {whose}",
                "Give back less, or take the payment first.",
            )
