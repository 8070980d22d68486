"""Who looked at what and who changed what: the closed list of deeds that are noted, and the chain of their notes.

A note names its subject by kind and number alone: no name, no power, no free text. Each is hashed together with the
one before it, in a chain of its own, so that notes which are old enough can be taken away without touching the books.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final

from shopledger.ledger.canonical import Json, canonical_text, content_hash, data_of

BEGINNING: Final = "0" * 64
"""What the first note goes on from."""


class Deed(Enum):
    """What is noted."""

    LOOKED_AT_PRESCRIPTIONS = "looked at prescriptions"
    LOOKED_AT_PRESCRIPTION = "looked at a prescription"
    ADDED_DIAGNOSES = "added diagnoses"
    ADDED_DOCUMENT = "added a document of the prescriber"
    LOOKED_AT_DOCUMENT = "looked at a document of the prescriber"
    LOOKED_AT_JOB = "looked at a job"
    PRINTED_JOB_SHEET = "printed a job sheet"
    LOOKED_AT_RECEIPT = "looked at a receipt"
    ISSUED_RECEIPT = "issued a receipt"
    PRINTED_RECEIPT = "printed a receipt"
    PREPARED_STATEMENT = "prepared an account statement"
    PREPARED_WORKSHEET = "prepared a claim worksheet"
    PREPARED_YEAR = "prepared a year statement"
    ISSUED_CERTIFICATE = "issued a certificate"
    PRINTED_CERTIFICATE = "printed a certificate"
    LOOKED_AT_SHEET = "looked at a sheet of the maker"
    SENT_LENS_ORDER = "sent out a lens order"
    PRINTED_LENS_ORDER = "printed a lens order"
    DRAFTED_REORDER = "drafted a reorder"
    LOOKED_AT_DRAFT = "looked at a draft"
    LISTED_CUSTOMERS = "listed customers"
    LOOKED_AT_HELD = "looked at all that is held"
    EXPORTED_HELD = "exported all that is held"
    EXPORTED_PERIOD = "exported a period"
    EXPORTED_YEAR = "exported a year"
    HANDED_YEAR_OVER = "handed a year over"
    HANDED_OUT_W9 = "handed out a W-9"
    MADE_BACKUP = "made a backup"
    RESTORED_BACKUP = "restored a backup"
    ADDED_KEY = "added a backup key"
    REMOVED_KEY = "removed a backup key"
    SET_UP_SHOP = "set up the shop"
    CHANGED = "changed"
    ACCEPTED_WARNING = "accepted a warning"
    ACCEPTED_VOIDING = "accepted a warning on voiding"
    ASKED_TO_ERASE = "asked what may be erased"
    ERASED = "erased"
    ERASED_W9 = "erased a W-9"
    HELD = "placed a legal hold"
    LET_GO = "lifted a legal hold"
    PRUNED = "took away old notes"

    @property
    def said(self) -> str:
        """The deed in words; notes keep the word that inspection records had first."""
        return self.value.replace("a certificate", "an inspection record")

    @property
    def typed(self) -> str:
        """The word as it is typed in a command."""
        return self.said.replace(" ", "-")


class Subject(Enum):
    """What a note is about."""

    CUSTOMER = "customer"
    WEARER = "wearer"
    PRESCRIBER = "prescriber"
    PRESCRIPTION = "prescription"
    ORDER = "order"
    JOB = "job"
    RECEIPT = "receipt"
    CERTIFICATE = "certificate"
    LENS_ORDER = "lens order"
    DRAFT = "draft"
    SUPPLIER = "supplier"
    W9 = "W-9"
    BILL = "bill"
    BILL_PAYMENT = "bill payment"
    BILL_CREDIT = "bill credit"
    EXPENSE = "expense"
    MONEY = "money"
    DEPOSIT = "deposit"
    ADJUSTMENT = "adjustment"
    DISPOSAL = "disposal"
    FRAME = "frame"
    LENS = "lens"
    EXTRA = "extra"
    ACCESSORY = "accessory"
    OFFER = "offer"
    TAX_RATE = "tax rate"
    SHOP = "shop"
    KEEPING = "keeping of records"
    PERIOD = "period"
    LEDGER = "ledger"
    AUDIT = "audit"

    @property
    def said(self) -> str:
        """The subject in words; notes keep the word that inspection records had first."""
        return "inspection record" if self is Subject.CERTIFICATE else self.value


class Outcome(Enum):
    """Whether it was done, or refused."""

    DONE = "done"
    REFUSED = "refused"


LOOKS: Final = frozenset(
    {
        *(Deed.LOOKED_AT_PRESCRIPTIONS, Deed.LOOKED_AT_PRESCRIPTION, Deed.LOOKED_AT_JOB, Deed.PRINTED_JOB_SHEET),
        *(Deed.LOOKED_AT_SHEET, Deed.PRINTED_LENS_ORDER, Deed.PRINTED_CERTIFICATE, Deed.LOOKED_AT_DRAFT),
        *(Deed.LOOKED_AT_DOCUMENT, Deed.LOOKED_AT_HELD),
    }
)
"""The deeds that show what somebody's eyes need."""
RECEIPTS: Final = frozenset(
    {
        *(Deed.LOOKED_AT_RECEIPT, Deed.ISSUED_RECEIPT, Deed.PRINTED_RECEIPT),
        *(Deed.PREPARED_STATEMENT, Deed.PREPARED_WORKSHEET, Deed.PREPARED_YEAR),
    }
)
"""The deeds that show what somebody bought and may claim."""
EXPORTS: Final = frozenset(
    {Deed.EXPORTED_HELD, Deed.EXPORTED_PERIOD, Deed.EXPORTED_YEAR, Deed.LISTED_CUSTOMERS, Deed.HANDED_OUT_W9}
)
"""The deeds by which many records leave the ledger."""


