"""The tables come from the migrations, which equal the tables stated; upgrading keeps every row or changes nothing."""

from __future__ import annotations

import ast
import re
import shutil
import sqlite3
from collections.abc import Callable, Iterator
from contextlib import closing, contextmanager
from pathlib import Path

import pytest
from alembic import command
from alembic.autogenerate import compare_metadata
from alembic.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import CheckConstraint, Connection, ForeignKeyConstraint, UniqueConstraint, create_engine, inspect
from sqlalchemy.exc import DBAPIError

from shopledger.places import migrations_folder
from shopledger.store import migrate
from shopledger.store.backups.lists import listed
from shopledger.store.engine import ledger_engine
from shopledger.store.guards import POSTED, lift_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import create_ledger, ledger_url, open_ledger
from shopledger.store.places import copies_of, ledger_path
from shopledger.store.refusals import LedgerNotMadeError, SchemaAheadError, UpgradeFailedError
from shopledger.store.revision import HEAD_REVISION, REVISION_TABLE, WRITTEN_BY, Upgrading
from shopledger.store.tables.schema import METADATA
from tests.counted import keep_sale
from tests.store.samples import NOW, OPERATOR, an_order, furnish

pytestmark = pytest.mark.slow

NEXT = "20991231_next"
ASKED = "SELECT version_num FROM shopledger_revision"
SCRIPT = '''"""A later migration."""

import sqlalchemy as sa
from alembic import op

revision = "{revision}"
down_revision = "{before}"
branch_labels = None
depends_on = None


def upgrade():
{body}
'''
REBUILDS_ORDERS = """
    with op.batch_alter_table("shop_order", recreate="auto") as batch:
        batch.add_column(sa.Column("gift", sa.Integer(), nullable=False, server_default="0"))
        batch.create_check_constraint(op.f("ck_shop_order_gift_flag"), "gift IN (0, 1)")
"""
FAILS_HALF_WAY = """
    op.create_table("half", sa.Column("number", sa.Integer(), primary_key=True))
    op.execute("UPDATE shop_order SET note = 'changed'")
    op.execute("SELECT * FROM nowhere")
"""
LOSES_ROWS = """
    op.execute("DELETE FROM order_warning")
"""
LEAVES_ORPHANS = """
    op.execute("UPDATE wearer SET customer_number = 99")
"""


@pytest.fixture
def sold(ledger_address: str) -> str:
    """Give the address of a ledger that holds a sale."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            keep_sale(work, work.orders.add(an_order()))
    return ledger_address


@pytest.fixture
def later(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> Callable[[str], None]:
    """Give a way to let the program have one more migration."""
    folder = tmp_path / "migrations"
    shutil.copytree(migrations_folder(), folder, ignore=shutil.ignore_patterns("__pycache__"))

    def add(body: str) -> None:
        script = SCRIPT.format(revision=NEXT, before=HEAD_REVISION, body=body)
        (folder / "versions" / f"{NEXT}.py").write_text(script, encoding="utf-8")
        monkeypatch.setattr(migrate, "migrations_folder", lambda: folder)
        for module in ("ledger", "opening", "backups.checking"):
            monkeypatch.setattr(f"shopledger.store.{module}.HEAD_REVISION", NEXT)

    return add


@contextmanager
def connected(address: str, *, migrating: bool = False) -> Iterator[Connection]:
    """Give a plain connection to a ledger's database."""
    engine = ledger_engine(address, migrating=migrating)
    with engine.connect().execution_options(writing=True) as connection:
        yield connection
    engine.dispose()


def revision_of(connection: Connection) -> str:
    """Give the revision that a database says it is at."""
    return str(connection.exec_driver_sql(ASKED).scalar_one())


def test_there_is_one_head_and_the_program_knows_it() -> None:
    """The quick check on opening compares with the newest migration."""
    assert ScriptDirectory.from_config(alembic_config()).get_heads() == [HEAD_REVISION]


def test_migrations_stand_on_their_own() -> None:
    """No version imports the program: what it says stays true when the program changes."""
    for path in (migrations_folder() / "versions").glob("*.py"):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            names = [alias.name for alias in node.names] if isinstance(node, ast.Import) else []
            names += [node.module or ""] if isinstance(node, ast.ImportFrom) else []
            assert not [name for name in names if name.startswith("shopledger")], path.name


