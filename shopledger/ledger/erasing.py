"""Erasing what tells of a person: who may ask, the words that stand where a name stood, what is refused since."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import TYPE_CHECKING

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.text import LONGEST_NOTE, clean_text

if TYPE_CHECKING:
    from shopledger.ledger.canonical import Issued
    from shopledger.ledger.parties import Customer, Wearer


class AskedBy(Enum):
    """Who asked for an erasure."""

    PERSON = "person"
    CUSTOMER = "customer"
    GUARDIAN = "guardian"
    OWNER = "owner"
    AUTHORITY = "authority"


class HoldDeed(Enum):
    """What becomes of a legal hold."""

    PLACED = "placed"
    LIFTED = "lifted"


@dataclass(frozen=True, slots=True)
class Erasure:
    """That a customer with all wearers, or one wearer alone, was erased."""

    customer_number: int
    wearer_number: int | None
    day: date
    asked_by: AskedBy
    reason: str
    rule: str
    """The rule that let the records go."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))

    @property
    def whose(self) -> str:
        """Whom it was of, by number alone."""
        if self.wearer_number is None:
            return f"customer {self.customer_number}"
        return f"wearer {self.wearer_number} of customer {self.customer_number}"


@dataclass(frozen=True, slots=True)
class ErasedPart:
    """How many rows of one table were blanked."""

    table_name: str
    row_count: int


@dataclass(frozen=True, slots=True)
class LegalHold:
    """That somebody's records must stay, or may go again."""

    customer_number: int
    wearer_number: int | None
    day: date
    deed: HoldDeed
    reason: str
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


class ErasedError(LedgerError):
    """Something was asked for of which only the tombstone is left."""

    what: str
    erased_on: str
    sentence = (
        "{what} was erased on {erased_on}: its number, days and amounts are kept, and nothing else. "
        "It can be neither shown nor printed again."
    )


class PersonErasedError(LedgerError):
    """Somebody was to be dealt with whose data was erased."""

    what: str
    erased_on: str
    sentence = "{what} was erased on {erased_on}. Add whoever it is anew, under a number of their own."


def refuse_named(reason: str, *names: str) -> None:
    """Refuse a reason that names whoever is erased: it is kept for good."""
    for name in filter(None, names):
        if name.casefold() in reason.casefold():
            raise RefusedError(
                "reason", f"'{reason}'", "it names the person, and is kept for good", "Say it without the name."
            )


def refuse_erased(what: str, content: Issued) -> None:
    """Refuse a frozen paper of which only the tombstone is left."""
    if content.erased_on:
        raise ErasedError(what, content.erased_on)


def refuse_of_erased(what: str, person: Customer | Wearer) -> None:
    """Refuse what tells of somebody whose data was erased."""
    if person.erased_on is not None:
        raise ErasedError(what, person.erased_on.isoformat())
