"""Where a job stands, from the order to the parcel, and what comes next.

`stage_of` takes what is known of a job. What nobody recorded is left at None and the stages that hang on it are passed
over: a job whose lenses are cut from stock is `ordered` until it is inspected or shipped.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

OVERDUE_AFTER: Final = 14
"""From how many days after the order on an open job is overdue (common practice, no source)."""


class Stage(Enum):
    """Where a job stands."""

    ORDERED = "ordered"
    LENSES_AWAITED = "lenses awaited"
    READY_TO_CUT = "ready to cut"
    INSPECTED = "inspected"
    FAILED = "failed inspection"
    REMADE = "being made again"
    CAME_BACK = "came back"
    SHIPPED = "shipped"
    CANCELLED = "cancelled"
    OVERTAKEN = "overtaken"
    """Another job is made in its place."""
    TAKEN_OUT = "taken out"
    """Taken out of its order, with nothing in its place."""


@dataclass(frozen=True, slots=True)
class JobFacts:
    """What is known of a job; None means that it did not happen or is not recorded."""

    job_number: int
    order_number: int
    frame_code: str
    ordered_on: date
    """Day of the order, or on which it was begun in the place of another job."""
    traced: bool
    """Whether the frame has a trace."""
    lens_order: int | None = None
    """Number of the newest lens order, unless its lenses were thrown away since."""
    lenses_ordered_on: date | None = None
    """The day of that lens order."""
    lenses_expected_on: date | None = None
    lenses_arrived_on: date | None = None
    lenses_lost: bool = False
    """Whether lenses were thrown away that nobody has ordered anew."""
    inspection_passed: bool | None = None
    """What the newest inspection came to; None before there is one, and again once a remake followed it."""
    made_again: bool = False
    """Whether a remake was recorded that no inspection followed yet."""
    waits_for: tuple[int, ...] = ()
    """Other jobs of the same order that are here and have not passed an inspection: they may leave together."""
    shipped_on: date | None = None
    """The day on which it left, in a parcel that did not come back."""
    came_back: int | None = None
    """Number of the parcel in which it came back, and lies here since."""
    cancelled_on: date | None = None
    in_place_of: int | None = None
    """The job in whose place it is made."""
    overtaken_by: int | None = None
    """The job that is made in its place."""
    taken_out: bool = False
    """Whether it was taken out of its order."""

    @property
    def is_open(self) -> bool:
        """Whether there is still something to do."""
        ended = (self.shipped_on, self.cancelled_on, self.overtaken_by)
        return not self.taken_out and all(each is None for each in ended)


@dataclass(frozen=True, slots=True)
class Standing:
    """Where a job stands, what comes next in words, and the command for it where there is one."""

    stage: Stage
    next_step: str = ""
    command: str = ""


def stage_of(facts: JobFacts) -> Standing:
    """Give where a job stands and what comes next; what happened last counts."""
    if not facts.is_open:
        return _ended(facts)
    if facts.inspection_passed is not None or (facts.came_back is not None and not facts.made_again):
        return _inspected(facts)
    if facts.lenses_lost:
        return Standing(Stage.REMADE, "order lenses, cut again and inspect", _order_lenses(facts))
    if not facts.traced and not facts.made_again:
        return Standing(_before_cutting(facts), "trace the frame", f"shopledger trace add {facts.frame_code} FILE")
    return _lenses(facts)


def _ended(facts: JobFacts) -> Standing:
    """Say what became of a job with which there is nothing left to do."""
    if facts.cancelled_on is not None:
        return Standing(Stage.CANCELLED)
    if facts.overtaken_by is not None:
        return Standing(Stage.OVERTAKEN, f"see job {facts.overtaken_by}", f"shopledger job show {facts.overtaken_by}")
    if facts.taken_out:
        return Standing(Stage.TAKEN_OUT)
    return Standing(Stage.SHIPPED)


def days_since_order(facts: JobFacts, today: date) -> int:
    """Give how many days ago the order was taken; an order dated after the day asked about counts as of that day."""
    return max(0, (today - facts.ordered_on).days)


def is_overdue(facts: JobFacts, today: date, after: int = OVERDUE_AFTER) -> bool:
    """Tell whether a job is still open more than so many days after the order, or its lenses should have come."""
    return facts.is_open and (days_since_order(facts, today) > after or lenses_late(facts, today))


def lenses_late(facts: JobFacts, today: date) -> bool:
    """Tell whether the lenses are still awaited after the day on which they were expected."""
    expected = facts.lenses_expected_on
    return expected is not None and stage_of(facts).stage is Stage.LENSES_AWAITED and today > expected


def _inspected(facts: JobFacts) -> Standing:
    if facts.came_back is not None and facts.inspection_passed is not False:
        return Standing(Stage.CAME_BACK, "send it again", f"shopledger parcel send-again {facts.came_back}")
    if facts.inspection_passed and facts.waits_for:
        alone = f"shopledger sale ship {facts.order_number} --job {facts.job_number}"
        return Standing(Stage.INSPECTED, f"wait for job {facts.waits_for[0]}, or ship it alone", alone)
    if facts.inspection_passed:
        return Standing(Stage.INSPECTED, "ship the order", f"shopledger sale ship {facts.order_number}")
    return Standing(Stage.FAILED, "make it again", f"shopledger job remake {facts.job_number}")


def _lenses(facts: JobFacts) -> Standing:
    """Say how far the lenses are, and what follows."""
    stage, cut = _before_cutting(facts), "cut again and inspect" if facts.made_again else "cut and inspect"
    sheet = f"shopledger job sheet {facts.job_number}"
    if stage is Stage.LENSES_AWAITED:
        due = f", expected {facts.lenses_expected_on.isoformat()}" if facts.lenses_expected_on else ""
        return Standing(stage, f"wait for the lenses{due}", f"shopledger job lenses-arrived {facts.job_number}")
    if stage is Stage.READY_TO_CUT:
        return Standing(stage, cut, sheet)
    if facts.made_again:
        return Standing(Stage.REMADE, cut, sheet)
    return Standing(stage, "order lenses, cut, inspect", _order_lenses(facts))


def _order_lenses(facts: JobFacts) -> str:
    return f"shopledger job order-lenses {facts.job_number} --from SUPPLIER"


def _before_cutting(facts: JobFacts) -> Stage:
    if facts.lenses_arrived_on is not None:
        return Stage.READY_TO_CUT
    return Stage.LENSES_AWAITED if facts.lenses_ordered_on is not None else Stage.ORDERED
