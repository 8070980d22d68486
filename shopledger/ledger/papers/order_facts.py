"""What a paper of an order is made from: the order with its account, everybody it names, and names for its codes."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.inspections import BenchHistory
from shopledger.ledger.orders import OrderAccount, Pair
from shopledger.ledger.pair_words import pair_words
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.parties import Customer, Shop


@dataclass(frozen=True, slots=True)
class OrderNames:
    """Names by number or code, of all that stands on the orders of one customer."""

    wearers: Mapping[int, str] = field(default_factory=dict)
    """Name of each wearer by number."""
    frames: Mapping[str, str] = field(default_factory=dict)
    """Description of each frame by code."""
    lenses: Mapping[str, str] = field(default_factory=dict)
    """Name of each lens by code."""
    extras: Mapping[str, str] = field(default_factory=dict)
    """Name of each upgrade and coating by code."""
    designs: Mapping[str, Design] = field(default_factory=dict)
    """How each lens is built, by code; one that is not there is of no matter to the paper."""

    def wearer(self, number: int | None) -> str:
        """Give a wearer's name; empty text for what is for nobody in particular."""
        return "" if number is None else self.wearers[number]

    def pair(self, pair: Pair) -> str:
        """Give a pair in words, without powers: lens, what single vision is made for, frame."""
        return pair_words(pair, self.lenses, self.frames[pair.frame_code])


@dataclass(frozen=True, slots=True)
class OrderFacts:
    """A recorded order that stands, with everything looked up that its papers say; `day` is the day of printing."""

    account: OrderAccount
    shop: Shop
    customer: Customer
    names: OrderNames
    day: date
    parcel: Parcel | None = None
    """The parcel that its slip is for; None for what leaves next, or left last."""
    benches: Mapping[int, BenchHistory] = field(default_factory=dict)
    """What happened to its jobs at the bench, by job; nothing is said of one that is not there."""

    def __post_init__(self) -> None:
        """Refuse a paper on an order that was cancelled."""
        refuse_cancelled(self.account)


def refuse_cancelled(account: OrderAccount) -> None:
    """Refuse a paper on an order that was cancelled."""
    if account.cancellation:
        raise RefusedError(
            "order",
            account.order.number,
            f"it was cancelled on {account.cancellation.day.isoformat()}",
            "Name an order that stands.",
        )
