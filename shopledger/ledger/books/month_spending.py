"""The rows of a month that the shop's own spending makes: expenses, bills, and money that moved otherwise."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind, Till
from shopledger.money.amount import Cents


class ExpenseSource(Enum):
    """Where an expense comes from, which says when each view counts it."""

    PAID = "paid at once"
    BILLED = "on a bill"
    FEE = "kept from a payout"
    SAMPLE = "goods given away"
    SELLERS_TAX = "tax on the seller"


@dataclass(frozen=True, slots=True)
class ExpenseRow:
    """One expense of the month, below nought where it was taken back."""

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
    BILL_MISTAKE = "bill taken back"
    PAYMENT_MISTAKE = "payment taken back"


class BilledFor(Enum):
    """What a line of a bill is for."""

    STOCK = "goods"
    JOB = "job"
    EXPENSE = "expense"


@dataclass(frozen=True, slots=True)
class BillEventRow:
    """One line billed, a payment, a credit or what was owed before the month."""

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
    """Money that moved without a sale or a bill; `sign` is minus one where it was taken back."""

    day: date
    number: int
    kind: MoveKind
    till: Till
    state: str
    reference: str
    note: str
    amount: Cents
    fee: Cents
    sign: int = 1

    @property
    def signed_fee(self) -> Cents:
        """What was kept by the processor, or by the shop of a tax paid."""
        return self.sign * self.fee

    def change(self, account: Account) -> Cents:
        """Give what an account changed by: debits less credits."""
        return self.sign * _changes(self).get(account, 0)


def _changes(row: MoneyMoveRow) -> dict[Account, Cents]:
    till, amount, moved = row.till.account, row.amount, row.amount - row.fee
    return {
        MoveKind.PAYOUT: {Account.BANK: moved, Account.CARD_CLEARING: -amount, Account.FEES: row.fee},
        MoveKind.BANKED: {Account.CASH: -amount, Account.BANK: amount},
        MoveKind.FETCHED: {Account.BANK: -amount, Account.CASH: amount},
        MoveKind.CARD_PAID: {Account.CREDIT_CARD: amount, Account.BANK: -amount},
        MoveKind.CONTRIBUTION: {till: amount, Account.CONTRIBUTIONS: -amount},
        MoveKind.DRAW: {Account.DRAWS: amount, till: -amount},
        MoveKind.TAX_PAID: {Account.SALES_TAX_PAYABLE: amount, till: -moved, Account.OTHER_INCOME: -row.fee},
        MoveKind.OTHER_INCOME: {till: amount, Account.OTHER_INCOME: -amount},
        MoveKind.OPENING: {till: amount, Account.OPENING_BALANCES: -amount},
    }[row.kind]
