"""Taking in what the card processor reports: its columns once, and then each report as facts.

Nothing in the books changes by it: a payout is recorded, and rows are compared, by deeds of their own.
"""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.exchange.csv_cells import csv_rows
from shopledger.exchange.processor_report import ReportFile, report_file
from shopledger.ledger.books.processor_import import ReportPlan, plan_report
from shopledger.ledger.books.processor_layout import ReportLayout
from shopledger.ledger.books.processor_reports import Processor, ProcessorReport, ReportRow
from shopledger.store.work import UnitOfWork

_SHOWN = 5


@dataclass(frozen=True, slots=True)
class ReportLaidOut:
    """A report's first rows as they stand, and what they are by the layout."""

    processor: Processor
    rows: tuple[tuple[str, ...], ...]
    read: tuple[ReportRow, ...]


@dataclass(frozen=True, slots=True)
class ReportImport:
    """What a report brings."""

    file: ReportFile
    processor: Processor
    plan: ReportPlan
    report: ProcessorReport | None = None
    """What was kept; nothing for a file that brings nothing new."""


def processors(desk: Desk) -> tuple[Processor, ...]:
    """Give the card processors that are kept."""
    with desk.reading() as work:
        return work.processors.all()


def keep_columns(desk: Desk, name: str, source: Path, layout: ReportLayout, *, dry: bool = False) -> ReportLaidOut:
    """Keep which columns of a processor's reports say what, and the processor itself, once a report can be read so."""
    file = report_file(source)
    head = tuple(row.cells for row in csv_rows(file.body, file.name)[:_SHOWN])
    read = file.rows(layout)
    if dry:
        with desk.reading() as work:
            return ReportLaidOut(work.processors.named(name) or Processor(name), head, read)
    with desk.writing() as work:
        processor = work.processors.named(name) or work.processors.add(name)
        work.processors.keep_layout(processor.number or 0, layout.written())
    return ReportLaidOut(processor, head, read)


def plan_report_import(desk: Desk, source: Path, name: str | None = None) -> ReportImport:
    """Look at what a report would bring, and keep nothing."""
    file = report_file(source)
    with desk.reading() as work:
        return _planned(desk, work, file, name)


def import_report(desk: Desk, source: Path, name: str | None = None) -> ReportImport:
    """Take a report in: all of its rows that are new, or nothing."""
    file = report_file(source)
    with desk.writing() as work:
        found = _planned(desk, work, file, name)
        if not found.plan.new:
            return found
        number = found.processor.number or 0
        report = work.processors.add_report(ProcessorReport(number, desk.today, file.name, file.sha256))
        work.processors.add_lines(report, found.plan.new)
        return ReportImport(file, found.processor, found.plan, report)


def the_processor(work: UnitOfWork, name: str | None) -> Processor:
    """Give the processor that is meant: the one that was named, or the only one."""
    if name is not None:
        return work.processors.get(name)
    known = work.processors.all()
    if len(known) != 1:
        said = "none is kept yet" if not known else f"there are {', '.join(each.name for each in known)}"
        hint = "Keep it first: 'shopledger processor columns NAME FILE'." if not known else "Name it with --processor."
        raise RefusedError("processor", "not named", said, hint)
    return known[0]


def _planned(desk: Desk, work: UnitOfWork, file: ReportFile, name: str | None) -> ReportImport:
    processor = the_processor(work, name)
    number = processor.number or 0
    rows = file.rows(ReportLayout.read(work.processors.layout(number)))
    late = max(day for row in rows for day in (row.day, row.payout_day or row.day))
    if late > desk.today:
        rule = f"that is after today, {desk.today.isoformat()}"
        raise RefusedError("day of a row", late.isoformat(), rule, "Look at how the report writes its days.")
    return ReportImport(file, processor, plan_report(rows, work.processors.lines(number)))
