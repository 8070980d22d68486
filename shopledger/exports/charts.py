"""The sheet of charts: net sales by week and by kind, drawn by the spreadsheet itself over small tables of formulas."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date, timedelta
from typing import Final

from shopledger.exports.customer_sheets import REFUNDS, SALES
from shopledger.exports.formulas import where
from shopledger.exports.sheets import Chart, Formula, Grid, Heading, Kind, RowLook, TextFit
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.reports import PeriodReport
from shopledger.ledger.offers import LineKind

TITLE: Final = "Charts"
_WEEK: Final = 7
_ROWS_HIGH: Final = 15
"""How many rows a chart covers."""


def weeks(period: Period) -> Iterator[tuple[date, date]]:
    """Give the first and last day of each week, Monday to Sunday, cut where the period begins and ends."""
    first = period.first
    while first <= period.last:
        last = min(first + timedelta(days=_WEEK - 1 - first.weekday()), period.last)
        yield first, last
        first = last + timedelta(days=1)


def charts_grid(report: PeriodReport) -> Grid:
    """Give the charts with the tables that they are drawn from."""
    words = "Net sales without tax, less cancellations; refunds on the day they were given."
    headings = (
        Heading("By week", 22.0, Kind.TEXT, text=TextFit.ONE_LINE),
        *(Heading(each, 12.5, Kind.DAY) for each in ("From", "To")),
        *(Heading(each, 15.0) for each in ("Sold", "Refunded", "Left")),
    )  # fmt: skip
    grid = Grid(
        TITLE, headings, head=(f"{report.shop_name}: {report.period}", words, None), one_page=True,
        frozen="", repeated=False,
    )  # fmt: skip
    for begin, end in weeks(report.period):
        sold, refunded = (_on_days(sheet.part("Net"), sheet.part("Date")) for sheet in (SALES, REFUNDS))
        until = f"{end.day}" if begin.month == end.month else f"{end:%b} {end.day}"
        _line(grid, f"{begin:%b} {begin.day} to {until}", (begin, end), (sold, refunded))
    grid.charts.append(Chart("Net sales by week", grid.header_row, grid.last_row))
    for _ in range(_ROWS_HIGH + 1):
        grid.add()
    grid.add("By kind", "", "", "Sold", "Refunded", "Left", look=RowLook.HEADINGS)
    begin_row = grid.last_row
    for kind in LineKind:
        _line(grid, kind.value, (None, None), (where(SALES, "Net", Kind=kind), where(REFUNDS, "Net", Kind=kind)))
    grid.charts.append(Chart("Net sales by kind", begin_row, grid.last_row))
    return grid


def _on_days(amounts: str, day: str) -> str:
    return f'SUMIFS({amounts},{day},">="&B{{#}},{day},"<="&C{{#}})'


def _line(grid: Grid, words: str, days: tuple[date | None, date | None], formulas: tuple[str, str]) -> None:
    amounts = (Formula(f"ROUND({each},2)") for each in (*formulas, "D{#}-E{#}"))
    grid.add(words, *days, *amounts)
