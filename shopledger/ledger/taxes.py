"""Sales tax rates as the owner set them, per state, place in it and category, with the days they hold.

One rate taxes a line: where a county or a city adds a tax of its own, the owner sets what both come to together. Of
two rates the one for the nearer place holds, and of two for the same place the one that began last.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.text import clean_text
from shopledger.money.rate import Rate, write_rate
from shopledger.optics.findings import Finding, Severity

LONGEST_REASON = 200
"""Characters that a reason for charging no tax may have."""
RATE_OVERLAPS: Final = "RATE-OVERLAPS"
WITHOUT_TAX: Final = "shipped with goods that are not taxed"
"""Why shipping, or a part of it, is not taxed where it is taxed as the goods are."""
_HIGHEST: Final[Rate] = 300_000
_ZIP: Final = re.compile(r"[0-9]{5}")
_LIKE_ZIP: Final = re.compile(r"[0-9-]+")
_MOST_ZIPS: Final = 4000


class ImposedOn(Enum):
    """On whom a state lays its sales tax (IRS Publication 334, chapter 5).

    On the buyer: the shop collects and hands it on. On the seller: it is part of the gross receipts, and an expense.
    """

    BUYER = "buyer"
    SELLER = "seller"


@dataclass(frozen=True, slots=True)
class Destination:
    """Where a parcel goes, as far as the sales tax asks."""

    state: str
    city: str = ""
    postcode: str = ""


class Nearness(Enum):
    """How a rate's place lies to an address, the farthest first."""

    STATE = 0
    CITY = 1
    ZIPS = 2
    """One of several ZIP codes that the owner named for a place."""
    ZIP = 3