HASHED: Final = (
    *("number", "deed", "subject_kind", "subject_number", "outcome", "detail", "records", "file_name", "machine"),
    *("program", "operator", "recorded_at"),
)
"""What a note's hash is over, in this order, after the hash of the note before."""


def hash_after(before: str, values: Sequence[object]) -> str:
    """Work out the hash of a note from what it says, as it is stored."""
    return content_hash(canonical_text([before, *values]))


@dataclass(frozen=True, slots=True)
class Note:
    """One note: who did what to what, when, on which machine and with which program, and how it came out."""

    number: int
    deed: Deed
    subject_kind: Subject
    subject_number: int | None = None
    """None where there is one alone, such as the shop, or several."""
    outcome: Outcome = Outcome.DONE
    detail: str = ""
    """Which one more closely, never in free words: a warning's code, a period, a code of the catalogue."""
    records: int | None = None
    """How many records were exported or listed."""
    file_name: str = ""
    """The file that they were exported to, without its folder."""
    machine: str = ""
    program: str = ""
    """The version of the program."""
    operator: str = ""
    recorded_at: str = ""
    hash: str = ""

    @property
    def subject(self) -> str:
        """The subject in words, such as `receipt 2`."""
        parts = (self.subject_kind.said, "" if self.subject_number is None else str(self.subject_number), self.detail)
        return " ".join(part for part in parts if part)

    def hash_after(self, before: str) -> str:
        """Work out the hash of the note, where the one before it has that hash."""
        values = (getattr(self, name) for name in HASHED)
        return hash_after(before, [value.value if isinstance(value, Enum) else value for value in values])


@dataclass(frozen=True, slots=True)
class Pruning:
    """That the notes up to a number were taken away, and the hash that the next one goes on from."""

    last: int
    hash: str
    many: int
    older_than: str
    """The day before which they were written."""
    began: str
    """When the first note of all was written."""
    number: int | None = None


@dataclass(frozen=True, slots=True)
class ChangedValue:
    """One field of a record that was changed: what stood there and what stands there now, None for nothing."""

    field: str
    old_value: str | None
    new_value: str | None


def differences(old: object, new: object) -> tuple[ChangedValue, ...]:
    """Give the fields in which two records of a kind differ, those of records inside them named as `address.city`."""
    before, after = dict(_flat("", data_of(old))), dict(_flat("", data_of(new)))
    names = dict.fromkeys((*before, *after))
    pairs = ((name, before.get(name), after.get(name)) for name in names)
    return tuple(ChangedValue(name, _text(was), _text(now)) for name, was, now in pairs if was != now)


def _flat(name: str, value: Json) -> Iterator[tuple[str, Json]]:
    if not isinstance(value, dict):
        yield name, value
        return
    for key, inner in value.items():
        yield from _flat(f"{name}.{key}" if name else key, inner)


def _text(value: Json) -> str | None:
    return value if value is None or isinstance(value, str) else canonical_text(value)


@dataclass(frozen=True, slots=True)
class Looks:
    """How often one operator did one kind of thing in a span of days."""

    operator: str
    looks: int = 0
    receipts: int = 0
    exports: int = 0

    @property
    def sentence(self) -> str:
        """It in words, as in `prescriptions looked at 41 times, receipts 12 times, 3 exports by Ines`."""
        parts = (
            f"prescriptions looked at {_times(self.looks)}" if self.looks else "",
            f"receipts {_times(self.receipts)}" if self.receipts else "",
            f"{self.exports} export{'' if self.exports == 1 else 's'}" if self.exports else "",
        )
        return f"{', '.join(part for part in parts if part)} by {self.operator}"


def _times(count: int) -> str:
    return {1: "once", 2: "twice"}.get(count, f"{count} times")
