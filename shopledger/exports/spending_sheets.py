"""The sheets about the shop's own spending: expenses, bills, money that moved otherwise; and a year's payees."""

from __future__ import annotations

from typing import Final

from shopledger.exports.sheets import Column, Kind, Sheet
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.spending_rows import BillEventRow, ExpenseRow, MoneyMoveRow, PayeeRow
from shopledger.ledger.orders import Method

_LINES: Final = {account.title: account.schedule_c for account in Account}
SHORT_HASH: Final = 12
"""How many digits of a kept file's hash a sheet shows."""

EXPENSES: Final = Sheet(
    ExpenseRow,
    "Expenses",
    "ExpenseLines",
    (
        Column("Date", lambda row: row.day, "Day of the expense, or on which it was voided.", 11.5, Kind.DAY),
        Column("Document", lambda row: row.document, "What it stands on.", 14),
        Column("Source", lambda row: row.source.value,
               "Paid at once, on a bill, kept from a payout, taken for a payment sent back, a sale never paid, goods "
               "given away, sales tax laid on the seller, or an adjusting entry.", 16),
        Column("Line", lambda row: row.account.schedule_c,
               "Line of Schedule C that the account goes to, as the program knows it; 13 is equipment, 48 others.", 7),
        Column("Account", lambda row: row.account.title, "Account of the books.", 23),
        Column("Payee", lambda row: row.payee, "Who got the money.", 24),
        Column("Description", lambda row: row.description, "What it was for.", 32),
        Column("Method", lambda row: row.method,
               "Cash, bank, card (the shop's credit card), owner (out of the owner's pocket) or processor (taken from "
               "what the card processor owes).", 10),
        Column("Reference", lambda row: row.reference, "Number of a check, transfer or invoice.", 13),
        Column("Proof", lambda row: (row.file_sha256 or "")[:SHORT_HASH],
               "First digits of the hash of the file kept as proof.", 14.5),
        Column("Amount", lambda row: row.amount, "What it came to; below zero where it was voided.", 12,
               Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("Source", "Account", "Method"),
)  # fmt: skip

BILLS: Final = Sheet(
    BillEventRow,
    "Bills",
    "BillEvents",
    (
        Column("Date", lambda row: row.day, "Day of what happened; empty for what was owed before the {noun}.", 11.5,
               Kind.DAY),
        Column("Bill", lambda row: row.bill_number, "Its number in the shop.", 7, Kind.NUMBER),
        Column("Supplier", lambda row: row.supplier, "Who billed.", 25),
        Column("Invoice", lambda row: row.invoice, "The supplier's own number.", 13),
        Column("Due", lambda row: row.due_on, "Day by which it is to be paid.", 11.5, Kind.DAY),
        Column("Event", lambda row: row.event.value,
               "Billed, paid, sent back, changed in its price, refunded, set against another bill, or voided.", 18),
        Column("For", lambda row: row.billed_for, "Goods, a job's lenses and lab work, or an expense.", 9.5),
        Column("What", lambda row: row.about, "Item, job or category; of a payment its reference.", 22),
        Column("Method", lambda row: row.method, "How it was paid.", 9),
        Column("Before", lambda row: row.before, "Owed before the {noun}.", 11, Kind.MONEY, total=True),
        Column("Billed", lambda row: row.billed, "Billed, with the line's share of the freight.", 11, Kind.MONEY,
               total=True),
        Column("Paid", lambda row: row.paid, "Paid to the supplier.", 11, Kind.MONEY, total=True),
        Column("Credited", lambda row: row.credited,
               "Taken off for goods sent back, as a discount or an allowance; below zero what was charged more.", 10,
               Kind.MONEY, total=True),
        Column("Owed", lambda row: row.owed, "Before and billed, less paid and credited; the sum is owed at the end.",
               11, Kind.MONEY, total=True),
    ),
    landscape=True,
    keys=("For", "Method"),
)  # fmt: skip

_MONEY: Final = {
    Account.CASH: ("What the cash changed by.", 11),
    Account.CARD_CLEARING: ("What lies with the card processor changed by.", 11.5),
    Account.BANK: ("What the bank account changed by.", 11),
}
"""What the column of each account of money means, and its width."""


def _money(account: Account) -> Column[MoneyMoveRow]:
    """Give the column of an account that money of customers goes through."""
    means, width = _MONEY.get(account, (f"What {account.title} changed by.", 12))
    return Column(account.title.capitalize(), lambda row: row.change(account), means, width, Kind.MONEY, total=True)


MONEY_MOVES: Final = Sheet(
    MoneyMoveRow,
    "Money moves",
    "MoneyMoves",
    (
        Column("Date", lambda row: row.day, "Day it moved, or on which it was voided.", 11.5, Kind.DAY),
        Column("Move", lambda row: row.number, "Its number.", 7, Kind.NUMBER),
        Column("Kind", lambda row: row.kind.value, "Why it moved.", 14),
        Column("Cash account", lambda row: row.cash_account,
               "Cash or bank; empty where the card processor keeps all of it.", 13),
        Column("State", lambda row: row.state, "To which state sales tax was paid.", 7),
        Column("Reference", lambda row: row.reference, "Number of the transfer or check.", 15),
        Column("Note", lambda row: row.note, "As the owner wrote it.", 26),
        Column("Amount", lambda row: row.sign * row.amount, "The whole of it; below zero where it was voided.",
               12, Kind.MONEY, total=True),
        Column("Fee", lambda row: row.signed_fee,
               "What the processor kept of a payout, or the state let the shop keep of its tax.", 10, Kind.MONEY,
               total=True),
        *(_money(account) for account in Account if any(method.account is account for method in Method)),
    ),
    landscape=True,
    keys=("Kind",),
)  # fmt: skip

YEAR_EXPENSES: Final = Sheet(
    PayeeRow,
    "Expenses",
    "YearExpenses",
    (
        Column("Category", lambda row: row.category, "The heading in the books.", 29),
        Column("Line", lambda row: _LINES[row.category], "Line of Schedule C.", 7),
        Column("Payee", lambda row: row.payee, "Who was paid.", 34),
        Column("Count", lambda row: row.count, "How many expenses and bill lines.", 8, Kind.COUNT, total=True),
        Column("Amount", lambda row: row.amount, "What it came to, paid or not.", 14, Kind.MONEY, total=True),
        Column("Paid not by card", lambda row: row.paid_not_by_card,
               "What of it was paid in the year by cash, bank or the owner.", 14, Kind.MONEY, total=True),
        Column("To report", lambda row: row.form,
               "The form that may be due for this payee; see the Notes.", 12),
    ),
)  # fmt: skip
