"""An invented month: rows of every kind, their totals counted by hand, and texts that try to be formulas."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import replace
from datetime import date
from typing import Any, TypeVar

from shopledger.ledger.books.customer_rows import (
    DepositEvent,
    DepositRow,
    MoneyBackCause,
    MoneyBackRow,
    PaymentRow,
    RefundRow,
    SaleEvent,
    SalesRow,
    TaxRow,
)
from shopledger.ledger.books.figures import PeriodFigures, PeriodMoney, PeriodPosted, PeriodTotals
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoveKind
from shopledger.ledger.books.open_rows import OpenKind, OpenRow
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.posted_rows import GoodsCostRow, JournalRow, MovementRow, StockRow, TrialRow
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.books.spending_rows import BillEvent, BillEventRow, ExpenseRow, ExpenseSource, MoneyMoveRow
from shopledger.ledger.settings import Accounting
from tests.exports.sample_postings import OPENING, POSTINGS

R = TypeVar("R")

MARCH = Period.of_month(2026, 3)
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
    SalesRow(date(2026, 3, 12), 11, "Odalys Fernhollow", "OH", "frame", "PELLOW-52",
             "Vessamund Pellow, moss green, 52-18-140", 1, 18000, 0, 18000, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 12), 11, "Odalys Fernhollow", "OH", "lenses", "SV-150",
             "Clear single vision", 1, 8000, 8000, 0, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 12), 11, "Odalys Fernhollow", "OH", "extra", "AR-HARD",
             "Anti-reflective coating", 1, 12995, 0, 12995, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 12), 11, "Odalys Fernhollow", "OH", "accessory", "SUN-PLANO",
             "Sunglasses without power", 1, 4500, 0, 4500, "non-prescription", 315),
    SalesRow(date(2026, 3, 12), 11, "Odalys Fernhollow", "OH", "shipping", "SHIPPING", "Shipping", 1, 650, 0, 650,
             "shipping", 0),
    SalesRow(date(2026, 3, 25), 12, "Ansgar Tollivane", "VT", "frame", "HALLOCK-55",
             "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 23950, 4790, 19160, "prescription eyewear", 0),
    SalesRow(date(2026, 3, 25), 12, "Ansgar Tollivane", "VT", "lenses", "PROG-18-160",
             "Wide progressive, slim", 1, 38575, 0, 38575, "prescription eyewear", 0),
)  # fmt: skip
"""Order 11 was recorded on the 2nd and left on the 12th; the glasses of order 12 left on the 25th, its two cords, 17.00
with 1.02 of tax, are still here."""
CANCELLED = (
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "frame", "PELLOW-52",
             "Vessamund Pellow, moss green, 52-18-140", -1, -18000, 0, -18000, "prescription eyewear", 0,
             SaleEvent.CANCELLED),
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "lenses", "SV-150",
             "Clear single vision", -1, -8000, -8000, 0, "prescription eyewear", 0, SaleEvent.CANCELLED),
    SalesRow(date(2026, 3, 10), 9, "Ansgar Tollivane", "VT", "accessory", "CORD", "Glasses cord, waxed cotton", -1,
             -850, 0, -850, "accessory", -51, SaleEvent.CANCELLED),
)  # fmt: skip
"""An order of February, which counted when it was recorded, taken back in March."""
LINES = (*CANCELLED, *SALES)
REFUNDS = (
    RefundRow(date(2026, 3, 20), 11, "Odalys Fernhollow", "OH", "accessory", "Sunglasses without power",
              "non-prescription", 2000, 140, "card", "scratched, kept at a lower price", 0),
    RefundRow(date(2026, 3, 24), 8, "Ottoline Brask", "OH", "frame", "Tamsk and Ovey Hallock, tea, 55-16-140",
              "prescription eyewear", 5000, 0, "cash", "too wide", 1),
    RefundRow(date(2026, 3, 24), 8, "Ottoline Brask", "OH", "shipping", "Shipping", "shipping", 650, 0, "cash",
              "too wide", 0),
)  # fmt: skip
PAYMENTS = (
    PaymentRow(date(2026, 3, 2), 11, "Odalys Fernhollow", "card", "4242", 20000, None, 173),
    PaymentRow(date(2026, 3, 5), 11, "Odalys Fernhollow", "check", "1007", 16460, None, 142),
    PaymentRow(date(2026, 3, 18), 12, "Ansgar Tollivane", "transfer", "", 54537, None, 93),
    PaymentRow(date(2026, 3, 18), 12, "Ansgar Tollivane", "check", "988", 5000, 1, 9),
)
"""Order 11 comes to 364.60 with 3.15 of tax, order 12 to 595.37 with 1.02."""
MONEY_BACK = (
    MoneyBackRow(date(2026, 3, 10), 9, "Ansgar Tollivane", MoneyBackCause.CANCELLATION, "card", "5151", 10000, 0, 27),
    MoneyBackRow(date(2026, 3, 10), 9, "Ansgar Tollivane", MoneyBackCause.CANCELLATION, "check", "1003", 8901, 0, 24),
    MoneyBackRow(date(2026, 3, 20), 11, "Odalys Fernhollow", MoneyBackCause.REFUND, "card", "4242", 2140, 0, 140),
    MoneyBackRow(date(2026, 3, 24), 8, "Ottoline Brask", MoneyBackCause.REFUND, "cash", "", 5650),
)
DEPOSITS = (
    DepositRow(None, 1, "Ansgar Tollivane", DepositEvent.BEFORE, None, "", "", before=5000),
    DepositRow(date(2026, 3, 6), 2, "Ottoline Brask", DepositEvent.TAKEN, None, "cash", "", taken=3000),
    DepositRow(date(2026, 3, 18), 1, "Ansgar Tollivane", DepositEvent.USED, 12, "", "", used=5000),
)
TAX = (
    TaxRow("OH", "non-prescription", 70_000, 4500, 315, 2000, 140),
    TaxRow("OH", "prescription eyewear", 0, 30995, 0, 5000),
    TaxRow("OH", "shipping", 0, 650, 0, 650),
    TaxRow("VT", "accessory", 60_000, 0, 0, 0, 0, 850, 51),
    TaxRow("VT", "prescription eyewear", 0, 57735, 0, 0, 0, 18000),
)
MOVEMENTS = (
    MovementRow(date(2026, 3, 4), 31, "frame", "PELLOW-52", "received", 2, 12400, bill_number=3),
    MovementRow(date(2026, 3, 12), 32, "frame", "PELLOW-52", "sold", -1, -6000, 11, 20),
    MovementRow(date(2026, 3, 25), 33, "frame", "HALLOCK-55", "sold", -1, -9115, 12, 21),
    MovementRow(date(2026, 3, 30), 35, "frame", "PELLOW-52", "adjusted", -1, -6000, note="not on the shelf"),
)
STOCK = (
    StockRow("HALLOCK-55", "Tamsk and Ovey Hallock, tea, 55-16-140", 1, 9115, went=1, went_value=9115),
    StockRow("PELLOW-52", "Vessamund Pellow, moss green, 52-18-140", 4, 24000, 2, 12400, 1, 6000, -1, -6000),
    StockRow("CORD", "Glasses cord, waxed cotton", 15, 3225),
)
GOODS_COST = (
    GoodsCostRow(date(2026, 3, 12), "cost of goods sold", "shipped", 11, 20, "PELLOW-52", 4, date(2026, 1, 9), 1, 6000),
    GoodsCostRow(date(2026, 3, 12), "lenses and lab work", "parcel 5", 11, cost=2500),
    GoodsCostRow(
        date(2026, 3, 25), "cost of goods sold", "shipped", 12, 21, "HALLOCK-55", 5, date(2026, 1, 9), 1, 9115
    ),
    GoodsCostRow(date(2026, 3, 25), "lenses and lab work", "parcel 6", 12, cost=9000),
    GoodsCostRow(date(2026, 3, 30), "stock differences", "movement 35", item_code="PELLOW-52", quantity=1, cost=6000),
)
EXPENSES = (
    ExpenseRow(date(2026, 3, 3), "expense 1", ExpenseSource.PAID, "Alder Row Estates", "rent for March",
               Account.RENT, "bank", "M-17", "ab" * 32, 85000),
    ExpenseRow(date(2026, 3, 4), "bill 3", ExpenseSource.BILLED, "Harrow Row", "labels",
               Account.OFFICE, "", "H-7", None, 1500),
    ExpenseRow(date(2026, 3, 8), "expense 2", ExpenseSource.PAID, "Bench and Bit", "screws",
               Account.SUPPLIES, "cash", "", None, 1999),
    ExpenseRow(date(2026, 3, 9), "expense 2", ExpenseSource.PAID, "Bench and Bit", "screws",
               Account.SUPPLIES, "cash", "", None, -1999),
    ExpenseRow(date(2026, 3, 19), "expense 3", ExpenseSource.PAID, "Quire Hosting", "web shop",
               Account.SOFTWARE, "owner", "", None, 2900),
    ExpenseRow(date(2026, 3, 27), "money 1", ExpenseSource.FEE, "card processor", "fee",
               Account.FEES, "", "P-3", None, 590),
)  # fmt: skip
BILLS = (
    BillEventRow(None, 2, "Harrow Row", "H-5", date(2026, 3, 10), BillEvent.BEFORE, before=4000),
    BillEventRow(date(2026, 3, 4), 3, "Harrow Row", "H-7", None, BillEvent.BILLED, "goods", "PELLOW-52", billed=12400),
    BillEventRow(date(2026, 3, 4), 3, "Harrow Row", "H-7", None, BillEvent.BILLED, "job", "job 20", billed=2500),
    BillEventRow(date(2026, 3, 4), 3, "Harrow Row", "H-7", None, BillEvent.BILLED, "job", "job 21", billed=9000),
    BillEventRow(date(2026, 3, 4), 3, "Harrow Row", "H-7", None, BillEvent.BILLED, "expense", "office expense",
                 billed=1500),
    BillEventRow(date(2026, 3, 9), 2, "Harrow Row", "H-5", date(2026, 3, 10), BillEvent.PAID, "", "T-1", "bank",
                 paid=4000),
    BillEventRow(date(2026, 3, 29), 3, "Harrow Row", "H-7", None, BillEvent.PAID, "", "", "card", paid=5000),
)  # fmt: skip
OPEN = (
    OpenRow(OpenKind.SOLD, 13, date(2026, 3, 30), "Ottoline Brask", "nothing was sent", 18000, 0, 0, 18000),
    OpenRow(OpenKind.PAID, 12, date(2026, 3, 17), "Ansgar Tollivane", "a part was sent", 59537, 59537, 57735, 1700),
    OpenRow(OpenKind.SHIPPED, 7, date(2026, 2, 11), "Odalys Fernhollow", "all of it was sent", 9000, 4000, 9000),
    OpenRow(OpenKind.BILL, 3, date(2026, 3, 4), "Harrow Row", "H-7", 20400, 0),
    OpenRow(OpenKind.DEPOSIT, 2, date(2026, 3, 6), "Ottoline Brask", "cash", 3000, 0),
    OpenRow(OpenKind.DRAFT, 4, date(2026, 3, 30), "Ottoline Brask", "asks her husband first", 0, 0),
)
"""Of order 12 the cords are paid ahead; order 7 left in February; bill 3 came to 254.00, of which 50.00 were paid."""
MONEY_MOVES = (
    MoneyMoveRow(date(2026, 3, 27), 1, MoveKind.PAYOUT, CashAccount.BANK, "", "P-3", "", 20000, 590),
    MoneyMoveRow(date(2026, 3, 28), 2, MoveKind.CONTRIBUTION, CashAccount.BANK, "", "", "", 10000, 0),
    MoneyMoveRow(date(2026, 3, 31), 3, MoveKind.TAX_PAID, CashAccount.BANK, "OH", "Q1", "", 400, 4),
)
JOURNAL = tuple(JournalRow(*posting) for posting in POSTINGS)


def trial_rows() -> tuple[TrialRow, ...]:
    """Add the postings up by account, beside what stood there before."""
    titles = dict.fromkeys((*OPENING, *(row.account for row in JOURNAL)))
    kinds = {account.title: (account.kind.value, account.schedule_c) for account in Account}
    return tuple(
        TrialRow(
            title,
            *kinds.get(title, ("equity", "")),
            opening=OPENING.get(title, 0),
            debits=sum(row.amount for row in JOURNAL if row.account == title and row.amount > 0),
            credits=-sum(row.amount for row in JOURNAL if row.account == title and row.amount < 0),
        )
        for title in titles
    )


# Counted with pencil and paper from the rows above.
TOTALS = PeriodTotals(
    orders=3, list_total=106_670, reduction_total=12_790, net_total=93_880, tax_total=315, payments_total=95_997,
    cancellations=1, cancelled_list=26_850, cancelled_reduction=8_000, cancelled_net=18_850, cancelled_tax=51,
    repaid=18_901, refunds=2, refunded_net=7_650, refunded_tax=140, refunded=7_790,
)  # fmt: skip
POSTED = PeriodPosted(
    {
        Account.SALES: -79_170,
        Account.DISCOUNTS: 4_790,
        Account.SHIPPING_INCOME: -650,
        Account.RETURNS: 7_650,
        Account.SALES_TAX_PAYABLE: 276,
        Account.PREPAYMENTS: -1_802,
        Account.CASH: -2_650,
        Account.CARD_CLEARING: -12_140,
        Account.BANK: 2_110,
        Account.INVENTORY: -8_715,
        Account.ACCOUNTS_PAYABLE: -16_400,
        Account.CREDIT_CARD: -5_000,
        Account.CONTRIBUTIONS: -12_900,
        Account.CUSTOMER_DEPOSITS: 2_000,
        Account.OTHER_INCOME: -4,
        Account.COST_OF_GOODS: 15_115,
        Account.LENSES: 11_500,
        Account.STOCK_DIFFERENCES: 6_000,
        Account.OFFICE: 1_500,
        Account.RENT: 85_000,
        Account.SOFTWARE: 2_900,
        Account.FEES: 590,
    }
)
"""Nothing more is owed by customers at the month's end than at its beginning; the cords of order 12 are paid ahead."""
MONEY = PeriodMoney(
    received=90_997, from_deposits=5_000, received_tax=417, given_back=26_691, given_back_tax=191, deposits_taken=3_000,
    expenses=87_900, bills_paid=9_000, fees=590, tax_paid=400, tax_kept=4,
)  # fmt: skip
ACCRUAL_RESULT, CASH_RESULT = -55_221, -30_406
"""673.80 + 0.04 - 326.15 - 899.90, and 640.80 + 30.00 + 0.04 - 884.90 - 90.00."""
STOCK_VALUE = 27_625
FIGURES = PeriodFigures(TOTALS, POSTED, MONEY)


