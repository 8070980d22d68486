"""Writes declared sheets into a workbook: rows stream through once, totals are formulas, figures stand by name."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from datetime import date, datetime, time
from functools import lru_cache
from pathlib import Path
from typing import Final, Generic, TypeVar

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.chart import BarChart, Reference
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.table import Table, TableColumn, TableFormula, TableStyleInfo

from shopledger.exports.cell_text import begins_like_a_formula, lines_of, writable
from shopledger.exports.cells import ALIGNED, CellLook, Frame, Lies, Page, PageMargins, set_text
from shopledger.exports.refusals import NotSavedError
from shopledger.exports.sheets import (
    DIFFERS,
    Chart,
    Column,
    Formula,
    Grid,
    Heading,
    Kind,
    Look,
    Number,
    Row,
    Sheet,
    Text,
    as_number,
)
from shopledger.exports.sheets import Cell as Content
from shopledger.files import written_whole

R = TypeVar("R")

_NAMED: Final = re.compile(r"\{(?:(?P<sheet>[^{}!]+)!)?(?P<row>[^{}!.]+)(?:\.(?P<column>[A-Z]+))?\}")
_ON_THE_LEFT: Final = (Kind.TEXT, Kind.DAY)
_LIES: Final = {Text.ONE_LINE: Lies.TEXT, Text.WRAPPED: Lies.WRAPPED, Text.PROSE: Lies.PROSE}
_TITLE_SIZE, _TITLE_HEIGHT = 15, 24
_COLOURS: Final = ("B08A3E", "3B5B7A")
_WIDE, _HIGH = 18, 8
"""Size of a chart in centimetres: two of them and their tables fill a page."""


@dataclass(frozen=True, slots=True)
class Written:
    """What went into a sheet: how many rows, and the sums of its added columns, counted while they passed by."""

    rows: int
    sums: dict[str, int]


@contextmanager
def written_book(target: Path, title: str, made_on: date, margins: PageMargins) -> Iterator[BookWriter]:
    """Give a workbook to fill, and write it when the block ends, whole or not at all."""
    writer = BookWriter(margins)
    properties = writer.book.properties
    properties.title, properties.creator, properties.created = title, "shopledger", datetime.combine(made_on, time())
    with written_whole(target) as draft:
        try:
            yield writer
            writer.save(draft, target)
        finally:
            writer.let_go()


class BookWriter:
    """A workbook in the making."""

    def __init__(self, margins: PageMargins) -> None:
        self.book = Workbook(write_only=True)
        self._margins = margins

    def add_rows(self, sheet: Sheet[R], rows: Iterable[R]) -> Written:
        """Add a sheet: headings that stay in view, the rows, and below them the totals of a real table."""
        widths = [column.width for column in sheet.columns]
        page = Page(self.book, sheet.title, widths, self._margins, landscape=sheet.landscape)
        made = page.sheet
        made.freeze_panes = "A2"
        made.print_title_rows = "1:1"
        page.fit_row(1, ((column.header, column.width) for column in sheet.columns))
        made.append([page.heading(column.header, right=column.kind not in _ON_THE_LEFT) for column in sheet.columns])
        pens = [_Pen(page, column) for column in sheet.columns]
        count = 0
        for row in rows:
            count += 1
            cells = [pen.cell(row) for pen in pens]
            page.row_height(count + 1, max(pen.lines for pen in pens))
            made.append(cells)
        if not count:
            # A table without a row cannot be; an empty one keeps the formulas right.
            made.append([])
        made.append(_totals(page, sheet))
        made.tables.add(_rows_table(sheet, last_row=max(count, 1) + 1))
        return Written(count, {pen.header: pen.sum for pen in pens if pen.added})

    def add_grids(self, grids: Sequence[Grid]) -> None:
        """Add grids; their formulas may speak of any other, written before or after."""
        by_title = {grid.title: grid for grid in grids}
        for grid in grids:
            self._add_grid(grid, by_title)

    def put_in_order(self, titles: Sequence[str]) -> None:
        """Let the summary lie in front, though it was written late; it is also the sheet that opens."""
        for place, title in enumerate(titles):
            self.book.move_sheet(title, place - self.book.sheetnames.index(title))
        self.book.active = 0

    def save(self, draft: Path, target: Path) -> None:
        """Save it beside its place."""
        try:
            self.book.save(draft)
        except OSError as error:
            raise NotSavedError(target, (error.strerror or str(error)).lower()) from error

    def let_go(self) -> None:
        """End sheets that a failure left half written; they would complain on the owner's screen otherwise."""
        for sheet in self.book.worksheets:
            if not getattr(sheet, "closed", True):
                sheet.close()

    def _add_grid(self, grid: Grid, grids: Mapping[str, Grid]) -> None:
        page = Page(self.book, grid.title, (each.width for each in grid.headings), self._margins,
                    landscape=grid.landscape)  # fmt: skip
        sheet = page.sheet
        sheet.freeze_panes = f"B{grid.first_row}" if grid.frozen is None else grid.frozen or None
        if grid.repeated:
            sheet.print_title_rows = f"{grid.header_row}:{grid.header_row}"
        if grid.one_page:
            sheet.page_setup.fitToHeight = 1
        _head(page, grid)
        for number, row in enumerate(grid.rows, start=grid.first_row):
            _fit(page, number, grid.headings, row)
            sheet.append(_cells(page, grid, grids, number, row))
        if grid.verdicts:
            _mark_differences(page, f"{grid.verdicts}{grid.first_row}:{grid.verdicts}{grid.last_row}")
        if grid.table:
            sheet.tables.add(_grid_table(grid))
        for chart in grid.charts:
            _draw(page, chart)


