"""The engine of a ledger: how transactions begin, what every connection is told, on both databases.

SQLite's own driver begins transactions too late for gapless numbers, so it is told not to, and each transaction begins
here: a writer with BEGIN IMMEDIATE, so that it waits for its turn before it reads; a reader with BEGIN, and with a
guard that refuses writing.
"""

from __future__ import annotations

import sqlite3
from typing import Any, Final

from sqlalchemy import Connection, Engine, create_engine, event
from sqlalchemy.engine import make_url

from shopledger.store.refusals import DatabaseError, PostgresExtraMissingError

WAIT_MILLISECONDS: Final = 15_000
"""How long a command waits for another to finish writing."""

_WRITE_LOCK: Final = "SELECT pg_advisory_xact_lock(736073)"
_OLDEST_SQLITE: Final = (3, 37, 0)
_SQLITE_PRAGMAS: Final = (
    f"busy_timeout = {WAIT_MILLISECONDS}",
    "synchronous = FULL",
    # Without this, INSERT OR REPLACE would step round the triggers that keep posted rows.
    "recursive_triggers = ON",
    # What is blanked or deleted is written over, so that no page keeps it; not every build of SQLite does so by itself.
    "secure_delete = ON",
)
_POSTGRES_OPTIONS: Final = (
    f"-c lock_timeout={WAIT_MILLISECONDS} -c statement_timeout=300000 "
    "-c idle_in_transaction_session_timeout=300000 -c timezone=UTC"
)


def ledger_engine(url: str, *, migrating: bool = False) -> Engine:
    """Give an engine for the ledger; while `migrating`, SQLite does not follow foreign keys as tables are rebuilt."""
    if make_url(url).get_backend_name() == "sqlite":
        return _sqlite(url, migrating=migrating)
    try:
        return create_engine(
            url,
            pool_size=1,
            max_overflow=1,
            connect_args={"options": _POSTGRES_OPTIONS, "connect_timeout": 10, "application_name": "shopledger"},
        )
    except ImportError as error:
        raise PostgresExtraMissingError from error


def reading_options(engine: Engine) -> dict[str, Any]:
    """Give the options of a connection that only reads, and sees one state throughout."""
    if engine.dialect.name == "sqlite":
        return {"writing": False}
    return {"isolation_level": "REPEATABLE READ", "postgresql_readonly": True}


def take_write_lock(connection: Connection) -> None:
    """Let one writer at a time into the ledger, so that what it checks still holds when it writes.

    SQLite sees to it as the transaction begins; PostgreSQL would let two refunds of the same line pass each other.
    """
    if connection.dialect.name != "sqlite":
        connection.exec_driver_sql(_WRITE_LOCK)


def packed(connection: Connection) -> bool:
    """Write a database anew without its free pages, and empty SQLite's write-ahead log; tells whether that was done."""
    if connection.dialect.name != "sqlite":
        connection.execution_options(isolation_level="AUTOCOMMIT").exec_driver_sql("VACUUM FULL")
        return True
    driver: Any = connection.connection.driver_connection
    connection.info.pop("writing", None)
    try:
        driver.execute("PRAGMA query_only = OFF")
        driver.execute("VACUUM")
        busy, _, _ = driver.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchone()
    except sqlite3.OperationalError:
        return False
    return not busy


def _sqlite(url: str, *, migrating: bool) -> Engine:
    if sqlite3.sqlite_version_info < _OLDEST_SQLITE:
        message = f"this Python brings SQLite {sqlite3.sqlite_version}, and the ledger needs 3.37 or later"
        raise DatabaseError(message)
    engine = create_engine(url)
    # The journal mode stays with the file, so it is set as the tables are made; a stranger's file is not touched.
    special = ("foreign_keys = OFF", "journal_mode = WAL") if migrating else ("foreign_keys = ON",)

    @event.listens_for(engine, "connect")
    def told(connection: sqlite3.Connection, _record: object) -> None:
        connection.isolation_level = None
        for pragma in (*_SQLITE_PRAGMAS, *special):
            connection.execute(f"PRAGMA {pragma}")

    @event.listens_for(engine, "begin")
    def begun(connection: Connection) -> None:
        writing = connection.get_execution_options().get("writing", False)
        # Said only when it changes: saying it makes SQLite forget every question that it had worked out already.
        if connection.info.get("writing") is not writing:
            connection.exec_driver_sql(f"PRAGMA query_only = {'OFF' if writing else 'ON'}")
            connection.info["writing"] = writing
        if writing:
            connection.exec_driver_sql("BEGIN IMMEDIATE")
        else:
            # The driver is told itself: it waits for nobody here, and SQLAlchemy takes longer over a word than SQLite.
            connection.connection.cursor().execute("BEGIN")

    return engine
