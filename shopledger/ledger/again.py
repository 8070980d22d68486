"""That a job is made in the place of another: which one, in which place of its order, and through whose doing.

Each pair of an order has a place, the position of the first pair that stood there. A later job of the same place has a
number and a position of its own; the order's lines go on naming the place.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

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


MADE_AGAIN: Final = (
    *(RemakeCause.SHOP, RemakeCause.MAKER, RemakeCause.PRESCRIBER, RemakeCause.CUSTOMER),
    *(RemakeCause.BROKEN, RemakeCause.LOST),
)
"""Why a job is made again by itself; what was put right or exchanged is a correction of its order."""
AT_THE_SHOPS_COST: Final = frozenset({RemakeCause.SHOP, RemakeCause.MAKER, RemakeCause.BROKEN, RemakeCause.LOST})
"""The causes for which nobody pays but the shop: once glasses had left, what such a job costs is scrap."""


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
    new_frame: bool = False
    """Whether a frame out of the stock goes with it that no line of the order charges."""
    correction: int | None = None
    """Number of the correction that it belongs to, where there is one."""

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE, required=False))
