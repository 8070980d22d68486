"""Suppliers, and their bills with lines and payments."""

from __future__ import annotations

from shopledger.ledger.books.bill_credits import REPRICED_ACCOUNTS, CreditKind
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.stock import StockedKind
from shopledger.store import columns as kept
from shopledger.store.tables.base import Columns, Recorded, table
from shopledger.store.words import word


class SupplierColumns(Recorded):
    """Who sends goods and bills. `folded` is the name as it is searched."""

    number = kept.key()
    name = kept.words(kept.FILLED)
    folded = kept.words(index=True)
    account = kept.words()
    phone = kept.words()
    email = kept.words()
    note = kept.words()


supplier = table("supplier", SupplierColumns)


class BillColumns(Recorded):
    """A supplier's bill."""

    number = kept.key()
    supplier_number = kept.number(kept.to("supplier.number"), index=True)
    invoice = kept.words()
    day = kept.day(index=True)
    due_on = kept.optional(kept.day())
    note = kept.words()
    file_sha256 = kept.optional(kept.words(kept.to("kept_file.sha256")))


bill = table("bill", BillColumns)


class BillLineColumns(Columns):
    """One line of a bill: the amount as billed, and with its share of the freight (freight itself lands in others)."""

    bill_number = kept.key(kept.to("bill.number"))
    position = kept.key()
    kind = kept.one_of(BillLineKind)
    description = kept.words()
    item_kind = kept.optional(kept.one_of(StockedKind))
    item_code = kept.words()
    quantity = kept.number(kept.NOT_NEGATIVE)
    job_number = kept.optional(kept.number(kept.to("order_pair.job_number"), index=True))
    category = kept.optional(kept.one_of(ExpenseCategory))
    amount = kept.cents(kept.NOT_NEGATIVE)
    landed = kept.cents(kept.NOT_NEGATIVE)


bill_line = table(
    "bill_line",
    BillLineColumns,
    stock_names_an_item=f"(kind = {word(BillLineKind.STOCK)}) = (item_kind IS NOT NULL)",
    job_named=f"(kind = {word(BillLineKind.JOB)}) = (job_number IS NOT NULL)",
    expense_has_a_category=f"(kind = {word(BillLineKind.EXPENSE)}) = (category IS NOT NULL)",
)


class BillPaymentColumns(Recorded):
    """Money paid on a bill."""

    number = kept.key()
    bill_number = kept.number(kept.to("bill.number"), index=True)
    day = kept.day(index=True)
    amount = kept.cents(kept.POSITIVE)
    method = kept.one_of(SpendMethod)
    reference = kept.words()


bill_payment = table("bill_payment", BillPaymentColumns)


class BillCreditColumns(Recorded):
    """What changed a bill's price after it was recorded, or what became of what its supplier owed on it."""

    number = kept.key()
    bill_number = kept.number(kept.to("bill.number"), index=True)
    day = kept.day(index=True)
    kind = kept.one_of(CreditKind)
    amount = kept.cents(kept.POSITIVE)
    reason = kept.words(kept.FILLED)
    method = kept.optional(kept.one_of(SpendMethod))
    other_bill = kept.optional(kept.number(kept.to("bill.number"), index=True))


bill_credit = table(
    "bill_credit",
    BillCreditColumns,
    refund_comes_in=f"(kind = {word(CreditKind.REFUND)}) = (method IS NOT NULL)",
    other_bill_named=f"(kind = {word(CreditKind.SET_AGAINST)}) = (other_bill IS NOT NULL)",
)


class CreditPartColumns(Columns):
    """The share of an account, or of a lot, in what changed a bill's price: above zero it takes cost off."""

    credit_number = kept.key(kept.to("bill_credit.number"))
    position = kept.key()
    account = kept.one_of(Account, *REPRICED_ACCOUNTS, word="title")
    amount = kept.cents()
    movement_number = kept.optional(kept.number(kept.to("stock_movement.number"), index=True))


bill_credit_part = table("bill_credit_part", CreditPartColumns, amount_not_zero="amount <> 0")
