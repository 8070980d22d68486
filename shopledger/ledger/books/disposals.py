"""Equipment: what was bought to last, and what became of it; disposing of a piece is a deed of its own.

A piece is a line of an expense, of a bill or of an adjusting entry on the account of equipment. Its cost and what was
written off of it leave the books, what it brought comes in, and what is left is a gain or a loss apart from the trade:
it stands on no line of Schedule C. How it is taxed (Form 4797) is for the tax preparer to say.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount

DECIDES: Final = (
    "A gain or a loss on equipment stands on no line of Schedule C: what becomes of it, on Form 4797 as a rule, is "
    "for your tax preparer to say."
)


class DisposalKind(Enum):
    """What became of a piece of equipment."""

    SOLD = "sold"
    TRADED_IN = "traded in"
    SCRAPPED = "scrapped"
    LOST = "stolen or lost"
    TAKEN_HOME = "taken home"


@dataclass(frozen=True, slots=True)
class Piece:
    """One line by which equipment came in: which document, which of its lines, and what it cost."""

    document: Document
    position: int
    day: date
    payee: str
    description: str
    cost: Cents
    """With what its supplier took off or charged since; below zero where an adjusting entry took cost out."""

    @property
    def name(self) -> str:
        """What it is called, such as `bill 3 line 2`."""
        return f"{self.document} line {self.position}"


@dataclass(frozen=True, slots=True)
class Disposal:
    """A piece of equipment, or a part of one, that is gone, with what stood in the books and what it brought."""

    day: date
    document: Document
    position: int
    cost: Cents
    depreciation: Cents
    """What was written off of it until then."""
    how: DisposalKind
    proceeds: Cents = 0
    till: CashAccount = CashAccount.BANK
    """Where the proceeds came in."""
    reference: str = ""
    note: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text and the amounts to sense."""
        object.__setattr__(self, "reference", kept_reference("disposal", self.till.value, self.reference))
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        if self.cost <= 0:
            raise RefusedError("cost", write_amount(self.cost), "it must be more than 0", "Leave it out for all of it.")
        if not 0 <= self.depreciation <= self.cost:
            allowed = f"it lies from 0 to the cost, {write_amount(self.cost)}"
            raise RefusedError("depreciation", write_amount(self.depreciation), allowed, "Type what was written off.")
        if self.proceeds < 0:
            hint = "What its removal cost is an expense of its own."
            raise RefusedError("proceeds", write_amount(self.proceeds), "they are never below 0", hint)
        hold_amount("proceeds", self.proceeds, MOVED)

    @property
    def gain(self) -> Cents:
        """What it brought above what was left of its cost; a loss is below zero."""
        return self.proceeds - (self.cost - self.depreciation)


@dataclass(frozen=True, slots=True)
class EquipmentRow:
    """A piece, or the part of it that is there still or that went one way; a whole piece is one row."""

    day: date
    document: str
    """As `disposal` takes it, such as `bill 3`."""
    position: int
    payee: str
    description: str
    cost: Cents
    disposal: Disposal | None = None

    @property
    def there(self) -> Cents:
        """What of its cost is in the books still."""
        return 0 if self.disposal else self.cost


@dataclass(frozen=True, slots=True)
class Equipment:
    """A piece with all of it that is gone; what was voided of that is not among it."""

    piece: Piece
    gone: tuple[Disposal, ...] = ()

    @property
    def left(self) -> Cents:
        """The cost of what is there still."""
        return self.piece.cost - sum(each.cost for each in self.gone)

    @property
    def rows(self) -> tuple[EquipmentRow, ...]:
        """Each part that went, and what is there still."""
        own = self.piece
        parts: list[tuple[Cents, Disposal | None]] = [(each.cost, each) for each in self.gone]
        if self.left or not self.gone:
            parts.append((self.left, None))
        return tuple(
            EquipmentRow(own.day, str(own.document), own.position, own.payee, own.description, cost, gone)
            for cost, gone in parts
        )


def equipment_rows(pieces: Iterable[Equipment]) -> tuple[EquipmentRow, ...]:
    """List equipment, the oldest first."""
    return tuple(row for each in pieces for row in each.rows)


def check_disposal(found: Equipment, asked: Disposal, written_off: Cents) -> None:
    """Refuse to dispose of more than is there, before it was bought, or of more depreciation than the books hold."""
    piece = found.piece
    if asked.day < piece.day:
        hint = "Type a day on or after it."
        raise RefusedError("day", asked.day.isoformat(), f"{piece.name} is of {piece.day.isoformat()}", hint)
    if asked.cost > found.left:
        gone = found.gone[-1].day.isoformat() if found.gone else ""
        allowed = f"{write_amount(max(found.left, 0))} of the cost of {piece.name} is there"
        hint = f"The rest of it went on {gone}." if gone else "Look with 'shopledger equipment list'."
        raise RefusedError("cost", write_amount(asked.cost), allowed, hint)
    if asked.depreciation > written_off:
        raise RefusedError(
            "depreciation",
            write_amount(asked.depreciation),
            f"the books have written {write_amount(written_off)} off of all equipment by {asked.day.isoformat()}",
            "Post what is missing first with 'shopledger adjust record --debit depreciation=... "
            "--credit accumulated-depreciation=...'.",
        )


def read_piece(text: str) -> tuple[Document, int]:
    """Read `bill 3`, or `bill 3 line 2`: a line by which equipment came in; without a line, its only or first one."""
    named, _, line = text.casefold().partition(" line ")
    words = named.replace("-", " ").split()
    kinds = {kind.value: kind for kind in (DocumentKind.EXPENSE, DocumentKind.BILL, DocumentKind.ADJUSTMENT)}
    number, place = words[-1] if len(words) == 2 else "", line.strip()
    if words[:1] and words[0] in kinds and _counts(number) and (not place or _counts(place)):
        return Document(kinds[words[0]], int(number)), int(place or 0)
    raise RefusedError(
        "equipment",
        f"'{text.strip()}'",
        "it is the expense, the bill or the adjustment that it came with, by its number",
        "Type it as 'equipment list' shows it, as in 'bill 3' or 'bill 3 line 2'.",
    )


def _counts(typed: str) -> bool:
    return typed.isascii() and typed.isdigit() and len(typed) < 10 and int(typed) > 0
