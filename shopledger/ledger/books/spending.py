"""What the shop spends: under which heading of Schedule C it goes, and where the money comes from."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Self

from shopledger.errors import RefusedError
from shopledger.ledger.books.completeness import WithAccount, complete
from shopledger.ledger.books.journal import Account
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount


class SpendMethod(WithAccount):
    """Where money goes out from: the word, and the account that is credited."""

    CASH = "cash", Account.CASH
    BANK = "bank", Account.BANK
    CARD = "card", Account.CREDIT_CARD
    """The shop's own credit card, which is owed until it is paid."""
    OWNER = "owner", Account.CONTRIBUTIONS
    """Out of the owner's own pocket: a contribution."""


class ExpenseCategory(Enum):
    """What money is spent on; each is an account of the same name, tied to its line of Schedule C.

    Beside a word stands the information return that payments for it may have to be reported on: services on the one,
    rent on the other (value from memory; the tax preparer decides).
    """

    _value_: str
    form: str

    def __new__(cls, word: str, form: str = "") -> Self:
        """Make a category known by its word alone."""
        member = object.__new__(cls)
        member._value_, member.form = word, form
        return member

    ADVERTISING = "advertising"
    CAR = "car and truck"
    FEES = "commissions and fees", "1099-NEC"
    CONTRACT_LABOUR = "contract labour", "1099-NEC"
    EQUIPMENT = "equipment"
    INSURANCE = "insurance"
    INTEREST = "interest"
    PROFESSIONAL = "legal and professional services", "1099-NEC"
    OFFICE = "office expense"
    RENT_EQUIPMENT = "rent of equipment", "1099-MISC"
    RENT = "rent of premises", "1099-MISC"
    REPAIRS = "repairs and maintenance", "1099-NEC"
    SUPPLIES = "supplies"
    TAXES = "taxes and licences"
    TRAVEL = "travel"
    MEALS = "meals"
    UTILITIES = "utilities"
    WAGES = "wages"
    POSTAGE = "postage and shipping out"
    SOFTWARE = "software and services"
    TRAINING = "training and licences"
    OTHER = "other expense"

    @property
    def account(self) -> Account:
        """The account that is debited."""
        return Account[self.name]

    @property
    def explained(self) -> str:
        """The line of Schedule C that it goes to."""
        return f"Schedule C line {self.account.schedule_c}"


complete(
    ExpenseCategory,
    {category: category.account for category in ExpenseCategory if category.name in Account.__members__},
    "give the chart of accounts in shopledger/ledger/books/journal.py a member of the same name",
)


@dataclass(frozen=True, slots=True)
class Expense:
    """Money spent and paid at once.

    The tax office wants of each: payee, amount, day, what it was for, and proof of payment (IRS, "What kind of records
    should I keep", reviewed 2025-02-28); the proof is a kept file, or the reference.
    """

    day: date
    payee: str
    category: ExpenseCategory
    description: str
    amount: Cents
    method: SpendMethod
    reference: str = ""
    file_sha256: str | None = None
    """Hash of the kept file that proves it."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules, and refuse an amount that is none and a whole card number."""
        object.__setattr__(self, "payee", clean_text("payee", self.payee))
        object.__setattr__(self, "description", clean_text("description", self.description, LONGEST_NOTE))
        object.__setattr__(self, "reference", kept_reference("expense", self.method.value, self.reference))
        if self.amount <= 0:
            raise RefusedError(
                "expense",
                write_amount(self.amount),
                "it must be more than 0",
                "One that was a mistake is voided with 'shopledger void expense NUMBER'.",
            )
        hold_amount("expense", self.amount, MOVED)
