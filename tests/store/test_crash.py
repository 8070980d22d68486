"""A program that is killed while it writes: what it said was stored is there, and nothing is there by half."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from contextlib import closing

import pytest

from shopledger.store.opening import open_ledger
from tests.store.samples import an_order, furnish

pytestmark = pytest.mark.slow

WRITER = """
import sys
from tests.store.samples import NOW, OPERATOR, an_order
from tests.store.test_books import an_entry
from shopledger.store.opening import open_ledger

ledger = open_ledger(sys.argv[1])
while True:
    with ledger.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        work.journal.post(an_entry(order.number))
    print(order.number, flush=True)
"""


@pytest.mark.long
def test_a_killed_writer_loses_nothing_it_acknowledged(ledger_address: str) -> None:
    """Killed at any moment, twelve times: acknowledged orders are whole, numbers gapless, the chain unbroken."""
    chance = random.Random(20260302)
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
    acknowledged = 0
    for _ in range(12):
        writer = subprocess.Popen(
            [sys.executable, "-c", WRITER, ledger_address], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
        )
        assert writer.stdout is not None
        # Some were stored, however slow the machine is; the kill then falls into whatever comes next.
        said = [writer.stdout.readline() for _ in range(chance.randint(1, 3))]
        assert all(said), writer.communicate()[1]
        time.sleep(chance.uniform(0, 0.02))
        writer.kill()
        said += writer.communicate()[0].splitlines()
        acknowledged = max([acknowledged, *(int(line) for line in said if line.strip().isdigit())])
        with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
            stored = [order.number for order in reversed(work.orders.recent(100_000))]
            assert stored == list(range(1, len(stored) + 1))
            assert len(stored) >= acknowledged
            assert work.orders.get(len(stored)).lines == an_order().lines
            assert work.journal.verify().count == len(stored)
    assert acknowledged > 12
