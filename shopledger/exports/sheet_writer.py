"""Writes any declared sheet as a real table: rows stream through once, styles are made once, totals are formulas."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from copy import copy
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Final, Generic, TypeVar
from weakref import WeakKeyDictionary

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.cell_style import StyleArray
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.filters import AutoFilter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.properties import PageSetupProperties
from openpyxl.worksheet.table import Table, TableColumn, TableFormula, TableStyleInfo
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Column, Kind, Sheet, Shown, as_number
from shopledger.exports.inert import begins_like_a_formula, inert
from shopledger.exports.room import lines_of

R = TypeVar("R")

LETTER: Final = 1
"""The number by which a workbook names Letter paper."""

_LINE: Final = Side(style="thin", color="FF444444")
_GREY: Final = PatternFill("solid", fgColor="FFE4E4E4")
_MIDDLE: Final = Alignment(vertical="center")
# A little air keeps text apart from the number on its left.
_TEXT: Final = Alignment(horizontal="left", vertical="center", indent=1)
_WRAPPED: Final = Alignment(horizontal="left", vertical="center", indent=1, wrap_text=True)
_PROSE: Final = Alignment(horizontal="left", vertical="top", indent=1, wrap_text=True)
_ROW_HEIGHT: Final = 16.5
_LINE_HEIGHT: Final = 14.5
"""Heights in points: of a row with one line, and of each line more."""


@dataclass(frozen=True, slots=True)
class Written:
    """What went into a sheet: how many rows, and the sums of its added columns, counted while they passed by."""

    rows: int
    sums: dict[str, int]


def add_sheet(book: Workbook, title: str, widths: Iterable[float], footer: str, *, landscape: bool) -> Worksheet:
    """Add an empty sheet with column widths and everything that print needs."""
    made: Worksheet = book.create_sheet(title)
    for place, width in enumerate(widths, start=1):
        made.column_dimensions[get_column_letter(place)].width = width
    made.sheet_format.defaultRowHeight, made.sheet_format.customHeight = _ROW_HEIGHT, True
    made.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
    made.page_setup.paperSize = LETTER
    made.page_setup.orientation = "landscape" if landscape else "portrait"
    made.page_setup.fitToWidth, made.page_setup.fitToHeight = 1, 0
    made.page_margins.left = made.page_margins.right = 0.4
    made.page_margins.top, made.page_margins.bottom = 0.6, 0.75
    # An ampersand begins a code in a footer; twice, it is itself.
    left = _HeaderFooterPart(text=inert(footer).replace("&", "&&"))
    made.oddFooter = HeaderFooterItem(left=left, right=_HeaderFooterPart(text="Page &P of &N"))
    return made


@lru_cache(maxsize=16)
def font(*, bold: bool = False, size: float = 11) -> Font:
    """Give the one typeface of the workbook; without its name a program would choose another for bold words."""
    return Font(name="Calibri", size=size, bold=bold)


def make_room(sheet: Worksheet, row: int, texts: Iterable[tuple[str, float]]) -> None:
    """Make a row as high as its longest text needs in its column's width; not every program does so by itself."""
    _set_height(sheet, row, max(lines_of(text, width) for text, width in texts))


def _set_height(sheet: Worksheet, row: int, lines: int) -> None:
    if lines > 1:
        sheet.row_dimensions[row].height = _ROW_HEIGHT + (lines - 1) * _LINE_HEIGHT


def text_cell(sheet: Worksheet, text: str, *, bold: bool = False, wrapped: bool = False) -> Cell:
    """Make a cell that holds text and nothing but text, whatever it begins with."""

    def dress(cell: Cell) -> None:
        cell.number_format, cell.font = Kind.TEXT.value, font(bold=bold)
        cell.alignment = _PROSE if wrapped else _TEXT

    cell = _dressed(sheet, ("text", bold, wrapped), dress)
    _set_text(cell, inert(text))
    if begins_like_a_formula(text):
        cell.quotePrefix = True
    return cell


def heading_cell(sheet: Worksheet, text: str, *, right: bool) -> Cell:
    """Make a column's heading."""

    def dress(cell: Cell) -> None:
        cell.number_format = Kind.TEXT.value
        cell.font, cell.fill, cell.border = font(bold=True), _GREY, Border(bottom=_LINE)
        way, indent = ("right", 0) if right else ("left", 1)
        cell.alignment = Alignment(horizontal=way, vertical="center", wrap_text=True, indent=indent)

    cell = _dressed(sheet, ("heading", right), dress)
    _set_text(cell, inert(text))
    return cell


def number_cell(sheet: Worksheet, kind: Kind, value: Shown | Decimal, *, bold: bool = False) -> Cell:
    """Make a cell that holds a number in the format of its kind, or a formula that gives one."""

    def dress(cell: Cell) -> None:
        cell.number_format, cell.alignment, cell.font = kind.value, _MIDDLE, font(bold=bold)

    cell = _dressed(sheet, ("number", kind, bold), dress)
    cell.value = value
    return cell


