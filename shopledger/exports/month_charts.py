"""The sheet of charts: net sales by week and by kind, drawn by the spreadsheet itself over small tables of formulas."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from openpyxl import Workbook
from openpyxl.chart import BarChart, Reference
from openpyxl.worksheet.worksheet import Worksheet

from shopledger.exports.columns import Kind
from shopledger.exports.figure_rows import FigureRows
from shopledger.exports.formulas import SALES, where
from shopledger.exports.month_sheets import REFUNDS
from shopledger.exports.sheet_writer import add_sheet, number_cell, text_cell
from shopledger.ledger.books.month import Month
from shopledger.ledger.books.month_book import MonthBook
from shopledger.ledger.offers import LineKind

_WIDTHS: Final = (22.0, 12.5, 12.5, 15.0, 15.0, 15.0)
_COLOURS: Final = ("B08A3E", "3B5B7A")
_WEEK: Final = 7
_WIDE, _HIGH = 18, 8
"""Size of a chart in centimetres: two of them and their tables fill a page."""
_ROWS_HIGH: Final = 15
"""How many rows a chart covers."""


def weeks(month: Month) -> Iterator[tuple[date, date]]:
    """Give the first and last day of each week, Monday to Sunday, cut where the month begins and ends."""
    first = month.first
    while first <= month.last:
        last = min(first + timedelta(days=_WEEK - 1 - first.weekday()), month.last)
        yield first, last
        first = last + timedelta(days=1)


def write_charts(book: Workbook, month_book: MonthBook, footer: str) -> None:
    """Add the charts with the tables that they are drawn from."""
    sheet = add_sheet(book, "Charts", _WIDTHS, footer, landscape=False)
    sheet.page_setup.fitToHeight = 1
    rows = FigureRows(sheet)
    rows.head(
        month_book,
        "Net sales without tax, less cancellations; refunds on the day they were given.",
        ("By week", "From", "To", "Sold", "Refunded", "Left"),
    )
    first = rows.row
    for begin, end in weeks(month_book.month):
        _week(rows, begin, end)
    _draw(sheet, "Net sales by week", (first, rows.row), rows.row + 1)
    for _ in range(_ROWS_HIGH + 1):
        rows.write()
    rows.headings(("By kind", "", "", "Sold", "Refunded", "Left"))
    first = rows.row
    for kind in LineKind:
        _kind(rows, kind)
    _draw(sheet, "Net sales by kind", (first, rows.row), rows.row + 1)


def _week(rows: FigureRows, begin: date, end: date) -> None:
    row = rows.row + 1
    days = f'">="&B{row}', f'"<="&C{row}'
    sold, refunded = (
        f"SUMIFS({sheet.part('Net')},{sheet.part('Date')},{days[0]},{sheet.part('Date')},{days[1]})"
        for sheet in (SALES, REFUNDS)
    )
    _line(rows, f"{begin:%b} {begin.day} to {end.day}", (begin, end), (sold, refunded))


def _kind(rows: FigureRows, kind: LineKind) -> None:
    _line(rows, kind.value, (None, None), (where(SALES, "Net", Kind=kind), where(REFUNDS, "Net", Kind=kind)))


def _line(rows: FigureRows, words: str, days: tuple[date | None, date | None], formulas: tuple[str, str]) -> None:
    row = rows.row + 1
    sheet = rows.sheet
    shown = (number_cell(sheet, Kind.DAY, day) if day else None for day in days)
    amounts = (number_cell(sheet, Kind.MONEY, f"=ROUND({each},2)") for each in (*formulas, f"D{row}-E{row}"))
    rows.write([text_cell(sheet, words), *shown, *amounts])


def _draw(sheet: Worksheet, title: str, place: tuple[int, int], below: int) -> None:
    """Draw the last two columns of a table as columns, refunds beside what is left."""
    heading, last = place
    chart = BarChart()
    chart.type, chart.title, chart.style = "col", title, 10
    chart.width, chart.height = _WIDE, _HIGH
    chart.y_axis.numFmt, chart.y_axis.delete, chart.x_axis.delete = "#,##0", False, False
    # Names stand below the lowest column, not across those below nought.
    chart.x_axis.tickLblPos = "low"
    chart.legend.position = "b"
    chart.add_data(Reference(sheet, min_col=5, max_col=6, min_row=heading, max_row=last), titles_from_data=True)
    for series, colour in zip(chart.series, _COLOURS, strict=True):
        series.graphicalProperties.solidFill = colour
    chart.set_categories(Reference(sheet, min_col=1, min_row=heading + 1, max_row=last))
    chart.gapWidth = 60
    sheet.add_chart(chart, f"A{below + 1}")
