"""Which receipts say other sums, or other glasses, than their order has since, and whose part a deed changed."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence

from shopledger.ledger.orders import Making, Order, OrderAccount, Pair
from shopledger.ledger.receipt import IssuedReceipt, ReceiptSums
from shopledger.ledger.sharing import (
    Charged,
    Corrects,
    Effect,
    OrderSums,
    Share,
    shares_of,
    standing_shares,
    sums_of,
)
from shopledger.optics.sides import Side


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
        if each.replaced_by is None
        and (
            each.sums != stands.get((each.order_number, each.wearer_number))
            or tells_other_glasses(each, orders[each.order_number])
        )
    )


def tells_other_glasses(receipt: IssuedReceipt, order: OrderSums) -> bool:
    """Tell whether other glasses are made by now in the place of some that a receipt tells of."""
    whole = order.made_again
    if whole is None:
        return False
    told = (pair for pair in whole.pairs if pair.job_number in receipt.jobs)
    return any(glasses(whole, pair) != glasses(whole, _last(whole, pair)) for pair in told)


def _last(order: Order, pair: Pair) -> Pair:
    while (after := order.next_pair(pair)) is not None:
        pair = after
    return pair


def glasses(order: Order, pair: Pair) -> tuple[object, ...]:
    """Give all that a receipt says of a pair as it is worn: frame, use, each lens with power and prescription."""
    worn = order.worn(pair)
    eyes = (
        (worn.lens_of(side), worn.made and worn.made.eye(side), order.pair_made(pair, side).prescription_number)
        if worn.own(side).making is Making.NEW
        else worn.own(side).making
        for side in Side
    )
    return worn.frame_code, worn.use, *eyes


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


def touched(before: OrderAccount, after: OrderAccount) -> frozenset[int | None]:
    """Name the wearers of whose part of an order a receipt says something else after a deed; None for nobody's."""
    was, now = (_told(account) for account in (before, after))
    return frozenset(key for key in {*was, *now} if was.get(key) != now.get(key))


def _told(account: OrderAccount) -> dict[int | None, tuple[object, ...]]:
    """Give what a receipt would say of each part: what it comes to, and the glasses that stand."""
    sums = sums_of(account)
    told: dict[int | None, tuple[object, ...]] = {}
    for share in shares_of(sums):
        pairs = [
            (pair.place, pair.frame_code, pair.lens_code, pair.extras, pair.use, pair.made, pair.right, pair.left)
            for pair in account.order.standing_pairs
            if pair.wearer_number == share.wearer_number
        ]
        told[share.wearer_number] = (said_of(sums, share), pairs)
    return told
