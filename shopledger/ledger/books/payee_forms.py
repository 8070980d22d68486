"""Payees that may need an information return: what a W-9 says of one, from which sum on, and the list for a year.

Who has to be sent a form is for the tax preparer to say. Known here is what a payee was paid in a year for services or
rent, by category (`ExpenseCategory.form`), otherwise than by card: payments by card are the card companies' to report.
Corporations are left out as a rule, but not for what an attorney is paid; whoever backup withholding was applied to is
reported whatever he was paid (both values from memory).
"""

from __future__ import annotations

import re
from collections import defaultdict
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from typing import Final, NamedTuple

from shopledger.errors import RefusedError
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.parties import Address
from shopledger.ledger.retention import Keeping, filing_day
from shopledger.ledger.text import LONGEST_NOTE, clean_text, taken_anew
from shopledger.money.amount import Cents, write_amount

CAUTION: Final = (
    "Which payees need a form is for your tax preparer to say. Corporations are left out as a rule, but not for what "
    "an attorney is paid; payments by card are the card companies' to report."
)
_FORMS: Final = {category.value: category.form for category in ExpenseCategory if category.form}
_FIRST_YEAR, _LAST_YEAR = 1990, 2199

_OWN_NUMBER: Final = re.compile(r"[0-9]{3}-[0-9]{2}-[0-9]{4}")
_EMPLOYERS: Final = re.compile(r"[0-9]{2}-[0-9]{7}")
_KEPT_NUMBER: Final = re.compile(r"|[0-9]{3}-[0-9]{2}-[0-9]{4}|[0-9]{2}-[0-9]{7}")


class TaxpayerKind(Enum):
    """What a payee is, as the W-9 says."""

    INDIVIDUAL = "individual"
    """Or sole proprietor."""
    CORPORATION = "corporation"
    PARTNERSHIP = "partnership"
    OTHER = "other"


def read_tax_number(text: str) -> str:
    """Read a payee's number with the dashes that tell its kind: `12-3456789`, or one grouped 3-2-4.

    A refusal never repeats what was typed.
    """
    typed = text.strip()
    said = "as a W-9 gives it, in the form 12-3456789, or grouped by 3, 2 and 4 digits"
    if not (_OWN_NUMBER.fullmatch(typed) or _EMPLOYERS.fullmatch(typed)):
        raise RefusedError("tax number", "of another form", f"it is {said}", "Type it with its dashes.")
    digits = typed.replace("-", "")
    empty = (digits[:3], digits[3:5], digits[5:]) if _OWN_NUMBER.fullmatch(typed) else (digits[:2], digits[2:])
    if any(not int(part) for part in empty):
        raise RefusedError("tax number", "with a group of zeros", "none was ever given out so", "Read it again.")
    return typed


@dataclass(frozen=True, slots=True)
class W9:
    """What a payee's W-9 says; the newest of a payee holds, and none is changed."""

    payee: str
    """As expenses and bills name the payee."""
    name: str
    """As on the form."""
    address: Address
    kind: TaxpayerKind
    tax_number: str = field(repr=False)
    """Kept with its dashes, never shown whole; empty once it was erased."""
    received_on: date
    backup_withholding: bool = False
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text and the number to their rules."""
        object.__setattr__(self, "payee", clean_text("payee", self.payee))
        object.__setattr__(self, "name", clean_text("name on the W-9", self.name))
        if taken_anew():
            object.__setattr__(self, "tax_number", read_tax_number(self.tax_number))
        elif not _KEPT_NUMBER.fullmatch(self.tax_number):
            raise RefusedError("tax number", "of another form", "it was kept otherwise", "Run 'shopledger verify'.")

    @property
    def ending(self) -> str:
        """The last four digits, which are all that is shown."""
        return self.tax_number[-4:]


@dataclass(frozen=True, slots=True)
class W9Erasure:
    """That what a W-9 said was erased."""

    w9_number: int
    day: date
    reason: str
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class ReportLimit:
    """From which sum of a year's payments on a payee has to be reported, as the owner set it."""

    year: int
    amount: Cents
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold both to sense."""
        if not _FIRST_YEAR <= self.year <= _LAST_YEAR:
            allowed = f"it lies from {_FIRST_YEAR} to {_LAST_YEAR}"
            raise RefusedError("year", self.year, allowed, "Type a calendar year.")
        if self.amount <= 0:
            raise RefusedError("limit", write_amount(self.amount), "it must be more than 0", "Type the year's limit.")
        hold_amount("limit", self.amount, MOVED)


class Limit(NamedTuple):
    """A year's limit, and where it is from."""

    amount: Cents
    source: str


