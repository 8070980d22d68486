"""Whether a ledger of 100,000 orders is as quick as one of 50,000; prints the ratios.

Run it as `python tests/bench/growth_bench.py [ORDERS]`. Two invented ledgers lie side by side, one with twice the
orders, customers and entries of the other, and each deed is done on both in turns:

- a sale of a pair and an accessory with its payment, planned, priced, checked and stored durably
- a customer picked by name, and an order looked at with all that happened to it
- a claim receipt, numbered, frozen and printed
- a customer found by part of a name, as a command of its own
"""

from __future__ import annotations

import os
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable, Sequence
from contextlib import ExitStack, closing
from dataclasses import dataclass, replace
from datetime import UTC, datetime, timedelta
from itertools import count
from pathlib import Path

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_card
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PairRequest, PaymentRequest
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.twice import ORDER_TWICE
from shopledger.optics.measurements import Measurements
from shopledger.store.opening import open_ledger
from tests.bench.large_ledger import FIRST_DAY, ORDERS_A_YEAR, make_ledger
from tests.shelf import SINGLE

GOAL = 1.10
MEASURED = Measurements.from_binocular(63, None, 19, 19)
FRAME, GOODS, ENOUGH = "FRAME-001", "GOODS-01", 2_000


@dataclass(frozen=True)
class Grown:
    """A ledger of so many orders, open before a desk."""

    desk: Desk
    orders: int
    url: str
    numbers: count[int]

    def sell(self) -> None:
        """Record a sale to the next customer."""
        place = next(self.numbers)
        customer = str(place % (self.orders // 4) + 1)
        with self.desk.reading() as work:
            wearer = work.customers.get(int(customer)).name
        pair = PairRequest(wearer, SINGLE.code, FRAME, measurements=MEASURED)
        paid = PaymentRequest(10_000, Method.CARD, "4242")
        asked = OrderRequest(customer, (pair,), (AccessoryRequest(GOODS),), payments=(paid,), shipping=650)
        asked = replace(asked, accept=frozenset({ORDER_TWICE}))
        record_sale(self.desk, asked)

    def look(self) -> None:
        """Pick a customer by name, and look at an order."""
        place = next(self.numbers) * 97 % (self.orders // 4) + 1
        with self.desk.reading() as work:
            name = work.customers.get(place).name
            work.customers.pick(name)
        order_card(self.desk, place * 3)

    def receipt(self, folder: Path) -> None:
        """Issue a receipt for an order that has none yet."""
        number = next(self.numbers) % self.orders + 1
        with self.desk.reading() as work:
            wearer = work.customers.get(work.orders.get(number).customer_number).name
        issue_receipt(self.desk, number, wearer, folder)

    def command(self) -> None:
        """Find a customer by part of a name, as the owner would."""
        program = Path(sys.executable).with_name("shopledger")
        command = [str(program), "--ledger", self.url.removeprefix("sqlite:///"), "customer", "find", "Odalys Fern"]
        subprocess.run(command, check=True, capture_output=True, env={**os.environ, "NO_COLOR": "1"})


def grown(path: Path, orders: int) -> Grown:
    """Make a ledger of so many orders and sit down before it, a month after its last."""
    url = make_ledger(path, orders)
    day = FIRST_DAY + timedelta(days=orders * 365 // ORDERS_A_YEAR + 30)
    desk = Desk(open_ledger(url), "bench", datetime.now(UTC), day)
    receive_stock(desk, StockedKind.FRAME, FRAME, ENOUGH, 4_100)
    receive_stock(desk, StockedKind.ACCESSORY, GOODS, ENOUGH, 310)
    return Grown(desk, orders, url, count(1))


def in_turns(rounds: int, *works: Callable[[], object]) -> tuple[float, ...]:
    """Give the median milliseconds of works, run one after the other so that all meet the same machine."""
    for work in works:
        work()
    times = [[_timed(work) for work in works] for _ in range(rounds)]
    return tuple(statistics.median(each) for each in zip(*times, strict=True))


def _timed(work: Callable[[], object]) -> float:
    start = time.perf_counter()
    work()
    return (time.perf_counter() - start) * 1000


def _show(what: str, times: Sequence[float], orders: int) -> None:
    before, after = times
    print(
        f"{what:<42}{before:9.2f} ms at {orders:,}{after:9.2f} ms at {2 * orders:,}  ratio {after / before:5.2f}  "
        f"goal {GOAL:.2f}"
    )


def main(orders: int) -> None:
    """Print how each deed grows from so many orders to twice as many."""
    with tempfile.TemporaryDirectory() as name, ExitStack() as stack:
        folder = Path(name)
        small, large = (grown(folder / f"{many}.db", many) for many in (orders, 2 * orders))
        for ledger, papers in ((small, "small"), (large, "large")):
            stack.enter_context(closing(ledger.desk.ledger))
            (folder / papers).mkdir()
        _show("a sale, whole", in_turns(300, small.sell, large.sell), orders)
        _show("a customer by name, and an order", in_turns(300, small.look, large.look), orders)
        _show(
            "a receipt, issued and printed",
            in_turns(60, lambda: small.receipt(folder / "small"), lambda: large.receipt(folder / "large")),
            orders,
        )
        _show("a customer by part of a name, as a command", in_turns(21, small.command, large.command), orders)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 50_000)
