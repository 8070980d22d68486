"""An older ledger is brought up to date in the open: announced, copied, listed; and nobody writes past it."""

from __future__ import annotations

import sqlite3
import threading
from collections.abc import Mapping
from contextlib import closing
from datetime import timedelta
from pathlib import Path

import pytest
from alembic import command
from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import DBAPIError

from shopledger.ledger.seals import Sealed, next_seal
from shopledger.store.backups import before_upgrades
from shopledger.store.backups.checking import look_into
from shopledger.store.backups.lists import listed
from shopledger.store.backups.restoring import bring_up_to_date, make_a_files_own, working_copy
from shopledger.store.guards import lift_guards
from shopledger.store.migrate import LostRowsError, alembic_config, bring_to
from shopledger.store.opening import open_ledger
from shopledger.store.places import copies_of, ledger_path
from shopledger.store.refusals import (
    SchemaAheadError,
    TablesMovedError,
    UpgradeFailedError,
)
from shopledger.store.revision import (
    BROUGHT,
    HEAD_REVISION,
    PROGRAM,
    REVISION_TABLE,
    Upgrade,
    Upgrading,
    version_of,
    writer_in,
)
from shopledger.store.sealing import add_seal, last_head
from shopledger.store.tables.schema import METADATA
from tests.counted import keep_sale
from tests.store.older import put_back
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_migrations import connected, revision_of

pytestmark = pytest.mark.slow

BEFORE = "20261128_entries_of_their_own"
LATER = "20991231_next"
WAITING = "SELECT COUNT(*) FROM pg_locks WHERE locktype = 'advisory' AND NOT granted"


