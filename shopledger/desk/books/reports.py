"""Reports on a period: its figures, the workbook for the tax preparer, and the same as plain CSV."""

# ruff: noqa: PLC0415 - figures alone need no workbook

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, replace
from datetime import date
from functools import partial
from pathlib import Path
from typing import TYPE_CHECKING, Any, TypeVar

from shopledger.desk.books.bank_reconciling import bank_over
from shopledger.desk.books.payee_forms import reports_of, year_limit
from shopledger.errors import ExportError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.books.closing import PeriodDeed
from shopledger.ledger.books.customer_rows import CardDayRow
from shopledger.ledger.books.disposals import equipment_rows
from shopledger.ledger.books.reports import PeriodReport, ReportState, Rows, YearReport
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.books.tax_forms import ScheduleC, schedule_c
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.nexus import NexusRow
from shopledger.ledger.numbers import number_of
from shopledger.store.books.bank import NOW

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.exports.reports import ReportCheck
    from shopledger.ledger.books.closing import PeriodEvent
    from shopledger.ledger.books.figures import PeriodFigures
    from shopledger.ledger.books.period import Period
    from shopledger.ledger.books.reports import YearFigures
    from shopledger.ledger.books.tax_returns import TaxReturn
    from shopledger.ledger.nexus import NexusLimit
    from shopledger.ledger.settings import Accounting, InventoryView
    from shopledger.store.work import UnitOfWork


R = TypeVar("R")


class BookDisagreesError(ExportError):
    """The rows of a period do not add up to the ledger's own figures; the workbook says where."""

    target: Path
    check: ReportCheck
    sentence = (
        "{target} does not add up to the ledger ({figures}). Do not hand it over: run 'shopledger verify', "
        "and restore a backup if that fails."
    )

    @property
    def figures(self) -> str:
        """The figures that differ."""
        return ", ".join(getattr(difference, "figure", str(difference)) for difference in self.check.differences)


class YearDisagreesError(ExportError):
    """The sheets of a year do not agree with one another; the workbook says where."""

    target: Path
    checks: tuple[str, ...]
    sentence = (
        "{target} does not add up ({words}). Do not hand it over: run 'shopledger verify', "
        "and restore a backup if that fails."
    )

    @property
    def words(self) -> str:
        """The checks that do not hold."""
        return "; ".join(self.checks)


@dataclass(frozen=True, slots=True)
class YearShown:
    """A year's figures in both accounting views, the owner's choices, and whether they may still change."""

    figures: YearFigures
    state: ReportState
    accounting: Accounting
    inventory_view: InventoryView

    @property
    def year(self) -> Period:
        """The year shown."""
        return self.figures.year

    def schedule(self, accounting: Accounting) -> ScheduleC:
        """Give the worksheet in one accounting view, with the goods as the owner chose."""
        return schedule_c(self.figures, accounting, self.inventory_view)


@dataclass(frozen=True, slots=True)
class YearWritten:
    """The files that a year was written to, and whether it is a draft."""

    files: tuple[Path, ...]
    state: ReportState


def period_figures(desk: Desk, period: Period) -> tuple[PeriodFigures, Accounting]:
    """Give all of a period's figures, and which view of them the shop looks at first."""
    with desk.reading() as work:
        return work.reports.figures(period), work.shop.settings().accounting


def year_figures(desk: Desk, year: Period) -> YearShown:
    """Give a year's figures."""
    with desk.reading() as work:
        settings = work.shop.settings()
        figures = work.reports.year_figures(year, settings.advances)
        return YearShown(figures, _state(work, desk, year), settings.accounting, settings.inventory_view)


def card_days(desk: Desk, period: Period) -> tuple[CardDayRow, ...]:
    """Give what the card processor processed on each day of a period."""
    with desk.reading() as work:
        return tuple(work.reports.rows(CardDayRow, period))


def set_state_limit(desk: Desk, limit: NexusLimit) -> None:
    """Set from which sales or orders on a state has to be looked at, from a day on."""
    with desk.writing() as work:
        work.nexus_limits.add(limit)


def states_watched(desk: Desk, period: Period) -> tuple[NexusRow, ...]:
    """Give what went to each state in a period, beside the limit that the owner set."""
    with desk.reading() as work:
        return tuple(work.reports.rows(NexusRow, period))


def tax_due(desk: Desk, period: Period, state: str = "") -> tuple[TaxReturn, ...]:
    """Give the figures of a return for each state in which something happened, or for the one named."""
    with desk.reading() as work:
        return work.tax_returns.over(period, read_state(state) if state else "")


def export_returns(
    desk: Desk, period: Period, folder: Path, state: str = "", *, as_csv: bool = False
) -> tuple[tuple[TaxReturn, tuple[Path, ...]], ...]:
    """Write the return of each state in which something happened, or of the one named; gives each with its files."""
    from shopledger.exports.tax_return import ReturnReport, write_return, write_return_plain

    with desk.reading() as work:
        found = work.tax_returns.over(period, read_state(state) if state else "")
        shop_name = work.names.shop_on(period.last, work.shop.profile().name)
        reports = [ReturnReport(due, shop_name, desk.today, str(work.seals.head())) for due in found]
    written = []
    for report in reports:
        more = write_return_plain(report, folder) if as_csv else ()
        written.append((report.due, (write_return(report, folder), *more)))
    for due, files in written:
        _note_export(desk, Deed.EXPORTED_PERIOD, period, due.orders, files[0])
    return tuple(written)


