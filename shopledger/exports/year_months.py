"""Twelve months side by side: one row for each account, a column for each month and one for the year."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from typing import Final

import pandas as pd
from openpyxl.utils import get_column_letter

from shopledger.exports.columns import Kind
from shopledger.exports.year_grid import Formula, Grid, Heading
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.year import YearFigures
from shopledger.money.amount import Cents

TITLE: Final = "Months"
YEAR: Final = "N"
"""The column of the whole year."""

SALES: Final = (
    (Account.SALES, "Gross sales, at list price"),
    (Account.DISCOUNTS, "Offers and discounts"),
    (Account.SHIPPING_INCOME, "Shipping charged"),
    (Account.SELLERS_TAX_CHARGED, "Sales tax laid on the shop, charged"),
    (Account.RETURNS, "Returns and allowances"),
)
COSTS: Final = tuple(account for account in Account if account.kind is AccountKind.COST)
EXPENSES: Final = tuple(account for account in Account if account.kind is AccountKind.EXPENSE)

_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")
Months = Sequence[Cents]
"""What something came to in each of the twelve months."""


def months_grid(figures: YearFigures) -> Grid:
    """Give the sheet of the twelve months."""
    headings = (Heading("Line", 37, Kind.TEXT), *(Heading(name, 12.5) for name in _NAMES), Heading("Year", 14.5))
    grid = Grid(TITLE, "YearMonths", headings, landscape=True, one_page=True)
    by_account = account_months(figures)
    sales = [_row(grid, words, _turned(by_account[account]), account.title) for account, words in SALES]
    net = _sum(grid, "Net sales", "net sales", f"SUM({{{SALES[0][0].title}}}:{{{SALES[-1][0].title}}})", _added(sales))
    charged = [figures.tax_charged.get(month, 0) for month in figures.year.months]
    _row(grid, "Sales tax for the states (no income)", charged, "tax charged")
    costs = [_row(grid, account.title.capitalize(), by_account[account], account.title) for account in COSTS]
    cost = _sum(grid, "Cost of goods", "cost", f"SUM({{{COSTS[0].title}}}:{{{COSTS[-1].title}}})", _added(costs))
    gross = _sum(grid, "Gross profit", "gross profit", "{net sales}-{cost}", _less(net, cost))
    other = _row(grid, "Other income", _turned(by_account[Account.OTHER_INCOME]), Account.OTHER_INCOME.title)
    spent = [_row(grid, account.title.capitalize(), by_account[account], account.title) for account in EXPENSES]
    range_of_expenses = f"SUM({{{EXPENSES[0].title}}}:{{{EXPENSES[-1].title}}})"
    expenses = _sum(grid, "Expenses", "expenses", range_of_expenses, _added(spent))
    result = "{gross profit}+{other income}-{expenses}"
    _sum(grid, "Result, on accrual", "result", result, _less(_added([gross, other]), expenses))
    return grid


def account_months(figures: YearFigures) -> Mapping[Account, Months]:
    """Give what each account changed by in each month, as a table turned from the rows of the journal."""
    rows = [
        (account.title, month.number, amount)
        for month in figures.year.months
        for account, amount in figures.in_month(month).items()
    ]
    titles = [account.title for account in Account]
    if not rows:
        return {account: [0] * len(_NAMES) for account in Account}
    posted = pd.DataFrame(rows, columns=["account", "month", "amount"])
    table = posted.pivot_table(index="account", columns="month", values="amount", aggfunc="sum", fill_value=0)
    whole = table.reindex(index=titles, columns=range(1, len(_NAMES) + 1), fill_value=0).astype("int64")
    turned: list[list[int]] = whole.to_numpy().tolist()
    return dict(zip(Account, turned, strict=True))


def _row(grid: Grid, words: str, months: Months, name: str) -> Months:
    """Add a row of plain figures with their sum; a month without any stays empty."""
    last = get_column_letter(len(_NAMES) + 1)
    total = Formula(f"SUM(B{{#}}:{last}{{#}})", sum(months))
    grid.add(words, *(amount or None for amount in months), total, name=name)
    return months


def _sum(grid: Grid, words: str, name: str, formula: str, months: Months) -> Months:
    """Add a row that is worked out from others, month by month and for the year."""
    cells = [Formula(formula, amount) for amount in (*months, sum(months))]
    grid.add(words, *cells, name=name, strong=True)
    return months


def _turned(months: Months) -> Months:
    return [-amount for amount in months]


def _added(parts: Sequence[Months]) -> Months:
    return [sum(amounts) for amounts in zip(*parts, strict=True)]


def _less(whole: Months, part: Months) -> Months:
    return [amount - less for amount, less in zip(whole, part, strict=True)]
