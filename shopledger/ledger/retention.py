"""From which day what is held on somebody may be erased, and what stands against it until then.

Each rule keeps the records until a day of its own; the latest decides. How many years a rule asks for is a setting of
the owner's, since states and tax preparers differ; the defaults stand in `Keeping` with where they come from.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence
from dataclasses import dataclass, field
from datetime import date, timedelta
from enum import Enum
from typing import Final

from shopledger.errors import LedgerError, RefusedError

FEDERAL_YEARS: Final = 3
"""Records of impact-resistant lenses with the names of prescription buyers: 21 CFR 801.410(e). None may set less."""
LEAST_TAX_YEARS: Final = 3
MOST_YEARS: Final = 100


class Ground(Enum):
    """Why records have to be kept."""

    LENSES = "21 CFR 801.410(e)"
    TAX = "tax records"
    STATE = "the state's rule"
    CLAIM = "an open claim"
    ORDER = "an order that is not finished"
    BALANCE = "money that is owed"
    HOLD = "a legal hold"


@dataclass(frozen=True, slots=True)
class Keeping:
    """For how many years records are kept: the owner's settings."""

    lens_years: int = FEDERAL_YEARS
    """After the glasses were shipped (21 CFR 801.410(e): 3 years)."""
    tax_years: int = 7
    """After the return was due: 3 usually, 6 where income was left out, 7 for bad debts (IRS); 7 is the safe one."""
    state_years: int = 0
    """After the last glasses were shipped, where the owner's state has a rule for dispensers, such as 5; 0 without."""
    audit_years: int = 6
    """How long it is known who looked at what (45 CFR 164.316(b)(2)(i) keeps such records 6 years)."""

    def __post_init__(self) -> None:
        """Hold each to what the law asks at least, and to what anybody lives to see."""
        for name, years, least in (
            ("years for lens records", self.lens_years, FEDERAL_YEARS),
            ("years for tax records", self.tax_years, LEAST_TAX_YEARS),
            ("years of the state's rule", self.state_years, 0),
            ("years for audit notes", self.audit_years, 1),
        ):
            if not least <= years <= MOST_YEARS:
                raise RefusedError(name, years, f"they must lie from {least} to {MOST_YEARS}", "Type such a number.")


@dataclass(frozen=True, slots=True)
class Dealings:
    """What retention asks about somebody: nothing where None or empty."""

    shipped_on: date | None = None
    """The last day on which glasses left."""
    booked_on: date | None = None
    """The day of the last sale, payment or refund: the tax return of its year stands on it."""
    open_orders: tuple[int, ...] = ()
    """Orders neither shipped nor cancelled."""
    owing: tuple[str, ...] = ()
    """Documents on which money is still owed either way, such as `order 12` or `deposit 3`."""
    claims: tuple[tuple[int, date], ...] = ()
    """Receipts that were not handed in, each with the last day on which the plan takes them."""
    holds: tuple[str, ...] = ()
    """Why there is a legal hold, each in the owner's words."""


def together(dealings: Iterable[Dealings]) -> Dealings:
    """Give what retention asks about somebody who has several numbers."""
    every = tuple(dealings)

    def last(days: Iterable[date | None]) -> date | None:
        return max((day for day in days if day is not None), default=None)

    return Dealings(
        shipped_on=last(each.shipped_on for each in every),
        booked_on=last(each.booked_on for each in every),
        open_orders=tuple(sorted({number for each in every for number in each.open_orders})),
        owing=tuple(dict.fromkeys(said for each in every for said in each.owing)),
        claims=tuple(dict.fromkeys(claim for each in every for claim in each.claims)),
        holds=tuple(dict.fromkeys(reason for each in every for reason in each.holds)),
    )


@dataclass(frozen=True, slots=True)
class Reason:
    """One rule that keeps the records: until which day, or as long as something lasts."""

    ground: Ground
    sentence: str
    erasable_from: date | None
    """The first day on which this rule lets them go; None as long as what it speaks of lasts."""