_KNOWN: Final = (
    (2027, Limit(200_000, "the limit of 2026; it is indexed from 2027 on, so set the year's own")),
    (2026, Limit(200_000, "Public Law 119-21, section 70433, as summaries of it say")),
    (_FIRST_YEAR, Limit(60_000, "value from memory, for the years before 2026")),
)
"""The limits by the first year that each holds for, the newest first."""


def limit_of(year: int, own: Cents | None = None) -> Limit:
    """Give from which sum of a year's payments on a payee has to be reported: the owner's word before the known."""
    if own is not None:
        return Limit(own, "set by the owner")
    return next(limit for first, limit in _KNOWN if first <= max(year, _FIRST_YEAR))


def reportable(rows: Iterable[PayeeRow], limit: Cents) -> Mapping[tuple[str, str], str]:
    """Give the form for each heading and payee whose payments together reach the limit."""
    listed = [row for row in rows if row.category in _FORMS]
    paid = _paid(listed)
    return {
        (row.category, row.payee): _FORMS[row.category]
        for row in listed
        if paid[row.payee, _FORMS[row.category]] >= limit
    }


class PayeeStanding(Enum):
    """Whether a payee has to be reported."""

    REPORT = "to report"
    CORPORATION = "corporation: left out as a rule"
    BELOW = "below the limit"


@dataclass(frozen=True, slots=True)
class PayeeReport:
    """One payee of a year on one form, with what his W-9 says."""

    payee: str
    form: str
    paid: Cents
    """In the year, by cash, check, transfer or out of the owner's pocket."""
    limit: Cents
    standing: PayeeStanding
    w9: W9 | None = None

    @property
    def lacks(self) -> bool:
        """Whether a form has to be filled in for which the W-9 is missing."""
        return self.w9 is None and self.standing is PayeeStanding.REPORT


def payee_reports(rows: Iterable[PayeeRow], w9s: Mapping[str, W9], limit: Cents) -> tuple[PayeeReport, ...]:
    """List a year's payees of services and rent, the most paid first; W-9s stand under the payee's folded name."""
    paid = _paid(row for row in rows if row.category in _FORMS)
    found = [
        PayeeReport(
            payee, form, amount, limit, _standing(amount, limit, w9s.get(folded(payee))), w9s.get(folded(payee))
        )
        for (payee, form), amount in paid.items()
        if amount
    ]
    return tuple(sorted(found, key=lambda each: (each.form, -each.paid, each.payee)))


def folded(payee: str) -> str:
    """Give a payee's name as it is compared: without capitals and extra spaces."""
    return " ".join(payee.casefold().split())


def _paid(rows: Iterable[PayeeRow]) -> Mapping[tuple[str, str], Cents]:
    found: defaultdict[tuple[str, str], Cents] = defaultdict(int)
    for row in rows:
        found[row.payee, _FORMS[row.category]] += row.paid_not_by_card
    return found


def _standing(paid: Cents, limit: Cents, w9: W9 | None) -> PayeeStanding:
    if w9 is not None and w9.backup_withholding and paid > 0:
        return PayeeStanding.REPORT
    if paid < limit:
        return PayeeStanding.BELOW
    return PayeeStanding.CORPORATION if w9 and w9.kind is TaxpayerKind.CORPORATION else PayeeStanding.REPORT


def erasable_from(days: Iterable[date], keeping: Keeping) -> date:
    """Give the first day on which a W-9 may be erased: as long after the return of the last day as tax records stay."""
    due = filing_day(max(days))
    return due.replace(year=due.year + keeping.tax_years)


def handed_out_lines(w9: W9, year_reports: Iterable[PayeeReport]) -> Iterator[str]:
    """Give what the tax preparer needs of one W-9, the whole number with it, as lines to read."""
    yield f"{w9.payee}"
    yield f"name on the W-9: {w9.name}"
    yield from (f"address: {line}" for line in w9.address.lines)
    yield f"kind: {w9.kind.value}"
    yield f"tax number: {w9.tax_number}"
    yield f"received: {w9.received_on.isoformat()}"
    yield f"backup withholding: {'yes' if w9.backup_withholding else 'no'}"
    for each in year_reports:
        yield f"{each.form}: {write_amount(each.paid)} paid, {each.standing.value}"