SHOWN: Mapping[type[Any], Sequence[Any]] = {
    SalesRow: LINES, PaymentRow: PAYMENTS, RefundRow: REFUNDS, MoneyBackRow: MONEY_BACK, TaxRow: TAX,
    DepositRow: DEPOSITS, MovementRow: MOVEMENTS, StockRow: STOCK, GoodsCostRow: GOODS_COST, ExpenseRow: EXPENSES,
    BillEventRow: BILLS, MoneyMoveRow: MONEY_MOVES, JournalRow: JOURNAL, TrialRow: trial_rows(),
    OpenRow: OPEN,
}  # fmt: skip
"""The rows of the month, by their record."""


def month_report(
    changed: Mapping[type[Any], Iterable[Any]] | None = None,
    *,
    posted: PeriodPosted = POSTED,
    shop_name: str = "Quillfeather Optical",
    accounting: Accounting = Accounting.ACCRUAL,
) -> PeriodReport:
    """Give a month's report, some of its rows changed; they can be read once."""
    rows = {record: iter(each) for record, each in {**SHOWN, **(changed or {})}.items()}
    return PeriodReport(
        period=MARCH, shop_name=shop_name, ein="12-3456789", as_of=date(2026, 4, 1), ledger_head="14 entries, 9f3c2a",
        state="The month is open: more may be recorded in it.", accounting=accounting,
        figures=replace(FIGURES, posted=posted), rows=rows.__getitem__,
    )  # fmt: skip