@dataclass(frozen=True, slots=True)
class Retention:
    """All the rules that keep somebody's records, those that last longest first."""

    reasons: tuple[Reason, ...] = field(default=())

    @property
    def erasable_from(self) -> date | None:
        """The first day on which nothing keeps the records; None where that is not known yet."""
        days = [reason.erasable_from for reason in self.reasons]
        return None if None in days else max((day for day in days if day), default=date.min)

    def against(self, today: date) -> tuple[Reason, ...]:
        """Give the rules that still keep the records on a day."""
        return tuple(each for each in self.reasons if each.erasable_from is None or each.erasable_from > today)

    @property
    def rule(self) -> str:
        """The rule that decided, in words that are kept with an erasure."""
        return self.reasons[0].sentence if self.reasons else "nothing was ever sold to this person"


class KeptStillError(LedgerError):
    """Somebody's records cannot be erased yet."""

    who: str
    reasons: tuple[Reason, ...]
    erasable_from: date | None

    def __str__(self) -> str:
        why = " ".join(f"{reason.sentence}." for reason in self.reasons)
        if self.erasable_from is None:
            return f"{self.who} cannot be erased yet. {why} Settle that first, then ask again. Nothing was changed."
        until = self.erasable_from.isoformat()
        return f"{self.who} cannot be erased yet, but from {until} on. {why} Nothing was changed."


def retention(dealings: Dealings, keeping: Keeping) -> Retention:
    """Give every rule that keeps somebody's records, and until when."""
    found = [*_lasting(dealings), *_dated(dealings, keeping)]
    return Retention(tuple(sorted(found, key=lambda each: each.erasable_from or date.max, reverse=True)))


def filing_day(day: date) -> date:
    """Give the day on which the tax return for a day's year is due; one that is filed early counts from it too."""
    return date(day.year + 1, 4, 15)


def years_after(day: date, years: int) -> date:
    """Give the same day some years later; 29 February becomes 1 March."""
    try:
        return day.replace(year=day.year + years)
    except ValueError:
        return date(day.year + years, 3, 1)


def _lasting(dealings: Dealings) -> Iterator[Reason]:
    """Give what keeps the records until somebody does something."""
    for why in dealings.holds:
        yield Reason(Ground.HOLD, f"There is a legal hold: {why}", None)
    for number in dealings.open_orders:
        yield Reason(Ground.ORDER, f"Order {number} is neither shipped nor cancelled", None)
    for document in dealings.owing:
        yield Reason(Ground.BALANCE, f"Money is still owed on {document}", None)


def _dated(dealings: Dealings, keeping: Keeping) -> Iterator[Reason]:
    for receipt, last in dealings.claims:
        said = f"Receipt {receipt} was not handed in, and the plan takes it until {last.isoformat()}"
        yield Reason(Ground.CLAIM, said, last + timedelta(1))
    if dealings.shipped_on is not None:
        yield from _since_shipping(dealings.shipped_on, keeping)
    if dealings.booked_on is not None:
        due, years = filing_day(dealings.booked_on), keeping.tax_years
        until = years_after(due, years)
        yield Reason(Ground.TAX, f"Tax records are kept {years} years after {due.isoformat()} ({until})", until)


def _since_shipping(shipped_on: date, keeping: Keeping) -> Sequence[Reason]:
    said = f"years after shipping on {shipped_on.isoformat()}"
    lenses, state = (years_after(shipped_on, years) for years in (keeping.lens_years, keeping.state_years))
    reasons = [
        Reason(Ground.LENSES, f"21 CFR 801.410(e) keeps lens records {keeping.lens_years} {said} ({lenses})", lenses)
    ]
    if keeping.state_years:
        reasons.append(Reason(Ground.STATE, f"The state keeps them {keeping.state_years} {said} ({state})", state))
    return reasons
