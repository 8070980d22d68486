"""Rows of figures that are checked: what it is, from one side, from the other, and whether they agree."""

from __future__ import annotations

from collections.abc import Iterable
from typing import Final

from openpyxl.cell import Cell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Kind, as_number
from shopledger.exports.month_figures import Figure, Section
from shopledger.exports.sheet_writer import font, heading_cell, number_cell, text_cell, verdict_cell
from shopledger.ledger.books.month_book import MonthBook

AGREES: Final = "OK"
DIFFERS: Final = "DIFFERS"


class FigureRows:
    """Writes figures into a sheet one below another, and knows at which row it is."""

    def __init__(self, sheet: Worksheet) -> None:
        self.sheet = sheet
        self.row = 0
        self.count = 0
        """How many checks were written."""

    def write(self, cells: Iterable[Cell | None] = ()) -> None:
        """Add a row of cells, or an empty one."""
        self.sheet.append(list(cells))
        self.row += 1

    def head(self, book: MonthBook, words: str, headings: Iterable[str]) -> None:
        """Write whose month it is, what the sheet says, and the headings."""
        title = text_cell(self.sheet, f"{book.shop_name}: {book.month}")
        title.font = font(bold=True, size=15)
        self.sheet.row_dimensions[1].height = 24
        self.write([title])
        self.write([text_cell(self.sheet, words)])
        self.write()
        self.headings(headings)

    def headings(self, headings: Iterable[str]) -> None:
        """Write headings, all but the first over numbers."""
        self.write(heading_cell(self.sheet, words, right=place > 0) for place, words in enumerate(headings))

    def section(self, section: Section) -> None:
        """Write a heading and its figures."""
        self.write([text_cell(self.sheet, section.heading, bold=True)])
        for figure in section.figures:
            self.figure(figure)

    def figure(self, figure: Figure, *, bold: bool = False, said: str = "") -> None:
        """Write a figure with its check, and what is said about it."""
        ledger = _whole(figure.ledger) if isinstance(figure.ledger, str) else as_number(figure.kind, figure.ledger)
        row = self.row + 1
        self.count += 1
        self.write(
            [
                text_cell(self.sheet, figure.label, bold=bold),
                number_cell(self.sheet, figure.kind, _whole(figure.formula), bold=bold),
                number_cell(self.sheet, figure.kind, ledger, bold=bold),
                self.check(f'=IF(ROUND(B{row}-C{row},2)=0,"{AGREES}","{DIFFERS}")'),
                *([text_cell(self.sheet, said, wrapped=True)] if said else []),
            ]
        )

    def amounts(self, words: str, formulas: Iterable[str | None], *, bold: bool = False) -> None:
        """Write a line of amounts that are not checked."""
        cells = (
            number_cell(self.sheet, Kind.MONEY, _whole(formula), bold=bold) if formula else None for formula in formulas
        )
        self.write([text_cell(self.sheet, words, bold=bold), *cells])

    def check(self, formula: str, *, bold: bool = False) -> Cell:
        """Make a cell that says whether something agrees."""
        return verdict_cell(self.sheet, formula, bold=bold)

    def verdict(self, words: str, formula: str) -> None:
        """Say in one cell whether all of something holds."""
        self.write([text_cell(self.sheet, words, bold=True), None, None, self.check(formula, bold=True)])

    def all_agree(self, first: int) -> str:
        """Give the formula that says whether all checks from a row on hold; one that is an error or gone does not."""
        return f'=IF(COUNTIF(D{first}:D{self.row},"{AGREES}")={self.count},"{AGREES}","{DIFFERS}")'

    def mark_differences(self, first: int) -> None:
        """Let what differs stand out in colour, from a row on."""
        looks = DifferentialStyle(font=Font(bold=True, color="FFB00020"), fill=PatternFill(bgColor="FFF4C7C3"))
        rule = Rule("cellIs", operator="equal", formula=[f'"{DIFFERS}"'], dxf=looks)
        self.sheet.conditional_formatting.add(f"D{first}:D{self.row}", rule)


def _whole(formula: str) -> str:
    """Round to cents, since sums of cents leave traces that a nought shows as below nought."""
    return f"=ROUND({formula},2)"
