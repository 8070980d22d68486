"""The accounts on the year's last day: the trial balance, and the year beside the one before."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final, TypeAlias

import pandas as pd

from shopledger.exports.columns import Kind
from shopledger.exports.year_grid import Formula, Grid, Heading
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.year import YearFigures
from shopledger.money.amount import Cents
from shopledger.money.rate import round_half_away

TRIAL: Final = "Trial balance"
PRIOR: Final = "Prior year"

_Sums: TypeAlias = Callable[[Account], Cents]
_ON_THE_CREDIT_SIDE: Final = frozenset({AccountKind.LIABILITY, AccountKind.EQUITY, AccountKind.INCOME})
_YEARLY: Final = tuple(account for account in Account if not account.kind.lasts)


def trial_grid(figures: YearFigures) -> Grid:
    """Give the trial balance; income, cost and expense begin at nought, what they came to before is equity."""
    grid = Grid(
        TRIAL,
        "TrialBalanceYear",
        (
            Heading("Account", 34, Kind.TEXT),
            Heading("Kind", 16, Kind.TEXT),
            Heading("Schedule C", 12, Kind.TEXT),
            Heading("At last year's end", 17),
            Heading("Change", 17),
            Heading("Debit", 17),
            Heading("Credit", 17),
        ),
        one_page=True,
    )
    for account in Account:
        opening = figures.opened_at(account) if account.kind.lasts else 0
        _trial_row(grid, account.title, account.kind.value, account.schedule_c, opening, figures.change(account))
    _trial_row(grid, EARLIER, AccountKind.EQUITY.value, "", figures.opened_at(*_YEARLY), 0)
    first, last = next(iter(Account)).title, EARLIER
    sums = (sum(_side(grid, column)) for column in range(3, 7))
    cells = (Formula(f"ROUND(SUM({{{first}}}:{{{last}}}),2)", total) for total in sums)
    grid.add("Total", None, None, *cells, name="total", strong=True)
    return grid


EARLIER: Final = "results of earlier years"
"""What the years before left, where no entry carries it to the owner's equity."""


def prior_grid(figures: YearFigures) -> Grid:
    """Give each account beside the year before: what came in or was spent, and what stood at each year's end."""
    this, before = Heading(str(figures.year), 17), Heading(str(figures.year.before), 17)
    grid = Grid(
        PRIOR,
        "PriorYear",
        (Heading("Account", 34, Kind.TEXT), Heading("Kind", 16, Kind.TEXT), this, before, Heading("Difference", 17),
         Heading("Change", 12, Kind.RATE)),
        one_page=True,
    )  # fmt: skip
    beside = _beside(figures)
    for title, kind, now, then in beside:
        _prior_row(grid, title, kind, now, then)
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
    cells = (row.cells[column] for row in grid.rows)
    shown = (cell.value if isinstance(cell, Formula) else cell for cell in cells)
    return [amount for amount in shown if isinstance(amount, int)]


def _beside(figures: YearFigures) -> list[tuple[str, str, Cents, Cents]]:
    """Merge the two years by account; one that was used in only one of them still has its row."""
    now = _frame([(account, _seen(account, figures.closed_at, figures.change)) for account in Account], "now")
    then = _frame([(account, _seen(account, figures.opened_at, figures.change_before)) for account in Account], "then")
    merged = now.merge(then, on=["account", "kind"], how="outer", sort=False)
    titles = {account.title: place for place, account in enumerate(Account)}
    ordered = merged.sort_values("account", key=lambda column: column.map(titles))
    rows: list[list[str | int]] = ordered[["account", "kind", "now", "then"]].to_numpy().tolist()
    return [(str(row[0]), str(row[1]), int(row[2]), int(row[3])) for row in rows]


def _frame(rows: list[tuple[Account, Cents]], name: str) -> pd.DataFrame:
    data = [(account.title, account.kind.value, amount) for account, amount in rows]
    return pd.DataFrame(data, columns=["account", "kind", name])


def _seen(account: Account, stood: _Sums, changed: _Sums) -> Cents:
    """Give an account as it is read: balances for what lasts, else what it came to, income and debts above nought."""
    amount = stood(account) if account.kind.lasts else changed(account)
    return -amount if account.kind in _ON_THE_CREDIT_SIDE else amount


def _prior_row(grid: Grid, title: str, kind: str, now: Cents, then: Cents) -> None:
    share = _share(now, then)
    grid.add(
        title.capitalize(), kind, now, then, Formula("C{#}-D{#}", now - then),
        Formula('IF(D{#}=0,"",ROUND((C{#}-D{#})/D{#},6))', share), name=title,
    )  # fmt: skip


def _result_row(grid: Grid, figures: YearFigures) -> None:
    """Add what is left: income less cost and expense, worked out from the rows above."""
    income = [account for account in _YEARLY if account.kind is AccountKind.INCOME]
    spent = [account for account in _YEARLY if account.kind is not AccountKind.INCOME]
    formula = f"SUM({{{income[0].title}}}:{{{income[-1].title}}})-SUM({{{spent[0].title}}}:{{{spent[-1].title}}})"
    now, then = -figures.change(*_YEARLY), -figures.change_before(*_YEARLY)
    share = _share(now, then)
    grid.add(
        "Result, on accrual", None, Formula(formula, now), Formula(formula, then), Formula("C{#}-D{#}", now - then),
        Formula('IF(D{#}=0,"",ROUND((C{#}-D{#})/D{#},6))', share), name="result", strong=True,
    )  # fmt: skip


def _share(now: Cents, then: Cents) -> int | str:
    """Give by what share the year before was passed, in millionths; nothing where there was none."""
    if not then:
        return ""
    return round_half_away((now - then) * 1_000_000 * (1 if then > 0 else -1), abs(then))
