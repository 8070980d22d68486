"""The accounts on the year's last day: the trial balance, and the year beside the one before."""

from __future__ import annotations

from typing import Final

from shopledger.exports.sheets import Formula, Grid, Heading, Kind, RowLook, shown_value
from shopledger.exports.year_tables import accounts_beside, share
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.year import YearFigures
from shopledger.money.amount import Cents

TRIAL: Final = "Trial balance"
PRIOR: Final = "Prior year"

_YEARLY: Final = tuple(account for account in Account if not account.kind.lasts)


def trial_grid(figures: YearFigures) -> Grid:
    """Give the trial balance; income, cost and expense begin at nought, what they came to before is equity."""
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
        _trial_row(grid, account.title, account.kind.value, account.schedule_c, opening, figures.change(account))
    _trial_row(grid, EARLIER, AccountKind.EQUITY.value, "", figures.opened_at(*_YEARLY), 0)
    first, last = next(iter(Account)).title, EARLIER
    sums = (sum(_side(grid, column)) for column in range(3, 7))
    cells = (Formula(f"ROUND(SUM({{{first}}}:{{{last}}}),2)", total) for total in sums)
    grid.add("Total", None, None, *cells, name="total", look=RowLook.TOTAL)
    return grid


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
        grid.add(each.account.title.capitalize(), each.account.kind.value, each.now, each.then, *cells,
                 name=each.account.title)  # fmt: skip
    _result_row(grid, figures)
    return grid


def _trial_row(grid: Grid, title: str, kind: str, line: str, opening: Cents, change: Cents) -> None:
    balance = opening + change
    grid.add(
        title.capitalize(), kind, line, opening or None, change or None,
        Formula("ROUND(MAX(D{#}+E{#},0),2)", max(balance, 0)),
        Formula("ROUND(MAX(-D{#}-E{#},0),2)", max(-balance, 0)), name=title,
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
