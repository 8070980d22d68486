"""The year on cash, month by month, beside accrual: what lies between the two, and the way to line 29 on cash.

The twelve months count each bill as it is paid, whatever it was for. Schedule C counts goods and lenses as they go to
customers in both views, and leaves equipment to the tax preparer. So the two differ, by the lines given here alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from typing import Final

from shopledger.exports.sheets import Formula, Grid, RowLook
from shopledger.exports.year_accounts import MONTHS, MonthsGrid, turned
from shopledger.exports.year_schedule import TITLE as SCHEDULE
from shopledger.exports.year_tables import Months
from shopledger.ledger.books.figures import BetweenLine, PeriodFigures, ViewLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.reports import YearReport
from shopledger.ledger.books.tax_forms import given_accounts, schedule_c
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import Cents

TITLE: Final = "Cash months"
LINE: Final = "29"
CAME: Final = (ViewLine.CUSTOMERS, ViewLine.DEPOSITS, ViewLine.SELLERS_TAX_IN, ViewLine.OTHER_INCOME)
WENT: Final = (ViewLine.EXPENSES, ViewLine.SELLERS_TAX_OUT, ViewLine.EQUIPMENT, ViewLine.BILLS)
"""What comes in on cash, less what was given back; and what goes out."""


def cash_months_grid(report: YearReport) -> Grid:
    """Give the sheet of the twelve months on cash."""
    sheet = MonthsGrid(TITLE, "CashMonths", 38)

    def of(get: Callable[[PeriodFigures], Cents]) -> Months:
        return [get(month) for month in report.months]

    lines = [line for line in ViewLine if line in report.months[0].cash]
    for line in lines:
        sheet.row(f"{line.value}, on cash", line.name, of(lambda month, line=line: month.cash[line]))  # type: ignore[misc]
    cash = of(lambda month: month.cash_result)
    sheet.sum("Result, on cash", "result", f"SUM({{{lines[0].name}}}:{{{lines[-1].name}}})", cash)
    for words, name, some in (("Money in", "in", CAME), ("Money out", "out", WENT)):
        sign = "" if some is CAME else "-"
        formula = "+".join(f"{{{line.name}}}" for line in some)
        moved = of(lambda month, some=some: sum(month.cash[line] for line in some))  # type: ignore[misc]
        sheet.sum(f"{words}, on cash", name, f"ROUND({sign}({formula}),2)", moved if some is CAME else turned(moved))
    accrual = of(lambda month: month.accrual_result)
    sheet.sum("Result, on accrual", "accrual", f"{{{MONTHS}!result}}", accrual)
    for way in BetweenLine:
        sheet.row(way.value, _between(way), of(lambda month, way=way: month.between[way]))  # type: ignore[misc]
    first, *_, last = BetweenLine
    between = f"{{accrual}}+SUM({{{_between(first)}}}:{{{_between(last)}}})"
    sheet.sum("Result, on cash, from accrual", "way", f"ROUND({between},2)", cash)
    _to_line(sheet.grid, report, sum(cash))
    return sheet.grid


def _between(line: BetweenLine) -> str:
    """Give what the row of a line between the views is called."""
    return f"between {line.name}"


@dataclass(frozen=True, slots=True)
class _Step:
    """What is added on the way from the twelve months to line 29, and why."""

    name: str
    words: str
    amount: Cents


def _to_line(grid: Grid, report: YearReport, months: Cents) -> None:
    """Add the way from the twelve months on cash to the line of the form, in the column of the year."""

    def add(words: str, cell: Formula | Cents, name: str, look: RowLook = RowLook.PLAIN) -> None:
        grid.add(words, *[None] * len(report.months), cell, name=name, look=look)

    grid.title_row("From the twelve months to line 29, on cash")
    add("Result of the twelve months, on cash", Formula("{result}", months), "twelve")
    steps = tuple(_steps(report))
    for step in steps:
        add(step.words, step.amount, step.name)
    line = months + sum(step.amount for step in steps)
    add("Line 29, on cash", Formula(f"ROUND(SUM({{twelve}}:{{{steps[-1].name}}}),2)", line), "line", RowLook.TOTAL)
    posted = schedule_c(report.figures, Accounting.CASH, report.inventory_view)[LINE]
    add("Line 29, on cash, on Schedule C", Formula(f"{{{SCHEDULE}!{LINE}.E}}", posted), "posted")
    add("Difference, which must be zero", Formula("ROUND({line}-{posted},2)", line - posted), "difference")


def _steps(report: YearReport) -> Iterator[_Step]:
    figures, money = report.figures, [month.money for month in report.months]
    on_lines = {account: paid for account, paid in figures.bills.paid.items() if account is not Account.EQUIPMENT}
    paid_on_bills = sum(each.bills_paid for each in money)
    yield _Step(
        "equipment", "Equipment paid at once: it stands on line 13, undecided", sum(each.equipment for each in money)
    )
    yield _Step(
        "bills", "Bills paid for goods, lenses and equipment: no expense line has them",
        paid_on_bills - sum(on_lines.values()),
    )  # fmt: skip
    goods = schedule_c(figures, Accounting.CASH, report.inventory_view)["42"]
    yield _Step("goods", "Goods and lenses that went to customers, line 42", -goods)
    given = sum(figures.goods_against(account) for account in given_accounts())
    yield _Step("gifts", "Goods given away, at cost, line 8", given)
    came, charged = sum(each.sellers_tax for each in money), -figures.change(Account.SELLERS_TAX_CHARGED)
    yield _Step("sellers tax", "Sales tax laid on the shop: as it came in, less as charged on line 23", came - charged)