@pytest.fixture
def older(ledger_address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> str:
    """Give the address of a ledger with an order, as a program of before left it, and a data folder of its own."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            keep_sale(work, work.orders.add(an_order()))
    put_back(ledger_address, BEFORE)
    return ledger_address


def set_revision(connection: Connection, revision: str) -> None:
    """Say that the tables are at a state."""
    connection.execute(text("UPDATE shopledger_revision SET version_num = :revision"), {"revision": revision})


def files_in(address: str) -> list[str]:
    """Give the names of the copies from before upgrades, as they lie there."""
    return sorted(each.name for each in copies_of(address).glob("*.db"))


def test_an_upgrade_is_told_before_and_after(older: str) -> None:
    """First from which version; in the end where the ledger lies as it was."""
    told: list[tuple[Upgrade, list[str]]] = []
    open_ledger(older, Upgrading(NOW, lambda each: told.append((each, files_in(older))))).close()
    (first, nothing), (last, copies) = told
    assert (first.done, first.copy, first.version_before, nothing) == (False, None, "0.1.0", [])
    assert last.done
    assert last.copy is not None
    assert [last.copy.file] == copies == [f"shopledger-before-{PROGRAM}-{NOW:%Y-%m-%d-%H%M%S}.db"]


def test_a_ledger_that_is_up_to_date_is_opened_without_a_word(sqlite_address: str) -> None:
    """Nobody is told and nothing is copied."""
    told: list[Upgrade] = []
    open_ledger(sqlite_address, Upgrading(NOW, told.append)).close()
    assert told == []
    assert not copies_of(sqlite_address).exists()


def test_the_copy_is_the_ledger_as_it_was(older: str, tmp_path: Path) -> None:
    """On a server too: it is listed, at the state of before, and becomes a ledger with every row and proof again."""
    open_ledger(older, Upgrading(NOW)).close()
    (copy,) = listed(copies_of(older))
    file = copies_of(older) / copy.file
    assert (copy.day, copy.revision, look_into(file).revision) == (NOW.date(), BEFORE, BEFORE)
    with working_copy(file, tmp_path / "again.db") as draft:
        bring_up_to_date(draft, BEFORE)
        if look_into(draft, chain=True).elsewhere:
            make_a_files_own(draft)
        assert look_into(draft, chain=True).head is not None
        with closing(open_ledger(f"sqlite:///{draft}")) as again, again.reading() as work:
            assert work.orders.get(1).lines == an_order().lines


def test_older_copies_go_by_the_rule_of_the_backups(sqlite_address: str) -> None:
    """Of many upgrades in the same week the last of each day are kept for seven days, then one a week."""
    put_back(sqlite_address, BEFORE)
    days = [NOW + timedelta(days=number) for number in range(12)]
    cleared: list[str] = []
    for now in days:
        open_ledger(sqlite_address, Upgrading(now, lambda each: cleared.extend(each.cleared))).close()
        put_back(sqlite_address, BEFORE)
    left = [each.day for each in listed(copies_of(sqlite_address))]
    assert left[-7:] == [each.date() for each in days[-7:]]
    assert len(cleared) == len(days) - len(left) > 0
    assert files_in(sqlite_address) == sorted(each.file for each in listed(copies_of(sqlite_address)))


def test_copies_that_lay_beside_the_ledger_are_taken_in(sqlite_address: str) -> None:
    """What an earlier program copied right beside the ledger is listed with its day, and nothing else is."""
    path = ledger_path(sqlite_address)
    assert path is not None
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
    put_back(sqlite_address, BEFORE)
    before = path.with_name(f"{path.stem}-at-{BEFORE}-2{path.suffix}")
    with closing(sqlite3.connect(path)) as source, closing(sqlite3.connect(before)) as target:
        source.backup(target)
        target.execute("PRAGMA journal_mode = DELETE")
    letter = path.with_name(f"{path.stem}-at-{BEFORE}.db")
    letter.write_text("no ledger")
    stranger = path.with_name(f"{path.stem}-at-12-entries.db")
    stranger.write_text("of a restore")
    open_ledger(sqlite_address, Upgrading(NOW)).close()
    # It is the ledger byte for byte, so none is copied once more.
    assert [(each.file, each.revision) for each in listed(copies_of(sqlite_address))] == [(before.name, BEFORE)]
    assert files_in(sqlite_address) == [before.name]
    assert not before.exists()
    assert letter.read_text() == "no ledger"
    assert stranger.exists()


def test_an_upgrade_that_fails_leaves_no_copy(older: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """The ledger is as it was, and nothing new lies beside it but an empty list."""

    def lost(_connection: Connection, counted: Mapping[str, int]) -> None:
        if counted:
            raise LostRowsError("rows were lost from wearer")

    monkeypatch.setattr("shopledger.store.migrate._check", lost)
    with pytest.raises(UpgradeFailedError, match="rows were lost from wearer"):
        open_ledger(older, Upgrading(NOW))
    assert files_in(older) == []
    assert listed(copies_of(older)) == ()
    with connected(older) as connection:
        assert revision_of(connection) == BEFORE


def test_a_migration_broken_off_leaves_one_copy(older: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever opens a ledger again after a run was killed in between keeps one copy of it, not one for each try."""

    def killed(_connection: Connection, counted: Mapping[str, int]) -> None:
        if counted:
            raise KeyboardInterrupt

    with monkeypatch.context() as broken:
        # A run that is killed takes nothing away again.
        broken.setattr(before_upgrades, "take_away", lambda *_: False)
        broken.setattr("shopledger.store.migrate._check", killed)
        for minute in range(2):
            with pytest.raises(KeyboardInterrupt):
                open_ledger(older, Upgrading(NOW + timedelta(minutes=minute)))
    open_ledger(older, Upgrading(NOW + timedelta(minutes=2))).close()
    assert len(files_in(older)) == len(listed(copies_of(older))) == 1


def test_nobody_writes_or_reads_past_an_upgrade(older: str) -> None:
    """Who had the ledger open before it was brought to other tables is refused in the very transaction."""
    with closing(open_ledger(older, Upgrading(NOW))) as left_open:
        with connected(older) as connection, connection.begin():
            set_revision(connection, LATER)
        for opened in (left_open.writing(OPERATOR, NOW), left_open.reading()):
            with (
                pytest.raises(TablesMovedError, match=rf"{LATER}\) by shopledger {PROGRAM} .*Nothing was stored"),
                opened,
            ):
                pass
        with connected(older) as connection, connection.begin():
            set_revision(connection, HEAD_REVISION)
        with left_open.reading() as work:
            assert work.orders.get(1).number == 1


def test_the_database_refuses_a_program_that_names_itself_nowhere(ledger_address: str) -> None:
    """So a program of before, left open at a question, stores nothing once the ledger was brought up to date."""
    with connected(ledger_address) as connection:
        seal = next_seal(last_head(connection), "Ines", NOW.isoformat(), "", {"shop": Sealed.of(["0" * 32])})
        with pytest.raises(DBAPIError, match="an older shopledger may not write into this ledger"):
            add_seal(connection, seal)


def test_the_database_refuses_a_program_that_knows_no_seals(ledger_address: str) -> None:
    """The first programs sealed nothing: a row is only taken or changed under a seal that is not set yet."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
    columns = METADATA.tables["prescriber"].columns
    names = ", ".join(each.name for each in columns if each.computed is None and each.name not in {"number", "seal"})
    added = f"INSERT INTO prescriber (number, {names}) SELECT number + 1, {names} FROM prescriber"  # noqa: S608 - columns' names
    for said in ("UPDATE prescriber SET name = 'Dr. Ann Marsh'", added):
        with connected(ledger_address) as connection, pytest.raises(DBAPIError, match="an older shopledger"):
            connection.exec_driver_sql(said)


def test_each_seal_names_its_program(ledger_address: str) -> None:
    """So does the seal of the tables, and what a newer program wrote is told by an older one."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        assert ledger.written_by() == PROGRAM
    with connected(ledger_address) as connection, connection.begin():
        notes = connection.exec_driver_sql("SELECT note FROM seal ORDER BY number").scalars().all()
        assert notes[0] == f"tables brought to {HEAD_REVISION} by shopledger {PROGRAM}"
        assert {writer_in(note) for note in notes} == {PROGRAM}
        newer = next_seal(last_head(connection), "", "", "tables brought to 20991231_next by shopledger 9.1.0", {})
        add_seal(connection, newer)
        set_revision(connection, LATER)
    with pytest.raises(SchemaAheadError, match=r"Install shopledger 9\.1\.0 \(.*\), or go back"):
        open_ledger(ledger_address)


def test_each_change_of_the_tables_has_a_version_of_its_own() -> None:
    """The newest one that changed them is this program's or an earlier one; what came before is 0.1.0."""
    versions = [tuple(map(int, version.split("."))) for version in BROUGHT.values()]
    assert versions == sorted(set(versions))
    assert versions[-1] <= tuple(map(int, PROGRAM.split(".")))
    assert version_of(BEFORE) == "0.1.0"
    assert version_of(HEAD_REVISION) == BROUGHT[HEAD_REVISION]


@pytest.mark.parametrize("before", ["20261125_books", "20261127_privacy", "20261128_parcels"])
def test_guards_of_before_are_in_no_migrations_way(ledger_address: str, before: str) -> None:
    """An earlier program kept the rows of tables that are no more; each of its guards goes, whatever it was set on."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
    with connected(ledger_address, migrating=True) as connection, connection.begin():
        lift_guards(connection)
        command.downgrade(alembic_config(connection), before)
        on_file = connection.dialect.name == "sqlite"
        for table in inspect(connection).get_table_names():
            does = "BEGIN SELECT RAISE(ABORT, 'kept'); END"
            if not on_file:
                does = "FOR EACH ROW EXECUTE FUNCTION shopledger_keep()"
            for deed in ("update", "delete"):
                if table not in {REVISION_TABLE, "counter"}:
                    connection.exec_driver_sql(f"CREATE TRIGGER keep_{table}_{deed} BEFORE {deed} ON {table} {does}")
    bring_to(ledger_address, "x")
    with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
        assert work.customers.get(1).number == 1


@pytest.mark.postgres
def test_an_upgrade_waits_for_whoever_writes(postgres_address: str) -> None:
    """What was begun before it is stored before it, so that nobody writes into tables other than those it looked at."""
    put_back(postgres_address, BEFORE)
    bring_to(postgres_address, "x")
    with closing(open_ledger(postgres_address)) as ledger:
        upgraded = threading.Thread(target=bring_to, args=(postgres_address, "x"))
        with ledger.writing(OPERATOR, NOW) as work:
            upgraded.start()
            with connected(postgres_address) as looking:
                while not looking.exec_driver_sql(WAITING).scalar_one():
                    assert upgraded.is_alive()
            work.shop.save_settings(work.shop.settings())
        upgraded.join(60)
        assert not upgraded.is_alive()
