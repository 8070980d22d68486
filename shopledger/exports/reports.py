"""The workbook of a period for the tax preparer: rows pass through once, so that a long one needs no more memory.

Any span of days has the sheets of a month; a calendar year has a workbook of its own on the lines of its tax forms.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from shopledger.exports.bank_sheet import bank_grid
from shopledger.exports.cells import PageMargins
from shopledger.exports.charts import charts_grid
from shopledger.exports.checks import FigureDiffers, differences
from shopledger.exports.checks import checks_grid as period_checks_grid
from shopledger.exports.customer_sheets import (
    DEPOSITS,
    MONEY_BACK,
    PAYMENTS,
    REFUNDS,
    SALES,
    TAX,
    YEAR_CARD_DAYS,
    YEAR_CUSTOMERS,
    YEAR_NEXUS,
    YEAR_STATES,
)
from shopledger.exports.cut_off import OPEN, cut_off_grid
from shopledger.exports.formulas import closing
from shopledger.exports.notes import TITLE as NOTES
from shopledger.exports.notes import notes_grid, period_notes, year_notes
from shopledger.exports.posted_sheets import GOODS_COST, JOURNAL, MOVEMENTS, STOCK, TRIAL, YEAR_LOTS
from shopledger.exports.sheets import Formula, Grid, Sheet
from shopledger.exports.spending_sheets import BILLS, EXPENSES, MONEY_MOVES, YEAR_EQUIPMENT, YEAR_EXPENSES, YEAR_PAYEES
from shopledger.exports.summary import summary_grid as period_summary_grid
from shopledger.exports.views import views_grid
from shopledger.exports.writer import BookWriter, written_book
from shopledger.exports.year_accounts import balance, months_grid, prior_grid, trial_grid
from shopledger.exports.year_cards import bridge_grid, cards_grid
from shopledger.exports.year_cash import cash_months_grid
from shopledger.exports.year_checks import checks_grid, differing, summary_grid
from shopledger.exports.year_schedule import schedule_grid
from shopledger.ledger.books.disposals import EquipmentRow
from shopledger.ledger.books.payee_forms import PayeeReport
from shopledger.ledger.books.reports import PeriodReport, YearReport
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.books.tax_forms import spent_on

SHEETS: Final[tuple[Sheet[Any], ...]] = (
    SALES, PAYMENTS, REFUNDS, MONEY_BACK, TAX, DEPOSITS, MOVEMENTS, STOCK, GOODS_COST, EXPENSES, BILLS, MONEY_MOVES,
    JOURNAL, TRIAL, OPEN,
)  # fmt: skip
"""The sheets of rows that any span of days has, in the order they are read; its CSV files are the same."""
YEAR_SHEETS: Final[tuple[Sheet[Any], ...]] = (
    YEAR_LOTS, YEAR_STATES, YEAR_NEXUS, YEAR_CUSTOMERS, YEAR_CARD_DAYS, YEAR_EXPENSES, YEAR_PAYEES,
    YEAR_EQUIPMENT, OPEN,
)  # fmt: skip
"""The lists that only a year has."""
YEAR_ORDER: Final = (
    "Summary", "Months", "Cash months", "Schedule C", "Inventory", "Card payments", "Card days", "1099-K", "States",
    "Nexus watch", "Customers", "Expenses", "1099 payees", "Equipment", "Prior year",
    "Trial balance", "Cut-off", "Open items", "Checks", NOTES,
)  # fmt: skip
"""The sheets of a year as they lie in its workbook; lists are written first, since the checks count what passed by."""


@dataclass(frozen=True, slots=True)
class ReportCheck:
    """How many rows went into each sheet of a workbook, its grids as they were written, and what does not agree."""

    rows: Mapping[str, int]
    grids: tuple[Grid, ...]
    differences: tuple[FigureDiffers | str, ...]
    """Figures of a period that the rows do not add up to; checks of a year that do not hold."""

    @property
    def agrees(self) -> bool:
        """Whether the sheets agree with the ledger's own figures."""
        return not self.differences


def write_report(report: PeriodReport, target: Path) -> ReportCheck:
    """Write a period's workbook, whole or not at all, and tell whether its rows add up to the ledger's figures."""
    period = report.period
    margins = PageMargins(f"{report.shop_name}, {period}")
    with written_book(target, f"{period.noun.capitalize()} {period}", report.as_of, margins) as writer:
        rows, sums = _listed(writer, ((sheet, report.rows(sheet.record)) for sheet in SHEETS))
        summary = period_summary_grid(report)
        cut_off = cut_off_grid(report, lambda account: Formula(closing(account)))
        at_bank = (bank_grid(report, report.bank),) if report.bank else ()
        others = (views_grid(report), cut_off, *at_bank, charts_grid(report), period_checks_grid(report))
        notes = notes_grid(period_notes(report, SHEETS), 28.0, 92.0)
        grids = (summary, *others, notes)
        writer.add_grids(grids)
        titles = [sheet.title for sheet in SHEETS]
        writer.put_in_order([summary.title, *titles, *(grid.title for grid in (*others, notes))])
    return ReportCheck(rows, grids, differences(report.figures, sums))


def write_year(report: YearReport, target: Path) -> ReportCheck:
    """Write a year's workbook, whole or not at all, and tell whether its sheets agree."""
    period, draft = report.period, report.state.sentence if report.state.draft else ""
    margins = PageMargins(f"{'DRAFT, ' if draft else ''}{report.shop_name}, {period}", draft)
    title = f"Year {period}{' (draft)' if draft else ''}"
    with written_book(target, title, report.as_of, margins) as writer:
        rows, sums = _listed(writer, year_lists(report))
        figures = report.figures
        grids: tuple[Grid, ...] = (
            months_grid(figures),
            schedule_grid(report),
            cards_grid(figures),
            bridge_grid(figures),
            cash_months_grid(report),
            prior_grid(figures),
            trial_grid(figures),
            cut_off_grid(report, balance),
        )
        checks = checks_grid(report, {grid.title: grid for grid in grids}, sums)
        grids = (summary_grid(report, checks), *grids, checks)
        writer.add_grids((*grids, notes_grid(year_notes(report, YEAR_SHEETS), 26.0, 94.0)))
        writer.put_in_order(YEAR_ORDER)
    return ReportCheck(rows, grids, differing(checks))


def year_lists(report: YearReport) -> tuple[tuple[Sheet[Any], Iterable[Any]], ...]:
    """Give the lists of a year with their rows, which may be read once."""
    made: Mapping[type[Any], Iterable[Any]] = {
        PayeeRow: spent_on(report.figures, report.payees, report.limit.amount),
        PayeeReport: report.payee_reports,
        EquipmentRow: report.equipment,
    }
    return tuple(
        (sheet, made[sheet.record] if sheet.record in made else report.rows(sheet.record)) for sheet in YEAR_SHEETS
    )


def _listed(
    writer: BookWriter, lists: Iterable[tuple[Sheet[Any], Iterable[Any]]]
) -> tuple[dict[str, int], dict[str, dict[str, int]]]:
    """Write sheets as their rows come in; gives how many each has, and what its columns came to."""
    written = {sheet.title: writer.add_rows(sheet, rows) for sheet, rows in lists}
    return {title: each.rows for title, each in written.items()}, {title: each.sums for title, each in written.items()}
