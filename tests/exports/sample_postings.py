"""The postings of the invented month, entry by entry as a bookkeeper would write them, and what stood there before."""

from __future__ import annotations

from datetime import date

_ENTRIES: tuple[tuple[int, str, str, dict[str, int]], ...] = (
    (2, "payment 21", "card payment, order 11", {"card clearing": 20000, "customer prepayments": -20000}),
    (3, "expense 1", "rent for March", {"rent of premises": 85000, "bank": -85000}),
    (4, "bill 3", "bill of Harrow Row", {
        "inventory": 12400, "jobs in work": 11500, "office expense": 1500, "bills to pay": -25400}),
    (5, "payment 22", "check payment, order 11", {"bank": 16460, "customer prepayments": -16460}),
    (6, "deposit 2", "cash deposit", {"cash": 3000, "customer deposits": -3000}),
    (8, "expense 2", "screws", {"supplies": 1999, "cash": -1999}),
    (9, "expense 2", "taken back: screws", {"supplies": -1999, "cash": 1999}),
    (9, "bill payment 5", "bank payment to Harrow Row", {"bills to pay": 4000, "bank": -4000}),
    (10, "cancellation of order 9", "taken back: sale, order 9", {
        "receivable": -18901, "offers and discounts": -8000, "sales": 26850, "sales tax payable": 51}),
    (10, "cancellation of order 9", "taken back: card payment, order 9", {
        "receivable": 10000, "card clearing": -10000}),
    (10, "cancellation of order 9", "taken back: check payment, order 9", {"receivable": 8901, "bank": -8901}),
    (12, "parcel 5", "left, order 11, parcel 5", {
        "customer prepayments": 36460, "offers and discounts": 8000, "sales": -43495, "shipping income": -650,
        "sales tax payable": -315,
        "cost of goods sold": 6000, "inventory": -6000, "lenses and lab work": 2500, "jobs in work": -2500}),
    (18, "payment 23", "transfer payment, order 12", {"bank": 54537, "customer prepayments": -54537}),
    (18, "payment 24", "payment from a deposit, order 12", {"customer deposits": 5000, "customer prepayments": -5000}),
    (19, "expense 3", "web shop", {"software and services": 2900, "owner contributions": -2900}),
    (20, "refund 1", "card refund, order 11", {
        "returns and allowances": 2000, "sales tax payable": 140, "card clearing": -2140}),
    (24, "refund 2", "cash refund, order 8", {"returns and allowances": 5650, "cash": -5650}),
    (25, "parcel 6", "left, order 12, parcel 6", {
        "customer prepayments": 57735, "offers and discounts": 4790, "sales": -62525,
        "cost of goods sold": 9115, "inventory": -9115, "lenses and lab work": 9000, "jobs in work": -9000}),
    (27, "money 1", "payout of the card processor", {
        "bank": 19410, "commissions and fees": 590, "card clearing": -20000}),
    (28, "money 2", "put in by the owner", {"bank": 10000, "owner contributions": -10000}),
    (29, "bill payment 6", "card payment to Harrow Row", {"bills to pay": 5000, "credit card owed": -5000}),
    (30, "movement 35", "adjusted: -1 PELLOW-52", {"stock differences": 6000, "inventory": -6000}),
    (31, "money 3", "sales tax paid to OH", {"sales tax payable": 400, "bank": -396, "other income": -4}),
)  # fmt: skip

_REVERSED = {107: 106}
POSTINGS = tuple(
    (number, date(2026, 3, day), document, memo, account, amount, _REVERSED.get(number))
    for number, (day, document, memo, touched) in enumerate(_ENTRIES, start=101)
    for account, amount in touched.items()
)
"""Entry number, day, document, memo, account, amount (debits above zero), and which entry it takes back."""

OPENING = {
    "cash": 20_000, "card clearing": 12_000, "bank": 100_000, "inventory": 36_340, "bills to pay": -4_000,
    "customer deposits": -5_000, "receivable": 5_000, "opening balances": -104_340,
    "earlier years' result": -20_000, "sales": -60_000, "rent of premises": 20_000,
}  # fmt: skip
"""What stood on the accounts before the month; together they come to zero."""
