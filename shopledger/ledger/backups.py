"""Copies of the ledger: what is known of each, where they go, when the next is due, and which are kept how long."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError

_PERIODS: Final[tuple[tuple[Callable[[date], object], int | None], ...]] = (
    (lambda day: day, 7),
    (lambda day: day.isocalendar()[:2], 5),
    (lambda day: (day.year, day.month), 12),
    (lambda day: day.year, None),
)
"""Days, weeks, months and years, and how many of each keep a copy (common practice, no source)."""


COUNTED: Final = ("receipt", "job", "order")
"""What carries its number on paper, so that none may be given twice."""


@dataclass(frozen=True, slots=True)
class BackupPlace:
    """A folder for copies, and whether it lies outside this computer: on a stick, or on another machine."""

    folder: str
    away: bool
    number: int | None = None


@dataclass(frozen=True, slots=True)
class BackupKey:
    """The public half of a key pair: copies are locked with it, and only the secret half opens them."""

    public: str
    holder: str
    """Who holds the secret half."""
    number: int | None = None


@dataclass(frozen=True, slots=True)
class BackupTerms:
    """What the owner set for copies: after how many days to be reminded, never where it is None."""

    days: int | None = 7
    """Age of the last copy."""
    away_days: int | None = 30
    """Age of the last copy outside this computer."""
    series: str = ""
    """Tells the copies of this ledger from those of another in the same folder; empty before the first copy."""

    def __post_init__(self) -> None:
        """Refuse a limit that would remind every day."""
        for what, days in (("days", self.days), ("days outside this computer", self.away_days)):
            if days is not None and days < 1:
                raise RefusedError(what, days, "a reminder needs at least one day", "Type 1 or more, or off.")


@dataclass(frozen=True, slots=True)
class LedgerCopy:
    """One copy as it was made and checked."""

    day: date
    folder: str
    file: str
    away: bool
    size: int
    sha256: str
    head: str
    """The ledger's head in it: how many entries, and the whole hash of the last."""
    revision: str
    """The state of the ledger's tables."""
    program: str
    """The version of the program that made it."""
    locked_with: tuple[str, ...] = ()
    """The public keys that it is locked with; none where anybody can read it."""
    number: int | None = None


@dataclass(frozen=True, slots=True)
class LastCopies:
    """The day of the last copy, of the last outside this computer, and of the ledger's first entry; None if none."""

    copy: date | None
    away: date | None
    first_entry: date | None


def days_kept(days: Iterable[date]) -> frozenset[date]:
    """Give the days whose copies are kept: the newest of each of the last 7 days, 5 weeks and 12 months, and each year.

    Only days, weeks and months with a copy count, so that a pause in making copies removes none.
    """
    newest_first = sorted(set(days), reverse=True)
    kept: set[date] = set()
    for period, most in _PERIODS:
        newest: dict[object, date] = {}
        for day in newest_first:
            newest.setdefault(period(day), day)
        kept.update(list(newest.values())[:most])
    return frozenset(kept)


def superseded(copies: Sequence[LedgerCopy]) -> tuple[LedgerCopy, ...]:
    """Give the copies of one place that are no longer kept, from all of them in the order in which they were made.

    Of an earlier day only its last copy is kept; of the newest day all are, since one may be from before a mistake.
    """
    kept = days_kept(copy.day for copy in copies)
    last = {copy.day: copy.file for copy in copies}
    newest = max(last, default=None)
    return tuple(
        copy for copy in copies if copy.day != newest and not (copy.day in kept and last[copy.day] == copy.file)
    )


def reminder(terms: BackupTerms, last: LastCopies, today: date) -> str:
    """Give the sentence for copies that are overdue; empty where none is, or where there is nothing to lose yet."""
    said = overdue(terms, last, today)
    if not said:
        return ""
    words = "; ".join(said)
    return f"{words[0].upper()}{words[1:]}. Run 'shopledger backup make'."


def overdue(terms: BackupTerms, last: LastCopies, today: date) -> tuple[str, ...]:
    """Say of the copies what is overdue, each in words that may follow others."""
    return (
        *_overdue("no backup was ever made", "the last backup is {days} days old", terms.days, last.copy, last, today),
        *_overdue(
            "no copy lies outside this computer",
            "the last copy outside this computer is {days} days old",
            terms.away_days,
            last.away,
            last,
            today,
        ),
    )


def _overdue(
    never: str, old: str, limit: int | None, made: date | None, last: LastCopies, today: date
) -> tuple[str, ...]:
    """Say that a copy is overdue; without any, its age is that of the ledger's first entry."""
    since = made or last.first_entry
    if limit is None or since is None or (today - since).days <= limit:
        return ()
    return (old.format(days=(today - made).days) if made else never,)
