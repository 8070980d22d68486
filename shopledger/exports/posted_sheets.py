"""The sheets about the stock and the books: movements, value, cost, lots; each posting, and the trial balance."""

from __future__ import annotations

from typing import Final

from shopledger.exports.sheets import Column, Kind, Sheet
from shopledger.ledger.books.posted_rows import GoodsCostRow, JournalRow, LotRow, MovementRow, StockRow, TrialRow
from shopledger.money.rate import round_half_away

MOVEMENTS: Final = Sheet(
    MovementRow,
    "Stock movements",
    "StockMoves",
    (
        Column("Date", lambda row: row.day, "Day the goods came or went.", 11.5, Kind.DAY),
        Column("Movement", lambda row: row.number, "Its number.", 12, Kind.NUMBER),
        Column("Item", lambda row: row.item_code, "The shop's own code.", 17),
        Column("Reason", lambda row: row.reason, "Why they moved.", 13),
        Column("Count", lambda row: row.quantity, "How many: in above zero, out below.", 8, Kind.COUNT, total=True),
        Column("Cost", lambda row: row.cost, "What they cost, freight included: in above zero, out below.", 12,
               Kind.MONEY, total=True),
        Column("Order", lambda row: row.order_number, "Order they left or came back with.", 8, Kind.NUMBER),
        Column("Job", lambda row: row.job_number, "Job they left for.", 8, Kind.NUMBER),
        Column("Bill", lambda row: row.bill_number, "Bill they came with.", 8, Kind.NUMBER),
        Column("Note", lambda row: row.note, "As the owner wrote it.", 34),
    ),
    landscape=True,
    keys=("Reason", "Bill"),
)  # fmt: skip

STOCK: Final = Sheet(
    StockRow,
    "Stock value",
    "StockValue",
    (
        Column("Item", lambda row: row.item_code, "The shop's own code.", 15),
        Column("Description", lambda row: row.description, "Frame or accessory.", 38),
        Column("Opening", lambda row: row.opening, "On hand before the {noun}.", 9, Kind.COUNT, total=True),
        Column("Opening value", lambda row: row.opening_value, "What they cost.", 11.5, Kind.MONEY, total=True),
        Column("In", lambda row: row.came, "Received, or back from customers.", 7, Kind.COUNT, total=True),
        Column("In value", lambda row: row.came_value, "What these cost.", 11, Kind.MONEY, total=True),
        Column("Out", lambda row: row.went, "Shipped, given away, taken home, or sent back.", 7, Kind.COUNT,
               total=True),
        Column("Out value", lambda row: row.went_value, "What these cost, first in first out.", 11, Kind.MONEY,
               total=True),
        Column("Adjusted", lambda row: row.adjusted, "Found or missing when counted, and written off.", 11,
               Kind.COUNT, total=True),
        Column("Adjusted value", lambda row: row.adjusted_value, "What these cost.", 11, Kind.MONEY, total=True),
        Column("Closing", lambda row: row.closing, "On hand at the {noun}'s end.", 9, Kind.COUNT, total=True),
        Column("Closing value", lambda row: row.value, "What they cost, first in first out.", 11.5, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip

GOODS_COST: Final = Sheet(
    GoodsCostRow,
    "Cost of goods",
    "GoodsCost",
    (
        Column("Date", lambda row: row.day, "Day of shipping, or of what else is told.", 11.5, Kind.DAY),
        Column("Account", lambda row: row.account, "Account of the books; all are Schedule C, line 42.", 20),
        Column("What", lambda row: row.event, "Shipped or back; or the document that the cost was posted on.", 25),
        Column("Order", lambda row: row.order_number, "Number of the order.", 8, Kind.NUMBER),
        Column("Job", lambda row: row.job_number, "Number of the job.", 8, Kind.NUMBER),
        Column("Item", lambda row: row.item_code, "The shop's own code; empty for lenses.", 17),
        Column("Lot", lambda row: row.lot, "Movement that brought the goods in.", 8, Kind.NUMBER),
        Column("Lot day", lambda row: row.lot_day, "Day they came in: what came first goes first.", 11.5, Kind.DAY),
        Column("Count", lambda row: row.quantity, "How many went out; below zero what came back.", 8, Kind.COUNT,
               total=True),
        Column("Cost", lambda row: row.cost, "What they cost; below zero what came back.", 12, Kind.MONEY,
               total=True),
    ),
    landscape=True,
    keys=("Account",),
)  # fmt: skip

YEAR_LOTS: Final = Sheet(
    LotRow,
    "Inventory",
    "YearLots",
    (
        Column("Lot", lambda row: row.lot, "Number of the movement that brought the goods in.", 9, Kind.NUMBER),
        Column("Received", lambda row: row.received, "Day the goods came in.", 12, Kind.DAY),
        Column("Item", lambda row: row.item_code, "The shop's own code.", 17),
        Column("Description", lambda row: row.description, "Frame or accessory.", 44),
        Column("Quantity", lambda row: row.quantity, "Left of the lot on the last day.", 10, Kind.COUNT, total=True),
        Column("Unit cost", lambda row: round_half_away(row.cost, row.quantity) if row.quantity else None,
               "What one of them cost, rounded to the cent.", 12, Kind.MONEY),
        Column("Total cost", lambda row: row.cost, "What they cost, with their share of the freight.", 15, Kind.MONEY,
               total=True),
    ),
)  # fmt: skip

JOURNAL: Final = Sheet(
    JournalRow,
    "Journal",
    "JournalLines",
    (
        Column(
            "Entry", lambda row: row.entry_number, "Number of the entry; one entry has several lines.", 8, Kind.NUMBER
        ),
        Column("Date", lambda row: row.day, "Day of the entry.", 11.5, Kind.DAY),
        Column("Document", lambda row: row.document, "What it stands on.", 29),
        Column("Kind", lambda row: row.document.rpartition(" ")[0], "What kind of document that is.", 17),
        Column("Memo", lambda row: row.memo, "What happened.", 40),
        Column("Account", lambda row: row.account, "Account that was touched.", 25),
        Column("Debit", lambda row: row.debit, "Debit.", 12, Kind.MONEY, total=True),
        Column("Credit", lambda row: row.credit, "Credit.", 12, Kind.MONEY, total=True),
        Column("Reverses", lambda row: row.reverses, "Entry that this one takes back.", 11, Kind.NUMBER),
    ),
    landscape=True,
    keys=("Account", "Kind"),
)

TRIAL: Final = Sheet(
    TrialRow,
    "Trial balance",
    "TrialBalance",
    (
        Column("Account", lambda row: row.title, "Account of the books.", 30),
        Column("Kind", lambda row: row.kind, "What it is.", 15),
        Column("Line", lambda row: row.schedule_c, "Line of Schedule C, as the program knows it.", 7),
        Column("Opening", lambda row: row.opening,
               "Before the {noun}, credits below zero; income, cost and expense since 1 January.", 14, Kind.MONEY,
               total=True, whole_cents=True),
        Column("Debits", lambda row: row.debits, "Debits of the {noun}.", 14, Kind.MONEY, total=True),
        Column("Credits", lambda row: row.credits, "Credits of the {noun}.", 14, Kind.MONEY, total=True),
        Column("Closing", lambda row: row.closing, "Opening and debits, less credits.", 14, Kind.MONEY, total=True,
               whole_cents=True),
    ),
    keys=("Account", "Kind"),
)  # fmt: skip
