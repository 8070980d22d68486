"""Which receipts say other sums than their order has come to since, and whose part of an order a correction changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace

from shopledger.ledger.orders import OrderAccount
from shopledger.ledger.receipt import IssuedReceipt, ReceiptSums
from shopledger.ledger.sharing import (
    Charged,
    Corrects,
    Effect,
    OrderSums,
    Part,
    Share,
    parts_of,
    shares_of,
    standing_shares,
)


def overtaken(issued: Iterable[IssuedReceipt], orders: Mapping[int, OrderSums]) -> frozenset[int]:
    """Give the numbers of those receipts that their order has overtaken, of those whose place no other took.

    `orders` holds what each order of theirs comes to by now.
    """
    stands = {
        (number, share.wearer_number): said_of(order, share)
        for number, order in orders.items()
        for share in shares_of(order)
    }
    return frozenset(
        each.number
        for each in issued
        if each.replaced_by is None and each.sums != stands.get((each.order_number, each.wearer_number))
    )


def said_of(order: OrderSums, share: Share) -> ReceiptSums:
    """Give what a receipt for a part of an order would say it comes to by now."""
    kept = share.total - share.given_way - share.refunded
    last = last_correction(order.lines, order.corrections, share)
    paid = tuple(filter(None, standing_shares(order, share)))
    return ReceiptSums(kept, share.balance, share.refunded, share.written_off, paid, last)


def last_correction(lines: Sequence[Charged], corrections: Sequence[Corrects], share: Share) -> int:
    """Give the number of the newest correction that changed something of a part; 0 where none did.

    A line that gives way at no charge, as lenses that are included, changes what is said all the same.
    """
    mine = {place: line for place, line in enumerate(lines, start=1) if line.wearer_number == share.wearer_number}
    added = {line.added_by for line in mine.values()}
    touched = (
        each.number or 0
        for each, effect in zip(corrections, share.corrections, strict=True)
        if effect != Effect() or each.number in added or any(part.line in mine for part in each.parts)
    )
    return max(touched, default=0)


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
