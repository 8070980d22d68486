"""Corrections of orders: posted with the lines that give way, and read back equal; and what payments then carry.

Lines that a correction adds are with the orders.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from dataclasses import replace
from typing import Final

from shopledger.ledger.carried import PaidShare
from shopledger.ledger.corrections import Correction, LinePart
from shopledger.store.records import Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.tables.corrections import correction, correction_part, correction_share, payment_share
from shopledger.store.transaction import Area

CORRECTION: Final = Record(Correction, correction, parts=("parts",))
"""Without its parts it has given none."""
CORRECTION_PART: Final = Record(LinePart, correction_part, also=("correction_number", "order_number"))
PAYMENT_SHARE: Final = Record(PaidShare, payment_share, also=("payment_number",))
CORRECTION_SHARE: Final = Record(PaidShare, correction_share, also=("correction_number",))
_SHARES: Final = """
SELECT share.tax, share.sellers_tax, share.shipping FROM payment_share share
JOIN payment own ON own.number = share.payment_number WHERE own.order_number = :order_number
UNION ALL
SELECT share.tax, share.sellers_tax, share.shipping FROM correction_share share
JOIN correction own ON own.number = share.correction_number WHERE own.order_number = :order_number
"""
_BEFORE: Final = """
SELECT (SELECT COALESCE(MAX(number), 0) FROM payment) AS payment,
       (SELECT COALESCE(MAX(number), 0) FROM refund) AS refund
"""


class Corrections(Area):
    """The corrections of the ledger; none is ever changed."""

    def add(self, new: Correction) -> Correction:
        """Post a correction; gives it back with its number and its place among payments and refunds."""
        (before,) = self.transaction.asked(_BEFORE)
        stamped = replace(new, after_payment=int(before.payment), after_refund=int(before.refund))
        posted = self.transaction.post(CORRECTION, stamped)
        own = {"correction_number": posted.number, "order_number": posted.order_number}
        self.transaction.put(CORRECTION_PART, *posted.parts, **own)
        return posted

    def get(self, number: int) -> Correction:
        """Give the correction with that number."""
        part = correction_part.c
        found = self.transaction.unfinished(CORRECTION, (), {correction.c.number: number})
        made = next(found, None)
        if made is None:
            raise NumberUnknownError("correction", number)
        own = {part.correction_number: number}
        return made[1](parts=self.transaction.all(CORRECTION_PART, own, (part.position,)))

    def of_orders(self, numbers: list[int]) -> Mapping[int, tuple[Correction, ...]]:
        """Give the corrections of each order, oldest first."""
        head, part = correction.c, correction_part.c
        told = (head.order_number, head.number)
        heads = list(self.transaction.unfinished(CORRECTION, told, {head.order_number: numbers}, (head.number,)))
        found: dict[int, tuple[Correction, ...]] = defaultdict(tuple)
        if not heads:
            return found
        parts = self.transaction.groups(
            CORRECTION_PART, part.correction_number, {part.order_number: numbers}, (part.position,)
        )
        for (order_number, number), made in heads:
            found[order_number] += (made(parts=parts[number]),)
        return found


class PaidShares(Area):
    """What payments and corrections carry of orders that were put right; none is ever changed."""

    def of_order(self, order_number: int) -> tuple[PaidShare, ...]:
        """Give what is kept of an order's payments and corrections."""
        rows = self.transaction.asked(_SHARES, order_number=order_number)
        return tuple(PaidShare(int(row.tax), int(row.sellers_tax), int(row.shipping)) for row in rows)

    def of_payment(self, number: int, share: PaidShare) -> None:
        """Keep what a payment carries."""
        self.transaction.put(PAYMENT_SHARE, share, payment_number=number)

    def of_correction(self, number: int, share: PaidShare) -> None:
        """Keep by how much a correction changed what payments carry, if it did."""
        if share:
            self.transaction.put(CORRECTION_SHARE, share, correction_number=number)
