"""The accounts of a year: month by month, on its last day, and beside the year before."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from shopledger.exports.sheets import Formula, Grid, Heading, Kind, RowLook, shown_value
from shopledger.exports.year_tables import Months, accounts_beside, accounts_by_month, share
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.reports import YearFigures
from shopledger.ledger.books.tax_forms import called
from shopledger.money.amount import Cents

MONTHS: Final = "Months"
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
        headings = (Heading("Line", width, Kind.TEXT), *(Heading(name, 10) for name in _NAMES), Heading("Year", 12))
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
    sheet = MonthsGrid(MONTHS, "YearMonths", 37)
    by_account = accounts_by_month(figures)

    def listed(accounts: Iterable[Account]) -> Months:
        rows = [sheet.row(called(each), each.title, by_account[each]) for each in accounts]
        return added(*rows)

    def summed(accounts: tuple[Account, ...]) -> str:
        return f"SUM({{{accounts[0].title}}}:{{{accounts[-1].title}}})"

    sales = [sheet.row(words, account.title, turned(by_account[account])) for account, words in SALES]
    net = sheet.sum("Net sales, on accrual", "net sales", summed(tuple(account for account, _ in SALES)), added(*sales))
    charged = [figures.tax_charged.get(month, 0) for month in figures.year.months]
    sheet.row("Sales tax for the states (no income)", "tax charged", charged)
    cost = sheet.sum("Cost of goods, on accrual", "cost", summed(_COSTS), listed(_COSTS))
    gross = sheet.sum("Gross profit, on accrual", "gross profit", "{net sales}-{cost}", added(net, turned(cost)))
    other = sheet.row("Other income", Account.OTHER_INCOME.title, turned(by_account[Account.OTHER_INCOME]))
    expenses = sheet.sum("Expenses, on accrual", "expenses", summed(_EXPENSES), listed(_EXPENSES))
    result = "{gross profit}+{other income}-{expenses}"
    sheet.sum("Result, on accrual", "result", result, added(gross, other, turned(expenses)))
    return sheet.grid


def turned(months: Months) -> Months:
    """Turn the sign of each month."""
    return [-amount for amount in months]


def added(*parts: Months) -> Months:
    """Add up month by month."""
    return [sum(amounts) for amounts in zip(*parts, strict=True)]


TRIAL: Final = "Trial balance"
PRIOR: Final = "Prior year"

_YEARLY: Final = tuple(account for account in Account if not account.kind.lasts)


def trial_grid(figures: YearFigures) -> Grid:
    """Give the trial balance; income, cost and expense begin at zero, what they came to before is equity."""
    grid = Grid(
        TRIAL,
        (
            Heading("Account", 34, Kind.TEXT),
            Heading("Kind", 16, Kind.TEXT),
            Heading("Schedule C", 12, Kind.TEXT),
            Heading("At last year's end", 17),
            Heading("Change", 17),
            Heading("Debit", 17),
            Heading("Credit", 17),
        ),
        "TrialBalanceYear",
        one_page=True,
    )
    for account in Account:
        opening = figures.opened_at(account) if account.kind.lasts else 0
        _trial_row(
            grid,
            account.title,
            called(account),
            account.kind.value,
            account.schedule_c,
            opening,
            figures.change(account),
        )
    _trial_row(grid, EARLIER, EARLIER.capitalize(), AccountKind.EQUITY.value, "", figures.opened_at(*_YEARLY), 0)
    first, last = next(iter(Account)).title, EARLIER
    sums = (sum(_side(grid, column)) for column in range(3, 7))
    cells = (Formula(f"ROUND(SUM({{{first}}}:{{{last}}}),2)", total) for total in sums)
    grid.add("Total", None, None, *cells, name="total", look=RowLook.TOTAL)
    return grid


def balance(account: Account) -> Formula:
    """Give what an account stands at in the trial balance, debits above zero."""
    return Formula(f"{{{TRIAL}!{account.title}.F}}-{{{TRIAL}!{account.title}.G}}")


EARLIER: Final = "results of earlier years"
"""What the years before left, where no entry carries it to the owner's equity."""


def prior_grid(figures: YearFigures) -> Grid:
    """Give each account beside the year before: what came in or was spent, and what stood at each year's end."""
    this, before = Heading(str(figures.year), 17), Heading(str(figures.year.year_before), 17)
    grid = Grid(
        PRIOR,
        (Heading("Account", 34, Kind.TEXT), Heading("Kind", 16, Kind.TEXT), this, before, Heading("Difference", 17),
         Heading("Change", 12, Kind.RATE)),
        "PriorYear",
        one_page=True,
    )  # fmt: skip
    for each in accounts_beside(figures):
        cells = _compared(each.now, each.then)
        grid.add(called(each.account), each.account.kind.value, each.now, each.then, *cells,
                 name=each.account.title)  # fmt: skip
    _result_row(grid, figures)
    return grid


def _trial_row(grid: Grid, name: str, words: str, kind: str, line: str, opening: Cents, change: Cents) -> None:
    balance = opening + change
    grid.add(
        words, kind, line, opening or None, change or None,
        Formula("ROUND(MAX(D{#}+E{#},0),2)", max(balance, 0)),
        Formula("ROUND(MAX(-D{#}-E{#},0),2)", max(-balance, 0)), name=name,
    )  # fmt: skip


def _side(grid: Grid, column: int) -> list[Cents]:
    shown = (shown_value(row.cells[column]) for row in grid.rows)
    return [amount for amount in shown if isinstance(amount, int)]


def _result_row(grid: Grid, figures: YearFigures) -> None:
    """Add what is left: income less cost and expense, worked out from the rows above."""
    income = [account for account in _YEARLY if account.kind is AccountKind.INCOME]
    spent = [account for account in _YEARLY if account.kind is not AccountKind.INCOME]
    formula = f"SUM({{{income[0].title}}}:{{{income[-1].title}}})-SUM({{{spent[0].title}}}:{{{spent[-1].title}}})"
    now, then = -figures.change(*_YEARLY), -figures.change_before(*_YEARLY)
    grid.add(
        "Result, on accrual", None, Formula(formula, now), Formula(formula, then), *_compared(now, then), name="result",
        look=RowLook.TOTAL,
    )  # fmt: skip


def _compared(now: Cents, then: Cents) -> tuple[Formula, Formula]:
    """Say by how much the year before was passed, in money and as a share of it."""
    return (
        Formula("C{#}-D{#}", now - then),
        Formula('IF(D{#}=0,"",ROUND((C{#}-D{#})/D{#},6))', share(now, then)),
    )
