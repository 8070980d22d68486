"""Bringing a ledger's tables to a revision: all in one transaction, checked before it is committed.

alembic is configured here, without an ini file, and is imported only when tables have to be made or changed.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Final

from alembic import command
from alembic.config import Config
from alembic.script import ScriptDirectory
from alembic.util.exc import CommandError
from sqlalchemy import Connection, Engine, MetaData, inspect
from sqlalchemy.exc import SQLAlchemyError

from shopledger.places import migrations_folder
from shopledger.store.engine import ledger_engine, take_write_lock
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.kept_files import take_in
from shopledger.store.places import kept_folder
from shopledger.store.refusals import LedgerExistsError, UpgradeFailedError
from shopledger.store.resealing import ALTHOUGH, seal_as_they_are, unlike_their_seals
from shopledger.store.revision import REVISION_TABLE, WRITTEN_BY
from shopledger.store.translation import first_line

_ONE_AT_A_TIME: Final = "SELECT pg_advisory_xact_lock(736072)"


def alembic_config(connection: Connection | None = None, metadata: MetaData | None = None) -> Config:
    """Give alembic's settings: where the versions lie, and which connection to use."""
    config = Config()
    config.set_main_option("script_location", str(migrations_folder()).replace("%", "%%"))
    config.attributes.update(connection=connection, metadata=metadata, version_table=REVISION_TABLE)
    return config


def known_revisions() -> frozenset[str]:
    """Give every revision that this program has a migration for."""
    return frozenset(script.revision for script in ScriptDirectory.from_config(alembic_config()).walk_revisions())


def bring_to(
    url: str,
    place: str,
    revision: str = "head",
    *,
    before: Callable[[str], None] | None = None,
    filling: Callable[[Connection], None] | None = None,
) -> None:
    """Upgrade the ledger's tables to a revision; when anything fails, the ledger stays as it was.

    `before` is called with the state of the tables once nobody else can write. `filling` writes the first rows of a new
    ledger in the same transaction; one that is there already is refused.
    """
    engine = ledger_engine(url, migrating=True)
    try:
        _upgrade(engine, place, revision, before, filling, kept_folder(url))
    except (SQLAlchemyError, CommandError) as error:
        reason = getattr(error, "orig", None) or error
        raise UpgradeFailedError(place, first_line(reason)) from error
    except LostRowsError as error:
        raise UpgradeFailedError(place, str(error)) from error
    finally:
        engine.dispose()


class LostRowsError(Exception):
    """A migration lost rows, or left some that point at nothing."""


def _upgrade(
    engine: Engine,
    place: str,
    revision: str,
    before: Callable[[str], None] | None,
    filling: Callable[[Connection], None] | None,
    kept: Path,
) -> None:
    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        if connection.dialect.name != "sqlite":
            connection.exec_driver_sql(_ONE_AT_A_TIME)
        # Whoever writes has looked at the state of the tables under this lock, and keeps it until all is stored.
        take_write_lock(connection)
        counted = _counts(connection)
        if filling is not None and REVISION_TABLE in counted:
            raise LedgerExistsError(place)
        if before is not None:
            before(_reached(connection))
        unlike = unlike_their_seals(connection)
        lift_guards(connection)
        command.upgrade(alembic_config(connection), revision)
        take_in(connection, kept)
        set_guards(connection)
        seal_as_they_are(connection, _note(connection, unlike))
        if filling is not None:
            filling(connection)
        _check(connection, counted)


def _note(connection: Connection, unlike: Mapping[str, int]) -> str:
    """Say what a seal is for; where rows had been changed from outside before, it goes on telling of them."""
    note = f"tables brought to {_reached(connection)} by {WRITTEN_BY}"
    if not unlike:
        return note
    rows = ", ".join(f"{count} of {table}" for table, count in unlike.items())
    return f"{note}, {ALTHOUGH} rows were not as sealed: {rows}"


def _reached(connection: Connection) -> str:
    return str(connection.exec_driver_sql(f"SELECT version_num FROM {REVISION_TABLE}").scalar_one())  # noqa: S608 - a table's name


def _counts(connection: Connection) -> dict[str, int]:
    names = inspect(connection).get_table_names()
    return {name: connection.exec_driver_sql(f'SELECT COUNT(*) FROM "{name}"').scalar_one() for name in names}  # noqa: S608 - the database's own names


def _check(connection: Connection, before: Mapping[str, int]) -> None:
    """Refuse a state in which rows are missing, point at nothing, or lie on damaged pages."""
    after = _counts(connection)
    fewer = [name for name, count in before.items() if name != REVISION_TABLE and after.get(name, count) < count]
    if fewer:
        message = f"rows were lost from {', '.join(fewer)}"
        raise LostRowsError(message)
    if connection.dialect.name != "sqlite":
        return
    dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
    if dangling is not None:
        message = f"a row of {dangling[0]} would point at a {dangling[2]} that is not there"
        raise LostRowsError(message)
    verdict = connection.exec_driver_sql("PRAGMA integrity_check(1)").scalar_one()
    if verdict != "ok":
        message = f"the integrity check says: {verdict}"
        raise LostRowsError(message)
