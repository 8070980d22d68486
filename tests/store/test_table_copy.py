"""A ledger on a server is copied into a file and put back with every row, its guards word for word what they were."""

from __future__ import annotations

from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import Connection

from shopledger.store.backups.checking import look_into
from shopledger.store.backups.tables import copy_server, fill_server
from shopledger.store.engine import ledger_engine
from shopledger.store.opening import Ledger, create_ledger, ledger_url, open_ledger
from shopledger.store.refusals import BackupFailedError, RuleRefusedError
from shopledger.store.tables.schema import METADATA
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_books import an_entry

pytestmark = [pytest.mark.postgres, pytest.mark.long]

SERVER_GUARDS = """
SELECT tgrelid::regclass::text, tgname, tgenabled, pg_get_triggerdef(oid) FROM pg_trigger WHERE NOT tgisinternal
ORDER BY 1, 2
"""
FILE_SCHEMA = "SELECT type, name, sql FROM sqlite_schema WHERE name NOT LIKE 'sqlite_%' ORDER BY 1, 2"


@pytest.fixture
def busy(postgres_address: str) -> str:
    """Give the address of a ledger on a server, with people, goods, orders and entries."""
    with closing(open_ledger(postgres_address)) as ledger:
        furnish(ledger)
        for number in range(1, 4):
            with ledger.writing(OPERATOR, NOW) as work:
                work.orders.add(an_order())
                work.journal.post(an_entry(number))
    return postgres_address


def asked(address: str, query: str) -> list[tuple[Any, ...]]:
    """Give the rows of a query."""
    engine = ledger_engine(address)
    with engine.connect() as connection:
        found = [tuple(row) for row in connection.exec_driver_sql(query)]
    engine.dispose()
    return found


def contents(address: str) -> dict[str, list[tuple[Any, ...]]]:
    """Give every row of every table, in one order on both databases."""
    return {
        name: sorted(asked(address, f"SELECT {', '.join(sorted(table.c.keys()))} FROM {name}"), key=repr)  # noqa: S608 - our own names
        for name, table in METADATA.tables.items()
    }


def test_there_and_back_no_row_differs(busy: str, vacant_server: str, tmp_path: Path) -> None:
    """Table by table the file holds what the server held, and another server what the file held."""
    file = tmp_path / "copy.db"
    file.touch(0o600)
    copy_server(busy, file)
    assert contents(ledger_url(str(file))) == contents(busy)
    create_ledger(vacant_server).close()
    guards = asked(vacant_server, SERVER_GUARDS)
    fill_server(ledger_url(str(file)), vacant_server)
    assert contents(vacant_server) == contents(busy)
    assert asked(vacant_server, SERVER_GUARDS) == guards == asked(busy, SERVER_GUARDS)


def test_the_copy_is_a_ledger_like_any_other(busy: str, empty_file: Path, tmp_path: Path) -> None:
    """Same head, same tables and guards as one that began as a file, nothing beside it; posted rows are kept."""
    file = tmp_path / "copy.db"
    file.touch(0o600)
    copy_server(busy, file)
    with closing(Ledger(busy)) as ledger, ledger.reading() as work:
        head = work.seals.head()
    looked = look_into(file, chain=True)
    assert (looked.head, looked.elsewhere) == (head, True)
    url = ledger_url(str(file))
    assert asked(url, FILE_SCHEMA) == asked(ledger_url(str(empty_file)), FILE_SCHEMA)
    with closing(open_ledger(url)) as copy, pytest.raises(RuleRefusedError), copy.writing(OPERATOR, NOW) as work:
        work.transaction.connection.exec_driver_sql("UPDATE journal_entry SET memo = 'changed'")


@pytest.mark.long
def test_a_server_that_is_filled_is_filled_whole_or_not(
    busy: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A fault at the last table leaves every row as it was, and the guards awake."""
    from shopledger.store.backups import tables

    file = tmp_path / "copy.db"
    file.touch(0o600)
    copy_server(busy, file)
    with closing(open_ledger(busy)) as ledger, ledger.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    before, guards = contents(busy), asked(busy, SERVER_GUARDS)
    last = METADATA.sorted_tables[-1].name
    real = tables._count

    def miscounted(connection: Connection, table: Any) -> int:  # noqa: ANN401 - a table of any columns
        return real(connection, table) + (table.name == last and connection.dialect.name == "postgresql")

    monkeypatch.setattr(tables, "_count", miscounted)
    with pytest.raises(BackupFailedError, match="rows were lost"):
        fill_server(ledger_url(str(file)), busy)
    assert contents(busy) == before
    assert asked(busy, SERVER_GUARDS) == guards


def test_one_moment_is_copied(busy: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What somebody else stores while the tables are read is in none of them."""
    from shopledger.store.backups import tables

    before = contents(busy)
    real = tables._rows
    written: list[object] = []

    def interrupted(source: Connection, table: Any) -> Any:  # noqa: ANN401 - as above
        if source.dialect.name == "postgresql" and not written:
            written.append(table)
            with closing(open_ledger(busy)) as other, other.writing(OPERATOR, NOW) as work:
                work.orders.add(an_order())
        return real(source, table)

    monkeypatch.setattr(tables, "_rows", interrupted)
    file = tmp_path / "copy.db"
    file.touch(0o600)
    copy_server(busy, file)
    assert contents(ledger_url(str(file))) == before != contents(busy)
