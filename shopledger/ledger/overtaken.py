"""Whose part of an order a correction changed: the receipts of these wearers no longer say all."""

from __future__ import annotations

from dataclasses import replace

from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.sharing import Part, parts_of


def wearers_touched(account: OrderAccount, number: int) -> frozenset[int | None]:
    """Give the wearers of whom a correction changed what is charged, paid or owed; None for what is nobody's."""
    before, after = (_by_wearer(_up_to(account, number, with_it=each)) for each in (False, True))
    return frozenset(wearer for wearer in {*before, *after} if before.get(wearer) != after.get(wearer))


def _by_wearer(account: OrderAccount) -> dict[int | None, tuple[object, ...]]:
    return {part.wearer_number: _said(part) for part in parts_of(account)}


def _said(part: Part) -> tuple[object, ...]:
    """Give all that a receipt says of a part."""
    share = part.share
    return part.lines, part.payments, share.charges, share.shipping, share.tax, share.given_way, share.written_off


def _up_to(account: OrderAccount, number: int, *, with_it: bool) -> OrderAccount:
    """Give an order as it was just before a correction, or just after it."""
    last = number if with_it else number - 1
    (correction,) = (each for each in account.corrections if each.number == number)
    order = account.order
    return replace(
        account,
        order=replace(order, lines=tuple(line for line in order.lines if (line.added_by or 0) <= last)),
        payments=tuple(each for each in account.payments if (each.number or 0) <= correction.after_payment),
        refunds=tuple(each for each in account.refunds if (each.number or 0) <= correction.after_refund),
        corrections=tuple(each for each in account.corrections if (each.number or 0) <= last),
        cancellation=None,
    )
