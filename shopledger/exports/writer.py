"""Writes declared sheets into a workbook: rows stream through once, totals are formulas, grids stand beside them."""

from __future__ import annotations

import tempfile
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from decimal import Decimal
from functools import lru_cache
from pathlib import Path
from typing import Final, Generic, TypeVar

from openpyxl.cell import Cell
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.table import Table, TableColumn, TableFormula, TableStyleInfo

from shopledger.exports.cell_text import begins_like_a_formula, lines_of, writable
from shopledger.exports.cells import (
    CellFrame,
    CellLook,
    Lies,
    Page,
    PagedBook,
    PageMargins,
    set_number,
    set_text,
)
from shopledger.exports.grid_writer import formula_text, write_grid
from shopledger.exports.kept_values import save_book
from shopledger.exports.print_widths import Wanted, printed_widths
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheets import (
    Column,
    Grid,
    Kind,
    Sheet,
    Shown,
    as_number,
)
from shopledger.exports.tallies import Tally
from shopledger.exports.working_out import WorkedOut
from shopledger.files.drafts import draft_folder
from shopledger.files.refusals import reason_of
from shopledger.files.replacing import WORKBOOK
from shopledger.files.writing import written_whole

R = TypeVar("R")

_ON_THE_LEFT: Final = (Kind.TEXT, Kind.DAY)


@dataclass(frozen=True, slots=True)
class Written:
    """What went into a sheet: how many rows, and the sums of its added columns, counted while they passed by."""

    rows: int
    sums: dict[str, int]


@contextmanager
def written_book(target: Path, title: str, made_on: date, margins: PageMargins) -> Iterator[BookWriter]:
    """Give a workbook to fill, and write it when the block ends, whole or not at all."""
    writer = BookWriter(margins)
    writer.book.properties.title, writer.book.properties.creator = title, "shopledger"
    with written_whole(target, WORKBOOK) as draft, _own_folder():
        try:
            yield writer
            writer.save(draft, target, made_on)
        finally:
            writer.let_go()


@contextmanager
def _own_folder() -> Iterator[None]:
    """Let what openpyxl lays down on the way lie in a folder of the program's own: it holds names, and may be left."""
    before = tempfile.tempdir
    with draft_folder("workbook") as folder:
        tempfile.tempdir = str(folder)
        try:
            yield
        finally:
            tempfile.tempdir = before


class BookWriter:
    """A workbook in the making."""

    def __init__(self, margins: PageMargins) -> None:
        self._paged = PagedBook(margins)
        self.book = self._paged.book
        self._tallies: dict[str, Tally] = {}

    def add_rows(self, sheet: Sheet[R], rows: Iterable[R]) -> Written:
        """Add a sheet: headings that stay in view, the rows, and below them the totals of a real table."""
        wanted = [Wanted(column.header, column.width, column.kind is Kind.TEXT) for column in sheet.columns]
        widths = printed_widths(sheet.title, wanted, landscape=sheet.landscape)
        page = Page(self._paged, sheet.title, widths, landscape=sheet.landscape)
        made = page.sheet
        made.freeze_panes = "A2"
        made.print_title_rows = "1:1"
        page.fit_row(1, zip((column.header for column in sheet.columns), widths, strict=True))
        made.append([page.heading(column.header, right=column.kind not in _ON_THE_LEFT) for column in sheet.columns])
        pens = [_Pen(page, column, width) for column, width in zip(sheet.columns, widths, strict=True)]
        tally = self._tallies[sheet.table] = Tally(sheet)
        keys = [pens[place] for place in sheet.key_places]
        added = [pen for pen in pens if pen.added]
        for row in rows:
            cells = [pen.cell(row) for pen in pens]
            tally.add(tuple([pen.shown for pen in keys]), [pen.shown for pen in added])
            page.row_height(tally.rows + 1, max(pen.lines for pen in pens))
            made.append(cells)
        if not tally.rows:
            # A table without a row cannot be; an empty one keeps the formulas right.
            made.append([])
        sums = tally.sums
        made.append(_totals(page, sheet, sums))
        made.tables.add(_rows_table(sheet, last_row=max(tally.rows, 1) + 1))
        return Written(tally.rows, sums)

    def add_grids(self, grids: Sequence[Grid]) -> None:
        """Add grids; their formulas may speak of any other, written before or after."""
        worked = WorkedOut({grid.title: grid for grid in grids}, self._tallies, formula_text)
        for grid in grids:
            write_grid(self._paged, grid, worked)
        for grid in grids:
            worked.fill(grid)

    def put_in_order(self, titles: Sequence[str]) -> None:
        """Let the summary lie in front, though it was written late; it is also the sheet that opens."""
        for place, title in enumerate(titles):
            self.book.move_sheet(title, place - self.book.sheetnames.index(title))
        self.book.active = 0

    def save(self, draft: Path, target: Path, made_on: date) -> None:
        """Save it beside its place; the same content of the same day gives the same bytes."""
        try:
            save_book(self.book, draft, datetime.combine(made_on, time()))
        except OSError as error:
            raise NotSavedError(target, reason_of(error)) from error

    def let_go(self) -> None:
        """End sheets that a failure left half written; they would complain on the owner's screen otherwise."""
        for sheet in self.book.worksheets:
            if not getattr(sheet, "closed", True):
                sheet.close()


