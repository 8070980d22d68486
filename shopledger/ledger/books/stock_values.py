"""What the stock is worth: what is left of each lot on a day, item by item, and how long it has lain there."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date
from itertools import groupby
from typing import Final

from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.money.amount import Cents

BANDS: Final = ("up to 30", "31 to 90", "91 to 180", "181 to 365", "older")
"""How many days goods have lain there."""
_LAST_DAYS: Final = (30, 90, 180, 365)


@dataclass(frozen=True, slots=True)
class LotLeft:
    """What is left of one lot on a day, and what that cost.

    Goods that a later delivery made up for, because they left on an earlier day than it came, count below zero until
    it is there.
    """

    number: int
    """Number of the movement that brought the goods in."""
    kind: StockedKind
    item_code: str
    day: date
    reason: StockReason
    bill_number: int | None
    quantity: int
    cost: Cents


@dataclass(frozen=True, slots=True)
class ItemValue:
    """What is on hand of one item on a day, and what it cost, first in first out."""

    kind: StockedKind
    item_code: str
    description: str
    lots: tuple[LotLeft, ...]

    @property
    def quantity(self) -> int:
        """How many are on hand."""
        return sum(lot.quantity for lot in self.lots)

    @property
    def cost(self) -> Cents:
        """What they cost."""
        return sum(lot.cost for lot in self.lots)


@dataclass(frozen=True, slots=True)
class ItemStock:
    """One item as it stands now: on hand, kept for open orders, what one last cost, and what all on hand cost."""

    kind: StockedKind
    item_code: str
    description: str
    on_hand: int
    reserved: int
    last_cost: Cents
    value: Cents

    @property
    def free(self) -> int:
        """How many may be sold; below zero where fewer lie there than orders need."""
        return self.on_hand - self.reserved


@dataclass(frozen=True, slots=True)
class LowItem:
    """An item to reorder: how many may be sold, when it was last sold, and how many of late."""

    item: ItemStock
    last_sold: date | None
    sold: int
    """In the days before, cancelled orders left out."""


@dataclass(frozen=True, slots=True)
class AgedItem:
    """One item's goods by how long they have lain there: count and cost for each band."""

    kind: StockedKind
    item_code: str
    description: str
    counts: tuple[int, ...]
    costs: tuple[Cents, ...]


def by_item(lots: Iterable[LotLeft], descriptions: Mapping[tuple[StockedKind, str], str]) -> tuple[ItemValue, ...]:
    """Put lots, given in the order of their items, together by item."""
    grouped = groupby(lots, key=lambda lot: (lot.kind, lot.item_code))
    return tuple(ItemValue(kind, code, descriptions.get((kind, code), ""), tuple(own)) for (kind, code), own in grouped)


def aged(item: ItemValue, day: date) -> AgedItem:
    """Sort an item's lots into the bands of their age on a day."""
    counts, costs = [0] * len(BANDS), [0] * len(BANDS)
    for lot in item.lots:
        place = band((day - lot.day).days)
        counts[place] += lot.quantity
        costs[place] += lot.cost
    return AgedItem(item.kind, item.item_code, item.description, tuple(counts), tuple(costs))


def band(days: int) -> int:
    """Give the place of the band that an age in days falls into."""
    return sum(days > last for last in _LAST_DAYS)
