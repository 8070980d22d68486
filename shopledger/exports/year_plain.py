"""The year as plain CSV, one file for each sheet of the workbook, with the figures in place of the formulas."""

from __future__ import annotations

import csv
from collections.abc import Iterable, Iterator, Sequence
from datetime import date
from pathlib import Path

from shopledger.exports.columns import Kind, as_number
from shopledger.exports.inert import begins_like_a_formula, inert
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.year_book import year_lists
from shopledger.exports.year_grid import Formula, Grid
from shopledger.files import written_whole
from shopledger.ledger.books.year import YearBook


def write_plain_year(book: YearBook, grids: Sequence[Grid], folder: Path) -> tuple[Path, ...]:
    """Write a year's sheets as CSV files into a folder; gives the files."""
    ending = f"{book.year}{'-DRAFT' if book.state.draft else ''}.csv"
    written = [
        _written(
            folder / _file_name(sheet.title, ending),
            [column.header for column in sheet.columns],
            ([_plain(column.kind, column.get(row)) for column in sheet.columns] for row in rows),
        )
        for sheet, rows in year_lists(book)
    ]
    written.extend(
        _written(folder / _file_name(grid.title, ending), [each.words for each in grid.headings], _rows(grid))
        for grid in grids
    )
    return tuple(written)


def _file_name(title: str, ending: str) -> str:
    return f"year-{title.lower().replace(' ', '-')}-{ending}"


def _rows(grid: Grid) -> Iterator[list[str]]:
    for row in grid.rows:
        shown = [cell.value if isinstance(cell, Formula) else cell for cell in row.cells]
        cells = [_plain(heading.kind, cell) for heading, cell in zip(grid.headings, shown, strict=False)]
        yield cells + [""] * (len(grid.headings) - len(cells))


def _written(target: Path, headings: Sequence[str], rows: Iterable[Sequence[str]]) -> Path:
    """Write one sheet, whole or not at all."""
    with written_whole(target) as draft:
        try:
            # The mark at its start tells spreadsheets that the file is UTF-8.
            with draft.open("w", encoding="utf-8-sig", newline="") as file:
                out = csv.writer(file)
                out.writerow(headings)
                out.writerows(rows)
        except OSError as error:
            raise NotSavedError(target, (error.strerror or str(error)).lower()) from error
    return target


def _plain(kind: Kind, shown: str | int | date | None) -> str:
    """Write a value as text; only texts are guarded, never a number below zero."""
    if shown is None:
        return ""
    if isinstance(shown, str):
        text = inert(shown)
        return f"'{text}" if begins_like_a_formula(text) else text
    if isinstance(shown, date):
        return shown.isoformat()
    return str(shown) if kind in {Kind.COUNT, Kind.TEXT} else f"{as_number(kind, shown):f}"