def verdict_cell(sheet: Worksheet, formula: str, *, bold: bool = False) -> Cell:
    """Make a cell for a word that a formula gives, at the right under numbers."""

    def dress(cell: Cell) -> None:
        cell.number_format, cell.font = Kind.COUNT.value, font(bold=bold)
        cell.alignment = Alignment(horizontal="right", vertical="center")

    cell = _dressed(sheet, ("verdict", bold), dress)
    cell.value = formula
    return cell


def _total_cell(sheet: Worksheet, kind: Kind, formula: str) -> Cell:
    """Make a cell of the row below the last; without a formula it holds the word or nothing."""

    def dress(cell: Cell) -> None:
        cell.number_format, cell.font = kind.value, font(bold=True)
        cell.alignment = _TEXT if kind is Kind.TEXT else _MIDDLE
        cell.border, cell.fill = Border(top=_LINE, bottom=_LINE), _GREY

    cell = _dressed(sheet, ("total", kind), dress)
    cell.value = formula
    return cell


_LOOKS: Final[WeakKeyDictionary[Worksheet, dict[tuple[object, ...], StyleArray]]] = WeakKeyDictionary()
"""How cells of each kind look on a sheet, worked out once; each cell gets a copy, which it may change."""


def _dressed(sheet: Worksheet, look: tuple[object, ...], dress: Callable[[Cell], None]) -> Cell:
    """Make a cell with the look of its kind."""
    cell = WriteOnlyCell(sheet)
    looks = _LOOKS.setdefault(sheet, {})
    known = looks.get(look)
    if known is None:
        dress(cell)
        looks[look] = copy(cell._style)  # type: ignore[attr-defined]  # noqa: SLF001 - as openpyxl's guide does
    else:
        cell._style = copy(known)  # type: ignore[attr-defined]  # noqa: SLF001 - as above
    return cell


def write_sheet(book: Workbook, sheet: Sheet[R], rows: Iterable[R], footer: str) -> Written:
    """Add a sheet: headings that stay in view, the rows, and below them the totals of a real table."""
    made = add_sheet(book, sheet.title, (column.width for column in sheet.columns), footer, landscape=sheet.landscape)
    made.freeze_panes = "A2"
    made.print_title_rows = "1:1"
    make_room(made, 1, ((column.header, column.width) for column in sheet.columns))
    made.append([heading_cell(made, column.header, right=column.kind not in _ON_THE_LEFT) for column in sheet.columns])
    pens = [_Pen(made, column) for column in sheet.columns]
    count = 0
    for row in rows:
        count += 1
        cells = [pen.cell(row) for pen in pens]
        _set_height(made, count + 1, max(pen.lines for pen in pens))
        made.append(cells)
    if not count:
        # A table without a row cannot be; an empty one keeps the formulas right.
        made.append([])
    made.append(_totals(made, sheet))
    made.tables.add(_table(sheet, last_row=max(count, 1) + 1))
    return Written(count, {pen.header: pen.sum for pen in pens if pen.added})


_ON_THE_LEFT: Final = (Kind.TEXT, Kind.DAY)


class _Pen(Generic[R]):
    """Writes one column: a cell is made once, with its style, and filled anew for each row."""

    def __init__(self, sheet: Worksheet, column: Column[R]) -> None:
        self.header, self.added, self.sum = column.header, column.total, 0
        self.lines = 1
        self._get, self._kind, self._width = column.get, column.kind, column.width
        self._is_text = column.kind is Kind.TEXT
        self._plain = WriteOnlyCell(sheet)
        self._plain.number_format = column.kind.value
        self._plain.alignment = {Kind.TEXT: _WRAPPED, Kind.DAY: _TEXT}.get(column.kind, _MIDDLE)
        # The quote mark shows in the formula bar, so only texts that need it get it.
        self._guarded = text_cell(sheet, "")
        self._guarded.alignment, self._guarded.quotePrefix = _WRAPPED, True

    def cell(self, row: R) -> Cell | None:
        """Fill the cell with what the column takes from the row; nothing needs no cell."""
        shown = self._get(row)
        if shown is None or shown == "":
            self.lines = 1
            return None
        if self._is_text:
            text, guarded, self.lines = _fitted(str(shown), self._width)
            cell = self._guarded if guarded else self._plain
            _set_text(cell, text)
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
    safe = inert(text)
    return safe, begins_like_a_formula(text), lines_of(safe, width)


def _set_text(cell: Cell, text: str) -> None:
    # Past the setter, which would take the text for a formula or an error by how it begins, and look at it once more.
    cell._value = text  # type: ignore[attr-defined]  # noqa: SLF001 - as above
    cell.data_type = "s"


def _totals(made: Worksheet, sheet: Sheet[R]) -> list[Cell]:
    """Make the row below the last: what the visible rows add up to, so that it follows a filter."""
    cells = []
    for place, column in enumerate(sheet.columns):
        if column.total:
            cells.append(_total_cell(made, column.kind, f"={_total(sheet, column)}"))
        else:
            cells.append(_total_cell(made, Kind.TEXT, "" if place else "Total"))
    return cells


def _total(sheet: Sheet[R], column: Column[R]) -> str:
    visible = f"SUBTOTAL(109,{sheet.part(column.header)})"
    return f"ROUND({visible},2)" if column.whole_cents else visible


def _table(sheet: Sheet[R], last_row: int) -> Table:
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
