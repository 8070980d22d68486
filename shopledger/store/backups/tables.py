"""All rows of one ledger put into another of the same state, whichever databases they are on.

So a ledger on a server is copied into a file, in one moment, without any tool of the server's; and back again.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, Final

from sqlalchemy import Connection, LargeBinary, Table

from shopledger.store.engine import ledger_engine, reading_options, take_write_lock
from shopledger.store.places import ledger_url
from shopledger.store.refusals import BackupFailedError
from shopledger.store.resealing import seal_as_they_are, unlike_their_seals
from shopledger.store.revision import HEAD_REVISION, REVISION_TABLE, WRITTEN_BY
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.tables.schema import METADATA
from shopledger.store.translation import translated

ROWS_AT_ONCE: Final = 2_000
"""How many rows are on their way at a time; of those that may hold a whole file, one."""


MOVED: Final = f"rows put into other tables by {WRITTEN_BY}"
"""What the seal is for that takes over the tables and guards of the database which a copy was put into."""


def copy_server(url: str, target: Path) -> None:
    """Copy a ledger on a server into an empty file, as it stands at one moment.

    The file is a ledger then and ends with the same seal, which speaks of the server's tables and guards.
    """
    from shopledger.store.migrate import bring_to  # noqa: PLC0415 - it brings alembic

    with one_moment(url) as source:
        bring_to(ledger_url(str(target)), str(target), filling=lambda copy: refill(source, copy))


def move_into_file(url: str, target: Path) -> None:
    """Put all rows of a ledger into an empty file, with a seal over the tables and guards made for them there."""
    from shopledger.store.migrate import bring_to  # noqa: PLC0415 - as above

    def filling(copy: Connection) -> None:
        refill(source, copy)
        seal_as_they_are(copy, MOVED)

    with one_moment(url) as source:
        bring_to(ledger_url(str(target)), str(target), filling=filling)


def fill_server(file_url: str, url: str) -> None:
    """Put all rows of a file's ledger in the place of those on a server, all or none; both are of this state.

    Where the rows came from another kind of database, a seal takes over the server's tables and guards.
    """
    engine = ledger_engine(url)
    try:
        with translated(), one_moment(file_url) as source, engine.begin() as target:
            take_write_lock(target)
            refill(source, target)
            seal_as_they_are(target, MOVED)
    finally:
        engine.dispose()


def take_over_tables(file_url: str) -> None:
    """Seal the tables and guards of a copy that came from another kind of database, and nothing else of any copy.

    An older one is brought up to date after that: its rows are as sealed, and only its tables never were.
    """
    engine = ledger_engine(file_url, migrating=True)
    try:
        with translated(), engine.connect().execution_options(writing=True) as connection, connection.begin():
            unlike = unlike_their_seals(connection)
            if unlike.keys() == {SCHEMA} and unlike[SCHEMA] >= len(schema_digests(connection)):
                seal_as_they_are(connection, MOVED)
    finally:
        engine.dispose()


def refill(source: Connection, target: Connection) -> None:
    """Empty a ledger's tables and fill them with another's rows. Raises BackupFailedError where any is missing."""
    _refuse_other_state(source)
    pour(source, target, METADATA.sorted_tables)


def pour(source: Connection, target: Connection, tables: Sequence[Table[Any]]) -> None:
    """Empty these tables and fill them with another ledger's rows, in this order."""
    on_file = target.dialect.name == "sqlite"
    poured = _poured_into_file if on_file else _poured_into_server
    with _triggers_dropped(target) if on_file else _triggers_resting(target):
        for table in reversed(tables):
            target.exec_driver_sql(f"DELETE FROM {table.name}")  # noqa: S608 - our own names
        for table in tables:
            poured(source, target, table)
            if _count(source, table) != _count(target, table):
                raise BackupFailedError(table.name, "rows were lost on the way")


def _poured_into_file(source: Connection, target: Connection, table: Table[Any]) -> None:
    names = _columns(table)
    places = ", ".join("?" for _ in names)
    insert = f"INSERT INTO {table.name} ({', '.join(names)}) VALUES ({places})"  # noqa: S608 - our own names
    for rows in _rows(source, table):
        target.exec_driver_sql(insert, rows)


def _poured_into_server(source: Connection, target: Connection, table: Table[Any]) -> None:
    names = ", ".join(_columns(table))
    driver: Any = target.connection.driver_connection
    with driver.cursor() as cursor, cursor.copy(f"COPY {table.name} ({names}) FROM STDIN") as copy:
        for rows in _rows(source, table):
            for row in rows:
                copy.write_row(row)


def _rows(source: Connection, table: Table[Any]) -> Iterator[list[tuple[Any, ...]]]:
    """Give a table's rows as the database holds them, in the order of its key, some at a time."""
    names = _columns(table)
    keys = ", ".join(column.name for column in table.primary_key.columns)
    asked = f"SELECT {', '.join(names)} FROM {table.name} ORDER BY {keys}"  # noqa: S608 - our own names
    bulky = any(isinstance(column.type, LargeBinary) for column in table.columns)
    at_once = 1 if bulky else ROWS_AT_ONCE
    result = source.execution_options(yield_per=at_once).exec_driver_sql(asked)
    for rows in result.partitions():
        yield [tuple(row) for row in rows]


def _columns(table: Table[Any]) -> Sequence[str]:
    """Name the columns that are written; the database makes the others of them."""
    return [column.name for column in table.columns if not column.computed]


def _count(connection: Connection, table: Table[Any]) -> int:
    asked = f"SELECT COUNT(*) FROM {table.name}"  # noqa: S608 - our own names
    return int(connection.exec_driver_sql(asked).scalar_one())


def _refuse_other_state(source: Connection) -> None:
    asked = f"SELECT version_num FROM {REVISION_TABLE}"  # noqa: S608 - a table's name
    found = source.exec_driver_sql(asked).scalar_one()
    if found != HEAD_REVISION:
        raise BackupFailedError(str(source.engine.url.database), f"it is at {found}, not at {HEAD_REVISION}")


@contextmanager
def one_moment(url: str) -> Iterator[Connection]:
    """Read a ledger as it stands at one moment, and never write to it."""
    engine = ledger_engine(url)
    try:
        with (
            translated(),
            engine.connect().execution_options(**reading_options(engine)) as connection,
            connection.begin(),
        ):
            yield connection
    finally:
        engine.dispose()


@contextmanager
def _triggers_dropped(target: Connection) -> Iterator[None]:
    """Take a file's guards away, since they refuse rows of closed months, and put them back word for word."""
    guards = target.exec_driver_sql("SELECT name, sql FROM sqlite_schema WHERE type = 'trigger' ORDER BY rowid").all()
    for name, _ in guards:
        target.exec_driver_sql(f"DROP TRIGGER {name}")
    yield
    for _, words in guards:
        target.exec_driver_sql(words)


@contextmanager
def _triggers_resting(target: Connection) -> Iterator[None]:
    """Let a server's guards rest; they stay what they are."""
    for table in METADATA.tables:
        target.exec_driver_sql(f"ALTER TABLE {table} DISABLE TRIGGER USER")
    yield
    for table in METADATA.tables:
        target.exec_driver_sql(f"ALTER TABLE {table} ENABLE TRIGGER USER")
