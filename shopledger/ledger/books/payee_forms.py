"""Which payees a year's information returns may be due for: from what amount on, and on which form.

From 2026 on, payments of $2,000 or more count (Public Law 119-21, section 70433, as summaries of it say); before, $600
or more (value from memory). Payments by card are the card companies' to report. Whether a payee is exempt, as most
corporations are, is not known here.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from types import MappingProxyType
from typing import Final

from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.year import PayeeRow, Year
from shopledger.money.amount import Cents

FORMS: Final[Mapping[str, str]] = MappingProxyType(
    {
        ExpenseCategory.CONTRACT_LABOUR.value: "1099-NEC",
        ExpenseCategory.PROFESSIONAL.value: "1099-NEC",
        ExpenseCategory.RENT.value: "1099-MISC",
        ExpenseCategory.RENT_EQUIPMENT.value: "1099-MISC",
    }
)
"""The form that payments under each heading may be reported on."""

_FIRST_HIGHER: Final = 2026


def threshold(year: Year) -> Cents:
    """Give the sum of a year's payments from which on a payee may have to be reported."""
    return 200_000 if year.number >= _FIRST_HIGHER else 60_000


def reportable(year: Year, rows: Iterable[PayeeRow]) -> Mapping[tuple[str, str], str]:
    """Give the form for each heading and payee whose payments together reach the threshold."""
    listed = [row for row in rows if row.category in FORMS]
    paid: defaultdict[tuple[str, str], Cents] = defaultdict(int)
    for row in listed:
        paid[row.payee, FORMS[row.category]] += row.paid_not_by_card
    return {
        (row.category, row.payee): FORMS[row.category]
        for row in listed
        if paid[row.payee, FORMS[row.category]] >= threshold(year)
    }
