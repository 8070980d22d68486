"""Accrual and cash set apart: each line of both as a formula over the sheets, and what lies between to the cent."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.exports.customer_sheets import DEPOSITS, MONEY_BACK, PAYMENTS, REFUNDS, SALES
from shopledger.exports.formulas import (
    DEBTS_TAKEN_OVER,
    Figure,
    add_figure,
    adjusted,
    change,
    figure_grid,
    joined,
    kept,
    negative,
    summed,
    where,
)
from shopledger.exports.posted_sheets import GOODS_COST
from shopledger.exports.sheets import Formula, Grid
from shopledger.exports.spending_sheets import BILLS, EXPENSES, MONEY_MOVES
from shopledger.ledger.books.figures import BetweenLine, PeriodFigures, ViewLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoveKind
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.books.spending_rows import ExpenseSource
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents

TITLE: Final = "Accrual and cash"
_EQUIPMENT: Final = Account.EQUIPMENT.title
_SELLERS: Final = where(EXPENSES, "Amount", Source=ExpenseSource.SELLERS_TAX)
_SELLERS_IN: Final = f"{summed(PAYMENTS, 'Seller tax in it')}-{summed(MONEY_BACK, 'Seller tax in it')}"
_TAX_IN: Final = f"{summed(PAYMENTS, 'Tax in it')}-{summed(MONEY_BACK, 'Tax in it')}"
_MONEY_IN: Final = f"{summed(PAYMENTS, 'Amount')}-{summed(PAYMENTS, 'From deposit')}-{summed(MONEY_BACK, 'Amount')}"
_OTHER_INCOME: Final = (
    f"{where(MONEY_MOVES, 'Amount', Kind=MoveKind.OTHER_INCOME)}+{where(MONEY_MOVES, 'Fee', Kind=MoveKind.TAX_PAID)}"
    f"-({adjusted(Account.OTHER_INCOME)})"
)
_AT_ONCE: Final = "-".join(
    where(EXPENSES, "Amount", Source=source) for source in (ExpenseSource.PAID, ExpenseSource.ADJUSTED)
)
"""Both are subtracted: it stands behind a minus."""
_EQUIPMENT_AT_ONCE: Final = where(EXPENSES, "Amount", Source=ExpenseSource.PAID, Account=_EQUIPMENT)
_EQUIPMENT_ENTERED: Final = where(EXPENSES, "Amount", Source=ExpenseSource.ADJUSTED, Account=_EQUIPMENT)
_TIMED: Final = where(EXPENSES, "Amount", Source=ExpenseSource.TIMED)
_INCOME_TIMED: Final = where(EXPENSES, "Amount", Source=ExpenseSource.TIMED, Account=Account.OTHER_INCOME.title)
"""Income stands below zero among the expenses."""
_EQUIPMENT_GONE: Final = where(EXPENSES, "Amount", Source=ExpenseSource.DISPOSED)
_FEES: Final = "-".join(
    where(EXPENSES, "Amount", Source=source) for source in (ExpenseSource.FEE, ExpenseSource.REVERSAL_FEE)
)
"""Both are subtracted: it stands behind a minus."""

ACCRUAL: Final = {
    ViewLine.CUSTOMERS: kept("Net"),
    ViewLine.SELLERS_TAX_IN: _SELLERS,
    ViewLine.OTHER_INCOME: _OTHER_INCOME,
    ViewLine.GOODS: negative(summed(GOODS_COST, "Cost")),
    ViewLine.EXPENSES: (
        f"{where(EXPENSES, 'Amount', Account=_EQUIPMENT)}+{_INCOME_TIMED}+{_SELLERS}-{summed(EXPENSES, 'Amount')}"
    ),
    ViewLine.SELLERS_TAX_OUT: negative(_SELLERS),
}
"""What was earned and used up, line by line."""

CASH: Final = {
    ViewLine.CUSTOMERS: f"{_MONEY_IN}-({_TAX_IN})-({_SELLERS_IN})",
    ViewLine.DEPOSITS: f"{summed(DEPOSITS, 'Taken')}-{summed(DEPOSITS, 'Given back')}",
    ViewLine.SELLERS_TAX_IN: _SELLERS_IN,
    ViewLine.OTHER_INCOME: f"{_OTHER_INCOME}+{_INCOME_TIMED}",
    ViewLine.EXPENSES: f"{_EQUIPMENT_AT_ONCE}+{_EQUIPMENT_ENTERED}-{_AT_ONCE}-{_FEES}",
    ViewLine.SELLERS_TAX_OUT: negative(_SELLERS_IN),
    ViewLine.EQUIPMENT: negative(_EQUIPMENT_AT_ONCE),
    ViewLine.BILLS: negative(summed(BILLS, "Paid")),
}
"""What came in and was paid, line by line."""

BETWEEN: Final = {
    BetweenLine.RECEIVABLE: f"-({change(Account.RECEIVABLE)})+{DEBTS_TAKEN_OVER}",
    BetweenLine.PREPAYMENTS: negative(change(Account.PREPAYMENTS)),
    BetweenLine.TAX: f"{summed(SALES, 'Tax')}-{summed(REFUNDS, 'Tax')}-({_TAX_IN})-({_SELLERS_IN})",
    BetweenLine.DEPOSITS: negative(change(Account.CUSTOMER_DEPOSITS)),
    BetweenLine.STOCK: (
        f"-({change(Account.INVENTORY)})"
        f"-({change(Account.OPENING_BALANCES)})-{where(MONEY_MOVES, 'Amount', Kind=MoveKind.OPENING)}"
        f"-({DEBTS_TAKEN_OVER})"
        f"-({change(Account.DRAWS)})+{where(MONEY_MOVES, 'Amount', Kind=MoveKind.DRAW)}"
        f"+{adjusted(Account.DRAWS)}"
    ),
    BetweenLine.JOBS: negative(change(Account.WORK_IN_PROGRESS)),
    BetweenLine.EQUIPMENT: f"{_EQUIPMENT_ENTERED}+{_EQUIPMENT_GONE}-({change(Account.EQUIPMENT)})",
    BetweenLine.BILLS: negative(change(Account.ACCOUNTS_PAYABLE)),
    BetweenLine.TIMED: _TIMED,
}
"""What is added to the result on accrual to come to that on cash."""

WHY: Final = {
    BetweenLine.RECEIVABLE: (
        "What left counts on accrual at once, on cash when it is paid; below zero where more is owed. What is written "
        "off is a loss on accrual alone, since on cash it was never income."
    ),
    BetweenLine.PREPAYMENTS: "What was paid ahead counts on cash at once, on accrual when the goods leave.",
    BetweenLine.TAX: "Sales tax is part of what customers owe, but in neither view part of what the shop earns.",
    BetweenLine.DEPOSITS: "Money taken before an order counts on cash at once, on accrual with the order.",
    BetweenLine.STOCK: "Goods count on accrual as they are shipped, on cash as their bills are paid.",
    BetweenLine.JOBS: "Lens bills count on accrual as their order is shipped, on cash as they are paid.",
    BetweenLine.EQUIPMENT: (
        "On cash it counts as it is paid, on accrual not at all: the tax preparer decides how it is written off. What "
        "adjusting entries move of it, and what of it is gone, counts in neither."
    ),
    BetweenLine.BILLS: "Billed counts on accrual at once, on cash when it is paid.",
    BetweenLine.TIMED: (
        "What an adjusting entry moves in time alone, through prepaid or accrued expenses and without money, counts on "
        "accrual; on cash it counted, or will, as it was paid or came in."
    ),
}
"""Why each line lies between the views, in a sentence."""


@dataclass(frozen=True, slots=True)
class View:
    """One way to see a period: its name, its lines as formulas, and the ledger's own figures for them."""

    name: str
    formulas: dict[ViewLine, str]
    ledger: dict[ViewLine, Cents]

    @property
    def result(self) -> Cents:
        """What its lines add up to."""
        return sum(self.ledger.values())

    def cell(self, line: ViewLine) -> Formula | None:
        """Give a line's formula with the ledger's own figure for it; nothing where the view has no such line."""
        if line not in self.formulas:
            return None
        return Formula(f"ROUND({self.formulas[line]},2)", self.ledger[line])


