"""A sheet whose rows differ: figures under headings, in which formulas speak of rows by name, on any sheet.

A formula names a cell as `{row}` (that row, the formula's own column), `{row.C}` (that row, column C) or
`{Sheet title!row.C}`; `{#}` is the number of its own row. Each formula carries the value that the ledger gives for it:
a plain CSV file can be written of the same grid, and a test can hold the two against each other.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, field
from typing import Final, TypeAlias

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.styles import Alignment, Border, PatternFill, Side
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.table import Table, TableColumn, TableStyleInfo
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Kind, as_number
from shopledger.exports.refusals import SheetError
from shopledger.exports.sheet_writer import add_sheet, font, heading_cell, make_room, number_cell, text_cell

_NAMED: Final = re.compile(r"\{(?:(?P<sheet>[^{}!]+)!)?(?P<row>[^{}!.]+)(?:\.(?P<column>[A-Z]+))?\}")
_ABOVE: Final = Border(top=Side(style="thin", color="FF444444"))
_WRAPPED: Final = Alignment(horizontal="left", vertical="center", indent=1, wrap_text=True)
_CHOSEN: Final = PatternFill("solid", fgColor="FFF1F1F1")


@dataclass(frozen=True, slots=True)
class Formula:
    """A formula, without its equals sign, and the value that the ledger gives for it."""

    text: str
    value: int | str


Shown: TypeAlias = "str | int | Formula | None"
"""What a cell holds: text, cents or a count or millionths, a formula that gives one of them, or nothing."""


@dataclass(frozen=True, slots=True)
class Heading:
    """A column's heading, its width, and what it holds; a marked one is set off from its neighbours."""

    words: str
    width: float
    kind: Kind = Kind.MONEY
    marked: bool = False
    notes: bool = False
    """Whether it only says something about the row; it is never set in bold."""


@dataclass(frozen=True, slots=True)
class GridRow:
    """One row: its cells from the left, the name that formulas call it by, and whether it is a total or a title."""

    cells: tuple[Shown, ...]
    name: str = ""
    strong: bool = False


@dataclass(slots=True)
class Grid:
    """A sheet in the making: rows are added in their order, and placed below the lines of its head."""

    title: str
    table: str
    headings: tuple[Heading, ...]
    landscape: bool = False
    head: tuple[str, ...] = ()
    one_page: bool = False
    rows: list[GridRow] = field(default_factory=list)
    _places: dict[str, int] = field(default_factory=dict)

    def add(self, *cells: Shown, name: str = "", strong: bool = False) -> None:
        """Add a row."""
        if name:
            if name in self._places:
                raise SheetError(f"the sheet {self.title} has a row '{name}' already")
            self._places[name] = self.first_row + len(self.rows)
        self.rows.append(GridRow(cells, name, strong))

    def title_row(self, words: str, column: int = 0) -> None:
        """Add a row that only says what follows."""
        self.add(*([None] * column), words, strong=True)

    @property
    def header_row(self) -> int:
        """The row of the headings."""
        return len(self.head) + 1

    @property
    def first_row(self) -> int:
        """The row of the first figures."""
        return self.header_row + 1

    @property
    def last_row(self) -> int:
        """The row of the last figures."""
        return self.header_row + len(self.rows)

    def place(self, name: str) -> int:
        """Give the number of a named row."""
        return self._places[name]

    def value(self, name: str, column: int) -> int | str | None:
        """Give what stands in a named row, in the column of that place from nought."""
        shown = self.rows[self.place(name) - self.first_row].cells[column]
        return shown.value if isinstance(shown, Formula) else shown


def write_grids(book: Workbook, grids: Sequence[Grid], footer: str, draft: str, titles: Iterable[str]) -> None:
    """Add the grids of these titles; their formulas may speak of any other, written before or after."""
    by_title = {grid.title: grid for grid in grids}
    for title in titles:
        _write(book, by_title[title], by_title, footer, draft)