@dataclass(frozen=True, slots=True)
class TaxRate:
    """One rate for a state or a place in it; of those that hold on a day, the one that began last counts."""

    state: str
    category: TaxCategory
    rate: Rate
    valid_from: date
    imposed_on: ImposedOn = ImposedOn.BUYER
    exempt_reason: str = ""
    """Why nothing is charged, as the owner gives it; only with a rate of zero."""
    place: str = ""
    """What the owner calls it: a city, a ZIP code, or a county with its ZIP codes; empty for the rest of the state."""
    valid_to: date | None = None
    """Its last day; None where none is known."""
    zips: str = ""
    """The ZIP codes that a place is found by which is neither a city nor a ZIP code itself, parted by spaces."""
    as_goods: bool = False
    """Whether shipping is taxed as the goods are that it is for; then the rate is zero here."""

    def __post_init__(self) -> None:
        """Hold the state, the place, the days, the rate and the reason to sense."""
        object.__setattr__(self, "state", read_state(self.state))
        if not 0 <= self.rate <= _HIGHEST:
            raise RefusedError(
                "tax rate", f"{self.rate / 10_000:g} %", "it must lie from 0 to 30 %", "Type the rate in per cent."
            )
        reason = clean_text("exempt reason", self.exempt_reason, LONGEST_REASON, required=False)
        object.__setattr__(self, "exempt_reason", reason)
        if reason and self.rate:
            raise RefusedError(
                "exempt reason",
                f"'{reason}' beside a rate of {self.rate / 10_000:g} %",
                "only what is not taxed has one",
                "Set the rate to 0, or leave the reason out.",
            )
        object.__setattr__(self, "place", _read_place(self.place))
        object.__setattr__(self, "zips", _read_zips(self.zips))
        self._hold_place()
        if self.valid_to is not None and self.valid_to < self.valid_from:
            raise RefusedError(
                "last day",
                self.valid_to.isoformat(),
                f"the first is {self.valid_from.isoformat()}",
                "Type a day on or after it.",
            )
        self._hold_as_goods()

    def _hold_place(self) -> None:
        if self.zips and (not self.place or _ZIP.fullmatch(self.place)):
            raise RefusedError(
                "ZIP codes",
                self.zips,
                f"they are those of a place with a name, not of {self.place or 'the whole state'}",
                "Name the place, as in --place 'Alder County'.",
            )

    def _hold_as_goods(self) -> None:
        if not self.as_goods:
            return
        if self.category is not TaxCategory.SHIPPING:
            raise RefusedError(
                "category", self.category.value, "only shipping is taxed as the goods are", "Give its rate in per cent."
            )
        if self.rate or self.exempt_reason:
            raise RefusedError(
                "rate",
                write_rate(self.rate) if self.rate else f"'{self.exempt_reason}'",
                "shipping that is taxed as the goods are has no rate or reason of its own",
                "Leave it at 0, without a reason.",
            )

    def holds_on(self, day: date) -> bool:
        """Tell whether a day is one of its days, whatever other rates say."""
        return self.valid_from <= day and (self.valid_to is None or day <= self.valid_to)

    def nearness(self, where: Destination) -> Nearness | None:
        """Say by what of an address its place is found; None where the address lies elsewhere."""
        code = where.postcode[:5]
        if self.state != where.state:
            return None
        if not self.place:
            return Nearness.STATE
        if self.place == code:
            return Nearness.ZIP
        if self.zips:
            return Nearness.ZIPS if code in self.zips.split() else None
        return Nearness.CITY if folded(self.place) == folded(where.city) else None

    @property
    def words(self) -> str:
        """What it comes to: its per cent, or that shipping goes with the goods."""
        return "as the goods" if self.as_goods else write_rate(self.rate)

    @property
    def whole_place(self) -> str:
        """Its place with the state."""
        return f"{self.place}, {self.state}" if self.place else self.state

    @property
    def days(self) -> str:
        """Its days, as a sentence goes on."""
        ends = "without a last day" if self.valid_to is None else f"to {self.valid_to.isoformat()}"
        return f"from {self.valid_from.isoformat()} {ends}"

    def stands_where(self, other: TaxRate) -> bool:
        """Tell whether it is for the same state, place and category."""
        own, their = ((each.state, each.category, folded(each.place)) for each in (self, other))
        return own == their

    def meets(self, other: TaxRate) -> bool:
        """Tell whether both have a day in common."""
        later = max(self.valid_from, other.valid_from)
        return self.holds_on(later) and other.holds_on(later)


def folded(place: str) -> str:
    """Give a place's name as it is compared: without capitals, points and doubled blanks."""
    return " ".join(place.casefold().replace(".", " ").split())


def rate_for(rates: Iterable[TaxRate], where: Destination, category: TaxCategory, day: date) -> TaxRate | None:
    """Give the rate that holds for the nearest place, or the one that ended there last where none follows it.

    None where none had begun for any place that the address lies in: nothing is assumed.
    """
    begun = [
        (found.value, rate)
        for rate in rates
        if rate.category is category and rate.valid_from <= day and (found := rate.nearness(where)) is not None
    ]
    nearest = max((near for near, _ in begun), default=None)
    there = [rate for near, rate in begun if near == nearest]
    if not there:
        return None
    holding = [rate for rate in there if rate.holds_on(day)]
    if holding:
        return max(holding, key=lambda rate: rate.valid_from)
    return max(there, key=lambda rate: (rate.valid_to or day, rate.valid_from))


def rate_on(rates: Iterable[TaxRate], where: Destination, category: TaxCategory, day: date) -> Rate | None:
    """Give the rate that holds, or None where the owner has set none: nothing is assumed."""
    found = rate_for(rates, where, category, day)
    return found.rate if found is not None and found.holds_on(day) else None


@dataclass(frozen=True, slots=True)
class RateSpan:
    """Days on which one rate counts, with all others of its state, place and category in sight."""

    rate: TaxRate
    first: date
    last: date | None


