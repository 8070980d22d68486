"""Voiding a mistake of the owner's own: nothing is deleted, every entry is reversed by a new one that points at it.

An order is cancelled instead, and what was paid on it refunded; both have rules of their own.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from typing import Generic, TypeVar

from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.journal import Entry
from shopledger.ledger.text import LONGEST_NOTE, clean_text

T = TypeVar("T")


@dataclass(frozen=True, slots=True)
class Voiding:
    """That a document was a mistake, and why."""

    document: Document
    day: date
    reason: str

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class Listed(Generic[T]):
    """A document in a list: on its own day, or below zero on the day it was voided, with the reason."""

    day: date
    what: T
    voided: str = ""

    @property
    def sign(self) -> int:
        """What its amount counts with."""
        return -1 if self.voided else 1


def voiding_entries(entries: Iterable[tuple[int, Entry]], taken: Voiding) -> tuple[Entry, ...]:
    """Give the opposite of each entry of a document, pointing at it."""
    return tuple(entry.opposite(number, taken.day, taken.document.voiding) for number, entry in entries)


def refuse_early(taken: Voiding, latest: date) -> None:
    """Refuse a day before the last on which something happened to the document."""
    if taken.day < latest:
        raise RefusedError(
            "day",
            taken.day.isoformat(),
            f"something happened to {taken.document} on {latest.isoformat()}",
            "Type a day on or after it.",
        )
