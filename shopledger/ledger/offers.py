"""Offers as data: what each needs, what it reduces, and how the reduction is shared over the lines."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.limits import MOST_PAIRS, PRICE, hold_amount
from shopledger.ledger.text import clean_text, read_code, taken_anew
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import Rate, write_rate

WHOLE: Final = 1_000_000
"""A rate of 100 %."""


class LineKind(Enum):
    """What a line of an order sells."""

    FRAME = "frame"
    LENSES = "lenses"
    EXTRA = "extra"
    ACCESSORY = "accessory"
    SHIPPING = "shipping"


class OfferKind(Enum):
    """How the reduction is worked out."""

    INCLUDED = "included"
    """The reduced lines cost nothing beside the needed ones."""
    PERCENT = "percent"
    """The reduced lines cost a share less."""
    PACKAGE = "package"
    """All matched lines together cost a fixed price."""


class Sharing(Enum):
    """Over which lines the reduction is spread, always in proportion to list prices."""

    REDUCED_LINES = "reduced lines"
    ALL_LINES = "all lines"


@dataclass(frozen=True, slots=True)
class Matches:
    """Which lines of a pair are meant: a kind, and if given a design or one item's code."""

    kind: LineKind
    design: Design | None = None
    code: str | None = None

    def __post_init__(self) -> None:
        """Refuse a design where no lens is meant."""
        if self.design is not None and self.kind is not LineKind.LENSES:
            raise RefusedError(
                "offer", f"{self.kind.value} with a design", "only lenses have a design", "Drop the design."
            )
        if self.code is not None:
            object.__setattr__(self, "code", read_code(self.kind.value, self.code))

    @property
    def words(self) -> str:
        """What is meant, such as `single vision lenses`."""
        parts = (self.design.value if self.design else "", self.kind.value, self.code or "")
        return " ".join(part for part in parts if part)


@dataclass(frozen=True, slots=True)
class Offer:
    """One offer; it is tried on each pair of an order that holds everything it needs."""

    code: str
    name: str
    kind: OfferKind
    reduces: tuple[Matches, ...]
    needs: tuple[Matches, ...] = ()
    percent: Rate = 0
    price: Cents = 0
    sharing: Sharing = Sharing.REDUCED_LINES
    automatic: bool = True
    """Whether it is tried on every order, or only where the owner names it."""
    from_pair: int = 1
    """The first pair of the order it applies to: 2 for a second-pair offer."""
    starts: date | None = None
    ends: date | None = None
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the terms to what the kind of offer allows."""
        object.__setattr__(self, "code", read_code("offer", self.code))
        object.__setattr__(self, "name", clean_text("offer name", self.name))
        if not self.reduces:
            raise RefusedError("offer", self.code, "it must say which lines it reduces", "Add 'reduces'.")
        if self.kind is OfferKind.PERCENT and not 0 < self.percent <= WHOLE:
            raise RefusedError(
                "offer percent", self.percent / 10_000, "it must lie above 0 and at most at 100", "Type the percentage."
            )
        if self.price < 0:
            raise RefusedError("offer price", write_amount(self.price), "it may not be negative", "Type 0 or more.")
        hold_amount("offer price", self.price, PRICE)
        if self.from_pair < 1 or (taken_anew() and self.from_pair > MOST_PAIRS):
            allowed = f"the first pair is 1, and none comes after the {MOST_PAIRS}th"
            raise RefusedError("offer from pair", self.from_pair, allowed, "Type 1 or more.")
        if self.starts and self.ends and self.ends < self.starts:
            raise RefusedError(
                "offer end",
                self.ends.isoformat(),
                f"it lies before the start {self.starts.isoformat()}",
                "Swap the dates.",
            )

    @property
    def words(self) -> str:
        """What it does, such as `single vision lenses included`."""
        reduced = " and ".join(each.words for each in self.reduces)
        if self.kind is OfferKind.INCLUDED:
            return f"{reduced} included"
        if self.kind is OfferKind.PERCENT:
            return f"{write_rate(self.percent)} off {reduced}"
        return f"{write_amount(self.price)} together"

    def runs_on(self, day: date) -> bool:
        """Tell whether the offer holds on that day."""
        return (self.starts is None or self.starts <= day) and (self.ends is None or day <= self.ends)
