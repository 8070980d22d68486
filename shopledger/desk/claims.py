"""What is still to be claimed: paid parts without a receipt, receipts not handed in, and the last day for each."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import date, timedelta
from itertools import groupby
from operator import attrgetter
from typing import Final

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.overtaken import said_of, tells_other_glasses
from shopledger.ledger.receipt import IssuedReceipt, Unclaimed
from shopledger.ledger.sharing import OrderSums, Share, shares_of
from shopledger.money.amount import Cents
from shopledger.store.work import UnitOfWork

LOOKED_BACK: Final = 365
"""How many days back open claims are looked for: what most plans give to file (common practice, no source)."""


@dataclass(frozen=True, slots=True)
class OpenClaim:
    """One wearer's paid part of an order that was not handed in yet."""

    order_number: int
    customer: str
    wearer: str
    wearer_number: int
    amount: Cents
    """What was paid on it and not given back."""
    receipt: int | None
    """The receipt to hand in; None where none was issued for what is paid."""
    overtaken: bool
    """Whether the order has changed since that receipt was issued, so that it should be replaced first."""
    served_on: date | None
    """Day of shipping, the date of service; None until then."""
    last_day: date | None
    """Last day to file, where the plan's limit is known and the order shipped."""

    def runs_out(self, today: date) -> int | None:
        """Give how many days are left, below zero when the limit has passed; None where no limit is known."""
        return None if self.last_day is None else (self.last_day - today).days


def mark_claimed(desk: Desk, receipt: int, day: date | None = None) -> IssuedReceipt:
    """Note that the customer handed a receipt in; it is noted once, on the receipt that holds."""
    claimed_on = desk.day(day, "claim day")
    with desk.writing() as work:
        issued = work.receipts.get(receipt)
        _check_claimable(work, issued, claimed_on)
        work.receipts.mark_claimed(receipt, claimed_on)
        return work.receipts.get(receipt)


def unclaimed(desk: Desk, since: date | None = None) -> tuple[OpenClaim, ...]:
    """Give what is paid and not handed in, those first whose limit runs out first.

    Orders of the last year are looked at unless a day is given, and all orders of wearers whose plan gives longer.
    """
    begin = since or desk.today - timedelta(LOOKED_BACK)
    with desk.reading() as work:
        claims = tuple(_open(work, work.receipts.unclaimed(begin, LOOKED_BACK)))
    return tuple(sorted(claims, key=lambda claim: (claim.last_day or date.max, claim.order_number)))


def _open(work: UnitOfWork, found: Sequence[Unclaimed]) -> Iterator[OpenClaim]:
    """Give the claims that are open: those that are paid and not given back."""
    numbers = list(dict.fromkeys(each.order_number for each in found))
    sums, receipts = work.orders.sums(numbers), work.receipts.holding(numbers)
    for number, parts in groupby(found, key=attrgetter("order_number")):
        shares = {share.wearer_number: share for share in shares_of(sums[number])}
        for part in parts:
            share = shares.get(part.wearer_number)
            if share is not None and share.kept and not share.balance and not share.written_off:
                yield _claim(part, sums[number], share, receipts[number])


def _claim(part: Unclaimed, order: OrderSums, share: Share, receipts: Sequence[IssuedReceipt]) -> OpenClaim:
    receipt = _paid_in_full(receipts, part.wearer_number)
    served, limit = part.served_on, part.claim_within_days
    return OpenClaim(
        part.order_number,
        part.customer,
        part.wearer,
        part.wearer_number,
        share.kept,
        receipt.number if receipt else None,
        receipt is not None and (receipt.sums != said_of(order, share) or tells_other_glasses(receipt, order)),
        served,
        served + timedelta(limit) if served and limit else None,
    )


def _paid_in_full(receipts: Sequence[IssuedReceipt], wearer_number: int) -> IssuedReceipt | None:
    """Give the receipt that a wearer hands in; one that is not paid in full is none."""
    mine = (each for each in receipts if each.wearer_number == wearer_number and each.sums.paid_in_full)
    return next(mine, None)


def _check_claimable(work: UnitOfWork, issued: IssuedReceipt, day: date) -> None:
    number = issued.number
    if issued.replaced_by is not None:
        raise RefusedError(
            "receipt",
            number,
            f"receipt {issued.replaced_by} took its place",
            f"Mark {issued.replaced_by} once that is handed in.",
        )
    if issued.claimed_on is not None:
        raise RefusedError(
            "receipt", number, f"it was handed in on {issued.claimed_on.isoformat()}", "Nothing is left to note."
        )
    if work.cancellations.of_order(issued.order_number) is not None:
        raise RefusedError("receipt", number, "its order was cancelled", "There is nothing to claim.")
    if not issued.content.paid_in_full:
        raise RefusedError(
            "receipt",
            number,
            "it is not paid in full, and a plan pays back only what was paid",
            "Take the payment and issue the receipt again first.",
        )
    if day < date.fromisoformat(issued.content.issued_on):
        raise RefusedError(
            "claim day", day.isoformat(), f"the receipt is of {issued.content.issued_on}", "Type a later day."
        )
