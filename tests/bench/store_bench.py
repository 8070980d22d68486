"""How long a look-up, a sale and a month take beside the bare database doing the same; prints the ratios.

Run it as `python tests/bench/store_bench.py [ORDERS]`. The floors are run in turns with the store's own work:

- a look-up, as a process of its own, beside importing click and SQLAlchemy and asking the same table
- a sale, stored durably, beside the very same statements through Python's own SQLite module
- a month's figures beside the bare questions; and a sale once more with twice the orders, for the growth
"""

from __future__ import annotations

import shutil
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path
from typing import Any

from sqlalchemy import event

from shopledger.ledger.books.customer_rows import TaxRow
from shopledger.ledger.books.period import Period

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.store.books.sales_queries import TAX, TOTALS
from shopledger.store.opening import Ledger, create_ledger, ledger_url, open_ledger
from tests.counted import post_sale
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish

LOOK_UP_GOAL, SALE_GOAL, MONTH_GOAL, GROWTH_GOAL = 1.2, 6.0, 1.1, 1.1
MONTH = Period.of_month(DAY.year, DAY.month)

FLOOR = """
import click, sqlalchemy
with sqlalchemy.create_engine({url!r}).connect() as connection:
    connection.exec_driver_sql("SELECT * FROM customer WHERE folded LIKE '%fern%'").all()
"""
LOOK_UP = """
import click
from shopledger.store.opening import open_ledger
with open_ledger({url!r}).reading() as work:
    assert work.customers.find("fern", 5)
"""


def looked_up(url: str, rounds: int) -> tuple[float, float]:
    """Give the median milliseconds of a look-up and of its floor, each in a fresh process."""
    programs = [program.format(url=url) for program in (LOOK_UP, FLOOR)]
    return in_turns(rounds, *(lambda text=text: _run(text) for text in programs))


def sold(folder: Path, rounds: int) -> tuple[float, float]:
    """Give the median milliseconds of a sale through the store, and of its statements through sqlite3 alone."""
    path, bare = folder / "sold.db", folder / "bare.db"
    with closing(create_ledger(ledger_url(str(path)))) as ledger:
        furnish(ledger)
    shutil.copy(path, bare)
    with closing(open_ledger(ledger_url(str(path)))) as ledger:
        said: list[tuple[str, Any, bool]] = []
        event.listen(ledger._engine, "before_cursor_execute", _listener(said))
        ours = []
        for _ in range(rounds):
            said.append(("", (), False))
            ours.append(_timed(lambda: sell(ledger, DAY)))
    return statistics.median(ours), statistics.median(_replayed(bare, said))


def month_read(ledger: Ledger, rounds: int) -> tuple[float, float]:
    """Give the median milliseconds of a month's totals and tax, and of the bare questions."""
    path = ledger._engine.url.database or ""
    days = {"first": MONTH.first.isoformat(), "last": MONTH.last.isoformat()}

    def ours() -> None:
        with ledger.reading() as work:
            work.reports.totals(MONTH)
            list(work.reports.rows(TaxRow, MONTH))

    with closing(sqlite3.connect(path)) as bare:
        return in_turns(rounds, ours, lambda: [bare.execute(sql, days).fetchall() for sql in (TOTALS, TAX)])


def sell(ledger: Ledger, day: date) -> None:
    """Post one order with its entry in the books."""
    with ledger.writing(OPERATOR, NOW) as work:
        post_sale(work, work.orders.add(an_order(day=day)))


def fill(ledger: Ledger, orders: int, from_day: date) -> None:
    """Post many orders in one transaction, thirty a day."""
    with ledger.writing(OPERATOR, NOW) as work:
        for number in range(orders):
            day = from_day + timedelta(days=number // 30)
            post_sale(work, work.orders.add(an_order(day=day)))


def in_turns(rounds: int, *works: Callable[[], object]) -> tuple[float, float]:
    """Give the median milliseconds of two works, run one after the other so that both meet the same machine."""
    times = [[_timed(work) for work in works] for _ in range(rounds)]
    ours, floor = zip(*times, strict=True)
    return statistics.median(ours), statistics.median(floor)


def _listener(said: list[tuple[str, Any, bool]]) -> Callable[..., None]:
    def listen(_connection: object, _cursor: object, sql: str, values: object, _context: object, many: bool) -> None:
        said.append((sql, values, many))

    return listen


def _replayed(path: Path, said: Sequence[tuple[str, Any, bool]]) -> list[float]:
    """Say the statements of each sale again; an empty one stands before each."""
    times = []
    with closing(sqlite3.connect(path, isolation_level=None)) as bare:
        bare.execute("PRAGMA synchronous = FULL")
        bare.execute("PRAGMA foreign_keys = ON")
        start = 0.0
        for sql, values, many in [*said, ("", (), False)]:
            if sql:
                (bare.executemany if many else bare.execute)(sql, values)
                continue
            if bare.in_transaction:
                bare.execute("COMMIT")
                times.append((time.perf_counter() - start) * 1000)
            start = time.perf_counter()
    return times


def _run(program: str) -> None:
    subprocess.run([sys.executable, "-c", program], check=True)


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def _show(what: str, times: tuple[float, float], goal: float) -> None:
    ours, floor = times
    print(f"{what:<44}{ours:9.2f} ms  floor {floor:9.2f} ms  ratio {ours / floor:5.2f}  goal {goal:.2f}")


def main(orders: int) -> None:
    """Print each ratio beside its goal."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        url = ledger_url(str(folder / "ledger.db"))
        with closing(create_ledger(url)) as ledger:
            furnish(ledger)
            fill(ledger, orders, DAY)
            _show("customer look-up, a whole process", looked_up(url, 11), LOOK_UP_GOAL)
            _show("one sale with its entry, durable", sold(folder, 200), SALE_GOAL)
            _show("a month's totals and tax", month_read(ledger, 15), MONTH_GOAL)
            before = statistics.median(_timed(lambda: sell(ledger, DAY)) for _ in range(100))
            fill(ledger, orders, date(DAY.year - 2, 1, 1))
            after = statistics.median(_timed(lambda: sell(ledger, DAY)) for _ in range(100))
            _show(f"one sale at {2 * orders} orders, floor at {orders}", (after, before), GROWTH_GOAL)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 5_000)
