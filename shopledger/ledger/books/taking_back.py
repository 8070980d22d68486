"""Taking back a mistake of the owner's own: nothing is deleted, every entry is reversed by a new one that points at it.

An order is cancelled instead, and what was paid on it refunded; both have rules of their own.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final, Generic, TypeVar

from shopledger.errors import RefusedError, nearest
from shopledger.ledger.books.journal import Entry, Posting
from shopledger.ledger.text import LONGEST_NOTE, clean_text

T = TypeVar("T")

_DOCUMENT: Final = re.compile(r"([a-z]+(?: [a-z]+)*) ([1-9][0-9]{0,8})")


class DocumentKind(Enum):
    """What can be taken back, as its entries name it."""

    EXPENSE = "expense"
    BILL = "bill"
    BILL_PAYMENT = "bill payment"
    MONEY = "money"
    DEPOSIT = "deposit"


@dataclass(frozen=True, slots=True)
class Document:
    """One document that entries stand on, such as `expense 4`."""

    kind: DocumentKind
    number: int

    @classmethod
    def read(cls, text: str) -> Document:
        """Read `expense 4`, `expense-4` or `bill payment 2`."""
        typed = _DOCUMENT.fullmatch(" ".join(re.sub(r"[-_]", " ", text.casefold()).split()))
        kinds = {kind.value: kind for kind in DocumentKind}
        if typed is not None and typed[1] in kinds:
            return cls(kinds[typed[1]], int(typed[2]))
        raise RefusedError(
            "document",
            f"'{text}'",
            "an expense, a bill, a bill payment, other money or a deposit can be taken back, each by its number",
            _mend(text, kinds),
        )

    def __str__(self) -> str:
        """Write it as its entries do."""
        return f"{self.kind.value} {self.number}"


@dataclass(frozen=True, slots=True)
class TakingBack:
    """That a document was a mistake, and why."""

    document: Document
    day: date
    reason: str

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class Listed(Generic[T]):
    """A document in a list: on its own day, or below nought on the day it was taken back, with the reason."""

    day: date
    what: T
    taken_back: str = ""

    @property
    def sign(self) -> int:
        """What its amount counts with."""
        return -1 if self.taken_back else 1


def taken_back_entries(entries: Iterable[tuple[int, Entry]], taken: TakingBack) -> tuple[Entry, ...]:
    """Give the opposite of each entry of a document, pointing at it."""
    return tuple(
        Entry(
            taken.day,
            f"taken back: {entry.memo}",
            f"taking back of {taken.document}",
            tuple(Posting(posting.account, -posting.amount) for posting in entry.postings),
            reverses=number,
        )
        for number, entry in entries
    )


def refuse_early(taken: TakingBack, latest: date) -> None:
    """Refuse a day before the last on which something happened to the document."""
    if taken.day < latest:
        raise RefusedError(
            "day",
            taken.day.isoformat(),
            f"something happened to {taken.document} on {latest.isoformat()}",
            "Type a day on or after it.",
        )


def _mend(text: str, kinds: Iterable[str]) -> str:
    words = " ".join(word for word in re.sub(r"[-_]", " ", text.casefold()).split() if not word.isdigit())
    if words in {"order", "sale"}:
        return "An order is cancelled with 'shopledger sale cancel'."
    if words in {"payment", "refund"}:
        return "What was paid on an order is given back with 'shopledger refund give'."
    near = nearest(words, kinds, most=1) if words else ()
    return f"Did you mean '{near[0]} 4'?" if near else "Type it as in 'expense 4'."
