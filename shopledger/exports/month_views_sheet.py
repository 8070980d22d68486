"""The sheet that sets accrual and cash apart: each line of both, and what lies between them to the cent."""

from __future__ import annotations

from typing import Final

from openpyxl import Workbook

from shopledger.exports.figure_rows import FigureRows
from shopledger.exports.month_figures import Figure
from shopledger.exports.sheet_writer import add_sheet, make_room, text_cell
from shopledger.exports.view_figures import BETWEEN, WHY, View, views
from shopledger.ledger.books.month_book import MonthBook
from shopledger.ledger.books.month_views import ViewLine

TITLE: Final = "Accrual and cash"
_WIDTHS: Final = (58.0, 18.0, 18.0, 11.0, 60.0)
_FIRST: Final = 5


def write_views(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the sheet of both views, the shop's own first."""
    sheet = add_sheet(book, TITLE, _WIDTHS, footer, landscape=True)
    sheet.freeze_panes = f"A{_FIRST}"
    sheet.print_title_rows = "4:4"
    rows = FigureRows(sheet)
    first, second = views(month_book.figures, month_book.accounting)
    words = f"The shop looks at its months on {first.name.lower()} first; {second.name.lower()} stands beside it."
    rows.head(month_book, words, ("Line", "From the sheets", "In the ledger", "Check"))
    for view in (first, second):
        _view(rows, view)
    _between(rows, month_book)
    rows.mark_differences(_FIRST)


def _view(rows: FigureRows, view: View) -> None:
    rows.write([text_cell(rows.sheet, f"On {view.name.lower()}", bold=True)])
    first = rows.row + 1
    for line in ViewLine:
        if line in view.formulas:
            rows.figure(Figure(line.value, view.formulas[line], view.ledger[line]))
    total = f"SUM(B{first}:B{rows.row})"
    rows.figure(Figure(f"Result on {view.name.lower()}", total, sum(view.ledger.values())), bold=True)
    rows.write()


def _between(rows: FigureRows, book: MonthBook) -> None:
    """Write what is added to the result on accrual, why, and that it comes to the result on cash."""
    rows.write([text_cell(rows.sheet, "From the result on accrual to the result on cash", bold=True)])
    formulas = {
        view.name: "+".join(f"({each})" for each in view.formulas.values())
        for view in views(book.figures, book.accounting)
    }
    first = rows.row + 1
    rows.figure(Figure("Result on accrual", formulas["Accrual"], book.figures.accrual_result))
    for line, amount in book.figures.between.items():
        row = rows.row + 1
        make_room(rows.sheet, row, ((WHY[line], _WIDTHS[-1]),))
        rows.figure(Figure(line.value, BETWEEN[line], amount), said=WHY[line])
    total = f"SUM(B{first}:B{rows.row})"
    rows.figure(Figure("Result on cash", total, formulas["Cash"]), bold=True)