class _Pen(Generic[R]):
    """Writes one column: a cell is made once, with its style, and filled anew for each row."""

    def __init__(self, page: Page, column: Column[R]) -> None:
        self.header, self.added, self.sum = column.header, column.total, 0
        self.lines = 1
        self._get, self._kind, self._width = column.get, column.kind, column.width
        self._is_text = column.kind is Kind.TEXT
        self._plain = WriteOnlyCell(page.sheet)
        self._plain.number_format = column.kind.value
        self._plain.alignment = ALIGNED[{Kind.TEXT: Lies.WRAPPED, Kind.DAY: Lies.TEXT}.get(column.kind, Lies.NUMBER)]
        self._guarded = page.text(CellLook(Kind.TEXT, Lies.WRAPPED), "")
        self._guarded.quotePrefix = True

    def cell(self, row: R) -> Cell | None:
        """Fill the cell with what the column takes from the row; nothing needs no cell."""
        shown = self._get(row)
        if shown is None or shown == "":
            self.lines = 1
            return None
        if self._is_text:
            text, guarded, self.lines = _fitted(str(shown), self._width)
            cell = self._guarded if guarded else self._plain
            set_text(cell, text)
            return cell
        if isinstance(shown, int):
            self.sum += shown
            self._plain.value = as_number(self._kind, shown)
        else:
            self._plain.value = shown
        return self._plain


@lru_cache(maxsize=8192)
def _fitted(text: str, width: float) -> tuple[str, bool, int]:
    """Give a text that any sheet can hold, whether it needs the quote mark, and its lines; names come often."""
    safe = writable(text)
    return safe, begins_like_a_formula(text), lines_of(safe, width)


def _totals(page: Page, sheet: Sheet[R]) -> list[Cell]:
    """Make the row below the last: what the visible rows add up to, so that it follows a filter."""

    def cell(kind: Kind, lies: Lies, formula: str) -> Cell:
        return page.cell(CellLook(kind, lies, bold=True, frame=Frame.TOTAL), formula)

    return [
        cell(column.kind, Lies.NUMBER, f"={_total(sheet, column)}")
        if column.total
        else cell(Kind.TEXT, Lies.TEXT, "" if place else "Total")
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


def _grid_table(grid: Grid) -> Table:
    """Name the rows as a real table."""
    last = get_column_letter(len(grid.headings))
    ref = f"A{grid.header_row}:{last}{grid.last_row}"
    table = Table(name=grid.table, displayName=grid.table, ref=ref, autoFilter=AutoFilter(ref=ref))
    table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=False)
    table.tableColumns.extend(
        TableColumn(id=place, name=heading.words) for place, heading in enumerate(grid.headings, start=1)
    )
    return table


def _head(page: Page, grid: Grid) -> None:
    """Write the lines above the headings, the first as a title, and the headings."""
    for line, words in enumerate(grid.head, start=1):
        if line == 1:
            page.row_height(1, 1, one=_TITLE_HEIGHT)
        size = _TITLE_SIZE if line == 1 else 11
        look = CellLook(Kind.TEXT, Lies.TEXT, bold=line == 1, size=size)
        page.sheet.append([] if words is None else [page.text(look, words)])
    page.fit_row(grid.header_row, ((each.words, each.width) for each in grid.headings))
    page.sheet.append(
        [page.heading(each.words, right=each.kind is not Kind.TEXT) for each in grid.headings if each.words]
    )


