"""That a job is made in the place of another: which one, in which place of its order, and through whose doing.

Each pair of an order has a place, the position of the first pair that stood there. A later job of the same place has a
number and a position of its own; the order's lines go on naming the place.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.ledger.text import LONGEST_NOTE, clean_text


class RemakeCause(Enum):
    """Why a job is made in the place of another."""

    PUT_RIGHT = "put right"
    """What was entered was wrong, and the job not yet cut."""
    EXCHANGED = "exchanged"
    SHOP = "shop error"
    MAKER = "maker error"
    PRESCRIBER = "prescriber change"
    CUSTOMER = "customer wish"
    BROKEN = "broken in work"
    LOST = "lost on its way"


@dataclass(frozen=True, slots=True)
class Again:
    """In whose place a job is made, and why."""

    place: int
    """Position of the first pair that stood in that place of the order."""
    job: int
    """Number of the job whose place it takes."""
    cause: RemakeCause
    day: date
    reason: str = ""
    """In words; empty where a correction keeps it."""
    correction: int | None = None
    """Number of the correction that it belongs to, where there is one."""

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE, required=False))
