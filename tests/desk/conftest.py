"""The desk as a test sits down at it: on a fixed day, before an empty ledger or a furnished shop.

A furnished ledger is made once on each database and copied for each test; so is one in which more happened, where a
module says with a fixture `past` what that was. The `desk` stands before SQLite; the main
scenarios are marked `on_both` (tests/desk/books.py) and run on PostgreSQL too.
"""

from __future__ import annotations

import shutil
from collections.abc import Iterator
from contextlib import ExitStack, closing, contextmanager
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

import pytest
from sqlalchemy.engine import make_url

from shopledger.desk.context import Desk
from shopledger.desk.sales import record_sale
from shopledger.store.opening import Ledger, ledger_url, open_ledger
from tests.desk.family import DISTANCE, READING, YEARS_LATER, Copies, Past, furnish, later, ordered, prescribe
from tests.ledgers import copied
from tests.shelf import CUSTOMER

NOW = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
DAY = date(2026, 3, 2)


def nothing(_desk: Desk, _folder: Path) -> None:
    """Let nothing happen."""


@pytest.fixture
def bare_desk(ledger: Ledger, tmp_path: Path) -> Desk:
    """Give the desk before a ledger with nothing in it, on each database in turn."""
    return Desk(ledger, "tester", NOW, DAY, tmp_path / "templates")


@pytest.fixture(scope="module")
def past() -> Past:
    """Tell what happened in the furnished shop before the desk is given; a module may say something else."""
    return nothing


@pytest.fixture
def desk(request: pytest.FixtureRequest, past: Past, tmp_path: Path) -> Iterator[Desk]:
    """Give the desk of the invented shop, with its goods, a family and a trace, and with its past."""
    database = getattr(request, "param", "sqlite")
    copies: Copies = request.getfixturevalue(f"copies_{database}")
    with copies(past, tmp_path) as address, closing(open_ledger(address)) as opened:
        yield Desk(opened, "tester", NOW, DAY, tmp_path / "templates")


@pytest.fixture
def returned(desk: Desk) -> Desk:
    """Sell a distance and a reading pair; three years later the customer comes back with a new prescription."""
    record_sale(desk, ordered(DISTANCE, READING))
    there = later(desk, YEARS_LATER)
    prescribe(there, CUSTOMER, "-2.75 -1.25 x 090 add 2.25", "-2.50 -1.00 x 085 add 2.25", date(2029, 4, 2))
    return there


@pytest.fixture(scope="session")
def furnished_file(empty_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Furnish one SQLite ledger to copy from."""
    path = tmp_path_factory.mktemp("furnished") / "ledger.db"
    shutil.copy(empty_file, path)
    _furnish(ledger_url(str(path)))
    return path


@pytest.fixture
def furnished_sqlite(furnished_file: Path, tmp_path: Path) -> str:
    """Give the address of a furnished ledger on SQLite."""
    path = tmp_path / "shop.db"
    shutil.copy(furnished_file, path)
    return ledger_url(str(path))


@pytest.fixture(scope="session")
def copies_sqlite(furnished_file: Path, tmp_path_factory: pytest.TempPathFactory) -> Copies:
    """Give copies of ledgers on SQLite, each with some past that happened once."""

    @cache
    def lived(past: Past) -> Path:
        folder = tmp_path_factory.mktemp("lived")
        path = folder / "ledger.db"
        shutil.copy(furnished_file, path)
        _let_happen(past, ledger_url(str(path)), folder)
        return path

    @contextmanager
    def copy(past: Past, folder: Path) -> Iterator[str]:
        path = folder / "shop.db"
        shutil.copy(lived(past), path)
        yield ledger_url(str(path))

    return copy


@pytest.fixture(scope="session")
def copies_postgres(
    empty_database: str, furnished_database: str, tmp_path_factory: pytest.TempPathFactory
) -> Iterator[Copies]:
    """Give copies of ledgers on PostgreSQL, each with some past that happened once."""
    with ExitStack() as kept:

        @cache
        def lived(past: Past) -> str:
            address = kept.enter_context(copied(empty_database, furnished_database))
            _let_happen(past, address, tmp_path_factory.mktemp("lived"))
            return str(make_url(address).database)

        yield lambda past, _folder: copied(empty_database, lived(past))


@pytest.fixture(scope="session")
def furnished_database(empty_database: str) -> Iterator[str]:
    """Furnish one PostgreSQL ledger to copy from, and give its name."""
    with copied(empty_database, "empty_ledger") as address:
        _furnish(address)
        yield str(make_url(address).database)


@pytest.fixture
def furnished_postgres(empty_database: str, furnished_database: str) -> Iterator[str]:
    """Give the address of a furnished ledger on PostgreSQL."""
    with copied(empty_database, furnished_database) as address:
        yield address


def _furnish(address: str) -> None:
    with closing(open_ledger(address)) as opened:
        furnish(Desk(opened, "tester", NOW, DAY))


def _let_happen(past: Past, address: str, folder: Path) -> None:
    with closing(open_ledger(address)) as opened:
        past(Desk(opened, "tester", NOW, DAY, folder / "templates"), folder)
