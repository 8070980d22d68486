"""Several at once, and none at all: numbers stay gapless, waiting ends in a sentence, a full disk stores nothing."""

from __future__ import annotations

import subprocess
import sys
from contextlib import closing

import pytest

from shopledger.ledger.audit import Deed, Subject
from shopledger.store import engine
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.places import ledger_path
from shopledger.store.refusals import DamagedError, DiskFullError, LedgerBusyError
from tests.store.samples import NOW, OPERATOR, an_order, furnish

pytestmark = pytest.mark.slow

WORKER = """
import random, sys
from tests.store.samples import NOW, an_order
from tests.store.test_books import an_entry
from shopledger.store.opening import open_ledger

class GivenUpError(Exception):
    pass

ledger = open_ledger(sys.argv[1])
chance = random.Random(int(sys.argv[2]))
for _ in range(25):
    try:
        with ledger.writing(f"worker {sys.argv[2]}", NOW) as work:
            order = work.orders.add(an_order())
            work.journal.post(an_entry(order.number))
            if chance.random() < 0.2:
                raise GivenUpError
    except GivenUpError:
        continue
    print(order.number, *(pair.job_number for pair in order.pairs))
"""


def test_several_processes_take_numbers_without_gaps_or_errors(ledger_address: str) -> None:
    """Four processes post orders, some of which fail: every number is given once, and the chain holds."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
    workers = [
        subprocess.Popen(
            [sys.executable, "-c", WORKER, ledger_address, str(seed)],
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        for seed in range(4)
    ]
    ended = [worker.communicate(timeout=120) for worker in workers]
    assert [worker.returncode for worker in workers] == [0] * 4, ended
    rows = [tuple(map(int, line.split())) for out, _ in ended for line in out.splitlines()]
    assert len(rows) < 100, "some were to be given up"
    assert sorted(row[0] for row in rows) == list(range(1, len(rows) + 1))
    assert sorted(job for row in rows for job in row[1:]) == list(range(1, 2 * len(rows) + 1))
    with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
        assert work.journal.verify().count == len(rows)
        assert len(work.orders.recent(200)) == len(rows)


def test_a_busy_ledger_is_waited_for_and_then_refused(ledger_address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever waits too long is told so in a sentence, and can write once the other is done."""
    monkeypatch.setattr(engine, "_SQLITE_PRAGMAS", ("busy_timeout = 50",))
    monkeypatch.setattr(engine, "_POSTGRES_OPTIONS", "-c lock_timeout=50")
    with closing(open_ledger(ledger_address)) as one, closing(open_ledger(ledger_address)) as other:
        with one.writing(OPERATOR, NOW) as work:
            work.receipts.next_number()
            with pytest.raises(LedgerBusyError, match="try again in a moment"), other.writing(OPERATOR, NOW) as waiting:
                waiting.receipts.next_number()
        with other.writing(OPERATOR, NOW) as work:
            assert work.receipts.next_number() == 2


def test_one_writer_is_alone_from_the_start(ledger_address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody else gets in between what a writer looked up and what it writes, so no line is given back twice."""
    monkeypatch.setattr(engine, "_SQLITE_PRAGMAS", ("busy_timeout = 50",))
    monkeypatch.setattr(engine, "_POSTGRES_OPTIONS", "-c lock_timeout=50")
    with closing(open_ledger(ledger_address)) as one, closing(open_ledger(ledger_address)) as other:
        with one.writing(OPERATOR, NOW):
            with pytest.raises(LedgerBusyError), other.writing(OPERATOR, NOW):
                pytest.fail("two writers were let in")
            with other.reading() as work:
                assert work.orders.recent() == ()
        with other.writing(OPERATOR, NOW) as work:
            work.audit.note(Deed.CHANGED, Subject.SHOP)


def test_a_full_disk_stores_nothing_and_the_ledger_goes_on(sqlite_address: str) -> None:
    """When no page is left, the sale is refused whole; with room again, it is stored under the same number."""
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        set_most_pages(ledger, 1)
        with pytest.raises(DiskFullError, match="Free some room"):
            sell(ledger, 200)
        with ledger.reading() as work:
            assert work.orders.recent(5) == ()
        set_most_pages(ledger, 1_000_000)
        with ledger.writing(OPERATOR, NOW) as work:
            assert work.orders.add(an_order()).number == 1
            assert work.transaction.connection.exec_driver_sql("PRAGMA integrity_check").scalar_one() == "ok"


def sell(ledger: Ledger, times: int) -> None:
    """Post that many orders in one transaction."""
    with ledger.writing(OPERATOR, NOW) as work:
        for _ in range(times):
            work.orders.add(an_order())


def set_most_pages(ledger: Ledger, pages: int) -> None:
    """Let a SQLite file grow no further than that; never below what it holds already."""
    with ledger.writing(OPERATOR, NOW) as work:
        work.transaction.connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")


def test_a_damaged_file_is_called_damaged(sqlite_address: str) -> None:
    """Pages overwritten from outside are answered with the advice to restore a backup."""
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
    path = ledger_path(sqlite_address)
    assert path is not None
    content = bytearray(path.read_bytes())
    content[8192:] = b"\xa5" * (len(content) - 8192)
    path.write_bytes(content)
    with pytest.raises(DamagedError, match="restore the last backup"):
        open_ledger(sqlite_address)
