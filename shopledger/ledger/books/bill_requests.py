"""A supplier's bill as it is asked for, from options or a bill file, before its names are looked up."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.errors import RefusedError
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.limits import JOB_COST, MOVED, UNIT_COST, hold_amount, hold_pieces
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount

UNNAMED = "not named"
"""The supplier of goods of which nobody said who sent them."""


@dataclass(frozen=True, slots=True)
class GoodsBilled:
    """Frames or accessories on a bill: the price of one, or of the whole line where it does not divide."""

    code: str
    quantity: int
    unit_cost: Cents | None = None
    amount: Cents | None = None
    kind: StockedKind | None = None
    """What the code names; None: whatever the catalogue has under it."""

    def __post_init__(self) -> None:
        """Refuse a line with two prices or none, or below nothing."""
        if (self.unit_cost is None) == (self.amount is None):
            given = "not given" if self.amount is None else "given twice"
            hint = "Give the cost of one, or the amount of the whole line."
            raise RefusedError(f"price of {self.code}", given, "a line has one price", hint)
        if self.unit_cost is not None and self.unit_cost < 0:
            given = write_amount(self.unit_cost)
            raise RefusedError("unit cost", given, "it may not be negative", "Type 0 or more.")
        hold_pieces(f"quantity of {self.code}", max(self.quantity, 0))
        hold_amount("unit cost", self.unit_cost or 0, UNIT_COST)
        hold_amount(f"amount of {self.code}", self.total, MOVED)

    @property
    def total(self) -> Cents:
        """The amount of the line."""
        return self.quantity * (self.unit_cost or 0) if self.amount is None else self.amount


@dataclass(frozen=True, slots=True)
class JobBilled:
    """Lenses or lab work for one job."""

    job: int
    amount: Cents
    description: str = ""

    def __post_init__(self) -> None:
        """Refuse more than lenses cost."""
        hold_amount(f"amount of job {self.job}", self.amount, JOB_COST)


@dataclass(frozen=True, slots=True)
class ExpenseBilled:
    """Something on the bill that is neither goods nor for a job."""

    category: ExpenseCategory
    amount: Cents
    description: str = ""

    def __post_init__(self) -> None:
        """Refuse more than a shop spends at once."""
        hold_amount(f"amount of {self.category.value}", self.amount, MOVED)


@dataclass(frozen=True, slots=True)
class BillPaymentRequest:
    """Money for a bill: how much, from where, when."""

    amount: Cents
    method: SpendMethod
    reference: str = ""
    day: date | None = None
    discount: Cents = 0
    """What is taken off for paying within the terms."""

    def __post_init__(self) -> None:
        """Refuse a discount below nothing."""
        if self.discount < 0:
            raise RefusedError("discount", write_amount(self.discount), "it may not be negative", "Type 0 or more.")


@dataclass(frozen=True, slots=True)
class BillRequest:
    """A whole bill as asked for."""

    supplier: str
    invoice: str = ""
    day: date | None = None
    due_on: date | None = None
    goods: tuple[GoodsBilled, ...] = ()
    jobs: tuple[JobBilled, ...] = ()
    expenses: tuple[ExpenseBilled, ...] = ()
    freight: Cents = 0
    tax: Cents = 0
    """Sales tax paid on the goods: part of their cost, and carried like freight."""
    file: str = ""
    """Path of the bill itself, to be kept."""
    paid: SpendMethod | None = None
    """Where the money came from, if the bill was paid at once."""
    reference: str = ""
    note: str = ""
    owed_before: Cents = 0
    """Owed when the books began: the bill stands for that alone."""

    def __post_init__(self) -> None:
        """Refuse amounts below nothing, a reference of a payment that was not made, and goods of before the books."""
        if self.owed_before and (self.goods or self.jobs or self.expenses or self.freight or self.tax):
            hint = "Goods that were there are counted in with 'shopledger stock count --as opening'."
            given = write_amount(self.owed_before)
            raise RefusedError("owed before", given, "a bill of before the books brings nothing else", hint)
        for field, amount in (("freight", self.freight), ("tax", self.tax), ("owed before", self.owed_before)):
            if amount < 0:
                raise RefusedError(field, write_amount(amount), "it may not be negative", "Type 0 or more.")
            hold_amount(field, amount, MOVED)
        if self.reference and self.paid is None:
            hint = "Say how the bill was paid, or leave the reference out."
            raise RefusedError("reference", f"'{self.reference}'", "it belongs to a payment", hint)


@dataclass(frozen=True, slots=True)
class SendBackRequest:
    """Goods that go back to their supplier, and what he takes off the bill for them."""

    item: str
    quantity: int
    credit: Cents
    reason: str
    day: date | None = None

    def __post_init__(self) -> None:
        """Refuse a quantity that is none, a credit below nothing, and no reason."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        if self.quantity < 1:
            raise RefusedError("quantity", self.quantity, "it is 1 or more", "Type how many went back.")
        if self.credit < 0:
            raise RefusedError("credit", write_amount(self.credit), "it may not be negative", "Type 0 or more.")
