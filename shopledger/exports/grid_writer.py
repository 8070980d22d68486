"""Writes a grid into a workbook: its head, its rows with formulas that find the cells they name, its charts."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal
from typing import Final

from openpyxl.cell import Cell
from openpyxl.chart import BarChart, Reference, Series
from openpyxl.chart.data_source import StrRef
from openpyxl.chart.series import SeriesLabel
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.table import Table, TableColumn, TableStyleInfo

from shopledger.exports.cells import CellFrame, CellLook, Lies, Page, PagedBook
from shopledger.exports.print_widths import SIZE, Wanted, printed_widths
from shopledger.exports.sheets import (
    DIFFERS,
    Chart,
    Formula,
    Grid,
    GridRow,
    Heading,
    Kind,
    Number,
    RowLook,
    RowsChart,
    TextFit,
    as_number,
)
from shopledger.exports.sheets import Cell as Content
from shopledger.exports.working_out import WorkedOut

_NAMED: Final = re.compile(r"\{(?:(?P<sheet>[^{}!]+)!)?(?P<row>[^{}!.]+)(?:\.(?P<column>[A-Z]+))?\}")
_LIES: Final = {TextFit.ONE_LINE: Lies.TEXT, TextFit.WRAPPED: Lies.WRAPPED, TextFit.PROSE: Lies.PROSE}
_FRAMES: Final = {False: (CellFrame.NONE, CellFrame.ABOVE), True: (CellFrame.CHOSEN, CellFrame.CHOSEN_ABOVE)}
"""Of a cell, and of one in a total: of a usual column, and of a marked one."""
_TITLE_SIZE, _TITLE_HEIGHT = 14, 24
_COLOURS: Final = ("B08A3E", "3B5B7A")
_LOW, _CHART_ROWS = 7, 14
"""How high a chart below a summary is, in centimetres and in rows."""
_WIDE, _HIGH = 18, 8
"""Size of a chart in centimetres: two of them and their tables fill a page."""


def write_grid(paged: PagedBook, grid: Grid, worked: WorkedOut) -> None:
    """Add a grid to a workbook; its formulas may speak of any of the grids."""
    grid.headings = _on_the_page(grid)
    page = Page(paged, grid.title, (each.width for each in grid.headings), landscape=grid.landscape)
    sheet = page.sheet
    sheet.freeze_panes = f"B{grid.first_row}" if grid.frozen is None else grid.frozen or None
    if grid.repeated:
        sheet.print_title_rows = f"{grid.header_row}:{grid.header_row}"
    _head(page, grid)
    for number, row in enumerate(grid.rows, start=grid.first_row):
        _fit(page, number, grid.headings, row)
        sheet.append(_cells(page, grid, worked, number, row))
    if grid.verdicts:
        _mark_differences(page, f"{grid.verdicts}{grid.first_row}:{grid.verdicts}{grid.last_row}")
    if grid.table:
        sheet.tables.add(_grid_table(grid))
    for chart in grid.charts:
        _draw(page, chart)
    for rows in grid.row_charts:
        _draw_rows(page, grid, worked.grids[rows.sheet], rows)
    if grid.one_page and page.fits_one(grid.last_row + bool(grid.row_charts) * _CHART_ROWS):
        sheet.page_setup.fitToHeight = 1


def _on_the_page(grid: Grid) -> tuple[Heading, ...]:
    """Give the headings with the widths that the page bears."""
    wanted = [
        Wanted(each.words, each.width, each.kind is Kind.TEXT and each.text is not TextFit.ONE_LINE)
        for each in grid.headings
    ]
    widths = printed_widths(grid.title, wanted, landscape=grid.landscape)
    return tuple(replace(each, width=width) for each, width in zip(grid.headings, widths, strict=True))


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
        size = _TITLE_SIZE if line == 1 else SIZE
        look = CellLook(Kind.TEXT, Lies.TEXT, bold=line == 1, size=size)
        page.sheet.append([] if words is None else [page.text(look, words)])
    page.fit_row(grid.header_row, ((each.words, each.width) for each in grid.headings))
    page.sheet.append(
        [page.heading(each.words, right=each.kind is not Kind.TEXT) for each in grid.headings if each.words]
    )


def _fit(page: Page, number: int, headings: Sequence[Heading], row: GridRow) -> None:
    if row.look is RowLook.PLAIN:
        texts = (
            (cell, each.width)
            for cell, each in zip(row.cells, headings, strict=False)
            if isinstance(cell, str) and each.kind is Kind.TEXT and each.text is not TextFit.ONE_LINE
        )
        page.fit_row(number, texts)


def _cells(page: Page, grid: Grid, worked: WorkedOut, number: int, row: GridRow) -> list[Cell | None]:
    if row.look is RowLook.HEADINGS:
        return [
            page.heading(str(words), right=each.kind is not Kind.TEXT)
            for words, each in zip(row.cells, grid.headings, strict=False)
        ]
    return [
        _cell(page, shown, heading, row.look, _Place(worked, grid, number, place))
        for place, (shown, heading) in enumerate(zip(row.cells, grid.headings, strict=False), start=1)
    ]


def _cell(page: Page, shown: Content, heading: Heading, look: RowLook, place: _Place) -> Cell | None:
    """Make a cell; in a total an empty one has its line above too."""
    above = look is RowLook.TOTAL
    frame, bold = _FRAMES[heading.marked][above], look is not RowLook.PLAIN
    if shown is None or (shown == "" and heading.text is not TextFit.PROSE):
        return page.cell(CellLook(Kind.TEXT, Lies.NUMBER, frame=frame), None) if above else None
    if isinstance(shown, Formula):
        kind = shown.kind or heading.kind
        lies = (Lies.LEFT if kind is Kind.TEXT else Lies.RIGHT) if isinstance(place.known, str) else Lies.NUMBER
        look_of_it = CellLook(kind, lies, bold and not shown.plain, frame=frame)
        return page.formula(look_of_it, f"={place.formula(shown)}", place.known)
    if isinstance(shown, str):
        bold = heading.bold or (bold and not heading.notes)
        return page.text(CellLook(Kind.TEXT, _lies(heading, look), bold, frame=frame), shown)
    number, kind = (shown.value, shown.kind) if isinstance(shown, Number) else (shown, heading.kind)
    value = as_number(kind, number) if isinstance(number, int) else number
    return page.cell(CellLook(kind, Lies.NUMBER, bold, frame=frame), value)


def _lies(heading: Heading, look: RowLook) -> Lies:
    if heading.kind is not Kind.TEXT:
        return Lies.RIGHT
    return Lies.TEXT if look is not RowLook.PLAIN and not heading.notes else _LIES[heading.text]


@dataclass(frozen=True, slots=True)
class _Place:
    """One cell of a workbook, and what formulas in it come to."""

    worked: WorkedOut
    grid: Grid
    row: int
    column: int

    def formula(self, formula: Formula) -> str:
        """Give the text of a formula that stands here."""
        return formula_text(self.worked.grids, self.grid, self.row, self.column, formula)

    @property
    def known(self) -> Decimal | str | None:
        """What the formula that stands here comes to."""
        value = self.worked.cell(self.grid.title, self.row, self.column)
        return value if isinstance(value, Decimal | str) else None


def formula_text(grids: Mapping[str, Grid], grid: Grid, row: int, column: int, formula: Formula) -> str:
    """Give a formula's text with the addresses of the cells that it names, seen from its own cell."""

    def address(found: re.Match[str]) -> str:
        if found["row"] == "#":
            return str(row)
        on = grids[found["sheet"]] if found["sheet"] else grid
        prefix = f"'{on.title}'!" if found["sheet"] else ""
        return f"{prefix}{found['column'] or get_column_letter(column)}{on.place(found['row'])}"

    return _NAMED.sub(address, formula.text)