def export_period(desk: Desk, period: Period, folder: Path) -> Path:
    """Write a period's workbook; rows stream from the database into the file."""
    from shopledger.exports.reports import write_report

    target = folder / f"{period.noun}-{period}.xlsx"
    with period_report(desk, period) as report:
        check = write_report(report, target)
    if not check.agrees:
        raise BookDisagreesError(target, check)
    _note_export(desk, Deed.EXPORTED_PERIOD, period, sum(check.rows.values()), target)
    return target


def export_plain(desk: Desk, period: Period, folder: Path) -> tuple[Path, ...]:
    """Write a period's rows as CSV, one file for each sheet of rows, and a list of them with the ledger's head."""
    from shopledger.exports.plain import write_plain

    with period_report(desk, period) as report:
        passed = _Counted(report.rows)
        files = write_plain(replace(report, rows=passed), folder)
    _note_export(desk, Deed.EXPORTED_PERIOD, period, passed.many, files[-1])
    return files


def export_year(desk: Desk, year: Period, folder: Path, *, as_csv: bool = False) -> YearWritten:
    """Write the year's workbook, and each sheet as CSV where asked for; a draft is named so.

    That the year was handed over, and how its goods were shown, is noted: next year's worksheet asks for it.
    """
    from shopledger.exports.plain import write_plain_year
    from shopledger.exports.reports import write_year
    from shopledger.store.books.reports import handed_over

    with year_report(desk, year) as report:
        state, view = report.state, report.inventory_view
        target = folder / f"year-{year}{'-DRAFT' if state.draft else ''}.xlsx"
        check = write_year(report, target)
    files = [target]
    if as_csv:
        with year_report(desk, year) as report:
            files.extend(write_plain_year(report, check.grids, folder))
    if not check.agrees:
        raise YearDisagreesError(target, tuple(map(str, check.differences)))
    _note_export(desk, Deed.EXPORTED_YEAR, year, sum(check.rows.values()), target)
    if not state.draft:
        with desk.writing() as work:
            work.audit.note(Deed.HANDED_YEAR_OVER, Subject.PERIOD, detail=handed_over(year, view))
    return YearWritten(tuple(files), state)


class _Counted:
    """Rows of a report that are counted as they pass by."""

    def __init__(self, rows: Rows) -> None:
        self._rows = rows
        self.many = 0

    def __call__(self, record: type[R], /) -> Iterator[R]:
        for row in self._rows(record):
            self.many += 1
            yield row


def _note_export(desk: Desk, deed: Deed, period: Period, records: int, file: Path) -> None:
    with desk.writing() as work:
        work.audit.note(deed, Subject.PERIOD, detail=str(period), records=records, file_name=file.name)


@contextmanager
def period_report(desk: Desk, period: Period) -> Iterator[PeriodReport]:
    """Open a period as it is handed over; its rows stream from the ledger until the block ends."""
    with desk.reading() as work:
        month = period.month
        state = _state(work, desk, period)
        closing = _closing(work, period, state)
        shown = None if closing is None or month is None else work.periods.closed_as(number_of(closing))
        yield PeriodReport(
            **_head(work, desk, period, closing),
            accounting=work.shop.settings().accounting if shown is None else shown.accounting,
            state=state.sentence if month is None else _said(work.periods.newest(month)),
            figures=work.reports.figures(period),
            looks=work.audit_trail.counted(period.first, period.last) if shown is None else shown.looks,
            bank=None if month is None else bank_over(work, month, desk.today, closing.head.count if closing else NOW),
        )


@contextmanager
def year_report(desk: Desk, year: Period) -> Iterator[YearReport]:
    """Open a year as it is handed over; its rows stream from the ledger until the block ends."""
    with desk.reading() as work:
        reports, settings, state = work.reports, work.shop.settings(), _state(work, desk, year)
        payees, limit = tuple(reports.rows(PayeeRow, year)), year_limit(work, year)
        yield YearReport(
            **_head(work, desk, year, _closing(work, year, state)),
            accounting=settings.accounting,
            state=state,
            inventory_view=settings.inventory_view,
            view_before=reports.view_handed_over(year.year_before),
            advances=settings.advances,
            figures=reports.year_figures(year, settings.advances),
            months=tuple(reports.figures(month.days) for month in year.months),
            payees=payees,
            limit=limit,
            payee_reports=reports_of(work, payees, limit),
            equipment=equipment_rows(work.disposals.equipment(year.last)),
        )


def _head(work: UnitOfWork, desk: Desk, period: Period, closing: PeriodEvent | None) -> dict[str, Any]:
    """Give what stands at the head of a report; a closed period goes on naming the head that it was closed on."""
    shop = work.shop.profile()
    return {
        "period": period,
        "shop_name": work.names.shop_on(period.last, shop.name),
        "ein": shop.ein,
        "as_of": desk.today if closing is None else date.fromisoformat(closing.recorded_at[:10]),
        "ledger_head": str(work.seals.of_records() if closing is None else closing.head),
        "rows": partial(work.reports.rows, period=period),
    }


def _closing(work: UnitOfWork, period: Period, state: ReportState) -> PeriodEvent | None:
    """Give the closing that a period stands on: the last of its months'; None while its figures may still change."""
    return None if state.draft else work.periods.last_closing(period)


def _state(work: UnitOfWork, desk: Desk, period: Period) -> ReportState:
    """Tell whether a period is over and every month of it with entries is closed."""
    return ReportState(work.reports.open_months(period), over=desk.today > period.last, noun=period.noun)


def _said(newest: PeriodEvent | None) -> str:
    """Say whether a month is closed, and on which state of the books."""
    if newest is None:
        return "The month is open: more may be recorded in it."
    day = newest.recorded_at[:10]
    if newest.deed is PeriodDeed.CLOSED:
        return f"The month was closed on {day} at ledger head {newest.head}."
    return f"The month is open: it was closed once and opened again on {day} ({newest.reason})."
