"""What is put right on an order after it was recorded: lines that give way, payments that fell away, rests written off.

Nothing recorded is edited: a correction is a document of its own, with its day, its reason and its entry in the books.
A refund gives money back; a correction gives none.
"""

from __future__ import annotations

from collections.abc import Collection
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final, TypeVar

from shopledger.errors import RefusedError
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.sides import Side

T = TypeVar("T")


class CorrectionKind(Enum):
    """What is put right."""

    REDUCED = "reduced"
    """Lines give way without money: less is owed."""
    PUT_RIGHT = "put right"
    """Lines taken out or added, as if the order had been so from the beginning."""
    EXCHANGED = "exchanged"
    """Lines taken out and others added after goods had left."""
    CHARGED = "charged"
    """A line added for what a payment that fell away cost the shop."""
    BOUNCED = "bounced"
    """A check that was not paid."""
    DISPUTED = "disputed"
    """A card payment that its holder disputes: the processor took the money back."""
    DISPUTE_WON = "dispute won"
    """The money came again."""
    DISPUTE_LOST = "dispute lost"
    """It stays away; nothing moves."""
    MISTAKEN = "mistaken"
    """A payment that never came in as it was recorded."""
    MOVED = "moved"
    """A payment, or part of it, that counts for another order."""
    WRITTEN_OFF = "written off"
    """What is owed and will not be paid."""
    REVIVED = "revived"
    """What was written off is paid after all, or is to be."""


FROM_THEN_ON: Final = frozenset({CorrectionKind.EXCHANGED, CorrectionKind.CHARGED})
"""The kinds whose lines are owed from their place among the payments on, and not from the beginning."""
OF_LINES: Final = FROM_THEN_ON | {CorrectionKind.REDUCED, CorrectionKind.PUT_RIGHT}
"""The kinds by which lines give way or come in."""
REVERSING: Final = frozenset(
    {CorrectionKind.BOUNCED, CorrectionKind.DISPUTED, CorrectionKind.MISTAKEN, CorrectionKind.MOVED}
)
"""The kinds by which a payment, or part of it, stands no longer on its order."""
OF_PAYMENTS: Final = REVERSING | {CorrectionKind.DISPUTE_WON, CorrectionKind.DISPUTE_LOST}
"""The kinds that name a payment."""
OF_THE_REST: Final = frozenset({CorrectionKind.WRITTEN_OFF, CorrectionKind.REVIVED})
"""The kinds by which a rest is owed no longer, or again."""
_WITH_FEE: Final = frozenset({CorrectionKind.BOUNCED, CorrectionKind.DISPUTED, CorrectionKind.DISPUTE_WON})


@dataclass(frozen=True, slots=True)
class LinePart:
    """What one line gives back or gives way: part or all of its net charge, the tax on that, goods that came back."""

    line: int
    """Position of the line in the order, from 1."""
    net: Cents
    tax: Cents
    returned: int = 0
    """How many of the line's goods came back into stock, or are not needed from it."""
    side: Side | None = None
    """The one lens of a line of two that it is for; None for the whole line."""

    def __post_init__(self) -> None:
        """Refuse amounts and counts below nothing."""
        if min(self.net, self.tax, self.returned) < 0:
            raise RefusedError(
                "refund", f"less than nothing on line {self.line}", "it may not be negative", "Type 0 or more."
            )


@dataclass(frozen=True, slots=True)
class Correction:
    """Something put right on an order; which of its amounts there are hangs on its kind."""

    order_number: int
    day: date
    kind: CorrectionKind
    reason: str
    payment_number: int | None = None
    """The payment that it reverses, moves or gives its standing again."""
    amount: Cents = 0
    """How much of that payment, or of what is owed."""
    fee: Cents = 0
    """What the bank or the processor took for it; of a dispute that was won, what came back of that."""
    after_payment: int = 0
    """Number of the ledger's last payment when it was recorded: where it stands among the order's payments."""
    after_refund: int = 0
    """Number of the ledger's last refund then."""
    parts: tuple[LinePart, ...] = ()
    """What lines give way without money."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules, and the amounts to the kind."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        hold_amount("amount", self.amount, MOVED)
        hold_amount("fee", self.fee, MOVED)
        _only(self, OF_PAYMENTS, self.payment_number)
        _only(self, OF_LINES, self.parts)
        _only(self, REVERSING | OF_THE_REST | {CorrectionKind.DISPUTE_WON}, self.amount)
        _only(self, _WITH_FEE, self.fee)
        needed = self.kind in REVERSING | OF_THE_REST | {CorrectionKind.DISPUTE_WON}
        if min(self.amount, self.fee) < 0 or (needed and not self.amount):
            raise RefusedError(
                self.kind.value, write_amount(self.amount), "it must be more than 0", "Say how much is put right."
            )

    @property
    def taken_from_paid(self) -> Cents:
        """By how much less was paid on the order; below zero where money came again."""
        if self.kind is CorrectionKind.DISPUTE_WON:
            return -self.amount
        return self.amount if self.kind in REVERSING else 0

    @property
    def given_way(self) -> Cents:
        """What its lines gave way, tax included."""
        return sum(part.net + part.tax for part in self.parts)

    @property
    def written_off(self) -> Cents:
        """By how much less is to be paid; below zero where it is to be paid again."""
        if self.kind is CorrectionKind.REVIVED:
            return -self.amount
        return self.amount if self.kind is CorrectionKind.WRITTEN_OFF else 0


def _only(correction: Correction, kinds: Collection[CorrectionKind], given: object) -> None:
    """Refuse what a kind of correction has no place for."""
    if given and correction.kind not in kinds:
        raise RefusedError(
            "correction",
            f"{correction.kind.value} with {given}",
            "that kind has none",
            "This is a fault of the program.",
        )