def test_the_migrated_tables_equal_the_models(ledger_address: str) -> None:
    """Tables, columns, types, keys and indexes are those that the models state."""
    with connected(ledger_address) as connection:
        options = {"compare_type": True, "version_table": REVISION_TABLE}
        context = MigrationContext.configure(connection, opts=options)
        assert compare_metadata(context, METADATA) == []


def test_the_migrated_constraints_carry_the_models_names(ledger_address: str) -> None:
    """Every check, key and index of the models is in the database under its own name, and no other is."""
    stated: set[tuple[str, str]] = set()
    for table in METADATA.tables.values():
        kinds = (CheckConstraint, ForeignKeyConstraint, UniqueConstraint)
        stated |= {(table.name, str(part.name)) for part in table.constraints if isinstance(part, kinds)}
        stated |= {(table.name, str(index.name)) for index in table.indexes}
        stated.add((table.name, str(table.primary_key.name)))
    found: set[tuple[str, str]] = set()
    with connected(ledger_address) as connection:
        looked = inspect(connection)
        for name in METADATA.tables:
            lists = (looked.get_check_constraints(name), looked.get_foreign_keys(name))
            uniques = looked.get_unique_constraints(name)
            names = {str(part["name"]) for parts in (*lists, uniques) for part in parts}
            names |= {str(part["name"]) for part in looked.get_indexes(name)}
            found |= {(name, each) for each in (*names, str(looked.get_pk_constraint(name)["name"]))}
    assert found == stated


def test_on_sqlite_the_migrated_tables_are_word_for_word_those_of_the_models(sqlite_address: str) -> None:
    """Each table's columns and rules, check by check, read the same from the migration and from the tables stated."""
    made = create_engine("sqlite://")
    with made.begin() as from_models:
        METADATA.create_all(from_models)
        stated = tables_of(from_models)
    made.dispose()
    with connected(sqlite_address) as migrated:
        found = tables_of(migrated)
    found.pop(REVISION_TABLE)
    assert found == stated
    assert all("STRICT" in words for words in found.values())


def tables_of(connection: Connection) -> dict[str, set[str]]:
    """Give the lines of each table's statement, in no order."""
    rows = connection.exec_driver_sql("SELECT name, sql FROM sqlite_schema WHERE type = 'table'")
    # A table that a migration made under another name and renamed has its name in quotes.
    plain = ((name, sql.replace(f'CREATE TABLE "{name}"', f"CREATE TABLE {name}", 1)) for name, sql in rows)
    return {name: {line.strip().rstrip(",") for line in parted(sql) if line.strip()} for name, sql in plain}


def parted(sql: str) -> list[str]:
    """Give the lines of a statement; columns that a migration put in behind all others get lines of their own."""
    behind = re.compile(r""",? (seal|salt) (INTEGER|TEXT) DEFAULT ('1'|'') NOT NULL""")
    added = [f"{name} {kind} NOT NULL" for name, kind, _ in behind.findall(sql)]
    return [*behind.sub("", sql).splitlines(), *added]


def test_every_posted_table_is_one_of_the_models() -> None:
    """A guard without a table would be a misspelt name."""
    assert set(POSTED) <= set(METADATA.tables)


def test_the_tables_can_be_taken_down_and_made_again(sold: str) -> None:
    """Down leaves nothing but the revision table; up makes an empty ledger that works."""
    with connected(sold, migrating=True) as connection, connection.begin():
        lift_guards(connection)
        command.downgrade(alembic_config(connection), "base")
        assert set(inspect(connection).get_table_names()) == {REVISION_TABLE}
        command.upgrade(alembic_config(connection), "head")
    with closing(open_ledger(sold)) as ledger:
        furnish(ledger)
        with ledger.reading() as work:
            assert [customer.number for customer in work.customers.find("")] == [1]


