"""What the databases say is put into the store's own words; values keep their last decimal."""

from __future__ import annotations

import sqlite3
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st
from sqlalchemy.exc import DBAPIError, IntegrityError, OperationalError, SQLAlchemyError

from shopledger.errors import StoreError
from shopledger.store.refusals import (
    BackupFailedError,
    DatabaseError,
    DiskFullError,
    LedgerBusyError,
    PrecisionError,
    ReadOnlyError,
    RuleRefusedError,
    UnreachableError,
)
from shopledger.store.scales import parted, rounded, whole
from shopledger.store.translation import translated, translation


def from_driver(kind: type[DBAPIError], said: str, statement: str | None = "SELECT 1") -> DBAPIError:
    """Give an error as SQLAlchemy raises it for one of a driver's."""
    return kind(statement or "", {}, sqlite3.OperationalError(said)) if statement else kind(None, None, Exception(said))


@pytest.mark.parametrize(
    ("said", "kind"),
    [
        ("database is locked", LedgerBusyError),
        ("canceling statement due to lock timeout", LedgerBusyError),
        ("canceling statement due to statement timeout", LedgerBusyError),
        ("deadlock detected", LedgerBusyError),
        ("could not serialize access due to concurrent update", LedgerBusyError),
        ("terminating connection due to idle-in-transaction timeout", LedgerBusyError),
        ("database or disk is full", DiskFullError),
        ('could not extend file "base/1": No space left on device', DiskFullError),
        ("attempt to write a readonly database", ReadOnlyError),
        ("cannot execute UPDATE in a read-only transaction", ReadOnlyError),
        ("something nobody thought of", DatabaseError),
    ],
)
def test_each_failure_has_a_sentence_of_its_own(said: str, kind: type[StoreError]) -> None:
    """The kind is told by what SQLite or PostgreSQL says; every sentence is one line and ends well."""
    error = translation(from_driver(OperationalError, said))
    assert type(error) is kind
    assert str(error).endswith(".")
    assert "\n" not in str(error)
    assert error.exit_code == 40


def test_only_the_first_line_of_the_database_s_words_is_passed_on() -> None:
    """The statement and its values, which may be private, stay out of the sentence."""
    raised = IntegrityError(
        "INSERT INTO t VALUES (?)", ("secret",), sqlite3.IntegrityError("CHECK failed\nDETAIL: secret")
    )
    error = translation(raised)
    assert isinstance(error, RuleRefusedError)
    assert str(error) == "the ledger refused this and stored nothing: CHECK failed."


def test_a_connection_that_fails_is_unreachable() -> None:
    """Without a statement, the error is one of reaching the database."""
    assert isinstance(translation(from_driver(OperationalError, "no route to host", None)), UnreachableError)


def test_no_error_of_the_library_gets_out() -> None:
    """Even one that has nothing to do with a driver leaves as the store's own; others pass as they are."""
    with pytest.raises(DatabaseError, match="odd"), translated():
        raise SQLAlchemyError("odd")
    with pytest.raises(KeyError), translated():
        raise KeyError


@pytest.mark.parametrize("error", [LedgerBusyError(), DiskFullError(), ReadOnlyError(), BackupFailedError("a", "b")])
def test_sentences_say_what_to_do(error: StoreError) -> None:
    """Each names the next step."""
    assert any(word in str(error) for word in ("try again", "Free some room", "Look at"))


@given(st.integers(-40_000_000, 40_000_000), st.sampled_from([2, 3, 4, 6]))
def test_whole_numbers_give_the_written_decimal_back(stored: int, places: int) -> None:
    """The float is the one that the written number stands for, and stores as the same whole number again."""
    value = parted(stored, places)
    assert value == float(Decimal(stored).scaleb(-places))
    assert whole("value", value, places) == stored
    assert rounded(value, places) == stored


def test_what_floats_leave_behind_is_no_decimal() -> None:
    """A sum such as 0.1 + 0.2 is stored as 0.30; a real third decimal is refused, or rounded where that is allowed."""
    assert whole("sum", 0.1 + 0.2, 2) == 30
    with pytest.raises(PrecisionError, match=r"sphere is 1.001; at most 2 decimals are kept"):
        whole("sphere", 1.001, 2)
    assert rounded(1.001, 2) == 100
    assert whole("nothing", None, 2) is None