def spans(rates: Iterable[TaxRate]) -> Iterator[RateSpan]:
    """Give which rate counts from when to when, in order; one that ends gives way to an older one that still holds."""
    groups: dict[tuple[str, str, str], list[TaxRate]] = {}
    for rate in rates:
        groups.setdefault((rate.state, folded(rate.place), rate.category.value), []).append(rate)
    for _, group in sorted(groups.items()):
        turns = {rate.valid_from for rate in group}
        turns |= {rate.valid_to + timedelta(1) for rate in group if rate.valid_to is not None}
        yield from _joined(group, sorted(turns))


def _joined(group: list[TaxRate], turns: list[date]) -> Iterator[RateSpan]:
    """Give the spans between the days on which something turns, neighbours of the same rate as one."""
    open_span: RateSpan | None = None
    for day in turns:
        found = max((rate for rate in group if rate.holds_on(day)), key=lambda rate: rate.valid_from, default=None)
        if open_span is not None and found is not open_span.rate:
            yield RateSpan(open_span.rate, open_span.first, day - timedelta(1))
            open_span = None
        if open_span is None and found is not None:
            open_span = RateSpan(found, day, None)
    if open_span is not None:
        yield open_span


def overlapping(new: TaxRate, standing: Iterable[TaxRate], together: Iterable[TaxRate] = ()) -> tuple[Finding, ...]:
    """Ask about a rate with days of others that stand for the same place and category; refuse a place's ZIP code twice.

    The very same rate again changes nothing, so nobody is asked; nor of rates that come `together` with it.
    """
    others = [rate for rate in standing if rate != new and rate.meets(new)]
    for rate in (*others, *(each for each in together if each.meets(new))):
        _refuse_shared_zip(new, rate)
    met = [rate for rate in others if rate.stands_where(new)]
    if not met:
        return ()
    listed = "; ".join(f"{rate.words} {rate.days}" for rate in met)
    replaced = next((rate for rate in met if rate.valid_from == new.valid_from), None)
    becomes = (
        f"it takes the place of {replaced.words} {replaced.days}"
        if replaced
        else "on days of both, the one that began last counts"
    )
    said = (
        f"For {new.category.value} in {new.whole_place} there stands {listed}. With {new.words} {new.days}, {becomes}. "
        "Orders keep the rate they were priced with."
    )
    return (Finding(Severity.WARNING, RATE_OVERLAPS, "days", new.days, listed, "the owner's own settings", said),)


def _refuse_shared_zip(new: TaxRate, rate: TaxRate) -> None:
    """Refuse a ZIP code that leads to two places: which rate counts could not be told."""
    if (rate.state, rate.category) != (new.state, new.category) or rate.stands_where(new):
        return
    shared = sorted({*new.zips.split()} & {*rate.zips.split()})
    if shared:
        raise RefusedError(
            "ZIP codes",
            f"{' '.join(shared)} of {new.place}",
            f"they lead to {rate.place} already, for {rate.category.value} {rate.days}",
            "Leave them out of one of the two, or set a rate for the ZIP code itself.",
        )


def _read_place(text: str) -> str:
    """Read a place's name; one of digits is a ZIP code of five."""
    place = clean_text("place", text, required=False)
    if _LIKE_ZIP.fullmatch(place) and not _ZIP.fullmatch(place):
        raise RefusedError(
            "place", f"'{place}'", "a ZIP code has five digits here, a city or county letters", "Type 43001, or a name."
        )
    return place


def _read_zips(text: str) -> str:
    codes = text.replace(",", " ").split()
    wrong = next((code for code in codes if not _ZIP.fullmatch(code)), None)
    if wrong is not None:
        raise RefusedError("ZIP codes", f"'{wrong}'", "each has five digits", "Type them like '43001 43002'.")
    if len(codes) > _MOST_ZIPS:
        raise RefusedError("ZIP codes", len(codes), f"at most {_MOST_ZIPS} fit", "Set a rate for the state's rest.")
    return " ".join(sorted(set(codes)))
