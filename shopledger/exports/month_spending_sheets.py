"""The sheets of a month about the shop's own spending: expenses, bills, money that moved otherwise, and deposits."""

from __future__ import annotations

from typing import Final

from shopledger.exports.columns import Column, Kind, Sheet, number_text
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.month_rows import DepositRow
from shopledger.ledger.books.month_spending import BillEventRow, ExpenseRow, MoneyMoveRow

SHORT_HASH: Final = 12
"""How many digits of a kept file's hash a sheet shows."""

EXPENSES: Sheet[ExpenseRow] = Sheet(
    "Expenses",
    "ExpenseLines",
    (
        Column("Date", lambda row: row.day, "Day of the expense, or on which it was taken back.", 11.5, Kind.DAY),
        Column("Document", lambda row: row.document, "What it stands on.", 14),
        Column("Source", lambda row: row.source.value,
               "Paid at once, on a bill, kept from a payout, goods given away, or sales tax laid on the seller.", 16),
        Column("Line", lambda row: row.account.schedule_c,
               "Line of Schedule C that the account goes to, as the program knows it; 13 is equipment, 48 others.", 7),
        Column("Account", lambda row: row.account.title, "Account of the books.", 23),
        Column("Payee", lambda row: row.payee, "Who got the money.", 24),
        Column("Description", lambda row: row.description, "What it was for.", 32),
        Column("Method", lambda row: row.method,
               "Cash, bank, card (the shop's credit card) or owner (out of the owner's pocket).", 9),
        Column("Reference", lambda row: row.reference, "Number of a check, transfer or invoice.", 13),
        Column("Proof", lambda row: (row.file_sha256 or "")[:SHORT_HASH],
               "First digits of the hash of the file kept as proof.", 14.5),
        Column("Amount", lambda row: row.amount, "What it came to; below nought where it was taken back.", 12,
               Kind.MONEY, total=True),
    ),
    landscape=True,
)  # fmt: skip

BILLS: Sheet[BillEventRow] = Sheet(
    "Bills",
    "BillEvents",
    (
        Column("Date", lambda row: row.day, "Day of what happened; empty for what was owed before the month.", 11.5,
               Kind.DAY),
        Column("Bill", lambda row: str(row.bill_number), "Its number in the shop.", 7),
        Column("Supplier", lambda row: row.supplier, "Who billed.", 25),
        Column("Invoice", lambda row: row.invoice, "The supplier's own number.", 13),
        Column("Due", lambda row: row.due_on, "Day by which it is to be paid.", 11.5, Kind.DAY),
        Column("Event", lambda row: row.event.value, "Billed, paid, sent back, or taken back as a mistake.", 18),
        Column("For", lambda row: row.billed_for, "Goods, a job's lenses and lab work, or an expense.", 9.5),
        Column("What", lambda row: row.about, "Item, job or category; of a payment its reference.", 22),
        Column("Method", lambda row: row.method, "How it was paid.", 9),
        Column("Before", lambda row: row.before, "Owed before the month.", 11, Kind.MONEY, total=True),
        Column("Billed", lambda row: row.billed, "Billed, with the line's share of the freight.", 11, Kind.MONEY,
               total=True),
        Column("Paid", lambda row: row.paid, "Paid to the supplier.", 11, Kind.MONEY, total=True),
        Column("Credited", lambda row: row.credited, "Taken off for goods sent back.", 10, Kind.MONEY, total=True),
        Column("Owed", lambda row: row.owed, "Before and billed, less paid and credited; the sum is owed at the end.",
               11, Kind.MONEY, total=True),
    ),
    landscape=True,
)  # fmt: skip

MONEY_MOVES: Sheet[MoneyMoveRow] = Sheet(
    "Money moves",
    "MoneyMoves",
    (
        Column("Date", lambda row: row.day, "Day it moved, or on which it was taken back.", 11.5, Kind.DAY),
        Column("Move", lambda row: str(row.number), "Its number.", 7),
        Column("Kind", lambda row: row.kind.value, "Why it moved.", 14),
        Column("Till", lambda row: row.till.value, "Cash or bank.", 7.5),
        Column("State", lambda row: row.state, "To which state sales tax was paid.", 7),
        Column("Reference", lambda row: row.reference, "Number of the transfer or check.", 15),
        Column("Note", lambda row: row.note, "As the owner wrote it.", 26),
        Column("Amount", lambda row: row.sign * row.amount, "The whole of it; below nought where it was taken back.",
               12, Kind.MONEY, total=True),
        Column("Fee", lambda row: row.signed_fee,
               "What the processor kept of a payout, or the state let the shop keep of its tax.", 10, Kind.MONEY,
               total=True),
        Column("Cash", lambda row: row.change(Account.CASH), "What the cash changed by.", 11, Kind.MONEY, total=True),
        Column("Card clearing", lambda row: row.change(Account.CARD_CLEARING),
               "What lies with the card processor changed by.", 11.5, Kind.MONEY, total=True),
        Column("Bank", lambda row: row.change(Account.BANK), "What the bank account changed by.", 11, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip

DEPOSITS: Sheet[DepositRow] = Sheet(
    "Deposits",
    "DepositEvents",
    (
        Column("Date", lambda row: row.day, "Day of what happened; empty for what was left from before.", 11.5,
               Kind.DAY),
        Column("Deposit", lambda row: str(row.deposit_number), "Its number.", 9),
        Column("Customer", lambda row: row.customer, "Whose money it is.", 24),
        Column("Event", lambda row: row.event.value, "Taken, given back, used for an order, or put back.", 24),
        Column("Order", lambda row: number_text(row.order_number), "Order that was paid with it.", 8),
        Column("Method", lambda row: row.method, "How the money came or went.", 9.5),
        Column("Reference", lambda row: row.reference, "Last digits of a card, or a check's number.", 13),
        Column("Before", lambda row: row.before, "Left before the month.", 11, Kind.MONEY, total=True),
        Column("Taken", lambda row: row.taken, "Money taken.", 11, Kind.MONEY, total=True),
        Column("Given back", lambda row: row.given_back, "Money given back.", 11, Kind.MONEY, total=True),
        Column("Used", lambda row: row.used, "Used to pay orders.", 11, Kind.MONEY, total=True),
        Column("Left", lambda row: row.left, "Before and taken, less given back and used; the sum is left at the end.",
               11, Kind.MONEY, total=True),
    ),
    landscape=True,
)  # fmt: skip
