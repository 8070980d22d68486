"""Twelve months side by side: one row for each account, a column for each month and one for the year."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from shopledger.exports.sheets import Formula, Grid, Heading, Kind, RowLook
from shopledger.exports.year_tables import Months, accounts_by_month
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.year import YearFigures

TITLE: Final = "Months"
SALES: Final = (
    (Account.SALES, "Gross sales, at list price"),
    (Account.DISCOUNTS, "Offers and discounts"),
    (Account.SHIPPING_INCOME, "Shipping charged"),
    (Account.SELLERS_TAX_CHARGED, "Sales tax laid on the shop, charged"),
    (Account.RETURNS, "Returns and allowances"),
)
_COSTS: Final = tuple(account for account in Account if account.kind is AccountKind.COST)
_EXPENSES: Final = tuple(account for account in Account if account.kind is AccountKind.EXPENSE)
_NAMES: Final = ("Jan", "Feb", "Mar", "Apr", "May", "Jun", "Jul", "Aug", "Sep", "Oct", "Nov", "Dec")


class MonthsGrid:
    """A sheet with a column for each of the twelve months and one for the year, from B to N."""

    def __init__(self, title: str, table: str, width: float) -> None:
        headings = (Heading("Line", width, Kind.TEXT), *(Heading(name, 12.5) for name in _NAMES), Heading("Year", 14.5))
        self.grid = Grid(title, headings, table, landscape=True, one_page=True)

    def row(self, words: str, name: str, months: Months) -> Months:
        """Add a row of plain figures with their sum; a month without any stays empty."""
        total = Formula("SUM(B{#}:M{#})", sum(months))
        self.grid.add(words, *(amount or None for amount in months), total, name=name)
        return months

    def sum(self, words: str, name: str, formula: str, months: Months) -> Months:
        """Add a row that is worked out from others, month by month and for the year."""
        cells = [Formula(formula, amount) for amount in (*months, sum(months))]
        self.grid.add(words, *cells, name=name, look=RowLook.TOTAL)
        return months


def months_grid(figures: YearFigures) -> Grid:
    """Give the sheet of the twelve months."""
    sheet = MonthsGrid(TITLE, "YearMonths", 37)
    by_account = accounts_by_month(figures)

    def listed(accounts: Iterable[Account]) -> Months:
        rows = [sheet.row(each.title.capitalize(), each.title, by_account[each]) for each in accounts]
        return added(*rows)

    def summed(accounts: tuple[Account, ...]) -> str:
        return f"SUM({{{accounts[0].title}}}:{{{accounts[-1].title}}})"

    sales = [sheet.row(words, account.title, turned(by_account[account])) for account, words in SALES]
    net = sheet.sum("Net sales", "net sales", summed(tuple(account for account, _ in SALES)), added(*sales))
    charged = [figures.tax_charged.get(month, 0) for month in figures.year.months]
    sheet.row("Sales tax for the states (no income)", "tax charged", charged)
    cost = sheet.sum("Cost of goods", "cost", summed(_COSTS), listed(_COSTS))
    gross = sheet.sum("Gross profit", "gross profit", "{net sales}-{cost}", added(net, turned(cost)))
    other = sheet.row("Other income", Account.OTHER_INCOME.title, turned(by_account[Account.OTHER_INCOME]))
    expenses = sheet.sum("Expenses", "expenses", summed(_EXPENSES), listed(_EXPENSES))
    result = "{gross profit}+{other income}-{expenses}"
    sheet.sum("Result, on accrual", "result", result, added(gross, other, turned(expenses)))
    return sheet.grid


def turned(months: Months) -> Months:
    """Turn the sign of each month."""
    return [-amount for amount in months]


def added(*parts: Months) -> Months:
    """Add up month by month."""
    return [sum(amounts) for amounts in zip(*parts, strict=True)]