class _Pen(Generic[R]):
    """Writes one column: a cell is made once, with its style, and filled anew for each row."""

    def __init__(self, page: Page, column: Column[R], width: float) -> None:
        self.added = column.total
        self.shown: Shown = None
        self.lines = 1
        self._get, self._kind, self._width = column.get, column.kind, width
        self._is_text = column.kind is Kind.TEXT
        lies = {Kind.TEXT: Lies.WRAPPED, Kind.DAY: Lies.TEXT}.get(column.kind, Lies.NUMBER)
        self._plain = page.cell(CellLook(column.kind, lies), None)
        self._guarded = page.cell(CellLook(Kind.TEXT, Lies.WRAPPED), None)
        self._guarded.quotePrefix = True

    def cell(self, row: R) -> Cell | None:
        """Fill the cell with what the column takes from the row; nothing needs no cell."""
        self.shown = shown = self._get(row)
        if shown is None or shown == "":
            self.lines = 1
            return None
        if self._is_text:
            text, guarded, self.lines = _fitted(str(shown), self._width)
            cell = self._guarded if guarded else self._plain
            set_text(cell, text)
            return cell
        if isinstance(shown, int):
            set_number(self._plain, as_number(self._kind, shown))
        else:
            self._plain.value = shown
        return self._plain


@lru_cache(maxsize=8192)
def _fitted(text: str, width: float) -> tuple[str, bool, int]:
    """Give a text that any sheet can hold, whether it needs the quote mark, and its lines; names come often."""
    safe = writable(text)
    return safe, begins_like_a_formula(text), lines_of(safe, width)


def _totals(page: Page, sheet: Sheet[R], sums: Mapping[str, int]) -> list[Cell]:
    """Make the row below the last: what the visible rows add up to, so that it follows a filter."""

    def look(kind: Kind, lies: Lies) -> CellLook:
        return CellLook(kind, lies, bold=True, frame=CellFrame.TOTAL)

    def total(column: Column[R]) -> Cell:
        known = Decimal(as_number(column.kind, sums[column.header]))
        return page.formula(look(column.kind, Lies.NUMBER), f"={_total(sheet, column)}", known)

    return [
        total(column) if column.total else page.cell(look(Kind.TEXT, Lies.TEXT), "" if place else "Total")
        for place, column in enumerate(sheet.columns)
    ]


def _total(sheet: Sheet[R], column: Column[R]) -> str:
    visible = f"SUBTOTAL(109,{sheet.part(column.header)})"
    return f"ROUND({visible},2)" if column.whole_cents else visible


def _rows_table(sheet: Sheet[R], last_row: int) -> Table:
    """Name the rows as a table that formulas can speak of, with its totals below `last_row`."""
    last_column = get_column_letter(len(sheet.columns))
    table = Table(
        name=sheet.table,
        displayName=sheet.table,
        ref=f"A1:{last_column}{last_row + 1}",
        totalsRowCount=1,
        totalsRowShown=True,
    )
    table.autoFilter = AutoFilter(ref=f"A1:{last_column}{last_row}")
    table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=True)
    for place, column in enumerate(sheet.columns):
        entry = TableColumn(id=place + 1, name=column.header)
        if column.whole_cents:
            entry.totalsRowFunction = "custom"
            entry.totalsRowFormula = TableFormula(attr_text=_total(sheet, column))
        elif column.total:
            entry.totalsRowFunction = "sum"
        elif not place:
            entry.totalsRowLabel = "Total"
        table.tableColumns.append(entry)
    return table
