"""The worksheet for Schedule C: every line in both accounting views and both views of the goods, side by side."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.exports.sheets import Cell, Formula, Grid, Heading, Kind, RowLook
from shopledger.exports.year_accounts import MONTHS, SALES
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.reports import MoneyEvent, YearFigures, YearReport
from shopledger.ledger.books.spending_rows import GONE
from shopledger.ledger.books.tax_forms import (
    LABELS,
    NOT_KEPT,
    ON_HAND,
    OTHER,
    ScheduleC,
    accounts_of,
    brought_in,
    called,
    expense,
    expense_lines,
    form_order,
    not_kept,
    purchases,
    schedule_c,
    tax_that_came,
)
from shopledger.ledger.settings import Accounting, Advances, InventoryView

TITLE: Final = "Schedule C"
VIEWS: Final = tuple((accounting, view) for accounting in Accounting for view in InventoryView)
"""The columns of figures, from the third on."""

COLUMNS: Final = "CDEF"
ADVANCES_WORDS: Final = {
    Advances.WITH_GOODS: "Accrual: what is paid ahead counts when the goods leave.",
    Advances.RECEIVED: "Accrual: what is paid ahead counts when it is received.",
}
"""The owner's choice about what is paid ahead (26 USC 451(c), from memory), as sheets name it."""
GOODS_WORDS: Final = {InventoryView.INVENTORY: "inventories", InventoryView.MATERIALS: "materials"}

_NOTES: Final = {
    "1": "Accrual: as it left, after offers. Cash: as paid, deposits with it, without the states' sales tax.",
    "2": "Refunds and allowances; the whole amount, in both views.",
    "8": "With goods given away, at cost.",
    "10": "With what the card processor kept, and what was taken for payments sent back or disputed.",
    "23": "With sales tax that is laid on the shop, as charged.",
    "24b": "The whole stands here; often only a part of it is deductible.",
    "36": "Inventories: bought less own use and gifts, which are an expense. Materials: goods that went to customers.",
    "38": "Lens and lab bills. Inventories: all of the year. Materials: those of jobs that left, and remakes.",
    "39": "Materials: found missing and written off. Freight in is part of what goods cost.",
    "41": "Stock, and lenses and lab work of jobs not shipped, at cost, first in first out.",
}
_NEVER_PAID: Final = "On cash it was never income, so it is no loss (Pub. 334, bad debts; from memory)."


def schedule_grid(report: YearReport) -> Grid:
    """Give the sheet of the worksheet."""
    sheet = _Sheet(
        Grid(TITLE, _headings(report), "ScheduleC", landscape=True), report.figures, _schedules(report.figures)
    )
    grid = sheet.grid
    chosen = ["chosen" if view == (report.accounting, report.inventory_view) else None for view in VIEWS]
    grid.add(None, "The owner's choice", *chosen, ADVANCES_WORDS[report.advances], name="choice")
    grid.title_row("Part I, income", 1)
    _income(sheet)
    grid.title_row("Part II, expenses", 1)
    lines = expense_lines()
    for line in sorted((*lines, *not_kept(8, 27)), key=form_order):
        if line in NOT_KEPT:
            _not_kept(grid, line)
        else:
            _expense(sheet, line)
    sheet.line("28", dict.fromkeys(COLUMNS, f"SUM({{{lines[0]}}}:{{{lines[-1]}}})"), look=RowLook.TOTAL)
    sheet.line("29", dict.fromkeys(COLUMNS, "{7}-{28}"), look=RowLook.TOTAL)
    for line in not_kept(30, 32):
        _not_kept(grid, line)
    gone = sum(row.amount for row in report.payees if row.payee == GONE)
    bought = report.figures.change(Account.EQUIPMENT) - gone
    grid.add("13", "Equipment bought, not in line 28", *[bought] * 4,
             "How it is written off is for the tax preparer.", name="equipment")  # fmt: skip
    said = "What it gained or lost stands on Equipment; Form 4797 is the tax preparer's."
    grid.add("", "Equipment that is gone, at cost", *[gone] * 4, said, name="equipment gone")
    grid.title_row("Part III, cost of goods sold", 1)
    grid.add("33", "How the closing inventory is valued", *["cost"] * 4, "Box a. FIFO decides which cost.", name="33")
    grid.add("34", "A change from the year before?", *[_changed(report)] * 4, _change_note(report), name="34")
    _goods(sheet)
    grid.title_row("Part IV, information on your vehicle", 1)
    for line in not_kept(43, 47):
        _not_kept(grid, line)
    grid.title_row("Part V, other expenses", 1)
    for account in accounts_of(OTHER):
        _part_five(sheet, account)
    grid.add(OTHER, "Total other expenses", *[Formula("{27b}", schedule["27b"]) for schedule in sheet.schedules],
             "It goes up to line 27b.", name=OTHER, look=RowLook.TOTAL)  # fmt: skip
    grid.title_row("What the lines above are made of", 1)
    _behind(sheet)
    return grid


