"""A month of the shop as rows: what the workbook and `month show` are made of.

The rows come ready added up from the database; nothing here holds more than one month.
"""

from __future__ import annotations

import calendar
import re
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError
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
class SalesRow:
    """One line sold in the month."""

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
class TaxRow:
    """What one state's category came to: taxable and untaxed sales, rate, tax."""

    state: str
    category: str
    rate_millionths: int
    sales: Cents
    tax: Cents


@dataclass(frozen=True, slots=True)
class StockRow:
    """One stocked item over the month: counts, and value at the cost last paid."""

    item_code: str
    description: str
    opening: int
    received: int
    sold: int
    adjusted: int
    closing: int
    unit_cost: Cents


@dataclass(frozen=True, slots=True)
class MonthTotals:
    """The ledger's own figures for the month, which the workbook's formulas must meet."""

    orders: int
    list_total: Cents
    reduction_total: Cents
    net_total: Cents
    tax_total: Cents
    payments_total: Cents


@dataclass(frozen=True, slots=True)
class MonthBook:
    """Everything the month's workbook says; the row iterators may be read once."""

    month: Month
    shop_name: str
    made_on: date
    ledger_head: str
    totals: MonthTotals
    sales: Iterator[SalesRow]
    payments: Iterator[PaymentRow]
    tax: Iterator[TaxRow]
    stock: Iterator[StockRow]
