"""Months that are closed: what was closed or reopened, when, why, and on which state of the books."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.books.journal import Head
from shopledger.ledger.books.month import Month
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents
from shopledger.optics.findings import Finding, Severity


class PeriodDeed(Enum):
    """What was done to a month."""

    CLOSED = "closed"
    REOPENED = "reopened"


@dataclass(frozen=True, slots=True)
class PeriodEvent:
    """That a month was closed or reopened; `head` is the state of the books it happened on."""

    month: Month
    deed: PeriodDeed
    reason: str
    accepted: tuple[str, ...]
    """Codes of what was pointed out and accepted."""
    head: Head
    operator: str = ""
    recorded_at: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules; a month is not opened again without one."""
        needed = self.deed is PeriodDeed.REOPENED
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE, required=needed))


@dataclass(frozen=True, slots=True)
class MonthState:
    """A month with entries or with a history: its entries, what they say was sold, and what was last done to it."""

    month: Month
    entries: int
    event: PeriodEvent | None = None
    net_sales: Cents = 0
    """Goods and shipping sold, less offers, refunds and cancellations."""

    @property
    def closed(self) -> bool:
        """Whether it takes nothing more."""
        return self.event is not None and self.event.deed is PeriodDeed.CLOSED


class MonthNotReadyError(LedgerError):
    """What a month still lacks before it can be closed: errors, and warnings that nobody has accepted."""

    month: Month
    findings: tuple[Finding, ...]

    def __str__(self) -> str:
        said = " ".join(f"{finding.sentence} [{finding.code}]" for finding in self.findings)
        if any(finding.stops for finding in self.findings):
            return f"{self.month} cannot be closed. {said}"
        flags = " ".join(f"--accept {code}" for code in dict.fromkeys(finding.code for finding in self.findings))
        return f"{self.month} was not closed. {said} If it is meant so, add {flags}."


def accepted_codes(month: Month, findings: Iterable[Finding], accept: frozenset[str]) -> tuple[str, ...]:
    """Give the codes of the warnings that were accepted, or refuse while anything stands against closing."""
    met = tuple(findings)
    warned = [finding for finding in met if finding.severity is Severity.WARNING]
    against = (
        *(finding for finding in met if finding.stops),
        *(finding for finding in warned if finding.code not in accept),
    )
    if against:
        raise MonthNotReadyError(month, against)
    return tuple(dict.fromkeys(finding.code for finding in warned))


def check_closable(month: Month, states: Iterable[MonthState], today: date) -> None:
    """Refuse a month that has not ended, is closed already, or follows an open month with entries."""
    if today <= month.last:
        raise RefusedError(
            "month", str(month), f"it lasts until {month.last.isoformat()}", "Close it once it has ended."
        )
    by_month = {state.month: state for state in states}
    mine = by_month.get(month)
    if mine is not None and mine.closed:
        raise RefusedError("month", str(month), "it is closed already", "Nothing is left to do.")
    earlier = sorted(state.month for state in by_month.values() if state.month < month and not state.closed)
    if earlier:
        first = earlier[0]
        raise RefusedError(
            "month", str(month), f"{first} before it is still open", f"First 'shopledger month close {first}'."
        )


def check_reopenable(month: Month, states: Iterable[MonthState]) -> None:
    """Refuse a month that is not closed, or that is not the newest that is."""
    closed = sorted(state.month for state in states if state.closed)
    if month not in closed:
        raise RefusedError("month", str(month), "it is not closed", "Nothing is left to do.")
    newest = closed[-1]
    if newest != month:
        raise RefusedError(
            "month",
            str(month),
            f"{newest} after it is closed too, and what is changed before it would change it",
            f"First 'shopledger month reopen {newest} --reason TEXT'.",
        )