def _mark_differences(page: Page, cells: str) -> None:
    """Let what differs stand out in colour, and also in black and white."""
    looks = DifferentialStyle(font=Font(bold=True, color="FFB00020"), fill=PatternFill(bgColor="FFF4C7C3"))
    rule = Rule("cellIs", operator="equal", formula=[f'"{DIFFERS}"'], dxf=looks)
    page.sheet.conditional_formatting.add(cells, rule)


def _draw(page: Page, wanted: Chart) -> None:
    """Draw the last two columns of a table as columns, refunds beside what is left."""
    chart = _columns(wanted.title, _WIDE, _HIGH)
    heading, last = wanted.heading, wanted.last
    chart.add_data(Reference(page.sheet, min_col=5, max_col=6, min_row=heading, max_row=last), titles_from_data=True)
    _colour(chart)
    chart.set_categories(Reference(page.sheet, min_col=1, min_row=heading + 1, max_row=last))
    page.sheet.add_chart(chart, f"A{last + 2}")


def _draw_rows(page: Page, grid: Grid, source: Grid, wanted: RowsChart) -> None:
    """Draw rows of another sheet, each called as it is there."""
    first, last = wanted.columns
    chart = _columns(wanted.title, wanted.width, _LOW)
    for name in wanted.rows:
        row = source.place(name)
        series = Series(_on(source, first, last, row), title_from_data=False)
        series.tx = SeriesLabel(strRef=StrRef(f"'{source.title}'!$A${row}"))
        chart.series.append(series)
    _colour(chart)
    chart.set_categories(_on(source, first, last, source.header_row))
    page.sheet.add_chart(chart, f"{wanted.below}{grid.last_row + 2}")


def _on(source: Grid, first: str, last: str, row: int) -> Reference:
    return Reference(range_string=f"'{source.title}'!${first}${row}:${last}${row}")


def _columns(title: str, width: int, height: int) -> BarChart:
    """Begin a chart of columns with its axes and its legend."""
    chart = BarChart()
    chart.type, chart.title, chart.style = "col", title, 10
    chart.width, chart.height = width, height
    chart.gapWidth = 60
    chart.y_axis.numFmt, chart.y_axis.delete, chart.x_axis.delete = "#,##0", False, False
    # Names stand below the lowest column, not across those below zero.
    chart.x_axis.tickLblPos = "low"
    chart.legend.position = "b"
    return chart


def _colour(chart: BarChart) -> None:
    for series, colour in zip(chart.series, _COLOURS, strict=True):
        series.graphicalProperties.solidFill = colour