@dataclass(frozen=True, slots=True)
class _Sheet:
    """The sheet in the making, with what each column's lines come to."""

    grid: Grid
    figures: YearFigures
    schedules: tuple[ScheduleC, ...]

    def line(self, number: str, formulas: Mapping[str, str | None], *, look: RowLook = RowLook.PLAIN) -> None:
        """Add a line of the form: a formula in each column, or the figure itself where there is none."""
        cells: list[Cell] = []
        for column, schedule in zip(COLUMNS, self.schedules, strict=True):
            formula, value = formulas[column], schedule[number]
            cells.append(value if formula is None else Formula(formula, value))
        self.grid.add(number, LABELS[number], *cells, _NOTES.get(number), name=number, look=look)


def _headings(report: YearReport) -> tuple[Heading, ...]:
    views = (
        Heading(
            f"{accounting.value.capitalize()}, {GOODS_WORDS[view]}",
            15,
            marked=(accounting, view) == (report.accounting, report.inventory_view),
        )
        for accounting, view in VIEWS
    )
    return (
        Heading("No", 6, Kind.TEXT),
        Heading("Line", 46, Kind.TEXT),
        *views,
        Heading("Note", 62, Kind.TEXT, notes=True),
    )


def _schedules(figures: YearFigures) -> tuple[ScheduleC, ...]:
    return tuple(schedule_c(figures, accounting, view) for accounting, view in VIEWS)


def _income(sheet: _Sheet) -> None:
    received = "+".join(f"{{{MONTHS}!{account.title}.N}}" for account, _ in SALES[:-1])
    less = ("advances", "owed more", "ahead", "never paid", "deposits more")
    cash = f"ROUND({{1.C}}-{'-'.join(f'{{{name}.C}}' for name in less)}+{{tax to come.C}},2)"
    sold = f"{received}+{{advances}}"
    sheet.line("1", {"C": sold, "D": sold, "E": cash, "F": cash})
    sheet.line("2", dict.fromkeys(COLUMNS, f"-{{{MONTHS}!{Account.RETURNS.title}.N}}"))
    sheet.line("3", dict.fromkeys(COLUMNS, "{1}-{2}"))
    sheet.line("4", dict.fromkeys(COLUMNS, "{42}"))
    sheet.line("5", dict.fromkeys(COLUMNS, "{3}-{4}"), look=RowLook.TOTAL)
    other = f"{{{MONTHS}!{Account.OTHER_INCOME.title}.N}}"
    came = f"{other}-{{income timed.C}}"
    sheet.line("6", {"C": other, "D": other, "E": came, "F": came})
    sheet.line("7", dict.fromkeys(COLUMNS, "{5}+{6}"), look=RowLook.TOTAL)


def _expense(sheet: _Sheet, line: str) -> None:
    if line == "27b":
        accounts = accounts_of(OTHER)
        formula = f"SUM({{{accounts[0].title}}}:{{{accounts[-1].title}}})"
        sheet.line(line, dict.fromkeys(COLUMNS, formula))
        return
    accrued = "+".join(f"{{{MONTHS}!{account.title}.N}}" for account in accounts_of(line))
    sheet.line(line, {"C": accrued, "D": accrued, "E": None, "F": "{" + line + ".E}"})


def _part_five(sheet: _Sheet, account: Account) -> None:
    accrued = Formula(f"{{{MONTHS}!{account.title}.N}}", sheet.figures.change(account))
    paid = expense(sheet.figures, Accounting.CASH, account)
    cash = Formula(f"{{{account.title}.E}}", paid)
    note = _NEVER_PAID if account is Account.NEVER_PAID else None
    sheet.grid.add(None, called(account), accrued, accrued, paid, cash, note, name=account.title)


def _not_kept(grid: Grid, line: str) -> None:
    """Add a line of the form that the books say nothing of."""
    grid.add(line, NOT_KEPT[line], *[None] * len(VIEWS), "The books keep nothing of it: for the tax preparer.",
             name=line)  # fmt: skip


