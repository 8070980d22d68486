"""What a month's workbook and its CSV files hold: each declared sheet with its rows, in the order they are read."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from typing import Any, Generic, TypeVar

from shopledger.exports.columns import Sheet
from shopledger.exports.month_books_sheets import JOURNAL, TRIAL
from shopledger.exports.month_goods_sheets import GOODS_COST, MOVEMENTS, STOCK
from shopledger.exports.month_sheets import MONEY_BACK, PAYMENTS, REFUNDS, TAX, sales_sheet
from shopledger.exports.month_spending_sheets import BILLS, DEPOSITS, EXPENSES, MONEY_MOVES
from shopledger.ledger.books.month_book import MonthBook

R = TypeVar("R")


@dataclass(frozen=True, slots=True)
class Content(Generic[R]):
    """A sheet and its rows, which may be read once."""

    sheet: Sheet[R]
    rows: Iterable[R]


def contents(book: MonthBook) -> tuple[Content[Any], ...]:
    """Give every sheet of rows with its rows."""
    return (
        Content(sales_sheet(), book.sales),
        Content(PAYMENTS, book.payments),
        Content(REFUNDS, book.refunds),
        Content(MONEY_BACK, book.money_back),
        Content(TAX, book.tax),
        Content(DEPOSITS, book.deposits),
        Content(MOVEMENTS, book.movements),
        Content(STOCK, book.stock),
        Content(GOODS_COST, book.goods_cost),
        Content(EXPENSES, book.expenses),
        Content(BILLS, book.bills),
        Content(MONEY_MOVES, book.money_moves),
        Content(JOURNAL, book.journal),
        Content(TRIAL, book.trial),
    )
