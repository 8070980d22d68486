"""The month's summary: each figure by formula over the other sheets, the ledger's own, and whether they agree."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from openpyxl import Workbook
from openpyxl.cell import Cell
from openpyxl.formatting.rule import Rule
from openpyxl.styles import Alignment, Font, PatternFill
from openpyxl.styles.differential import DifferentialStyle
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Kind, Sheet, as_number
from shopledger.exports.month_sheets import PAYMENTS, STOCK, TAX, sales_sheet
from shopledger.exports.sheet_writer import add_sheet, font, heading_cell, number_cell, text_cell
from shopledger.ledger.month import MonthBook, MonthTotals
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method

_WIDTHS: Final = (52.0, 20.0, 20.0, 13.0)
_FIRST: Final = 5
"""The row of the first figure."""


@dataclass(frozen=True, slots=True)
class Figure:
    """One line: what it is, the formula over the sheets, and the ledger's own figure or a formula for it."""

    label: str
    formula: str
    ledger: int | str
    kind: Kind = Kind.MONEY


@dataclass(frozen=True, slots=True)
class Part:
    """One line of a breakdown: a word that a sheet's column is searched for, and what it adds up to."""

    word: str
    formula: str


def figures(totals: MonthTotals, by_kind: str, by_method: str) -> tuple[Figure, ...]:
    """Give the month's figures; the last two arguments are the cells in which the breakdowns stand."""
    sales = sales_sheet()
    owed = totals.net_total + totals.tax_total
    return (
        Figure("Orders", _sum(sales, "New order"), totals.orders, Kind.COUNT),
        Figure("List prices", _sum(sales, "List price"), totals.list_total),
        Figure("Reductions by offers", _sum(sales, "Reduction"), totals.reduction_total),
        Figure("Net sales", _sum(sales, "Net"), totals.net_total),
        Figure("Sales tax charged", _sum(sales, "Tax"), totals.tax_total),
        Figure("Net sales and sales tax", f"{_sum(sales, 'Net')}+{_sum(sales, 'Tax')}", owed),
        Figure("Payments received", _sum(PAYMENTS, "Amount"), totals.payments_total),
        Figure("Net sales, from Tax by state", _sum(TAX, "Sales"), totals.net_total),
        Figure("Sales tax, from Tax by state", _sum(TAX, "Tax"), totals.tax_total),
        Figure("Net sales, added up by kind", f"SUM({by_kind})", totals.net_total),
        Figure("Payments, added up by method", f"SUM({by_method})", totals.payments_total),
        Figure(
            "Items on hand: opening + received − sold + adjusted", _expected_stock(), _sum(STOCK, "Closing"), Kind.COUNT
        ),
    )


def write_summary(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the summary as the first sheet; its formulas speak of tables that follow."""
    sheet = add_sheet(book, "Summary", _WIDTHS, footer, landscape=False)
    sheet.freeze_panes = f"A{_FIRST}"
    kinds = _parts(sales_sheet(), "Kind", "Net", [kind.value for kind in LineKind])
    methods = _parts(PAYMENTS, "Method", "Amount", [method.value for method in Method])
    count = len(figures(month_book.totals, "B1", "B1"))
    first_kind = _FIRST + count + 3
    first_method = first_kind + len(kinds) + 2
    by_kind = f"B{first_kind}:B{first_kind + len(kinds) - 1}"
    by_method = f"B{first_method}:B{first_method + len(methods) - 1}"
    _head(sheet, month_book)
    lines = figures(month_book.totals, by_kind, by_method)
    for row, figure in enumerate(lines, start=_FIRST):
        _figure(sheet, row, figure)
    checks = f"D{_FIRST}:D{_FIRST + count - 1}"
    _verdict(sheet, checks)
    _breakdown(sheet, "Net sales by kind", kinds)
    _breakdown(sheet, "Payments by method", methods)
    sheet.append([])
    value = number_cell(sheet, Kind.MONEY, f"={_sum(STOCK, 'Value')}")
    sheet.append([text_cell(sheet, "Stock at the month's end, at the cost last paid"), value])
    _mark_differences(sheet, f"D{_FIRST}:D{_FIRST + count}")


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


def _verdict(sheet: Worksheet, checks: str) -> None:
    """Say in one cell whether every check holds; a check that is an error does not."""
    verdict = _check(sheet, f'=IF(COUNTIF({checks},"OK")=ROWS({checks}),"OK","DIFFERS")')
    verdict.font = font(bold=True)
    sheet.append([text_cell(sheet, "All checks", bold=True), None, None, verdict])


def _check(sheet: Worksheet, formula: str) -> Cell:
    cell = number_cell(sheet, Kind.COUNT, formula)
    cell.alignment = Alignment(horizontal="right", vertical="center")
    return cell


def _breakdown(sheet: Worksheet, title: str, parts: Sequence[Part]) -> None:
    sheet.append([])
    sheet.append([heading_cell(sheet, title, right=False), heading_cell(sheet, "From the sheets", right=True)])
    for part in parts:
        sheet.append([text_cell(sheet, part.word), number_cell(sheet, Kind.MONEY, f"={part.formula}")])


def _parts(sheet: Sheet[Any], words: str, amounts: str, known: Sequence[str]) -> tuple[Part, ...]:
    """Give one line for each word that the column may hold."""
    return tuple(Part(word, f'SUMIF({sheet.part(words)},"{word}",{sheet.part(amounts)})') for word in known)


def _sum(sheet: Sheet[Any], header: str) -> str:
    return f"SUM({sheet.part(header)})"


def _expected_stock() -> str:
    opening, received, sold, adjusted = (_sum(STOCK, each) for each in ("Opening", "Received", "Sold", "Adjusted"))
    return f"{opening}+{received}-{sold}+{adjusted}"


def _mark_differences(sheet: Worksheet, checks: str) -> None:
    looks = DifferentialStyle(font=Font(bold=True, color="FFB00020"), fill=PatternFill(bgColor="FFF4C7C3"))
    rule = Rule("cellIs", operator="equal", formula=['"DIFFERS"'], dxf=looks)
    sheet.conditional_formatting.add(checks, rule)
