"""A month of the shop as rows: what the workbook and `month show` are made of.

The rows come ready added up from the database; nothing here holds more than one month. What was taken back counts on
the day it was taken back: a cancellation or refund never changes the month of the sale.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.journal import Account
from shopledger.money.amount import Cents

_MONTH: Final = re.compile(r"((?:19|20)[0-9]{2})-(0?[1-9]|1[0-2])")


@dataclass(frozen=True, slots=True, order=True)
class Month:
    """A calendar month."""

    year: int
    number: int

    @classmethod
    def read(cls, text: str) -> Month:
        """Read `2026-03`."""
        typed = _MONTH.fullmatch(text.strip())
        if typed is not None:
            return cls(int(typed[1]), int(typed[2]))
        raise RefusedError("month", f"'{text}'", "a month is YYYY-MM, as in 2026-03", "Type it so.")

    @property
    def first(self) -> date:
        """Its first day."""
        return date(self.year, self.number, 1)

    @property
    def last(self) -> date:
        """Its last day."""
        return date(self.year, self.number, calendar.monthrange(self.year, self.number)[1])

    def __str__(self) -> str:
        """YYYY-MM."""
        return f"{self.year:04d}-{self.number:02d}"


class SaleEvent(Enum):
    """Whether a line was sold, or taken back whole with its order."""

    SOLD = "sold"
    CANCELLED = "cancelled"


class MoneyBackCause(Enum):
    """Why money went back to a customer."""

    REFUND = "refund"
    CANCELLATION = "cancellation"


@dataclass(frozen=True, slots=True)
class SalesRow:
    """One line sold in the month, or the same line below nought on the day its order was cancelled."""

    day: date
    order_number: int
    customer: str
    state: str
    wearer: str
    kind: str
    item_code: str
    description: str
    quantity: int
    list_price: Cents
    reduction: Cents
    net: Cents
    tax_category: str
    tax: Cents
    event: SaleEvent = SaleEvent.SOLD


@dataclass(frozen=True, slots=True)
class RefundRow:
    """What one line of an order gave back in the month, and how many of its goods came back."""

    day: date
    order_number: int
    customer: str
    state: str
    kind: str
    description: str
    tax_category: str
    net: Cents
    tax: Cents
    method: str
    reason: str
    returned: int


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """One payment received in the month."""

    day: date
    order_number: int
    customer: str
    method: str
    reference: str
    amount: Cents


@dataclass(frozen=True, slots=True)
class MoneyBackRow:
    """Money given back in the month: one refund, or one payment of a cancelled order."""

    day: date
    order_number: int
    customer: str
    cause: MoneyBackCause
    method: str
    reference: str
    amount: Cents


@dataclass(frozen=True, slots=True)
class TaxRow:
    """What one state's category came to at one rate: sold, refunded and cancelled, each with its tax."""

    state: str
    category: str
    rate_millionths: int
    sales: Cents
    tax: Cents
    refunds: Cents = 0
    refunds_tax: Cents = 0
    cancellations: Cents = 0
    cancellations_tax: Cents = 0

    @property
    def net_sales(self) -> Cents:
        """Sales less what was refunded and cancelled."""
        return self.sales - self.refunds - self.cancellations

    @property
    def taxable(self) -> Cents:
        """The part of the net sales on which tax is due: all of it, or nothing where the rate is nought."""
        return self.net_sales if self.rate_millionths else 0

    @property
    def net_tax(self) -> Cents:
        """Tax charged less that on what was refunded and cancelled."""
        return self.tax - self.refunds_tax - self.cancellations_tax


@dataclass(frozen=True, slots=True)
class StockRow:
    """One stocked item over the month: counts, and what is on hand at its end cost (first in, first out)."""

    item_code: str
    description: str
    opening: int
    received: int
    sold: int
    adjusted: int
    closing: int
    value: Cents


@dataclass(frozen=True, slots=True)
class MonthTotals:
    """The ledger's own figures for the month, which the workbook's formulas must meet.

    The first six are what was sold and paid, whatever became of it; what was taken back in the month stands beside it.
    """

    orders: int
    list_total: Cents
    reduction_total: Cents
    net_total: Cents
    tax_total: Cents
    payments_total: Cents
    cancellations: int = 0
    cancelled_list: Cents = 0
    cancelled_reduction: Cents = 0
    cancelled_net: Cents = 0
    cancelled_tax: Cents = 0
    repaid: Cents = 0
    """Payments of cancelled orders, paid back."""
    refunds: int = 0
    refunded_net: Cents = 0
    refunded_tax: Cents = 0

    @property
    def net_kept(self) -> Cents:
        """Net sales less cancellations and refunds."""
        return self.net_total - self.cancelled_net - self.refunded_net

    @property
    def tax_kept(self) -> Cents:
        """Sales tax less that of cancellations and refunds."""
        return self.tax_total - self.cancelled_tax - self.refunded_tax

    @property
    def money_back(self) -> Cents:
        """What customers got back, by refunds and by cancellations."""
        return self.repaid + self.refunded_net + self.refunded_tax

    @property
    def money_kept(self) -> Cents:
        """Payments received less money given back."""
        return self.payments_total - self.money_back


@dataclass(frozen=True, slots=True)
class MonthPosted:
    """What the journal's accounts changed by in the month: debits less credits."""

    changes: Mapping[Account, Cents]

    def change(self, *accounts: Account) -> Cents:
        """Give the change of these accounts together."""
        return sum(self.changes.get(account, 0) for account in accounts)

    @property
    def net_sales(self) -> Cents:
        """Sales and shipping income less returns, as posted."""
        return -self.change(Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.RETURNS)

    @property
    def tax_owed(self) -> Cents:
        """By how much the sales tax owed grew, as posted."""
        return -self.change(Account.SALES_TAX_PAYABLE)


@dataclass(frozen=True, slots=True)
class MonthBook:
    """Everything the month's workbook says; the row iterators may be read once."""

    month: Month
    shop_name: str
    made_on: date
    ledger_head: str
    totals: MonthTotals
    posted: MonthPosted
    sales: Iterator[SalesRow]
    refunds: Iterator[RefundRow]
    payments: Iterator[PaymentRow]
    money_back: Iterator[MoneyBackRow]
    tax: Iterator[TaxRow]
    stock: Iterator[StockRow]
