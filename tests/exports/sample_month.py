"""An invented month: rows of every kind, their totals counted by hand, and texts that try to be formulas."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date

from shopledger.ledger.journal import Account
from shopledger.ledger.month import (
    MoneyBackCause,
    MoneyBackRow,
    Month,
    MonthBook,
    MonthPosted,
    MonthTotals,
    PaymentRow,
    RefundRow,
    SaleEvent,
    SalesRow,
    StockRow,
    TaxRow,
)

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
    SalesRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "frame", "PELLOW-52",
             "Vessamund Pellow, moss green, 52-18-140", 1, 18000, 0, 18000, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "lenses", "SV-150",
             "Clear single vision", 1, 8000, 8000, 0, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "OH", "Odalys Fernhollow", "extra", "AR-HARD",
             "Anti-reflective coating", 1, 12995, 0, 12995, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "OH", "Wren Fernhollow", "accessory", "SUN-PLANO",
             "Sunglasses without power", 1, 4500, 0, 4500, "non-prescription", 315),
    SalesRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "OH", "", "shipping", "SHIPPING", "Shipping", 1, 650, 0, 650,
             "shipping", 0),
    SalesRow(date(2026, 3, 17), 12, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "frame", "HALLOCK-55",
             "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 23950, 4790, 19160, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 17), 12, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "lenses", "PROG-18-160",
             "Wide progressive, slim", 1, 38575, 0, 38575, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 17), 12, "Ansgar Tollivane", "VT", "", "accessory", "CORD", "Glasses cord, waxed cotton", 2,
             1700, 0, 1700, "accessory", 102),
)  # fmt: skip
CANCELLED = (
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "frame", "PELLOW-52",
             "Vessamund Pellow, moss green, 52-18-140", -1, -18000, 0, -18000, "prescription eyewear", 0,
             SaleEvent.CANCELLED),
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "Ansgar Tollivane", "lenses", "SV-150",
             "Clear single vision", -1, -8000, -8000, 0, "prescription eyewear", 0, SaleEvent.CANCELLED),
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "", "accessory", "CORD", "Glasses cord, waxed cotton", -1,
             -850, 0, -850, "accessory", -51, SaleEvent.CANCELLED),
)  # fmt: skip
"""An order of February, taken back in March."""
LINES = (*SALES[:5], *CANCELLED, *SALES[5:])
REFUNDS = (
    RefundRow(date(2026, 3, 20), 11, "Odalys Fernhollow", "OH", "accessory", "Sunglasses without power",
              "non-prescription", 2000, 140, "card", "scratched, kept at a lower price", 0),
    RefundRow(date(2026, 3, 24), 8, "Ottoline Brask", "OH", "frame", "Tamsk and Ovey Hallock, tea, 55-16-140",
              "prescription eyewear", 5000, 0, "cash", "too wide", 1),
    RefundRow(date(2026, 3, 24), 8, "Ottoline Brask", "OH", "shipping", "Shipping", "shipping", 650, 0, "cash",
              "too wide", 0),
)  # fmt: skip
PAYMENTS = (
    PaymentRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "card", "4242", 20000),
    PaymentRow(date(2026, 3, 5), 11, "Odalys Fernhollow", "check", "1007", 16460),
    PaymentRow(date(2026, 3, 18), 12, "Ansgar Tollivane", "transfer", "", 59537),
)
MONEY_BACK = (
    MoneyBackRow(date(2026, 3, 10), 9, "Ansgar Tollivane", MoneyBackCause.CANCELLATION, "card", "5151", 10000),
    MoneyBackRow(date(2026, 3, 10), 9, "Ansgar Tollivane", MoneyBackCause.CANCELLATION, "check", "1003", 8901),
    MoneyBackRow(date(2026, 3, 20), 11, "Odalys Fernhollow", MoneyBackCause.REFUND, "card", "4242", 2140),
    MoneyBackRow(date(2026, 3, 24), 8, "Ottoline Brask", MoneyBackCause.REFUND, "cash", "", 5650),
)
TAX = (
    TaxRow("OH", "non-prescription", 70_000, 4500, 315, 2000, 140),
    TaxRow("OH", "prescription eyewear", 0, 30995, 0, 5000),
    TaxRow("OH", "shipping", 0, 650, 0, 650),
    TaxRow("VT", "accessory", 60_000, 1700, 102, 0, 0, 850, 51),
    TaxRow("VT", "prescription eyewear", 0, 57735, 0, 0, 0, 18000),
)
STOCK = (
    StockRow("HALLOCK-55", "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 0, 1, 0, 0, 0),
    StockRow("PELLOW-52", "Vessamund Pellow, moss green, 52-18-140", 4, 2, 1, -1, 4, 24800),
    StockRow("CORD", "Glasses cord, waxed cotton", 15, 0, 2, 0, 13, 2795),
)
# Counted with pencil and paper from the rows above.
TOTALS = MonthTotals(
    orders=2, list_total=108_370, reduction_total=12_790, net_total=95_580, tax_total=417, payments_total=95_997,
    cancellations=1, cancelled_list=26_850, cancelled_reduction=8_000, cancelled_net=18_850, cancelled_tax=51,
    repaid=18_901, refunds=2, refunded_net=7_650, refunded_tax=140,
)  # fmt: skip
POSTED = MonthPosted(
    {
        Account.SALES: -76_080,
        Account.SHIPPING_INCOME: -650,
        Account.RETURNS: 7_650,
        Account.SALES_TAX_PAYABLE: -226,
        Account.CASH: -5_650,
        Account.CARD_CLEARING: 7_860,
        Account.BANK: 67_096,
    }
)
"""Nothing is owed by customers at the month's end that was not at its beginning."""
STOCK_VALUE = 27_595


def month_book(
    sales: Iterable[SalesRow] = LINES,
    payments: Iterable[PaymentRow] = PAYMENTS,
    tax: Iterable[TaxRow] = TAX,
    stock: Iterable[StockRow] = STOCK,
    totals: MonthTotals = TOTALS,
    *,
    refunds: Iterable[RefundRow] = REFUNDS,
    money_back: Iterable[MoneyBackRow] = MONEY_BACK,
    posted: MonthPosted = POSTED,
    shop_name: str = "Quillfeather Optical",
) -> MonthBook:
    """Give a month's book; its rows can be read once."""
    return MonthBook(
        month=MARCH, shop_name=shop_name, made_on=date(2026, 4, 1), ledger_head="14 entries, 9f3c2a",
        totals=totals, posted=posted, sales=iter(sales), refunds=iter(refunds), payments=iter(payments),
        money_back=iter(money_back), tax=iter(tax), stock=iter(stock),
    )  # fmt: skip


def empty_book() -> MonthBook:
    """Give the book of a month in which nothing was."""
    nothing = MonthTotals(0, 0, 0, 0, 0, 0)
    return month_book((), (), (), (), nothing, refunds=(), money_back=(), posted=MonthPosted({}))


def nasty_book() -> MonthBook:
    """Give a month in which everybody and everything has a nasty name."""
    sales = [replace(SALES[0], customer=text, description=text, wearer=text, item_code=text) for text in NASTY]
    payments = [replace(PAYMENTS[0], customer=text, reference=text) for text in NASTY]
    stock = [replace(STOCK[0], item_code=text, description=text) for text in NASTY]
    refunds = [replace(REFUNDS[0], customer=text, description=text, reason=text) for text in NASTY]
    back = [replace(MONEY_BACK[0], customer=text, reference=text) for text in NASTY]
    return month_book(sales, payments, (), stock, refunds=refunds, money_back=back, shop_name="=1+1 & Sons")
