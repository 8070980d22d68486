"""The documents that entries of the books stand on, each known by its kind and its number."""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError, nearest

_TYPED: Final = re.compile(r"([a-z]+(?: [a-z]+)*) ([1-9][0-9]{0,8})")


class DocumentKind(Enum):
    """What an entry can stand on, as it is named in the books and hashed with the entry.

    A kind with a second member, `..._VOIDED`, can be voided: the entries that reverse it stand on that one, under the
    number of the document itself. Orders are cancelled instead, and payments refunded; both have rules of their own.
    """

    ORDER = "order"
    OPENING_DEBT = "opening debt"
    """By the number of the order that is owed since before the books began."""
    PAYMENT = "payment"
    REFUND = "refund"
    CORRECTION = "correction"
    CORRECTION_FEE = "fee of correction"
    """By the number of the correction: a fee stays where it is, even if the order is cancelled."""
    CANCELLATION = "cancellation of order"
    SHIPMENT = "shipment of order"
    """By the number of the order, as its cancellation is: what left whole, before there were parcels."""
    PARCEL = "parcel"
    PARCEL_RETURN = "return of parcel"
    """By the number of the parcel."""
    PUT_OFF = "putting off of order"
    """By the number of an order that counted as sold when it was recorded, and counts with its goods since."""
    MOVEMENT = "movement"
    REMAKE = "remake"
    EXPENSE = "expense"
    BILL = "bill"
    BILL_PAYMENT = "bill payment"
    BILL_CREDIT = "bill credit"
    """What changes a bill's price after it was recorded, and what becomes of a supplier's debt."""
    MONEY = "money"
    DEPOSIT = "deposit"
    ADJUSTMENT = "adjustment"
    """An adjusting entry of the owner's own."""
    DISPOSAL = "disposal"
    """A piece of equipment that was sold, or is gone otherwise."""

    EXPENSE_VOIDED = "taking back of expense"
    BILL_VOIDED = "taking back of bill"
    BILL_PAYMENT_VOIDED = "taking back of bill payment"
    BILL_CREDIT_VOIDED = "taking back of bill credit"
    MONEY_VOIDED = "taking back of money"
    DEPOSIT_VOIDED = "taking back of deposit"
    ADJUSTMENT_VOIDED = "taking back of adjustment"
    DISPOSAL_VOIDED = "taking back of disposal"

    @property
    def voiding(self) -> DocumentKind:
        """What the entries stand on that reverse such a document."""
        return DocumentKind[f"{self.name}_VOIDED"]

    @property
    def can_be_voided(self) -> bool:
        """Whether the owner may void such a document as a mistake."""
        return f"{self.name}_VOIDED" in DocumentKind.__members__


VOIDABLE: Final = tuple(kind for kind in DocumentKind if kind.can_be_voided)
"""The kinds that can be voided."""


@dataclass(frozen=True, slots=True)
class Document:
    """One document that entries stand on, such as `expense 4`."""

    kind: DocumentKind
    number: int

    @classmethod
    def read(cls, text: str) -> Document:
        """Read `expense 4`, `expense-4` or `bill payment 2`: a document that can be voided."""
        typed = _TYPED.fullmatch(" ".join(re.sub(r"[-_]", " ", text.casefold()).split()))
        kinds = {kind.value: kind for kind in VOIDABLE}
        if typed is not None and typed[1] in kinds:
            return cls(kinds[typed[1]], int(typed[2]))
        raise RefusedError(
            "document",
            f"'{text}'",
            "an expense, a bill, a bill payment, a bill credit, other money, a deposit, an adjustment or a disposal "
            "can be voided, each by its number",
            _hint(text, kinds),
        )

    @property
    def voiding(self) -> Document:
        """What the entries stand on that reverse this one's."""
        return Document(self.kind.voiding, self.number)

    def __str__(self) -> str:
        """Write it as it is hashed with its entries."""
        return f"{self.kind.value} {self.number}"


def _hint(text: str, kinds: Iterable[str]) -> str:
    words = " ".join(word for word in re.sub(r"[-_]", " ", text.casefold()).split() if not word.isdigit())
    if words in {"order", "sale"}:
        return "An order is cancelled with 'shopledger sale cancel'."
    if words in {"payment", "refund"}:
        return "What was paid on an order is given back with 'shopledger refund give'."
    near = nearest(words, kinds, most=1) if words else ()
    return f"Did you mean '{near[0]} 4'?" if near else "Type it as in 'expense 4'."
