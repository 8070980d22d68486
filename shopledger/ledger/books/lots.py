"""Lots of stock: what came in together keeps its cost, and what came in first goes out first."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date

from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away


@dataclass(frozen=True, slots=True)
class Lot:
    """What is left of goods that came in together: how many, and what these cost with their share of the freight."""

    number: int
    """Number of the movement that brought them in."""
    day: date
    on_hand: int
    cost: Cents


@dataclass(frozen=True, slots=True)
class Issue:
    """What is taken from one lot."""

    lot: int
    quantity: int
    cost: Cents


def issued(lots: Iterable[Lot], quantity: int) -> tuple[Issue, ...]:
    """Take a quantity from lots in the order given, the first first; fewer come out where fewer are there.

    A part of a lot costs its share of what the lot still costs, rounded half away from zero; the last of a lot takes
    what is left, so that a lot's issues always come to exactly what it cost.
    """
    taken: list[Issue] = []
    for lot in lots:
        if not quantity:
            break
        count = min(quantity, lot.on_hand)
        taken.append(Issue(lot.number, count, share(lot, count)))
        quantity -= count
    return tuple(taken)


def share(lot: Lot, count: int) -> Cents:
    """Give what so many of a lot cost."""
    return lot.cost if count == lot.on_hand else round_half_away(lot.cost * count, lot.on_hand)