def empty_report() -> PeriodReport:
    """Give the report on a month in which nothing was."""
    nothing = PeriodFigures(PeriodTotals(0, 0, 0, 0, 0, 0), PeriodPosted({}), PeriodMoney())
    empty = month_report(dict.fromkeys(SHOWN, ()), accounting=Accounting.CASH)
    return replace(empty, state="The month is open.", figures=nothing)


def nasty_report() -> PeriodReport:
    """Give a month in which everybody and everything has a nasty name."""

    def named(row: R, *fields: str) -> list[R]:
        return [replace(row, **dict.fromkeys(fields, text)) for text in NASTY]  # type: ignore[type-var]

    changed: dict[type[Any], Iterable[Any]] = {
        SalesRow: named(SALES[0], "customer", "description", "item_code"),
        PaymentRow: named(PAYMENTS[0], "customer", "reference"),
        RefundRow: named(REFUNDS[0], "customer", "description", "reason"),
        MoneyBackRow: named(MONEY_BACK[0], "customer", "reference"),
        TaxRow: (),
        DepositRow: named(DEPOSITS[1], "customer", "reference"),
        MovementRow: named(MOVEMENTS[0], "item_code", "note"),
        StockRow: named(STOCK[0], "item_code", "description"),
        GoodsCostRow: named(GOODS_COST[0], "item_code"),
        ExpenseRow: named(EXPENSES[0], "payee", "description", "reference"),
        BillEventRow: named(BILLS[1], "supplier", "invoice", "about"),
        MoneyMoveRow: named(MONEY_MOVES[0], "reference", "note"),
        JournalRow: named(JOURNAL[0], "memo"),
        OpenRow: named(OPEN[0], "who", "about"),
    }
    return month_report(changed, shop_name="=1+1 & Sons")
