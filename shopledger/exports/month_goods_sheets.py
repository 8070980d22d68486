"""The sheets of a month about goods: each movement, what the stock is worth, and what sold goods cost."""

from __future__ import annotations

from shopledger.exports.columns import Column, Kind, Sheet, number_text
from shopledger.ledger.books.month_goods import GoodsCostRow, MovementRow, StockRow

MOVEMENTS: Sheet[MovementRow] = Sheet(
    "Stock movements",
    "StockMoves",
    (
        Column("Date", lambda row: row.day, "Day the goods came or went.", 11.5, Kind.DAY),
        Column("Movement", lambda row: str(row.number), "Its number.", 12),
        Column("Item", lambda row: row.item_code, "The shop's own code.", 17),
        Column("Reason", lambda row: row.reason, "Why they moved.", 13),
        Column("Count", lambda row: row.quantity, "How many: in above nought, out below.", 8, Kind.COUNT, total=True),
        Column("Cost", lambda row: row.cost, "What they cost, freight included: in above nought, out below.", 12,
               Kind.MONEY, total=True),
        Column("Order", lambda row: number_text(row.order_number), "Order they left or came back with.", 8),
        Column("Job", lambda row: number_text(row.job_number), "Job they left for.", 8),
        Column("Bill", lambda row: number_text(row.bill_number), "Bill they came with.", 8),
        Column("Note", lambda row: row.note, "As the owner wrote it.", 34),
    ),
    landscape=True,
)  # fmt: skip

STOCK: Sheet[StockRow] = Sheet(
    "Stock value",
    "StockValue",
    (
        Column("Item", lambda row: row.item_code, "The shop's own code.", 15),
        Column("Description", lambda row: row.description, "Frame or accessory.", 38),
        Column("Opening", lambda row: row.opening, "On hand before the month.", 9, Kind.COUNT, total=True),
        Column("Opening value", lambda row: row.opening_value, "What they cost.", 11.5, Kind.MONEY, total=True),
        Column("In", lambda row: row.came, "Received, or back from customers.", 7, Kind.COUNT, total=True),
        Column("In value", lambda row: row.came_value, "What these cost.", 11, Kind.MONEY, total=True),
        Column("Out", lambda row: row.went, "Shipped, given away, taken home, or sent back.", 7, Kind.COUNT,
               total=True),
        Column("Out value", lambda row: row.went_value, "What these cost, first in first out.", 11, Kind.MONEY,
               total=True),
        Column("Adjusted", lambda row: row.adjusted, "Found or missing when counted, and written off.", 9.5,
               Kind.COUNT, total=True),
        Column("Adjusted value", lambda row: row.adjusted_value, "What these cost.", 11, Kind.MONEY, total=True),
        Column("Closing", lambda row: row.closing, "On hand at the month's end.", 9, Kind.COUNT, total=True),
        Column("Closing value", lambda row: row.value, "What they cost, first in first out.", 11.5, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip

GOODS_COST: Sheet[GoodsCostRow] = Sheet(
    "Cost of goods",
    "GoodsCost",
    (
        Column("Date", lambda row: row.day, "Day of shipping, or of what else is told.", 11.5, Kind.DAY),
        Column("Account", lambda row: row.account, "Account of the books; all are Schedule C, line 42.", 20),
        Column("What", lambda row: row.event, "Shipped or back; or the document that the cost was posted on.", 25),
        Column("Order", lambda row: number_text(row.order_number), "Number of the order.", 8),
        Column("Job", lambda row: number_text(row.job_number), "Number of the job.", 8),
        Column("Item", lambda row: row.item_code, "The shop's own code; empty for lenses.", 17),
        Column("Lot", lambda row: number_text(row.lot), "Movement that brought the goods in.", 8),
        Column("Lot day", lambda row: row.lot_day, "Day they came in: what came first goes first.", 11.5, Kind.DAY),
        Column("Count", lambda row: row.quantity, "How many went out; below nought what came back.", 8, Kind.COUNT,
               total=True),
        Column("Cost", lambda row: row.cost, "What they cost; below nought what came back.", 12, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip
