"""The month's summary: each figure by formula over the other sheets, the ledger's own, and whether they agree."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Kind, as_number
from shopledger.exports.month_figures import Figure, Part, by_kind, by_method, sections, stock_value
from shopledger.exports.sheet_writer import add_sheet, font, heading_cell, number_cell, text_cell
from shopledger.ledger.month import MonthBook

_WIDTHS: Final = (52.0, 20.0, 20.0, 13.0)
_FIRST: Final = 5
"""The row of the first figure."""


def write_summary(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the summary as the first sheet; its formulas speak of tables that follow."""
    sheet = add_sheet(book, "Summary", _WIDTHS, footer, landscape=False)
    sheet.freeze_panes = f"A{_FIRST}"
    # It never grows longer than a page takes, so it is kept on one.
    sheet.page_setup.fitToHeight = 1
    _head(sheet, month_book)
    row, count = _FIRST, 0
    for section in sections(month_book):
        sheet.append([text_cell(sheet, section.heading, bold=True)])
        for figure in section.figures:
            row, count = row + 1, count + 1
            _figure(sheet, row, figure)
        row += 1
    checks = f"D{_FIRST}:D{row - 1}"
    _verdict(sheet, checks, count)
    _breakdown(sheet, "Net sales by kind", ("Sold", "Cancelled", "Refunded"), by_kind())
    _breakdown(sheet, "Money by method", ("Received", "Given back"), by_method())
    sheet.append([])
    value = number_cell(sheet, Kind.MONEY, f"={stock_value()}")
    sheet.append([text_cell(sheet, "Stock at the month's end, at the cost last paid"), value])
    _mark_differences(sheet, f"D{_FIRST}:D{row}")


def _head(sheet: Worksheet, book: MonthBook) -> None:
    title = text_cell(sheet, f"{book.shop_name}: {book.month}")
    title.font = font(bold=True, size=15)
    sheet.row_dimensions[1].height = 24
    sheet.append([title])
    days = f"{book.month.first.isoformat()} to {book.month.last.isoformat()}; made on {book.made_on.isoformat()}"
    sheet.append([text_cell(sheet, days)])
    sheet.append([])
    headings = ("Figure", "From the sheets", "In the ledger", "Check")
    sheet.append([heading_cell(sheet, words, right=place > 0) for place, words in enumerate(headings)])


def _figure(sheet: Worksheet, row: int, figure: Figure) -> None:
    ledger = f"={figure.ledger}" if isinstance(figure.ledger, str) else as_number(figure.kind, figure.ledger)
    sheet.append(
        [
            text_cell(sheet, figure.label),
            number_cell(sheet, figure.kind, f"={figure.formula}"),
            number_cell(sheet, figure.kind, ledger),
            _check(sheet, f'=IF(ROUND(B{row}-C{row},2)=0,"OK","DIFFERS")'),
        ]
    )


def _verdict(sheet: Worksheet, checks: str, count: int) -> None:
    """Say in one cell whether every check holds; a check that is an error or was taken away does not."""
    verdict = _check(sheet, f'=IF(COUNTIF({checks},"OK")={count},"OK","DIFFERS")')
    verdict.font = font(bold=True)
    sheet.append([text_cell(sheet, "All checks", bold=True), None, None, verdict])


def _check(sheet: Worksheet, formula: str) -> Cell:
    cell = number_cell(sheet, Kind.COUNT, formula)
    cell.alignment = Alignment(horizontal="right", vertical="center")
    return cell


def _breakdown(sheet: Worksheet, title: str, headings: Sequence[str], parts: Sequence[Part]) -> None:
    sheet.append([])
    right = (heading_cell(sheet, words, right=True) for words in headings)
    sheet.append([heading_cell(sheet, title, right=False), *right])
    for part in parts:
        amounts = (number_cell(sheet, Kind.MONEY, f"={formula}") for formula in part.formulas)
        sheet.append([text_cell(sheet, part.word), *amounts])


def _mark_differences(sheet: Worksheet, checks: str) -> None:
    looks = DifferentialStyle(font=Font(bold=True, color="FFB00020"), fill=PatternFill(bgColor="FFF4C7C3"))
    rule = Rule("cellIs", operator="equal", formula=['"DIFFERS"'], dxf=looks)
    sheet.conditional_formatting.add(checks, rule)
