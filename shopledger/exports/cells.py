"""The pages of a workbook and how their cells look: each style is made once, and print finds all it needs."""

from __future__ import annotations

from collections.abc import Iterable
from copy import copy
from dataclasses import dataclass
from decimal import Decimal
from enum import Enum
from functools import lru_cache
from typing import Final

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.styles import Alignment, Border, Font, PatternFill, Side
from openpyxl.styles.cell_style import StyleArray
from openpyxl.utils import get_column_letter
from openpyxl.worksheet.header_footer import HeaderFooterItem, _HeaderFooterPart
from openpyxl.worksheet.properties import PageSetupProperties

from shopledger.exports.cell_text import begins_like_a_formula, lines_of, writable
from shopledger.exports.kept_values import FormulaCell, add_sheet
from shopledger.exports.print_widths import LETTER, SIDE, SIZE, SMALLEST
from shopledger.exports.sheets import Kind, Shown

LETTER_PAPER: Final = 1
"""The number by which a workbook names Letter paper."""

TYPEFACE: Final = "Arial"
"""The one typeface of the workbook: what widths mean hangs on it, and most programs have it or one of its widths."""
_POINTS: Final = 72

_LINE: Final = Side(style="thin", color="FF444444")
_GREY: Final = PatternFill("solid", fgColor="FFE4E4E4")
_CHOSEN: Final = PatternFill("solid", fgColor="FFF1F1F1")
_ROW_HEIGHT: Final = 15.0
_LINE_HEIGHT: Final = 12.75
"""Heights in points: of a row with one line, and of each line more."""


class Lies(Enum):
    """How a cell's content lies in it; a little air keeps text apart from the number on its left."""

    NUMBER = "number"
    TEXT = "text"
    WRAPPED = "wrapped"
    PROSE = "prose"
    LEFT = "left"
    RIGHT = "right"
    HEADING = "heading"
    HEADING_RIGHT = "heading right"


ALIGNED: Final = {
    Lies.NUMBER: Alignment(vertical="center"),
    Lies.TEXT: Alignment(horizontal="left", vertical="center", indent=1),
    Lies.WRAPPED: Alignment(horizontal="left", vertical="center", indent=1, wrap_text=True),
    Lies.PROSE: Alignment(horizontal="left", vertical="top", indent=1, wrap_text=True),
    Lies.LEFT: Alignment(horizontal="left", vertical="center"),
    Lies.RIGHT: Alignment(horizontal="right", vertical="center"),
    Lies.HEADING: Alignment(horizontal="left", vertical="center", wrap_text=True, indent=1),
    Lies.HEADING_RIGHT: Alignment(horizontal="right", vertical="center", wrap_text=True, indent=0),
}


class CellFrame(Enum):
    """The lines and the ground of a cell."""

    NONE = "none"
    HEADING = "heading"
    TOTAL = "total"
    ABOVE = "line above"
    CHOSEN = "chosen"
    CHOSEN_ABOVE = "chosen, line above"


_FRAMES: Final = {
    CellFrame.NONE: (None, None),
    CellFrame.HEADING: (Border(bottom=_LINE), _GREY),
    CellFrame.TOTAL: (Border(top=_LINE, bottom=_LINE), _GREY),
    CellFrame.ABOVE: (Border(top=_LINE), None),
    CellFrame.CHOSEN: (None, _CHOSEN),
    CellFrame.CHOSEN_ABOVE: (Border(top=_LINE), _CHOSEN),
}


@dataclass(frozen=True, slots=True)
class CellLook:
    """All that a cell's style is made of."""

    kind: Kind
    lies: Lies
    bold: bool = False
    size: float = SIZE
    frame: CellFrame = CellFrame.NONE


@lru_cache(maxsize=16)
def _font(size: float, *, bold: bool) -> Font:
    """Give the typeface; without its name a program would choose another for bold words."""
    return Font(name=TYPEFACE, size=size, bold=bold)


def _set_usual_type(book: Workbook) -> None:
    """Let what a cell shows without a style of its own, and the unit of all widths, be of the one typeface."""
    book._fonts[0] = _font(SIZE, bold=False)  # type: ignore[attr-defined]  # noqa: SLF001 - it has no public name
    book._named_styles["Normal"].font = _font(SIZE, bold=False)  # type: ignore[attr-defined]  # noqa: SLF001 - as above


@dataclass(frozen=True, slots=True)
class PageMargins:
    """What stands at the foot of every printed page, and at its top where the book is a draft."""

    footer: str
    draft: str = ""


class PagedBook:
    """A workbook of such pages; each style is made once for all of them."""

    def __init__(self, margins: PageMargins) -> None:
        self.book = Workbook(write_only=True)
        self.margins = margins
        self.looks: dict[CellLook, StyleArray] = {}
        _set_usual_type(self.book)


