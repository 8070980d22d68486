"""Whatever is changed from outside is told: each column of each table, rows put in or taken out, bytes of the file."""

from __future__ import annotations

import random
import sqlite3
from collections.abc import Iterator
from contextlib import closing, suppress
from pathlib import Path

import pytest
from sqlalchemy import Integer, LargeBinary
from sqlalchemy.exc import IntegrityError

from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.errors import ShopledgerError
from shopledger.store.columns import Kept
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.opening import ledger_url, open_ledger
from shopledger.store.places import ledger_path
from shopledger.store.tables.schema import METADATA
from tests.desk.every_kind import everything_happens

pytestmark = pytest.mark.slow

BYTES_THAT_MATTER = 300


class _UndoneError(Exception):
    """Takes a change back again."""


@pytest.fixture
def lived(desk: Desk) -> Desk:
    """Give a shop in which everything happened."""
    return everything_happens(desk)


def edits() -> Iterator[tuple[str, str, str]]:
    """Give one change of each column of each table, and one row of each that goes: what it is, its table, its SQL."""
    for name, table in METADATA.tables.items():
        for column in table.columns:
            if column.computed is not None:
                continue
            kind = column.type.impl if isinstance(column.type, Kept) else column.type
            if isinstance(kind, Integer):
                other = f"COALESCE({column.name}, 0) + 1"
            elif isinstance(kind, LargeBinary):
                other = "x'00'"
            else:
                other = f"COALESCE({column.name}, '') || 'x'"
            yield f"{name}.{column.name}", name, f"UPDATE {{table}} SET {column.name} = {other} WHERE rowid = {{row}}"  # noqa: S608 - columns' names
        yield f"a row taken from {name}", name, "DELETE FROM {table} WHERE rowid = {row}"


@pytest.mark.long
def test_a_change_of_any_column_is_told(lived: Desk) -> None:
    """One value of one row, with the guards lifted and set again: some check differs, and says in which table."""
    unseen, tried = [], 0
    for what, table, statement in edits():
        with suppress(_UndoneError), lived.writing() as work:
            connection = work.transaction.connection
            row = connection.exec_driver_sql(f"SELECT MAX(rowid) FROM {table}").scalar_one()  # noqa: S608 - a table's name
            if row is None:
                raise _UndoneError
            lift_guards(connection)
            connection.exec_driver_sql("PRAGMA ignore_check_constraints = ON")
            connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
            try:
                connection.exec_driver_sql(statement.format(table=table, row=row))
            except IntegrityError as error:  # what the database itself refuses cannot be forged so
                raise _UndoneError from error
            tried += 1
            set_guards(connection)
            if all(proof.holds for proof in work.proofs.all()):
                unseen.append(what)
            raise _UndoneError
    assert unseen == []
    assert tried > 400
    assert prove_books(lived).holds


@pytest.mark.long
def test_a_changed_byte_is_told(lived: Desk, tmp_path: Path) -> None:
    """Each byte that changes what the file holds is told when it is opened or proven, and none ends in a fault."""
    path = ledger_path(lived.ledger.url)
    assert path is not None
    whole = tmp_path / "whole.db"
    with closing(sqlite3.connect(path)) as live, closing(sqlite3.connect(whole)) as copy:
        live.backup(copy)
        copy.execute("PRAGMA journal_mode = DELETE")
    before, body = held(whole), whole.read_bytes()
    chance, changed, unseen, mattered = random.Random(7), tmp_path / "changed.db", [], 0
    while mattered < BYTES_THAT_MATTER:
        place = chance.randrange(len(body))
        other = bytes([body[place] ^ chance.choice((1, 2, 4, 8, 16, 32, 64, 128))])
        changed.write_bytes(body[:place] + other + body[place + 1 :])
        if held(changed) == before:
            continue
        mattered += 1
        if not told(changed, lived):
            unseen.append(place)
        for beside in tmp_path.glob("changed*"):
            beside.unlink()
    assert unseen == []


def held(file: Path) -> list[object] | None:
    """Give everything that a file holds, as SQLite reads it; None where it cannot be read."""
    try:
        with closing(sqlite3.connect(file)) as connection:
            connection.text_factory = bytes
            names = connection.execute("SELECT name, sql FROM sqlite_schema ORDER BY rowid").fetchall()
            tables = [name.decode() for name, sql in names if sql and sql.startswith(b"CREATE TABLE")]
            rows = [connection.execute(f'SELECT * FROM "{name}" ORDER BY rowid').fetchall() for name in tables]  # noqa: S608 - the file's own names
            sound = connection.execute("PRAGMA integrity_check").fetchall()
            return [names, rows, sound]
    except (sqlite3.Error, UnicodeDecodeError):
        return None


def told(file: Path, desk: Desk) -> bool:
    """Tell whether opening and proving a ledger says that something is wrong; a fault of the program is raised."""
    try:
        ledger = open_ledger(ledger_url(str(file)))
    except ShopledgerError:
        return True
    try:
        return not prove_books(Desk(ledger, desk.operator, desk.now, desk.today)).holds
    except ShopledgerError:
        return True
    finally:
        ledger.close()


def test_a_row_slipped_in_is_told(lived: Desk) -> None:
    """A second row like one that is there, under another number, is in no seal."""
    with suppress(_UndoneError), lived.writing() as work:
        connection = work.transaction.connection
        columns = [column.name for column in METADATA.tables["wearer"].columns if column.name != "number"]
        listed = ", ".join(columns)
        values = listed.replace("seal", "1000000")
        connection.exec_driver_sql(
            f"INSERT INTO wearer (number, {listed}) SELECT number + 1000, {values} FROM wearer WHERE number = 1"  # noqa: S608 - columns' names
        )
        (failed,) = (proof for proof in work.proofs.all() if proof.code == "RECORDS")
        assert "wearer 1001" in str(failed.differences[0])
        raise _UndoneError
