"""A month of the shop: its days, its totals, and what its accounts changed by.

What was taken back counts on the day it was taken back: a cancellation or refund never changes the month of the sale.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account, AccountKind
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

    def of_kind(self, kind: AccountKind) -> Cents:
        """Give the change of all accounts of a kind together."""
        return self.change(*(account for account in Account if account.kind is kind))

    @property
    def net_sales(self) -> Cents:
        """Sales and shipping income less returns, as posted."""
        return -self.change(Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.RETURNS)

    @property
    def tax_owed(self) -> Cents:
        """By how much the sales tax owed grew, as posted."""
        return -self.change(Account.SALES_TAX_PAYABLE)
