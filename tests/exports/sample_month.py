"""An invented month: rows of every kind, their totals counted by hand, and texts that try to be formulas."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from shopledger.ledger.month import Month, MonthBook, MonthTotals, PaymentRow, SalesRow, StockRow, TaxRow

MARCH = Month(2026, 3)
NASTY = (
    '=HYPERLINK("http://example.com","look")',
    "=1+1",
    "+1 555 0142",
    "-cmd|' /C calc'!A0",
    "@SUM(A1:A9)",
    "\t=2+2",
    "\r=3+3",
    "#N/A",
    "TRUE",
    "0012",
    "2026-03-02",
    "bell \x07 and \x1b[31mred",
    "\N{FULLWIDTH EQUALS SIGN}1+1",
)
"""What a customer or an item may be called without anything happening."""

SALES = (
    SalesRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "frame", "PELLOW-52",
             "Vessamund Pellow, moss green, 52-18-140", 1, 18000, 0, 18000, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "lenses", "SV-150",
             "Clear single vision", 1, 8000, 8000, 0, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "extra", "AR-HARD",
             "Anti-reflective coating", 1, 12995, 0, 12995, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "OH", "Wren Fernhollow", "accessory", "SUN-PLANO",
             "Sunglasses without power", 1, 4500, 0, 4500, "non-prescription", 315),
    SalesRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "OH", "", "shipping", "SHIPPING", "Shipping", 1, 650, 0, 650,
             "shipping", 0),
    SalesRow(date(2026, 3, 17), 2, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "frame", "HALLOCK-55",
             "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 23950, 4790, 19160, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 17), 2, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "lenses", "PROG-18-160",
             "Wide progressive, slim", 1, 38575, 0, 38575, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 17), 2, "Ansgar Tollivane", "VT", "", "accessory", "CORD", "Glasses cord, waxed cotton", 2,
             1700, 0, 1700, "accessory", 102),
)  # fmt: skip
PAYMENTS = (
    PaymentRow(date(2026, 3, 2), 1, "Odalys Fernhollow", "card", "4242", 20000),
    PaymentRow(date(2026, 3, 5), 1, "Odalys Fernhollow", "check", "1007", 16460),
    PaymentRow(date(2026, 3, 18), 2, "Ansgar Tollivane", "transfer", "", 59537),
)
TAX = (
    TaxRow("OH", "non-prescription", 70_000, 4500, 315),
    TaxRow("OH", "prescription eyewear", 0, 30995, 0),
    TaxRow("OH", "shipping", 0, 650, 0),
    TaxRow("VT", "accessory", 60_000, 1700, 102),
    TaxRow("VT", "prescription eyewear", 0, 57735, 0),
)
STOCK = (
    StockRow("HALLOCK-55", "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 0, 1, 0, 0, 9115),
    StockRow("PELLOW-52", "Vessamund Pellow, moss green, 52-18-140", 4, 2, 1, -1, 4, 6200),
    StockRow("CORD", "Glasses cord, waxed cotton", 15, 0, 2, 0, 13, 215),
)
# Counted with pencil and paper from the rows above.
TOTALS = MonthTotals(
    orders=2, list_total=108_370, reduction_total=12_790, net_total=95_580, tax_total=417, payments_total=95_997
)
STOCK_VALUE = 27_595


def month_book(
    sales: Iterable[SalesRow] = SALES,
    payments: Iterable[PaymentRow] = PAYMENTS,
    tax: Iterable[TaxRow] = TAX,
    stock: Iterable[StockRow] = STOCK,
    totals: MonthTotals = TOTALS,
    shop_name: str = "Quillfeather Optical",
) -> MonthBook:
    """Give a month's book; its rows can be read once."""
    return MonthBook(
        month=MARCH, shop_name=shop_name, made_on=date(2026, 4, 1), ledger_head="14 entries, 9f3c2a",
        totals=totals, sales=iter(sales), payments=iter(payments), tax=iter(tax), stock=iter(stock),
    )  # fmt: skip


def nasty_book() -> MonthBook:
    """Give a month in which everybody and everything has a nasty name."""
    sales = [replace(SALES[0], customer=text, description=text, wearer=text, item_code=text) for text in NASTY]
    payments = [replace(PAYMENTS[0], customer=text, reference=text) for text in NASTY]
    stock = [replace(STOCK[0], item_code=text, description=text) for text in NASTY]
    return month_book(sales, payments, (), stock, shop_name="=1+1 & Sons")
