"""The rows of a period that the shop's own spending makes: expenses, bills, and money that moved otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import WHOLE, CashAccount, MoveKind
from shopledger.ledger.books.posting_rules import Amounts, posted
from shopledger.money.amount import Cents

PROCESSOR: Final = "processor"
"""By what method a fee is paid that the card processor takes from what it owes."""

GONE: Final = "(equipment that is gone, at cost)"
"""What stands in the place of a payee where equipment leaves the books."""


class ExpenseSource(Enum):
    """Where an expense comes from, which says when each view counts it."""

    PAID = "paid at once"
    BILLED = "on a bill"
    FEE = "kept from a payout"
    """Or taken from what the processor owes, without one."""
    REVERSAL_FEE = "taken for a payment sent back"
    """By the bank or the card processor, or below zero given back by it."""
    NEVER_PAID = "sale never paid"
    """Written off, or below zero owed again: on accrual alone, since on cash it was never income."""
    SAMPLE = "goods given away"
    SELLERS_TAX = "tax on the seller"
    ADJUSTED = "adjusting entry"
    """Counted in both views as it stands."""
    TIMED = "entry of time alone"
    """Paid ahead or owed by an adjusting entry: on accrual alone. Income that it moves stands here too, below zero."""
    DISPOSED = "equipment gone"
    """The cost of what was sold or scrapped, below zero: it counts in neither view."""


@dataclass(frozen=True, slots=True)
class ExpenseRow:
    """One expense of the period, below zero where it was voided."""

    day: date
    document: str
    source: ExpenseSource
    payee: str
    description: str
    account: Account
    method: str
    reference: str
    file_sha256: str | None
    amount: Cents


class BillEvent(Enum):
    """What happened to a bill."""

    BEFORE = "owed from before"
    BILLED = "billed"
    PAID = "paid"
    SENT_BACK = "goods sent back"
    BILL_MISTAKE = "bill voided"
    PAYMENT_MISTAKE = "payment voided"
    REPRICED = "price changed"
    """A discount or an allowance, or below zero what the supplier charged more."""
    REFUNDED = "refunded by the supplier"
    SET_AGAINST = "set against another bill"
    CHANGE_MISTAKE = "change voided"


class BilledFor(Enum):
    """What a line of a bill is for."""

    STOCK = "goods"
    JOB = "job"
    EXPENSE = "expense"


@dataclass(frozen=True, slots=True)
class BillEventRow:
    """One line billed, a payment, a credit or what was owed before the period."""

    day: date | None
    bill_number: int
    supplier: str
    invoice: str
    due_on: date | None
    event: BillEvent
    billed_for: str = ""
    """Goods, job or expense, of a line."""
    about: str = ""
    """Item, job or category of a line; reference of a payment."""
    method: str = ""
    before: Cents = 0
    billed: Cents = 0
    paid: Cents = 0
    credited: Cents = 0

    @property
    def owed(self) -> Cents:
        """What the row adds to what is owed."""
        return self.before + self.billed - self.paid - self.credited


@dataclass(frozen=True, slots=True)
class MoneyMoveRow:
    """Money that moved without a sale or a bill; `sign` is minus one where it was voided."""

    day: date
    number: int
    kind: MoveKind
    till: CashAccount
    state: str
    reference: str
    note: str
    amount: Cents
    fee: Cents
    sign: int = 1

    @property
    def signed_fee(self) -> Cents:
        """What was kept by the processor, or by the shop of a tax paid; what is only held back is no fee."""
        return 0 if self.kind in {MoveKind.RESERVED, MoveKind.RELEASED} else self.sign * self.fee

    @property
    def cash_account(self) -> str:
        """The cash account that was touched; none by what is kept whole."""
        return "" if self.kind in WHOLE else self.till.value

    def change(self, account: Account) -> Cents:
        """Give what an account changed by: debits less credits."""
        way = self.kind.flow
        amounts = {way.amount: self.amount, "moved": way.value * (self.amount - self.fee), "fee": way.value * self.fee}
        legs = posted(DocumentKind.MONEY, Amounts(amounts, {"kind": self.kind, "till": self.till}))
        return self.sign * sum(leg.amount for leg in legs if leg.account is account)


@dataclass(frozen=True, slots=True)
class PayeeRow:
    """What was spent under one heading on one payee, and what of it was paid in the year other than by card."""

    category: str
    payee: str
    count: int
    amount: Cents
    paid_not_by_card: Cents = 0
    form: str = ""
    """The information return that may be due."""
