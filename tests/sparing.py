"""What spares the tests time and changes nothing that they see: statements compiled once, and fewer collections.

This is a pytest plugin, named in `tests/conftest.py`. A test opens a ledger of its own, and each engine works out anew
what a question reads like in its database's language: a quarter of all the time. Here all engines of a process share
what was worked out, as the commands of one engine do.
"""

from __future__ import annotations

import gc
from collections.abc import Iterator
from typing import Any

import pytest
from sqlalchemy import Engine, create_engine
from sqlalchemy.dialects.postgresql.psycopg import PGDialect_psycopg
from sqlalchemy.dialects.sqlite.pysqlite import SQLiteDialect_pysqlite
from sqlalchemy.util import LRUCache

_STATEMENTS_KEPT = 3_000
_OBJECTS_BEFORE_A_COLLECTION = 100_000


def pytest_collection_finish() -> None:
    """Leave the thousands of collected tests, which stay to the end, out of every later search for garbage."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(_OBJECTS_BEFORE_A_COLLECTION, 20, 20)


@pytest.fixture(scope="session", autouse=True)
def _statements_compiled_once() -> Iterator[None]:
    """Keep compiled statements by the kind of database, where SQLAlchemy keeps them by the engine."""
    compiled: Any = LRUCache(_STATEMENTS_KEPT)

    def sharing(url: str, **options: Any) -> Engine:  # noqa: ANN401 - whatever an engine may be told
        engine = create_engine(url, **options)
        # It can be given for one connection, and not for an engine.
        engine._compiled_cache = compiled
        return engine

    with pytest.MonkeyPatch.context() as patch:
        for dialect in (SQLiteDialect_pysqlite, PGDialect_psycopg):
            patch.setattr(dialect, "__eq__", lambda one, other: type(one) is type(other))
            patch.setattr(dialect, "__hash__", lambda one: hash(type(one)))
        patch.setattr("shopledger.store.engine.create_engine", sharing)
        yield
