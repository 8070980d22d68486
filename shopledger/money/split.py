"""Sharing an amount so that the shares add up to it again, by the largest remainder.

Each share is first cut to whole cents toward zero. The cents then missing go one each to the
shares that lost most; where two lost the same, the earlier one gets it. So no share is a
whole cent away from its exact value, a share of nothing gets nothing, and sharing a refund mirrors sharing the
sale to the cent.
"""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.money.amount import Cents
from shopledger.money.refusals import SplitError


def split_by_weight(amount: Cents, weights: Sequence[int]) -> tuple[Cents, ...]:
    """Share an amount in proportion to whole-number weights; where all are zero, equally."""
    if weights and min(weights) < 0:
        raise SplitError("weights", tuple(weights), "a weight is zero or more", "Leave out what weighs less than zero.")
    if not weights and amount:
        raise SplitError("weights", "empty", "an amount needs something to be shared over", "Name at least one share.")
    if len(weights) == 1:
        return (amount,)
    whole = sum(weights)
    if not whole:
        weights, whole = [1] * len(weights), len(weights)
    return share_rounded([amount * weight for weight in weights], whole, amount)


def split_equally(amount: Cents, n: int) -> tuple[Cents, ...]:
    """Share an amount into `n` parts that differ by a cent at most, the earlier ones being the larger."""
    if n < 1:
        raise SplitError("number of shares", n, "it is 1 or more", "Say over how many the amount is shared.")
    return split_by_weight(amount, [1] * n)


def split_over_lenses(amount: Cents) -> tuple[Cents, Cents]:
    """Share the price of a pair over the right and the left lens; an odd cent goes to the right."""
    right, left = split_equally(amount, 2)
    return right, left


def share_rounded(numerators: Sequence[int], denominator: int, total: Cents) -> tuple[Cents, ...]:
    """Round the exact values `numerator / denominator` cents so that they sum to `total`.

    `total` is the exact sum or that sum rounded to a cent; the values may be of either sign.
    """
    shares = [_toward_zero(numerator, denominator) for numerator in numerators]
    missing = total - sum(shares)
    step = 1 if missing > 0 else -1
    lost = [step * (exact - share * denominator) for exact, share in zip(numerators, shares, strict=True)]
    # sorted() keeps the order of equals, which is what gives a tie to the earlier share.
    by_loss = sorted(range(len(shares)), key=lambda place: -lost[place])
    for place in by_loss[: abs(missing)]:
        shares[place] += step
    return tuple(shares)


def _toward_zero(numerator: int, denominator: int) -> int:
    """Divide and drop the remainder; `//` alone would go down below zero."""
    whole = abs(numerator) // denominator
    return whole if numerator >= 0 else -whole
