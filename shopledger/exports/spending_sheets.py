"""The sheets about the shop's own spending: expenses, bills, money that moved otherwise; and a year's payees."""

from __future__ import annotations

from typing import Final

from shopledger.exports.sheets import Column, Kind, Sheet
from shopledger.ledger.books.disposals import EquipmentRow
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.payee_forms import PayeeReport
from shopledger.ledger.books.spending_rows import BillEventRow, ExpenseRow, MoneyMoveRow, PayeeRow
from shopledger.ledger.books.tax_forms import called
from shopledger.ledger.orders import PAID_BY

_ACCOUNTS: Final = {account.title: account for account in Account}
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
               "given away, sales tax laid on the seller, an adjusting entry, one of time alone, which counts on "
               "accrual only (income that it moves stands here, below zero), or equipment that is gone.", 16),
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
        *(_money(account) for account in Account if any(method.account is account for method in PAID_BY)),
    ),
    landscape=True,
    keys=("Kind",),
)  # fmt: skip

YEAR_EXPENSES: Final = Sheet(
    PayeeRow,
    "Expenses",
    "YearExpenses",
    (
        Column("Category", lambda row: called(_ACCOUNTS[row.category]),
               "The heading in the books, in the form's words where a line is of it alone.", 34),
        Column("Line", lambda row: _ACCOUNTS[row.category].schedule_c, "Line of Schedule C.", 7),
        Column("Payee", lambda row: row.payee, "Who was paid.", 30),
        Column("Count", lambda row: row.count, "How many expenses and bill lines.", 8, Kind.COUNT, total=True),
        Column("Amount", lambda row: row.amount, "What it came to, paid or not.", 14, Kind.MONEY, total=True),
        Column("Paid not by card", lambda row: row.paid_not_by_card,
               "What of it was paid in the year by cash, bank or the owner.", 14, Kind.MONEY, total=True),
        Column("To report", lambda row: row.form,
               "The form that may be due for this payee; see the Notes.", 12),
    ),
)  # fmt: skip

YEAR_PAYEES: Final = Sheet(
    PayeeReport,
    "1099 payees",
    "YearPayees",
    (
        Column("Payee", lambda row: row.payee, "Who was paid for services or rent.", 24),
        Column("Form", lambda row: row.form, "The form that may be due.", 11),
        Column("Paid not by card", lambda row: row.paid,
               "Paid in the year by cash, check, transfer or the owner; cards are the card companies' to report.", 12,
               Kind.MONEY, total=True),
        Column("Limit", lambda row: row.limit, "From which sum on a payee is reported; see the Notes.", 11, Kind.MONEY),
        Column("Standing", lambda row: row.standing.value, "Whether the payee reaches it.", 17),
        Column("Received", lambda row: row.w9.received_on if row.w9 else None,
               "Day on which the W-9 came; empty: it is missing.", 12, Kind.DAY),
        Column("Kind", lambda row: row.w9.kind.value if row.w9 else "", "What the payee is, as the W-9 says.", 11.5),
        Column("Number ends in", lambda row: row.w9.ending if row.w9 else "",
               "The last four digits; 'payee hand-out' gives the whole number.", 9),
        Column("Backup withholding", lambda row: ("yes" if row.w9.backup_withholding else "no") if row.w9 else "",
               "Whether tax is held back of what the payee gets.", 13),
        Column("Name", lambda row: row.w9.name if row.w9 else "", "As on the W-9.", 22),
        Column("Address", lambda row: ", ".join(row.w9.address.lines) if row.w9 else "", "As on the W-9.", 27),
    ),
    landscape=True,
)  # fmt: skip

YEAR_EQUIPMENT: Final = Sheet(
    EquipmentRow,
    "Equipment",
    "YearEquipment",
    (
        Column("Acquired", lambda row: row.day, "Day on which it came, or was there when the books began.", 11.5,
               Kind.DAY),
        Column("Document", lambda row: row.document, "What it came with.", 13),
        Column("Line", lambda row: row.position, "Which line of that.", 7, Kind.NUMBER),
        Column("Payee", lambda row: row.payee, "Who was paid for it.", 19),
        Column("Description", lambda row: row.description, "What it is.", 27),
        Column("Cost", lambda row: row.cost, "What it cost; of a piece that went in parts, the part's share.", 11.5,
               Kind.MONEY, total=True),
        Column("Disposed on", lambda row: row.disposal.day if row.disposal else None,
               "Day on which it went.", 11.5, Kind.DAY),
        Column("How", lambda row: row.disposal.how.value if row.disposal else "", "What became of it.", 11),
        Column("Written off", lambda row: row.disposal.depreciation if row.disposal else None,
               "Of its cost, until it went, as the owner said.", 11.5, Kind.MONEY, total=True),
        Column("Proceeds", lambda row: row.disposal.proceeds if row.disposal else None,
               "What it brought.", 11, Kind.MONEY, total=True),
        Column("Gain or loss", lambda row: row.disposal.gain if row.disposal else None,
               "Proceeds less what was left of its cost; on no line of Schedule C, see Form 4797.", 11.5, Kind.MONEY,
               total=True),
        Column("There", lambda row: row.there, "Of its cost, in the books still.", 11.5, Kind.MONEY, total=True),
    ),
    landscape=True,
)  # fmt: skip
