"""Today: what waits for the owner, most urgent first, and the rules by which something is urgent.

What is urgent stands here alone. Whatever had a day that has passed comes first, then what somebody waits for, then
what has time. Among equals the kind that `Waits` lists first comes first, and of one kind what has waited longest.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from itertools import chain
from typing import Final

from shopledger.ledger.backups import LastCopies
from shopledger.ledger.stages import JobFacts, Stage, lenses_late, stage_of
from shopledger.ledger.things import About

MOST: Final = 50
"""How many of one kind are shown; of more the number is said."""
CLAIM_AHEAD: Final = 30
"""How many days before a plan's last day its receipt is asked for (common practice, no source)."""
BILL_AHEAD: Final = 7
"""How many days before a bill is due it is shown (common practice, no source)."""
BILL_USUAL: Final = 30
"""After how many days a bill is due that says no day (common practice, no source)."""


class Urgency(Enum):
    """How urgent something is, the most urgent first."""

    OVERDUE = "overdue"
    """It had a day, and that has passed."""
    WAITING = "waiting"
    """Somebody waits for it."""
    IN_TIME = "in time"
    """It has to be done, and has time."""


class Waits(Enum):
    """What waits, the most urgent kind first."""

    LENSES_LATE = "lenses late"
    MAKE_AGAIN = "to make again"
    SEND_AGAIN = "to send again"
    SEND = "to send"
    CUT = "to cut and inspect"
    TRACE = "to trace"
    ORDER_LENSES = "lenses to order"
    PAPER = "paper to print"
    RECEIPT = "receipt to issue"
    UNPAID_SENT = "sent and not paid"
    DRAFT = "draft unfinished"
    UNPAID = "ordered, with a rest to pay"
    BILL = "bill due"
    BACKUP = "backup due"
    BANK_LINE = "bank line not matched"
    MONTH = "month to close"
    FRAME_UNTRACED = "frame without a shape"


_IN_TIME: Final = frozenset(
    {Waits.DRAFT, Waits.UNPAID, Waits.BILL, Waits.BACKUP, Waits.BANK_LINE, Waits.MONTH, Waits.FRAME_UNTRACED}
)
"""What nobody waits for but the owner."""


@dataclass(frozen=True, slots=True)
class Waiting:
    """One thing that waits."""

    kind: Waits
    about: About
    sentence: str
    """What waits and what is to be done, in the owner's words; it names nobody."""
    since: date | None = None
    """The day from which on it has waited."""
    until: date | None = None
    """The last day for it, where there is one."""
    who: str = ""
    """The customer or supplier whose it is, where that helps."""
    overdue: bool = False
    """Whether it waits too long without having a last day."""
    needs: About | None = None
    """What else is to be named to do it: the frame of a job whose shape is to be traced."""

    def urgency(self, today: date) -> Urgency:
        """Tell how urgent it is."""
        if self.overdue or (self.until is not None and self.until < today):
            return Urgency.OVERDUE
        return Urgency.IN_TIME if self.kind in _IN_TIME else Urgency.WAITING


@dataclass(frozen=True, slots=True)
class WaitingList:
    """All of one kind that waits: the most urgent of it, and how many there are."""

    kind: Waits
    rows: tuple[Waiting, ...]
    count: int

    @property
    def more(self) -> int:
        """How many there are beside those shown."""
        return self.count - len(self.rows)


@dataclass(frozen=True, slots=True)
class Today:
    """What waits on a day, and when the ledger was last copied."""

    day: date
    lists: tuple[WaitingList, ...]
    """By kind, the most urgent kind first; none is empty."""
    copies: LastCopies

    @property
    def rows(self) -> tuple[Waiting, ...]:
        """All that is shown, the most urgent first."""
        return in_order(chain.from_iterable(each.rows for each in self.lists), self.day)

    @property
    def count(self) -> int:
        """How many things wait, shown or not."""
        return sum(each.count for each in self.lists)


def in_order(rows: Iterable[Waiting], today: date) -> tuple[Waiting, ...]:
    """Give what waits with the most urgent first: by urgency, then kind, then what has waited longest."""
    urgencies, kinds = list(Urgency), list(Waits)

    def turn(row: Waiting) -> tuple[int, int, date, int, str]:
        day = row.until or row.since or today
        return urgencies.index(row.urgency(today)), kinds.index(row.kind), day, len(row.about.name), row.about.name

    return tuple(sorted(rows, key=turn))


def listed_by_kind(
    rows: Iterable[Waiting], today: date, besides: Mapping[Waits, int], most: int = MOST
) -> tuple[WaitingList, ...]:
    """Give what waits by kind, so many of each; `besides` says of how many no row was made."""
    by_kind: dict[Waits, list[Waiting]] = {}
    for row in in_order(rows, today):
        by_kind.setdefault(row.kind, []).append(row)
    return tuple(
        WaitingList(kind, tuple(by_kind[kind][:most]), len(by_kind[kind]) + besides.get(kind, 0))
        for kind in Waits
        if kind in by_kind
    )


def job_waits(facts: JobFacts, today: date) -> Waits | None:
    """Tell what a job waits for that the owner can do.

    None where it waits for the lab or is ready to leave: what is ready leaves with its order.
    """
    stage = stage_of(facts).stage
    if lenses_late(facts, today):
        return Waits.LENSES_LATE
    if stage is Stage.FAILED:
        return Waits.MAKE_AGAIN
    if stage in {Stage.INSPECTED, Stage.CAME_BACK} or not facts.is_open:
        return None
    if facts.lenses_lost:
        return Waits.ORDER_LENSES
    if not facts.traced and not facts.made_again:
        return Waits.TRACE
    by_stage = {Stage.READY_TO_CUT: Waits.CUT, Stage.REMADE: Waits.CUT, Stage.ORDERED: Waits.ORDER_LENSES}
    return by_stage.get(stage)


def is_ready(facts: JobFacts) -> bool:
    """Tell whether a job that is here may leave."""
    return stage_of(facts).stage in {Stage.INSPECTED, Stage.CAME_BACK}


def bill_due(day: date, due_on: date | None) -> date:
    """Give the day on which a bill is due: the one it says, or the usual one."""
    return due_on or day + timedelta(BILL_USUAL)


def days_said(day: date, today: date) -> str:
    """Say how far a day lies from today."""
    days = (day - today).days
    if not days:
        return "today"
    many = f"{abs(days)} day{'s' if abs(days) > 1 else ''}"
    return f"in {many}" if days > 0 else f"{many} ago"
