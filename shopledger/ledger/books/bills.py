"""Suppliers' bills: goods for stock, lenses and lab work for jobs, expenses, and freight that goods carry."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum

from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_credits import BillCredit
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.limits import MOST_PIECES
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount
from shopledger.money.split import split_by_weight

LONGEST_INVOICE = 60
"""Characters that a supplier's invoice number may have."""


class BillLineKind(Enum):
    """What a line of a bill is for."""

    STOCK = "stock"
    JOB = "job"
    EXPENSE = "expense"
    FREIGHT = "freight"
    """Freight in, and other cost that the goods of the bill carry together."""
    OPENING = "opening"
    """Owed when the books began; what it was for stands in none of them."""

    @property
    def carries(self) -> bool:
        """Whether such a line takes its share of the bill's freight."""
        return self in {BillLineKind.STOCK, BillLineKind.JOB}


@dataclass(frozen=True, slots=True)
class BillLine:
    """One line of a bill: what for, what was billed, and what it comes to with its share of the freight."""

    kind: BillLineKind
    amount: Cents
    description: str = ""
    item_kind: StockedKind | None = None
    item_code: str = ""
    quantity: int = 0
    job_number: int | None = None
    category: ExpenseCategory | None = None
    landed: Cents = 0
    """The amount with its share of the freight; freight itself lands in the others."""

    def __post_init__(self) -> None:
        """Refuse an amount or a quantity that is none; goods alone may be free of charge."""
        object.__setattr__(self, "description", clean_text("description", self.description, required=False))
        free = self.kind is BillLineKind.STOCK
        if self.amount < 0 or (self.amount == 0 and not free):
            allowed = "it may not be negative" if free else "it must be more than 0"
            hint = "What a supplier gives back is recorded with 'shopledger bill send-back'."
            raise RefusedError(f"amount of {self.words}", write_amount(self.amount), allowed, hint)
        if free and not 1 <= self.quantity <= MOST_PIECES:
            allowed = f"it must lie from 1 to {MOST_PIECES:,}"
            raise RefusedError(f"quantity of {self.item_code}", self.quantity, allowed, "Type how many came in.")

    @property
    def words(self) -> str:
        """What the line is for, in words."""
        if self.kind is BillLineKind.STOCK:
            return f"{self.quantity} {self.item_code}"
        if self.kind is BillLineKind.JOB:
            return f"job {self.job_number}"
        if self.category is not None:
            return str(self.category.value)
        return self.description or self.kind.value


def carried(lines: Sequence[BillLine]) -> tuple[BillLine, ...]:
    """Give the lines with the bill's freight shared over goods and jobs in proportion to their amounts.

    No cent is lost, and a bill of freight alone is refused: it has nothing to carry it.
    """
    freight = sum(line.amount for line in lines if line.kind is BillLineKind.FREIGHT)
    carrying = [place for place, line in enumerate(lines) if line.kind.carries]
    if freight and not carrying:
        raise RefusedError(
            "freight",
            write_amount(freight),
            "the bill has no goods and no job to carry it",
            "Add it to the expense it belongs to, or give it as one, as in --expense other-expense=14.00.",
        )
    shares = dict(zip(carrying, split_by_weight(freight, [lines[place].amount for place in carrying]), strict=True))
    landed = (
        0 if line.kind is BillLineKind.FREIGHT else line.amount + shares.get(place, 0)
        for place, line in enumerate(lines)
    )
    return tuple(replace(line, landed=cost) for line, cost in zip(lines, landed, strict=True))


@dataclass(frozen=True, slots=True)
class Bill:
    """A supplier's bill; the landed costs of its lines come to its total."""

    supplier_number: int
    day: date
    lines: tuple[BillLine, ...]
    invoice: str = ""
    due_on: date | None = None
    note: str = ""
    file_sha256: str | None = None
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse a bill of nothing, one that is due before its day, and costs that land nowhere."""
        invoice = clean_text("invoice number", self.invoice, LONGEST_INVOICE, required=False)
        object.__setattr__(self, "invoice", invoice)
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        if not self.lines:
            raise RefusedError(
                "bill", "empty", "it has one line at least", "Say what was billed: stock, jobs or expenses."
            )
        if self.due_on is not None and self.due_on < self.day:
            allowed = f"the bill is of {self.day.isoformat()}"
            raise RefusedError("due day", self.due_on.isoformat(), allowed, "Type a day on or after it.")
        landed = sum(line.landed for line in self.lines)
        if landed != self.total:
            allowed = f"the bill comes to {write_amount(self.total)}"
            raise RefusedError("landed cost", write_amount(landed), allowed, "Share the freight over the lines first.")

    @property
    def total(self) -> Cents:
        """What is billed."""
        return sum(line.amount for line in self.lines)


@dataclass(frozen=True, slots=True)
class BillPayment:
    """Money paid on a bill."""

    bill_number: int
    day: date
    amount: Cents
    method: SpendMethod
    reference: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse an amount that is none, and anything that looks like a whole card number."""
        if self.amount <= 0:
            hint = "What a supplier gives back is recorded with 'shopledger bill send-back'."
            raise RefusedError("payment", write_amount(self.amount), "it must be more than 0", hint)
        object.__setattr__(self, "reference", kept_reference("payment", self.method.value, self.reference))


@dataclass(frozen=True, slots=True)
class SupplierCredit:
    """Goods sent back to a supplier, and what he takes off the bill for them."""

    bill_number: int
    movement_number: int
    day: date
    item_code: str
    quantity: int
    cost: Cents
    """What the goods stood in stock at."""
    credit: Cents
    reason: str


@dataclass(frozen=True, slots=True)
class BillAccount:
    """A bill with all that happened to it since; what was voided of that is not among it."""

    bill: Bill
    supplier: str
    payments: tuple[BillPayment, ...] = ()
    credits: tuple[SupplierCredit, ...] = ()
    voided: date | None = None
    why_voided: str = ""
    changes: tuple[BillCredit, ...] = ()
    """What changed its price or what is owed on it, and what of other bills was set against it."""

    @property
    def paid(self) -> Cents:
        """Sum of the payments."""
        return sum(payment.amount for payment in self.payments)

    @property
    def credited(self) -> Cents:
        """What the supplier took off for goods sent back."""
        return sum(credit.credit for credit in self.credits)

    @property
    def balance(self) -> Cents:
        """What is still owed; below zero the supplier owes the shop."""
        return 0 if self.voided else self.bill.total - self.paid - self.credited - self.changed

    @property
    def changed(self) -> Cents:
        """By how much less is owed since its price was changed, and what the supplier owed came back or was used."""
        return sum(each.off(self.bill.number or 0) for each in self.changes)

    @property
    def price(self) -> Cents:
        """What it comes to, with what was taken off or charged since, and less what was sent back."""
        own = (each for each in self.changes if each.bill_number == self.bill.number)
        return self.bill.total - self.credited - sum(each.lowered for each in own)


def refuse_voided(account: BillAccount) -> None:
    """Refuse to do more with a bill that was voided."""
    if account.voided is not None:
        raise RefusedError(
            "bill",
            account.bill.number,
            f"it was voided on {account.voided.isoformat()}",
            "Record the right bill with 'shopledger bill record'.",
        )
