"""A copy that is put back is the ledger afterwards, whatever an ended process left beside it, and whoever looks on."""

from __future__ import annotations

import shutil
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.store.backups.checking import look_into
from shopledger.store.backups.online import copy_beside, transfer
from shopledger.store.backups.restoring import put_into_file, put_where_none_is, set_aside, working_copy
from shopledger.store.opening import ledger_url, open_ledger
from shopledger.store.refusals import (
    BackupFailedError,
    LedgerBusyError,
    RestoreFailedError,
    RestoreUnfinishedError,
    UnsettledCopyError,
)
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_backup import the_file

pytestmark = pytest.mark.slow

KILLED = """
import os, signal, sys
from shopledger.store.opening import open_ledger
from tests.store.samples import NOW, OPERATOR, an_order

ledger = open_ledger(sys.argv[1])
for _ in range(5):
    with ledger.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
os.kill(os.getpid(), signal.SIGKILL)
"""


@pytest.fixture
def copied(sqlite_address: str) -> Path:
    """Furnish a ledger, record one order, copy it, and give the copy."""
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            work.orders.add(an_order())
    return copy_beside(the_file(sqlite_address), "one-order")


def kill_a_writer(address: str) -> None:
    """Record five more orders, and leave the files as a process leaves them that ends before it closes them."""
    file = the_file(address)
    with closing(open_ledger(address)) as ledger:
        for _ in range(5):
            with ledger.writing(OPERATOR, NOW) as work:
                work.orders.add(an_order())
        left = {suffix: Path(f"{file}{suffix}").read_bytes() for suffix in ("", "-wal", "-shm")}
    for suffix, body in left.items():
        Path(f"{file}{suffix}").write_bytes(body)


def orders_in(address: str) -> int:
    """Count the orders of a ledger."""
    with closing(open_ledger(address)) as ledger, ledger.reading() as work:
        return len(work.orders.recent(100))


def test_an_old_log_does_not_undo_it(sqlite_address: str, copied: Path) -> None:
    """A killed process left its log: the copy put back is there all the same, where a copied file would not be."""
    file = the_file(sqlite_address)
    subprocess.run([sys.executable, "-c", KILLED, sqlite_address], check=False, capture_output=True)
    log = file.with_name(f"{file.name}-wal")
    assert log.stat().st_size
    aside = file.with_name("kept.db")
    for suffix in ("", "-wal", "-shm"):
        shutil.copy(f"{file}{suffix}", f"{aside}{suffix}")
    shutil.copyfile(copied, aside)
    assert orders_in(ledger_url(str(aside))) == 6
    with working_copy(copied, file) as draft:
        put_into_file(draft, file)
    assert not log.exists() or not log.stat().st_size
    assert orders_in(sqlite_address) == 1
    assert look_into(copied).head == look_into(file).head


def test_whoever_looks_on_sees_the_old_state_to_its_end(sqlite_address: str, copied: Path) -> None:
    """A reader in the middle of looking keeps what it saw, and finds the copy when it looks again."""
    file = the_file(sqlite_address)
    kill_a_writer(sqlite_address)
    with closing(open_ledger(sqlite_address)) as looker:
        with looker.reading() as work:
            assert len(work.orders.recent(100)) == 6
            put_into_file(copied, file)
            assert len(work.orders.recent(100)) == 6
        with looker.reading() as work:
            assert len(work.orders.recent(100)) == 1


def test_an_open_writer_is_waited_for_and_not_for_ever(sqlite_address: str, copied: Path) -> None:
    """While somebody writes, the ledger is as it was, and after a while that is said."""
    file = the_file(sqlite_address)
    kill_a_writer(sqlite_address)
    with closing(sqlite3.connect(file, isolation_level=None)) as writer:
        writer.execute("BEGIN IMMEDIATE")
        with pytest.raises(LedgerBusyError):
            transfer(copied, file, wait=0.05)
        writer.execute("ROLLBACK")
    assert orders_in(sqlite_address) == 6


def test_what_is_no_database_is_left_as_it_was(tmp_path: Path, sqlite_address: str) -> None:
    """A file that is none stops before a page of the ledger is touched."""
    file, other = the_file(sqlite_address), tmp_path / "other.db"
    other.write_bytes(b"no database at all" * 1000)
    with pytest.raises(RestoreFailedError, match="is as it was"):
        put_into_file(other, file)
    assert orders_in(sqlite_address) == 0


def test_a_file_with_a_log_is_no_copy(sqlite_address: str, copied: Path) -> None:
    """Its last changes are not in the file itself, so putting it back would lose them."""
    kill_a_writer(sqlite_address)
    file = the_file(sqlite_address)
    for refused in (lambda: look_into(file), lambda: working_copy(file, copied).__enter__()):
        with pytest.raises(UnsettledCopyError, match=r"ledger\.db-wal beside it"):
            refused()


def test_looking_into_a_copy_leaves_no_trace(copied: Path) -> None:
    """On a medium that can only be read a copy can be checked; no lock and no log appears beside it."""
    before = {file.name: file.stat().st_mtime_ns for file in copied.parent.iterdir()}
    assert look_into(copied, chain=True).head is not None
    assert {file.name: file.stat().st_mtime_ns for file in copied.parent.iterdir()} == before


def test_a_damaged_page_is_found(copied: Path) -> None:
    """A copy whose medium lost some bytes is not taken for whole."""
    body = bytearray(copied.read_bytes())
    body[40_000:44_096] = bytes(4096)
    copied.write_bytes(bytes(body))
    with pytest.raises(BackupFailedError):
        look_into(copied)


def test_what_lay_there_goes_aside_with_its_logs(sqlite_address: str, copied: Path) -> None:
    """A ledger that cannot be read is renamed with its logs, never overwritten; the copy takes the free place."""
    file = the_file(sqlite_address)
    kill_a_writer(sqlite_address)
    log = file.with_name(f"{file.name}-wal").read_bytes()
    aside = set_aside(file)
    assert aside is not None
    assert aside.with_name(f"{aside.name}-wal").read_bytes() == log
    assert not file.exists()
    put_where_none_is(copied, file)
    assert orders_in(sqlite_address) == 1
    assert orders_in(ledger_url(str(aside))) == 6
    assert set_aside(file) != aside


def test_a_log_without_its_ledger_is_not_played_into_a_copy(sqlite_address: str, copied: Path) -> None:
    """Where only the log is left, it goes aside too before the copy comes."""
    file = the_file(sqlite_address)
    kill_a_writer(sqlite_address)
    file.unlink()
    put_where_none_is(copied, file)
    assert orders_in(sqlite_address) == 1


def test_a_log_that_cannot_be_settled_is_said_after_the_copy_is_in(
    sqlite_address: str, copied: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The copy is the ledger by then: nobody may read that all is as it was."""
    real = sqlite3.connect

    def fails(*_words: object, **_named: object) -> sqlite3.Connection:
        raise sqlite3.OperationalError("unable to open database file")

    def transferred(draft: Path, ledger: Path, wait: float) -> None:
        monkeypatch.setattr(sqlite3, "connect", real)
        transfer(draft, ledger, wait)
        monkeypatch.setattr(sqlite3, "connect", fails)

    file = the_file(sqlite_address)
    with closing(open_ledger(sqlite_address)) as ledger, ledger.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    monkeypatch.setattr("shopledger.store.backups.restoring.transfer", transferred)
    with pytest.raises(RestoreUnfinishedError, match="the copy was stored in"):
        put_into_file(copied, file)
    monkeypatch.undo()
    assert orders_in(sqlite_address) == 1
