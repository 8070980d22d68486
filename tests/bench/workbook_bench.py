"""How long a month's workbook takes beside a bare script that writes the same styled cells; prints the ratio.

Run it as `python tests/bench/workbook_bench.py [ROUNDS]`.
"""

from __future__ import annotations

import resource
import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

from openpyxl import Workbook
from openpyxl.cell import Cell, WriteOnlyCell
from openpyxl.styles import Alignment
from openpyxl.worksheet.worksheet import Worksheet

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.exports.columns import Kind
from shopledger.exports.month_book import write_month_book
from shopledger.exports.month_sheets import sales_sheet
from shopledger.ledger.month import MonthBook, PaymentRow, SalesRow
from tests.exports.sample_month import PAYMENTS, SALES, month_book

GOAL = 1.15
LINES_OF_AN_ORDER = 4


def sales(orders: int) -> Iterator[SalesRow]:
    """Make the lines of so many orders, each with names and amounts of its own."""
    for number in range(1, orders + 1):
        day = date(2026, 3, 1) + timedelta(days=number * 30 // orders)
        for line in range(LINES_OF_AN_ORDER):
            model = SALES[line]
            net = model.list_price + number
            yield replace(
                model, day=day, order_number=number, customer=f"Customer {number}", list_price=net, reduction=0, net=net
            )


def payments(orders: int) -> Iterator[PaymentRow]:
    """Make one payment for each order."""
    for number in range(1, orders + 1):
        yield replace(PAYMENTS[0], order_number=number, customer=f"Customer {number}", amount=10_000 + number)


def book(orders: int) -> MonthBook:
    """Make a month of so many orders."""
    return month_book(sales(orders), payments(orders))


def bare(orders: int, target: Path) -> None:
    """Write the same rows with the same formats and nothing else: no tables, totals, summary, notes or checks."""
    workbook = Workbook(write_only=True)
    lines, paid = workbook.create_sheet("Sales lines"), workbook.create_sheet("Payments")
    text = Alignment(horizontal="left", vertical="top", indent=1, wrap_text=True)
    number = Alignment(vertical="top")
    cells = []
    for column in sales_sheet().columns:
        cell = WriteOnlyCell(lines)
        cell.number_format = column.kind.value
        cell.alignment = text if column.kind is Kind.TEXT else number
        cells.append(cell)
    for row in sales(orders):
        _append(
            lines, cells, row.day, str(row.order_number), row.event.value, 1, row.customer, row.state,
            row.wearer, row.kind, row.item_code, row.description, row.quantity, row.list_price / 100,
            row.reduction / 100, row.net / 100, row.tax_category, row.tax / 100,
        )  # fmt: skip
    for came in payments(orders):
        words = (str(came.order_number), came.customer, came.method, came.reference)
        _append(paid, cells[:6], came.day, *words, came.amount / 100)
    workbook.save(target)


def _append(sheet: Worksheet, cells: list[Cell], *values: str | float | date) -> None:
    for cell, value in zip(cells, values, strict=True):
        cell.value = value
    sheet.append(cells)


def compared(orders: int, rounds: int, folder: Path) -> tuple[float, float]:
    """Give the median milliseconds of processor time of the workbook and of the bare script, taken in turns."""
    ours, floor = [], []
    for _ in range(rounds):
        ours.append(_timed(lambda: write_month_book(book(orders), folder / "month.xlsx")))
        floor.append(_timed(lambda: bare(orders, folder / "bare.xlsx")))
    return statistics.median(ours), statistics.median(floor)


def _timed(work: Callable[[], object]) -> float:
    start = time.process_time()
    work()
    return (time.process_time() - start) * 1000


def _peak_mib() -> float:
    return resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024


def main(rounds: int) -> None:
    """Print the ratio for a month, and how memory grows from a month to ten times as much."""
    with tempfile.TemporaryDirectory() as folder:
        ours, floor = compared(850, rounds, Path(folder))
        print(
            f"month workbook, 850 orders, 3,400 lines: {ours:.0f} ms of processor; bare script {floor:.0f} ms; "
            f"ratio {ours / floor:.2f} (goal {GOAL})"
        )
        before = _peak_mib()
        took = _timed(lambda: write_month_book(book(8_500), Path(folder) / "long.xlsx"))
        print(f"8,500 orders, 34,000 lines: {took:.0f} ms; peak memory {before:.1f} to {_peak_mib():.1f} MiB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