def _goods(sheet: _Sheet) -> None:
    def both(inventories: str, materials: str | None) -> dict[str, str | None]:
        return {"C": inventories, "D": materials, "E": inventories, "F": materials}

    def posted(*accounts: Account) -> str:
        return "+".join(f"{{{MONTHS}!{account.title}.N}}" for account in accounts)

    sheet.line("35", both("{stock opening.C}+{jobs opening.C}+{brought in.C}", None))
    sheet.line(
        "36", both("{bought.C}-{own use.C}-{given away.C}", posted(Account.COST_OF_GOODS, Account.PURCHASE_ALLOWANCES))
    )
    sheet.line("37", dict.fromkeys(COLUMNS))
    sheet.line("38", both("{lab bills.C}", posted(Account.LENSES, Account.SCRAP)))
    sheet.line("39", both("0", posted(Account.STOCK_DIFFERENCES, Account.WRITTEN_OFF)))
    sheet.line("40", dict.fromkeys(COLUMNS, "SUM({35}:{39})"))
    sheet.line("41", both("{stock closing.C}+{jobs closing.C}", None))
    sheet.line("42", dict.fromkeys(COLUMNS, "ROUND({40}-{41},2)"), look=RowLook.TOTAL)


def _behind(sheet: _Sheet) -> None:
    """Add what lines 1, 35, 36, 38 and 41 are made of; line 35 must be last year's line 41, or be explained."""
    figures, add = sheet.figures, sheet.grid.add
    bought = purchases(figures)
    stock, jobs = ON_HAND
    lab = figures.change(Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)
    add("35", "Stock at last year's end", figures.opened_at(stock), name="stock opening")
    add("35", "Jobs in work at last year's end", figures.opened_at(jobs), name="jobs opening")
    explained = "Line 35 is more than last year's line 41 by this: it was there before the books began."
    add("35", "Stock that the books began with in this year", brought_in(figures), None, None, None,
        explained if brought_in(figures) else None, name="brought in")  # fmt: skip
    add("36", "Goods bought, less what was sent back, discounts and allowances", bought["bought"], name="bought")
    add("36", "Taken home by the owner, at cost", bought["own use"], name="own use")
    add("36", "Given away, at cost", bought["given away"], name="given away")
    add("38", "Lens and lab bills of the year", lab, name="lab bills")
    add("41", "Stock at the year's end", figures.closed_at(stock), name="stock closing")
    add("41", "Jobs in work at the year's end", figures.closed_at(jobs), name="jobs closing")
    add("1", "Counted when received: paid ahead, more than a year ago", *[figures.advances] * 2, None, None,
        "Without its sales tax." if figures.advances else None, name="advances")  # fmt: skip
    add("1", "From accrual to cash: customers owe more of what was sold", figures.owed_more, name="owed more")
    add("1", "From accrual to cash: paid ahead, less what left of it", figures.change(Account.PREPAYMENTS),
        name="ahead")  # fmt: skip
    add("1", "From accrual to cash: sales never paid, written off", figures.change(Account.NEVER_PAID),
        name="never paid")  # fmt: skip
    add("1", "From accrual to cash: deposits used, less new", figures.change(Account.CUSTOMER_DEPOSITS),
        name="deposits more")  # fmt: skip
    add("1", "From accrual to cash: sales tax not paid yet", tax_to_come(figures), name="tax to come")
    moved = -figures.timed.get(Account.OTHER_INCOME, 0)
    add("6", "From accrual to cash: other income that entries moved in time", moved, name="income timed")


def tax_to_come(figures: YearFigures) -> int:
    """Give the states' sales tax on what was sold and not cancelled, less that in what was paid for it."""
    refunded = sum(row.tax for row in figures.of([MoneyEvent.REFUND]))
    charged = sum(figures.tax_charged.get(month, 0) for month in figures.year.months)
    return charged + refunded - tax_that_came(figures)


def _changed(report: YearReport) -> str:
    if report.view_before is None:
        return "not known"
    return "no" if report.view_before is report.inventory_view else "yes"


def _change_note(report: YearReport) -> str:
    if report.view_before is None:
        return f"How {report.period.year_before} was handed over is not known here: compare with last year's return."
    before = f"{report.period.year_before} was handed over with its goods as {GOODS_WORDS[report.view_before]}."
    return before if report.view_before is report.inventory_view else f"{before} A change of method needs Form 3115."
