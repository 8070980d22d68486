"""A copy of the ledger is whole while others write, and one that is not is thrown away."""

from __future__ import annotations

import shutil
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.store.backups.online import copy_beside, copy_to
from shopledger.store.opening import ledger_url, open_ledger
from shopledger.store.places import ledger_path
from shopledger.store.refusals import BackupFailedError
from shopledger.store.revision import HEAD_REVISION
from tests.store.samples import NOW, OPERATOR, an_order, furnish


def the_file(address: str) -> Path:
    """Give the file of a SQLite ledger."""
    path = ledger_path(address)
    assert path is not None
    return path


def test_a_copy_holds_what_still_stands_in_the_log(sqlite_address: str, tmp_path: Path) -> None:
    """Unlike a copied file, the copy of an open ledger holds its newest rows, and opens as a ledger."""
    path, bare = the_file(sqlite_address), tmp_path / "bare.db"
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        shutil.copy(path, bare)
        with ledger.writing(OPERATOR, NOW) as work:
            work.orders.add(an_order())
            copy = copy_beside(path, "now")
        with ledger.writing(OPERATOR, NOW) as work:
            work.orders.add(an_order())
    with closing(open_ledger(ledger_url(str(copy)))) as copied, copied.reading() as work:
        assert work.customers.get(1).number == 1
        assert work.orders.recent() == ()
    with closing(sqlite3.connect(bare)) as plain:
        assert plain.execute("SELECT COUNT(*) FROM customer").fetchone() == (0,)


def test_a_copy_that_fails_its_check_is_not_kept(sqlite_address: str) -> None:
    """Rows that point at nothing, a damaged page or a stranger's file leave no copy behind."""
    path = the_file(sqlite_address)
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
    with closing(sqlite3.connect(path)) as stranger:
        stranger.execute("UPDATE wearer SET customer_number = 99, seal = 1000000")
        stranger.commit()
    with pytest.raises(BackupFailedError, match="point at nothing"):
        copy_beside(path, HEAD_REVISION)
    path.write_bytes(b"no database at all" * 100)
    with pytest.raises(BackupFailedError, match="not a database"):
        copy_beside(path, HEAD_REVISION)
    assert [each.name for each in path.parent.glob("*-at-*")] == []
    assert list(path.parent.glob("*.draft*")) == []


def test_a_copy_is_one_file(sqlite_address: str, tmp_path: Path) -> None:
    """Nothing stands beside the copy that could be forgotten when it is carried elsewhere."""
    target = tmp_path / "away" / "copy.db"
    target.parent.mkdir()
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        copy_to(the_file(sqlite_address), target)
    assert [each.name for each in target.parent.iterdir()] == ["copy.db"]
