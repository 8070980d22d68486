"""Handing over a year: the workbook for the tax preparer, and the same as plain CSV."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

from shopledger.desk.books.years import year_book
from shopledger.desk.context import Desk
from shopledger.errors import ExportError
from shopledger.exports.year_book import write_year_book
from shopledger.exports.year_plain import write_plain_year
from shopledger.ledger.books.year import Year, YearState
from shopledger.store.books.years import handed_over


class YearDisagreesError(ExportError):
    """The sheets of a year do not agree with one another; the workbook says where."""

    target: Path
    checks: tuple[str, ...]

    def __str__(self) -> str:
        return (
            f"{self.target} does not add up ({'; '.join(self.checks)}). Do not hand it over: run 'shopledger verify', "
            "and restore a backup if that fails."
        )


@dataclass(frozen=True, slots=True)
class YearWritten:
    """The files that a year was written to, and whether it is a draft."""

    files: tuple[Path, ...]
    state: YearState


def export_year(desk: Desk, year: Year, folder: Path, *, as_csv: bool = False) -> YearWritten:
    """Write the year's workbook, and each sheet as CSV where asked for; a draft is named so.

    That the year was handed over, and how its goods were shown, is noted: next year's worksheet asks for it.
    """
    with year_book(desk, year) as book:
        state, view = book.state, book.inventory_view
        target = folder / f"year-{year}{'-DRAFT' if state.draft else ''}.xlsx"
        check = write_year_book(book, target)
    files = [target]
    if as_csv:
        with year_book(desk, year) as book:
            files.extend(write_plain_year(book, check.grids, folder))
    if not check.agrees:
        raise YearDisagreesError(target, check.differences)
    if not state.draft:
        with desk.writing() as work:
            work.audit.note(*handed_over(year, view))
    return YearWritten(tuple(files), state)
