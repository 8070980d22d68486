"""Sheets as plain CSV, one file each, for programs that read nothing else; figures stand in place of formulas."""

from __future__ import annotations

import csv
import hashlib
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from io import StringIO
from pathlib import Path
from typing import Any, Final

from shopledger.exports.cell_text import escape_formula, writable
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.reports import SHEETS, year_lists
from shopledger.exports.sheets import Cell, Formula, Grid, Kind, Number, Sheet, Shown, as_number, shown_value
from shopledger.files.refusals import reason_of
from shopledger.files.replacing import Kind as FileKind
from shopledger.files.replacing import headed
from shopledger.files.writing import written_whole
from shopledger.ledger.books.reports import PeriodReport, YearReport

LIST: Final = FileKind("list of sheets", lambda _path, head: b"\nledger head " in head[:2000])


def write_plain(report: PeriodReport, folder: Path) -> tuple[Path, ...]:
    """Write each sheet's rows as a CSV file into a folder, and a list of the files; gives the files, the list last."""
    written = [
        _written(folder / f"{_file_name(sheet.title)}-{report.period}.csv", *_rows(sheet, report.rows(sheet.record)))
        for sheet in SHEETS
    ]
    target = folder / f"{report.period.noun}-{report.period}.txt"
    return (*(file for file, _ in written), _listed(report, written, target))


def write_plain_year(report: YearReport, grids: Sequence[Grid], folder: Path) -> tuple[Path, ...]:
    """Write a year's sheets as CSV files into a folder; gives the files."""
    ending = f"{report.period}{'-DRAFT' if report.state.draft else ''}.csv"
    sheets = [
        *((sheet.title, _rows(sheet, rows)) for sheet, rows in year_lists(report)),
        *((grid.title, _figures(grid)) for grid in grids),
    ]
    return tuple(_written(folder / f"year-{_file_name(title)}-{ending}", *lines)[0] for title, lines in sheets)


def write_plain_grids(grids: Sequence[Grid], name: str, folder: Path) -> tuple[Path, ...]:
    """Write grids as CSV files that begin with a name; gives the files."""
    return tuple(_written(folder / f"{name}-{_file_name(grid.title)}.csv", *_figures(grid))[0] for grid in grids)


def _file_name(title: str) -> str:
    return title.lower().replace(" ", "-")


def _rows(sheet: Sheet[Any], rows: Iterable[Any]) -> tuple[list[str], Iterator[list[str]]]:
    """Give the headings of a sheet, and its rows as text."""
    lines = ([_plain(column.kind, column.get(row)) for column in sheet.columns] for row in rows)
    return [column.header for column in sheet.columns], lines


def _figures(grid: Grid) -> tuple[list[str], Iterator[list[str]]]:
    """Give the headings of a grid, and its rows as text."""

    def lines() -> Iterator[list[str]]:
        for row in grid.rows:
            cells = [
                _plain(_kind(cell) or heading.kind, shown_value(cell))
                for cell, heading in zip(row.cells, grid.headings, strict=False)
            ]
            yield cells + [""] * (len(grid.headings) - len(cells))

    return [each.words for each in grid.headings], lines()


def _kind(cell: Cell) -> Kind | None:
    """Give what a cell holds where that is not what its column does."""
    return cell.kind if isinstance(cell, Formula | Number) else None


def _listed(report: PeriodReport, written: Sequence[tuple[Path, int]], target: Path) -> Path:
    """Write what the files are, on which state of the books they stand, and the hash of each."""
    lines = [
        f"{report.shop_name}: {report.period}",
        f"written from the shop's ledger as of {report.as_of}",
        report.state,
        f"ledger head {report.ledger_head}",
        "",
        *(f"{hashlib.sha256(file.read_bytes()).hexdigest()}  {file.name}  {count} rows" for file, count in written),
    ]
    with written_whole(target, LIST) as draft:
        draft.write_text("".join(f"{writable(line)}\n" for line in lines), encoding="utf-8")
    return target


def _written(target: Path, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> tuple[Path, int]:
    """Write one sheet, whole or not at all; gives the file and how many rows it has."""
    count = 0
    with written_whole(target, _sheet(headings)) as draft:
        try:
            # The mark at its start tells spreadsheets that the file is UTF-8.
            with draft.open("w", encoding="utf-8-sig", newline="") as file:
                out = csv.writer(file)
                out.writerow(headings)
                for row in rows:
                    count += 1
                    out.writerow(row)
        except OSError as error:
            raise NotSavedError(target, reason_of(error)) from error
    return target, count


def _sheet(headings: Sequence[str]) -> FileKind:
    """Give the kind of file that an earlier sheet of the same headings is."""
    line = StringIO()
    csv.writer(line).writerow(headings)
    return headed("sheet", line.getvalue().rstrip("\r\n"))


def _plain(kind: Kind, shown: Shown) -> str:
    """Write a value as text; only texts are guarded, never a number below zero."""
    if shown is None:
        return ""
    if isinstance(shown, str):
        return escape_formula(shown)
    if isinstance(shown, date):
        return shown.isoformat()
    return str(shown) if kind in {Kind.COUNT, Kind.NUMBER, Kind.TEXT} else f"{as_number(kind, shown):f}"