class Page:
    """One sheet of a workbook, filled from its top: rows pass through once."""

    def __init__(self, paged: PagedBook, title: str, widths: Iterable[float], *, landscape: bool) -> None:
        self.sheet = add_sheet(paged.book, title)
        self._looks = paged.looks
        for place, width in enumerate(widths, start=1):
            self.sheet.column_dimensions[get_column_letter(place)].width = width
        self._set_up(paged.margins, landscape=landscape)

    def _set_up(self, margins: PageMargins, *, landscape: bool) -> None:
        sheet = self.sheet
        sheet.sheet_format.defaultRowHeight, sheet.sheet_format.customHeight = _ROW_HEIGHT, True
        sheet.sheet_properties.pageSetUpPr = PageSetupProperties(fitToPage=True)
        sheet.page_setup.paperSize = LETTER_PAPER
        sheet.page_setup.orientation = "landscape" if landscape else "portrait"
        sheet.page_setup.fitToWidth, sheet.page_setup.fitToHeight = 1, 0
        sheet.page_margins.left = sheet.page_margins.right = SIDE
        sheet.page_margins.top, sheet.page_margins.bottom = 0.6, 0.75
        left = _HeaderFooterPart(text=_in_margin(writable(margins.footer)))
        sheet.oddFooter = HeaderFooterItem(left=left, right=_HeaderFooterPart(text="Page &P of &N"))
        if margins.draft:
            sheet.page_margins.top, sheet.page_margins.header = 0.85, 0.4
            said = _HeaderFooterPart(text=_in_margin(margins.draft), font=f"{TYPEFACE},Bold")
            sheet.oddHeader = HeaderFooterItem(center=said)

    def fits_one(self, rows: int) -> bool:
        """Tell whether so many rows can be printed on one page without type that is too small to read."""
        own = self.sheet.row_dimensions
        high = sum((own[row].height if row in own else None) or _ROW_HEIGHT for row in range(1, rows + 1))
        long = LETTER[0 if self.sheet.page_setup.orientation == "landscape" else 1]
        margins = self.sheet.page_margins
        return bool((long - margins.top - margins.bottom) * _POINTS >= high * SMALLEST / SIZE)

    def row_height(self, row: int, lines: int, *, one: float | None = None) -> None:
        """Make a row as high as its lines need; not every program does so by itself."""
        if lines > 1 or one is not None:
            self.sheet.row_dimensions[row].height = (one or _ROW_HEIGHT) + (lines - 1) * _LINE_HEIGHT

    def fit_row(self, row: int, texts: Iterable[tuple[str, float]]) -> None:
        """Make a row as high as its longest text needs in its column's width."""
        self.row_height(row, max((lines_of(text, width) for text, width in texts), default=1))

    def cell(self, look: CellLook, value: Shown | Decimal) -> Cell:
        """Make a cell that holds a number or a day."""
        cell = self._dressed(WriteOnlyCell(self.sheet), look)
        cell.value = value
        return cell

    def formula(self, look: CellLook, formula: str, known: Decimal | str | None) -> Cell:
        """Make a cell that holds a formula, and what it comes to for programs that do not work it out."""
        return self._dressed(FormulaCell(self.sheet, formula, known), look)

    def _dressed(self, cell: Cell, look: CellLook) -> Cell:
        known = self._looks.get(look)
        if known is None:
            _dress(cell, look)
            self._looks[look] = copy(cell._style)  # type: ignore[attr-defined]  # noqa: SLF001 - as openpyxl's guide does
        else:
            cell._style = copy(known)  # type: ignore[attr-defined]  # noqa: SLF001 - as above
        return cell

    def text(self, look: CellLook, text: str) -> Cell:
        """Make a cell that holds text and nothing but text, whatever it begins with."""
        cell = self.cell(look, None)
        set_text(cell, writable(text))
        if begins_like_a_formula(text):
            # The quote mark shows in the formula bar, so only texts that need it get it.
            cell.quotePrefix = True
        return cell

    def heading(self, words: str, *, right: bool) -> Cell:
        """Make a column's heading."""
        lies = Lies.HEADING_RIGHT if right else Lies.HEADING
        cell = self.cell(CellLook(Kind.TEXT, lies, bold=True, frame=CellFrame.HEADING), None)
        set_text(cell, writable(words))
        return cell


def set_text(cell: Cell, text: str) -> None:
    """Put text into a cell past the setter, which would take it for a formula or an error by how it begins."""
    cell._value = text  # type: ignore[attr-defined]  # noqa: SLF001 - as above
    cell.data_type = "s"


def set_number(cell: Cell, number: int | Decimal) -> None:
    """Put a number into a cell past the setter, which would look at its type first; there are many of them."""
    cell._value = number  # type: ignore[attr-defined]  # noqa: SLF001 - as above
    cell.data_type = "n"


def _dress(cell: Cell, look: CellLook) -> None:
    cell.number_format, cell.font = look.kind.value, _font(look.size, bold=look.bold)
    cell.alignment = ALIGNED[look.lies]
    border, fill = _FRAMES[look.frame]
    if border is not None:
        cell.border = border
    if fill is not None:
        cell.fill = fill


def _in_margin(text: str) -> str:
    """Double each ampersand: one alone begins a code in a margin."""
    return text.replace("&", "&&")
