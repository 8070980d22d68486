"""Parcels: in which an order leaves, what lies in each, where it goes to, that it came back and went again.

A parcel's content is jobs, and lines of the order with a count; the frame of a job is a line of its own and lies in the
parcel with it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.parties import Address
from shopledger.ledger.text import LONGEST_NOTE, clean_text


@dataclass(frozen=True, slots=True)
class ParcelItem:
    """One thing in a parcel: a job's glasses, or some goods of one line of the order."""

    job: int | None = None
    line: int | None = None
    """Position of the line in the order, from 1."""
    quantity: int = 1

    def __post_init__(self) -> None:
        """Refuse what is neither or both, and a count of nothing."""
        if (self.job is None) == (self.line is None) or self.quantity < 1:
            wrong = "an item that is no job and no line"
            raise RefusedError("parcel", wrong, "it is one of them", "This is a fault of the program.")


@dataclass(frozen=True, slots=True)
class ParcelReturn:
    """That a parcel came back: the day, and why."""

    parcel_number: int
    day: date
    reason: str

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class Parcel:
    """What left on one day to one address: the day is the date of service on a claim."""

    order_number: int
    day: date
    ship_to: Address
    carrier: str
    tracking: str = ""
    items: tuple[ParcelItem, ...] = ()
    again_of: int | None = None
    """Number of the parcel that had come back and whose content this is."""
    came_back: ParcelReturn | None = None
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "carrier", clean_text("carrier", self.carrier, 60))
        tracking = clean_text("tracking number", self.tracking, 60, required=False, numbers=True)
        object.__setattr__(self, "tracking", tracking)

    @property
    def jobs(self) -> tuple[int, ...]:
        """The jobs in it."""
        return tuple(item.job for item in self.items if item.job is not None)

    def count(self, line: int) -> int:
        """Give how many goods of a line lie in it."""
        return sum(item.quantity for item in self.items if item.line == line)


@dataclass(frozen=True, slots=True)
class OrderAddress:
    """Where what has not left of an order goes from a day on, in the place of what was said before."""

    order_number: int
    day: date
    ship_to: Address
    reason: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE, required=False))
