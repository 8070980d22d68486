"""The sheets of a month from the journal: each posting, and the trial balance."""

from __future__ import annotations

from shopledger.exports.columns import Column, Kind, Sheet, number_text
from shopledger.ledger.books.month_journal import JournalRow, TrialRow

JOURNAL: Sheet[JournalRow] = Sheet(
    "Journal",
    "JournalLines",
    (
        Column("Entry", lambda row: str(row.entry_number), "Number of the entry; one entry has several lines.", 8),
        Column("Date", lambda row: row.day, "Day of the entry.", 11.5, Kind.DAY),
        Column("Document", lambda row: row.document, "What it stands on.", 29),
        Column("Memo", lambda row: row.memo, "What happened.", 52),
        Column("Account", lambda row: row.account, "Account that was touched.", 25),
        Column("Debit", lambda row: row.debit, "Debit.", 12, Kind.MONEY, total=True),
        Column("Credit", lambda row: row.credit, "Credit.", 12, Kind.MONEY, total=True),
        Column("Reverses", lambda row: number_text(row.reverses), "Entry that this one takes back.", 9.5),
    ),
    landscape=True,
)

TRIAL: Sheet[TrialRow] = Sheet(
    "Trial balance",
    "TrialBalance",
    (
        Column("Account", lambda row: row.title, "Account of the books.", 30),
        Column("Kind", lambda row: row.kind, "What it is.", 15),
        Column("Line", lambda row: row.schedule_c, "Line of Schedule C, as the program knows it.", 7),
        Column("Opening", lambda row: row.opening,
               "Before the month, credits below nought; income, cost and expense since 1 January.", 14, Kind.MONEY,
               total=True, whole_cents=True),
        Column("Debits", lambda row: row.debits, "Debits of the month.", 14, Kind.MONEY, total=True),
        Column("Credits", lambda row: row.credits, "Credits of the month.", 14, Kind.MONEY, total=True),
        Column("Closing", lambda row: row.closing, "Opening and debits, less credits.", 14, Kind.MONEY, total=True,
               whole_cents=True),
    ),
)  # fmt: skip
