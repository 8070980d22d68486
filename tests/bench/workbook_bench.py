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
from typing import Any

from openpyxl import Workbook
from openpyxl.cell import WriteOnlyCell
from openpyxl.styles import Alignment

from shopledger.exports.posted_sheets import GOODS_COST, JOURNAL, MOVEMENTS
from shopledger.exports.reports import write_report
from shopledger.exports.sheets import Kind, Sheet
from shopledger.ledger.books.customer_rows import PaymentRow, SalesRow
from shopledger.ledger.books.posted_rows import GoodsCostRow, JournalRow, MovementRow
from shopledger.ledger.books.reports import PeriodReport

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.exports.customer_sheets import PAYMENTS, SALES
from tests.exports import sample_month as sample

GOAL = 1.15
LINES_OF_AN_ORDER = 4
POSTINGS_OF_AN_ORDER = 6


def sales(orders: int) -> Iterator[SalesRow]:
    """Make the lines of so many orders, each with names and amounts of its own."""
    for number in range(1, orders + 1):
        day = day_of(number, orders)
        for line in range(LINES_OF_AN_ORDER):
            model = sample.SALES[line]
            net = model.list_price + number
            yield replace(
                model, day=day, order_number=number, customer=f"Customer {number}", list_price=net, reduction=0, net=net
            )


def payments(orders: int) -> Iterator[PaymentRow]:
    """Make one payment for each order."""
    for number in range(1, orders + 1):
        amount = 10_000 + number
        yield replace(sample.PAYMENTS[0], order_number=number, customer=f"Customer {number}", amount=amount)


def movements(orders: int) -> Iterator[MovementRow]:
    """Make one movement for each order."""
    for number in range(1, orders + 1):
        yield replace(sample.MOVEMENTS[1], day=day_of(number, orders), number=number, order_number=number)


def goods_cost(orders: int) -> Iterator[GoodsCostRow]:
    """Make one issue of goods for each order."""
    for number in range(1, orders + 1):
        yield replace(sample.GOODS_COST[0], day=day_of(number, orders), order_number=number)


def journal(orders: int) -> Iterator[JournalRow]:
    """Make six postings for each order: of the sale and of its payment."""
    for number in range(1, orders + 1):
        day = day_of(number, orders)
        for place in range(POSTINGS_OF_AN_ORDER):
            entry = 2 * number + place // 4
            yield replace(
                sample.JOURNAL[place], entry_number=entry, day=day, document=f"order {number}",
                memo=f"sale, order {number}",
            )  # fmt: skip


def day_of(number: int, orders: int) -> date:
    """Give the day of an order: spread over thirty days."""
    return date(2026, 3, 1) + timedelta(days=number * 30 // (orders + 1))


def book(orders: int) -> PeriodReport:
    """Make a month of so many orders."""
    return sample.month_report({
        SalesRow: sales(orders), PaymentRow: payments(orders), JournalRow: journal(orders),
        MovementRow: movements(orders), GoodsCostRow: goods_cost(orders),
    })  # fmt: skip


def bare(orders: int, target: Path) -> None:
    """Write the same rows with the same formats and nothing else: no tables, totals, summary, notes or checks."""
    workbook = Workbook(write_only=True)
    write = _sheet(workbook, SALES)
    for row in sales(orders):
        write(
            row.day, row.order_number, row.event.value, row.customer, row.state, row.kind, row.item_code,
            row.description, row.quantity, row.list_price / 100, row.reduction / 100, row.net / 100, row.tax_category,
            row.tax / 100,
        )  # fmt: skip
    write = _sheet(workbook, PAYMENTS)
    for came in payments(orders):
        words = (came.order_number, came.event.value, came.customer, came.method, came.reference)
        write(came.day, *words, came.amount / 100, 0, came.tax / 100, 0)
    write = _sheet(workbook, MOVEMENTS)
    for moved in movements(orders):
        what = (moved.day, moved.number, moved.item_code, moved.reason, moved.quantity, moved.cost / 100)
        write(*what, moved.order_number, moved.job_number, None, None)
    write = _sheet(workbook, GOODS_COST)
    for cost in goods_cost(orders):
        numbers = (cost.order_number, cost.job_number, cost.item_code, cost.lot)
        write(cost.day, cost.account, cost.event, *numbers, cost.lot_day, cost.quantity, cost.cost / 100)
    write = _sheet(workbook, JOURNAL)
    for each in journal(orders):
        sides = (each.amount / 100, None) if each.amount > 0 else (None, -each.amount / 100)
        write(
            each.entry_number,
            each.day,
            each.document,
            each.document.rpartition(" ")[0],
            each.memo,
            each.account,
            *sides,
            None,
        )
    workbook.save(target)


def _sheet(workbook: Workbook, sheet: Sheet[Any]) -> Callable[..., None]:
    """Add a sheet and give what writes a row into it, through cells whose styles are made once."""
    made = workbook.create_sheet(sheet.title)
    text = Alignment(horizontal="left", vertical="top", indent=1, wrap_text=True)
    number = Alignment(vertical="top")
    cells = []
    for column in sheet.columns:
        cell = WriteOnlyCell(made)
        cell.number_format = column.kind.value
        cell.alignment = text if column.kind is Kind.TEXT else number
        cells.append(cell)

    def write(*values: str | float | date | None) -> None:
        for cell, value in zip(cells, values, strict=True):
            cell.value = value
        made.append([cell if value is not None else None for cell, value in zip(cells, values, strict=True)])

    return write


def compared(orders: int, rounds: int, folder: Path) -> tuple[float, float]:
    """Give the median milliseconds of processor time of the workbook and of the bare script, taken in turns."""
    ours, floor = [], []
    for _ in range(rounds):
        ours.append(_timed(lambda: write_report(book(orders), folder / "month.xlsx")))
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
            f"month, 850 orders, 3,400 lines, 5,100 postings: {ours:.0f} ms of processor; bare script {floor:.0f} ms; "
            f"ratio {ours / floor:.2f} (goal {GOAL})"
        )
        before = _peak_mib()
        took = _timed(lambda: write_report(book(8_500), Path(folder) / "long.xlsx"))
        print(f"ten times as many: {took:.0f} ms; peak memory {before:.1f} to {_peak_mib():.1f} MiB")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 7)