def mark_draft(sheet: Worksheet, draft: str) -> None:
    """Write across the top of every printed page that it is a draft; nothing where it is none."""
    if draft:
        sheet.page_margins.top, sheet.page_margins.header = 0.85, 0.4
        sheet.oddHeader = HeaderFooterItem(center=_HeaderFooterPart(text=draft.replace("&", "&&"), font="Calibri,Bold"))


def _write(book: Workbook, grid: Grid, grids: Mapping[str, Grid], footer: str, draft: str) -> None:
    sheet = add_sheet(book, grid.title, (each.width for each in grid.headings), footer, landscape=grid.landscape)
    mark_draft(sheet, draft)
    sheet.freeze_panes = f"B{grid.first_row}"
    sheet.print_title_rows = f"{grid.header_row}:{grid.header_row}"
    if grid.one_page:
        sheet.page_setup.fitToHeight = 1
    for line, words in enumerate(grid.head, start=1):
        said = text_cell(sheet, words)
        said.font = font(bold=line == 1, size=15 if line == 1 else 11)
        if line == 1:
            sheet.row_dimensions[1].height = 24
        sheet.append([said])
    make_room(sheet, grid.header_row, ((each.words, each.width) for each in grid.headings))
    sheet.append([heading_cell(sheet, each.words, right=each.kind is not Kind.TEXT) for each in grid.headings])
    for number, row in enumerate(grid.rows, start=grid.first_row):
        _make_room(sheet, number, grid.headings, row)
        sheet.append(_cells(sheet, grid, grids, number, row))
    sheet.tables.add(_table(grid))


def _make_room(sheet: Worksheet, number: int, headings: Sequence[Heading], row: GridRow) -> None:
    texts = [
        (cell, each.width)
        for cell, each in zip(row.cells, headings, strict=False)
        if isinstance(cell, str) and each.kind is Kind.TEXT
    ]
    if texts and not row.strong:
        make_room(sheet, number, texts)


def _cells(sheet: Worksheet, grid: Grid, grids: Mapping[str, Grid], number: int, row: GridRow) -> list[Cell | None]:
    made: list[Cell | None] = []
    for place, (shown, heading) in enumerate(zip(row.cells, grid.headings, strict=False), start=1):
        cell = _cell(sheet, shown, heading, strong=row.strong, resolved=_Names(grid, grids, number, place))
        if row.strong and row.name:
            cell = cell or number_cell(sheet, Kind.TEXT, None)
            cell.border = _ABOVE
        if cell is not None and heading.marked:
            cell.fill = _CHOSEN
        made.append(cell)
    return made


def _cell(sheet: Worksheet, shown: Shown, heading: Heading, *, strong: bool, resolved: _Names) -> Cell | None:
    if shown is None or shown == "":
        return None
    if isinstance(shown, Formula):
        cell = number_cell(sheet, heading.kind, f"={resolved.formula(shown.text)}", bold=strong)
        if isinstance(shown.value, str):
            cell.alignment = Alignment(horizontal="left" if heading.kind is Kind.TEXT else "right", vertical="center")
        return cell
    if isinstance(shown, str):
        text = text_cell(sheet, shown, bold=strong and not heading.notes)
        if heading.kind is not Kind.TEXT:
            text.alignment = Alignment(horizontal="right", vertical="center")
        elif not strong or heading.notes:
            text.alignment = _WRAPPED
        return text
    return number_cell(sheet, heading.kind, as_number(heading.kind, shown), bold=strong)


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


def _table(grid: Grid) -> Table:
    """Name the rows as a real table."""
    last = get_column_letter(len(grid.headings))
    ref = f"A{grid.header_row}:{last}{grid.last_row}"
    table = Table(name=grid.table, displayName=grid.table, ref=ref, autoFilter=AutoFilter(ref=ref))
    table.tableStyleInfo = TableStyleInfo(name="TableStyleLight1", showRowStripes=False)
    table.tableColumns.extend(
        TableColumn(id=place, name=heading.words) for place, heading in enumerate(grid.headings, start=1)
    )
    return table