def views(figures: PeriodFigures, first: Accounting) -> tuple[View, View]:
    """Give both views, the one that the shop has chosen before the other."""
    accrual = View("Accrual", ACCRUAL, figures.accrual)
    cash = View("Cash", CASH, figures.cash)
    return (accrual, cash) if first is Accounting.ACCRUAL else (cash, accrual)


def views_grid(report: PeriodReport) -> Grid:
    """Give the sheet of both views, the shop's own first."""
    first, second = views(report.figures, report.accounting)
    noun = report.period.noun
    words = f"The shop looks at its {noun}s on {first.name.lower()} first; {second.name.lower()} stands beside it."
    headings = ("Line", "From the sheets", "In the ledger", "Check", "")
    grid = figure_grid(report, TITLE, words, headings, (58.0, 18.0, 18.0, 11.0, 58.0), "A5")
    grid.landscape = True
    for view in (first, second):
        _add_view(grid, view)
    _add_between(grid, report, {view.name: view for view in (first, second)})
    return grid


def _add_view(grid: Grid, view: View) -> None:
    grid.title_row(f"On {view.name.lower()}")
    lines = [line for line in ViewLine if line in view.formulas]
    names = [f"{view.name} {line.name}" for line in lines]
    for line, name in zip(lines, names, strict=True):
        add_figure(grid, Figure(line.value, view.formulas[line], view.ledger[line]), name)
    total = Figure(f"Result on {view.name.lower()}", f"SUM({{{names[0]}.B}}:{{{names[-1]}.B}})", view.result)
    add_figure(grid, total, f"{view.name} result", bold=True)
    grid.add()


def _add_between(grid: Grid, report: PeriodReport, by_name: Mapping[str, View]) -> None:
    """Write what is added to the result on accrual, why, and that it comes to the result on cash."""
    grid.title_row("From the result on accrual to the result on cash")
    accrual, cash = (joined(by_name[name].formulas.values()) for name in ("Accrual", "Cash"))
    add_figure(grid, Figure("Result on accrual", accrual, report.figures.accrual_result), "begin")
    for line, amount in report.figures.between.items():
        add_figure(grid, Figure(line.value, BETWEEN[line], amount), line.name, said=WHY[line])
    last = list(report.figures.between)[-1].name
    add_figure(grid, Figure("Result on cash", f"SUM({{begin.B}}:{{{last}.B}})", cash), "end", bold=True)