def test_an_older_ledger_is_brought_up_to_date_with_every_row_kept(sold: str, later: Callable[[str], None]) -> None:
    """A later migration that rebuilds the orders keeps them, their guards and the foreign keys."""
    later(REBUILDS_ORDERS)
    with closing(open_ledger(sold, Upgrading(NOW))) as ledger, ledger.reading() as work:
        kept = work.orders.get(1)
        assert kept.lines == an_order().lines
        assert [pair.job_number for pair in kept.pairs] == [1, 2]
    with connected(sold) as connection:
        assert revision_of(connection) == NEXT
        connection.rollback()
        for deed in ("UPDATE shop_order SET note = 'x'", "DELETE FROM shop_order", "UPDATE order_line SET net = 1"):
            with pytest.raises(DBAPIError, match="never changed or deleted"):
                connection.exec_driver_sql(deed)
            connection.rollback()
        with pytest.raises(DBAPIError, match=r"(?i)foreign key"):
            connection.exec_driver_sql("UPDATE wearer SET customer_number = 99, seal = 1000000")


def test_the_copy_made_before_an_upgrade_is_the_ledger_as_it_was(
    sqlite_address: str, later: Callable[[str], None]
) -> None:
    """The copy lies in a place beside the ledger, listed, for its owner alone, at the old revision and whole."""
    later(REBUILDS_ORDERS)
    path = ledger_path(sqlite_address)
    assert path is not None
    open_ledger(sqlite_address, Upgrading(NOW)).close()
    folder = copies_of(sqlite_address)
    (listed_copy,) = listed(folder)
    copy = folder / listed_copy.file
    assert (listed_copy.day, listed_copy.revision) == (NOW.date(), HEAD_REVISION)
    assert (folder.stat().st_mode & 0o777, copy.stat().st_mode & 0o777) == (0o700, 0o600)
    with closing(sqlite3.connect(copy)) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert opened.execute(ASKED).fetchall() == [(HEAD_REVISION,)]
        assert "gift" not in {row[1] for row in opened.execute("PRAGMA table_info(shop_order)")}
    assert sorted(each.name for each in path.parent.glob("*.draft")) == []


@pytest.mark.parametrize(
    ("body", "reason"),
    [
        (FAILS_HALF_WAY, "nowhere"),
        (LOSES_ROWS, "rows were lost from order_warning"),
        (LEAVES_ORPHANS, "customer"),
    ],
)
def test_an_upgrade_that_fails_leaves_the_ledger_as_it_was(
    sold: str, later: Callable[[str], None], body: str, reason: str
) -> None:
    """A migration that breaks off, loses rows or leaves some pointing at nothing is rolled back whole."""
    later(body)
    with pytest.raises(UpgradeFailedError, match=f"is as it was: .*{reason}"):
        open_ledger(sold, Upgrading(NOW))
    with connected(sold) as connection:
        assert revision_of(connection) == HEAD_REVISION
        assert "half" not in inspect(connection).get_table_names()
        assert connection.exec_driver_sql("SELECT note FROM shop_order").scalar_one() == "by post"
        assert connection.exec_driver_sql("SELECT COUNT(*) FROM order_warning").scalar_one() == 2
        with pytest.raises(DBAPIError, match="never changed or deleted"):
            connection.exec_driver_sql("UPDATE shop_order SET note = 'x'")


def test_a_ledger_of_a_newer_program_is_refused_and_left_alone(ledger_address: str) -> None:
    """A revision that this program has never heard of is not touched."""
    with connected(ledger_address) as connection, connection.begin():
        connection.exec_driver_sql("UPDATE shopledger_revision SET version_num = 'from_the_future'")
    with pytest.raises(
        SchemaAheadError, match=rf"by {re.escape(WRITTEN_BY)} \(its tables are at from_the_future\); this"
    ):
        open_ledger(ledger_address)
    with connected(ledger_address) as connection:
        assert revision_of(connection) == "from_the_future"


def test_a_ledger_that_cannot_be_made_leaves_no_file(
    monkeypatch: pytest.MonkeyPatch, tmp_path: Path, later: Callable[[str], None]
) -> None:
    """When making the tables fails, the half-made file is taken away, so that setup can be run again."""
    later(FAILS_HALF_WAY)
    path = tmp_path / "new.db"
    with pytest.raises(LedgerNotMadeError, match="cannot be made"):
        create_ledger(ledger_url(str(path)))
    assert not path.exists()
    monkeypatch.undo()
    create_ledger(ledger_url(str(path))).close()
    assert path.is_file()
