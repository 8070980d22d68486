"""The lists of a year, declared: stock by lot, sales by state, customers, and what was spent by heading and payee."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Final

from shopledger.exports.columns import Column, Kind, Sheet
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.month_rows import TaxRow
from shopledger.ledger.books.payee_forms import reportable
from shopledger.ledger.books.year import CustomerRow, LotRow, MoneyEvent, PayeeRow, YearBook
from shopledger.ledger.stock import StockReason
from shopledger.money.rate import round_half_away

LOTS: Final[Sheet[LotRow]] = Sheet(
    "Inventory",
    "YearLots",
    (
        Column("Lot", lambda row: str(row.lot), "Number of the movement that brought the goods in.", 9),
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

STATES: Final[Sheet[TaxRow]] = Sheet(
    "States",
    "YearStates",
    (
        Column("State", lambda row: row.state, "State the orders were shipped to.", 7),
        Column("Tax category", lambda row: row.category, "What the lines are for the sales tax.", 21),
        Column("Rate", lambda row: row.rate_millionths, "Rate on the orders, as the owner had set it.", 9, Kind.RATE),
        Column("Laid on", lambda row: row.imposed_on, "Whom the state taxes: the buyer or the seller.", 9),
        Column("Sales", lambda row: row.sales, "Net charges sold in the year.", 14, Kind.MONEY, total=True),
        Column("Refunds", lambda row: row.refunds, "Net charges refunded.", 12, Kind.MONEY, total=True),
        Column("Cancellations", lambda row: row.cancellations, "Net charges of cancelled orders.", 13, Kind.MONEY,
               total=True),
        Column("Net sales", lambda row: row.net_sales, "Sales less refunds and cancellations.", 14, Kind.MONEY,
               total=True),
        Column("Taxable", lambda row: row.taxable, "Net sales at a rate above nought.", 14, Kind.MONEY, total=True),
        Column("Exempt", lambda row: row.exempt, "Net sales without tax.", 14, Kind.MONEY, total=True),
        Column("Reason", lambda row: row.exempt_reason or ("none given" if row.exempt else ""),
               "Why no tax was charged, as the owner gave it.", 26),
        Column("Tax", lambda row: row.net_tax, "Tax charged less that on refunds and cancellations.", 12, Kind.MONEY,
               total=True),
    ),
    landscape=True,
)  # fmt: skip

CUSTOMERS: Final[Sheet[CustomerRow]] = Sheet(
    "Customers",
    "YearCustomers",
    (
        Column("Number", lambda row: str(row.number), "Number of the customer.", 9),
        Column("Customer", lambda row: row.name, "Who ordered and pays.", 34),
        Column("State", lambda row: row.state, "State of the customer's address now.", 7),
        Column("Orders", lambda row: row.orders, "Orders of the year less those cancelled.", 8, Kind.COUNT, total=True),
        Column("Sales", lambda row: row.sales, "Net charges sold in the year.", 14, Kind.MONEY, total=True),
        Column("Refunds", lambda row: row.refunds, "Net charges refunded.", 12, Kind.MONEY, total=True),
        Column("Cancellations", lambda row: row.cancellations, "Net charges of cancelled orders.", 13, Kind.MONEY,
               total=True),
        Column("Net sales", lambda row: row.net_sales, "Sales less refunds and cancellations.", 14, Kind.MONEY,
               total=True),
    ),
)  # fmt: skip

_BY_TITLE: Final = {account.title: account for account in Account}


def expenses_sheet(book: YearBook) -> Sheet[PayeeRow]:
    """Give the sheet of what was spent; which payees are marked depends on what the whole year paid them."""
    forms: Mapping[tuple[str, str], str] = reportable(book.year, book.payees)
    return Sheet(
        "Expenses",
        "YearExpenses",
        (
            Column("Category", lambda row: row.category, "The heading in the books.", 29),
            Column("Line", lambda row: _BY_TITLE[row.category].schedule_c, "Line of Schedule C.", 7),
            Column("Payee", lambda row: row.payee, "Who was paid.", 34),
            Column("Count", lambda row: row.count, "How many expenses and bill lines.", 8, Kind.COUNT, total=True),
            Column("Amount", lambda row: row.amount, "What it came to, paid or not.", 14, Kind.MONEY, total=True),
            Column("Paid not by card", lambda row: row.paid_not_by_card,
                   "What of it was paid in the year by cash, bank or the owner.", 14, Kind.MONEY, total=True),
            Column("To report", lambda row: forms.get((row.category, row.payee), ""),
                   "The form that may be due for this payee; see the Notes.", 12),
        ),
    )  # fmt: skip


def spent(book: YearBook) -> Iterator[PayeeRow]:
    """Give what was spent, with what no payee was paid for: fees kept, goods given away, tax laid on the shop."""
    yield from book.payees
    payouts = list(book.figures.of([MoneyEvent.PAYOUT]))
    given = -book.figures.goods.get(StockReason.GIVEN, 0)
    seller = -book.figures.change(Account.SELLERS_TAX_CHARGED)
    for account, payee, count, amount in (
        (Account.FEES, "(kept by the card processor)", sum(row.count for row in payouts),
         sum(row.fee for row in payouts)),
        (Account.SAMPLES, "(goods given away, at cost)", 0, given),
        (Account.TAXES, "(sales tax laid on the shop)", 0, seller),
    ):  # fmt: skip
        if amount:
            yield PayeeRow(account.title, payee, count, amount)