def _fit(page: Page, number: int, headings: Sequence[Heading], row: Row) -> None:
    if row.look is Look.PLAIN:
        texts = (
            (cell, each.width)
            for cell, each in zip(row.cells, headings, strict=False)
            if isinstance(cell, str) and each.kind is Kind.TEXT and each.text is not Text.ONE_LINE
        )
        page.fit_row(number, texts)


def _cells(page: Page, grid: Grid, grids: Mapping[str, Grid], number: int, row: Row) -> list[Cell | None]:
    if row.look is Look.HEADINGS:
        return [
            page.heading(str(words), right=each.kind is not Kind.TEXT)
            for words, each in zip(row.cells, grid.headings, strict=False)
        ]
    return [
        _cell(page, shown, heading, row.look, _Names(grid, grids, number, place))
        for place, (shown, heading) in enumerate(zip(row.cells, grid.headings, strict=False), start=1)
    ]


def _cell(page: Page, shown: Content, heading: Heading, look: Look, names: _Names) -> Cell | None:
    """Make a cell; in a total an empty one has its line above too."""
    above = look is Look.TOTAL
    frames = {False: (Frame.NONE, Frame.ABOVE), True: (Frame.CHOSEN, Frame.CHOSEN_ABOVE)}
    frame, bold = frames[heading.marked][above], look is not Look.PLAIN
    if shown is None or (shown == "" and heading.text is not Text.PROSE):
        return page.cell(CellLook(Kind.TEXT, Lies.NUMBER, frame=frame), None) if above else None
    if isinstance(shown, Formula):
        kind = shown.kind or heading.kind
        lies = (Lies.LEFT if kind is Kind.TEXT else Lies.RIGHT) if isinstance(shown.value, str) else Lies.NUMBER
        look_of_it = CellLook(kind, lies, bold and not shown.plain, frame=frame)
        return page.cell(look_of_it, f"={names.formula(shown.text)}")
    if isinstance(shown, str):
        bold = heading.bold or (bold and not heading.notes)
        return page.text(CellLook(Kind.TEXT, _lies(heading, look), bold, frame=frame), shown)
    number, kind = (shown.value, shown.kind) if isinstance(shown, Number) else (shown, heading.kind)
    value = as_number(kind, number) if isinstance(number, int) else number
    return page.cell(CellLook(kind, Lies.NUMBER, bold, frame=frame), value)


def _lies(heading: Heading, look: Look) -> Lies:
    if heading.kind is not Kind.TEXT:
        return Lies.RIGHT
    return Lies.TEXT if look is not Look.PLAIN and not heading.notes else _LIES[heading.text]


@dataclass(frozen=True, slots=True)
class _Names:
    """What the names in a formula stand for, seen from one cell."""

    grid: Grid
    grids: Mapping[str, Grid]
    row: int
    column: int

    def formula(self, text: str) -> str:
        """Give the formula with the addresses of the cells that it names."""
        return _NAMED.sub(self._address, text)

    def _address(self, found: re.Match[str]) -> str:
        if found["row"] == "#":
            return str(self.row)
        grid = self.grids[found["sheet"]] if found["sheet"] else self.grid
        column = found["column"] or get_column_letter(self.column)
        prefix = f"'{grid.title}'!" if found["sheet"] else ""
        return f"{prefix}{column}{grid.place(found['row'])}"


def _mark_differences(page: Page, cells: str) -> None:
    """Let what differs stand out in colour, and also in black and white."""
    looks = DifferentialStyle(font=Font(bold=True, color="FFB00020"), fill=PatternFill(bgColor="FFF4C7C3"))
    rule = Rule("cellIs", operator="equal", formula=[f'"{DIFFERS}"'], dxf=looks)
    page.sheet.conditional_formatting.add(cells, rule)


def _draw(page: Page, wanted: Chart) -> None:
    """Draw the last two columns of a table as columns, refunds beside what is left."""
    chart = BarChart()
    chart.type, chart.title, chart.style = "col", wanted.title, 10
    chart.width, chart.height = _WIDE, _HIGH
    chart.y_axis.numFmt, chart.y_axis.delete, chart.x_axis.delete = "#,##0", False, False
    # Names stand below the lowest column, not across those below zero.
    chart.x_axis.tickLblPos = "low"
    chart.legend.position = "b"
    heading, last = wanted.heading, wanted.last
    chart.add_data(Reference(page.sheet, min_col=5, max_col=6, min_row=heading, max_row=last), titles_from_data=True)
    for series, colour in zip(chart.series, _COLOURS, strict=True):
        series.graphicalProperties.solidFill = colour
    chart.set_categories(Reference(page.sheet, min_col=1, min_row=heading + 1, max_row=last))
    chart.gapWidth = 60
    page.sheet.add_chart(chart, f"A{last + 2}")
