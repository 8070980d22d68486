"""What a year's workbook adds to the memory that importing it takes, and how long it takes; prints both.

Run it as `python tests/bench/year_bench.py [ORDERS]`. The year is of 10,000 orders with 40,000 lines unless said.
Memory is the peak of a fresh process: once after everything was imported and the ledger opened, and once after the
workbook was written. The figures are timed beside the bare questions, asked through Python's own SQLite module.
"""

from __future__ import annotations

import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from contextlib import closing
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.ledger.books.period import Period
from shopledger.store.books import posted_queries, spending_queries, year_queries
from shopledger.store.opening import open_ledger
from tests.bench.large_ledger import FIRST_DAY, make_ledger

MEMORY_GOAL, FIGURES_GOAL = 8.0, 1.15
YEAR = Period.of_year(FIRST_DAY.year)

# A process begins with the peak of the one that starts it, and this one made a ledger: a fresh Python does it.
LAUNCH = "import os, sys; sys.exit(os.spawnv(os.P_WAIT, sys.executable, [sys.executable, *sys.argv[1:]]))"
EXPORT = """
import resource, sys, time
from datetime import UTC, date, datetime
from pathlib import Path
from shopledger.desk.context import Desk
from shopledger.store.opening import open_ledger
from shopledger.desk.books.reports import export_year
from shopledger.ledger.books.period import Period
import shopledger.exports.plain, shopledger.store.books.reports, shopledger.store.shop, shopledger.store.books.journal
desk = Desk(open_ledger({url!r}), "bench", datetime.now(UTC), date({year} + 1, 2, 1))
with desk.reading() as work:
    work.shop.profile(), work.shop.settings(), work.journal.head()
floor = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
start = time.process_time()
export_year(desk, Period.of_year({year}), Path({folder!r}))
took = time.process_time() - start
print(floor, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss, took)
"""


def exported(url: str, folder: Path) -> tuple[float, float, float]:
    """Give the peak in MiB before and after the export in a process of its own, and its seconds of processor time."""
    program = EXPORT.format(url=url, year=YEAR.first.year, folder=str(folder))
    command = [sys.executable, "-S", "-c", LAUNCH, "-c", program]
    done = subprocess.run(command, check=True, capture_output=True, text=True)
    floor, peak, took = map(float, done.stdout.split())
    return floor / 1024, peak / 1024, took


def figures(url: str, path: Path, rounds: int) -> tuple[float, float]:
    """Give the median milliseconds of a year's figures, and of the bare questions, asked in turns."""
    days = {"first": YEAR.first.isoformat(), "last": YEAR.last.isoformat()}
    two = {**days, "first": YEAR.year_before.first.isoformat()}
    asked = (
        (posted_queries.POSTED_BY_MONTH, two), (posted_queries.POSTED_BEFORE, two), (posted_queries.MOVED, days),
        (year_queries.TAX_BY_MONTH, days), (year_queries.MONEY, days), (spending_queries.BILLED, days),
        (spending_queries.PAID, days),
    )  # fmt: skip
    with closing(open_ledger(url)) as ledger, closing(sqlite3.connect(path)) as bare:

        def ours() -> None:
            with ledger.reading() as work:
                work.reports.year_figures(YEAR)

        def floor() -> None:
            for sql, values in asked:
                bare.execute(sql, values).fetchall()

        times = [(_timed(ours), _timed(floor)) for _ in range(rounds)]
    mine, theirs = zip(*times, strict=True)
    return statistics.median(mine), statistics.median(theirs)


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def main(orders: int) -> None:
    """Print what the year costs beside the goals."""
    with tempfile.TemporaryDirectory() as name:
        path = Path(name) / "ledger.db"
        url = make_ledger(path, orders, orders_a_year=orders)
        floor, peak, took = exported(url, Path(name))
        print(f"year workbook, {orders:,} orders, {orders * 4:,} lines: {took:.2f} s of processor")
        print(f"  imports {floor:.1f} MiB, the year adds {peak - floor:.1f} MiB (goal {MEMORY_GOAL:.0f})")
        ours, bare = figures(url, path, 7)
        print(f"a year's figures: {ours:.0f} ms; bare questions {bare:.0f} ms; ratio {ours / bare:.2f} "
              f"(goal {FIGURES_GOAL})")  # fmt: skip


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 10_000)
