"""Whoever is interrupted, or loses the connection, at the moment of storing is told what became of it."""

from __future__ import annotations

import secrets
import signal
import threading
from collections.abc import Callable
from contextlib import closing

import pytest
from sqlalchemy import Connection, Engine, RootTransaction, text
from sqlalchemy.exc import DBAPIError, OperationalError

from shopledger.errors import StoreError
from shopledger.ledger.audit import Deed, Subject
from shopledger.store import committing
from shopledger.store.committing import taken, unbroken
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.refusals import DiskFullError, OutcomeUnknownError
from shopledger.store.work import UnitOfWork
from tests.store.samples import NOW, OPERATOR, furnish


def test_numbers_taken_are_named() -> None:
    """One alone, several as a span, and those that nobody asks for not at all."""
    before = {"receipt": 1, "lot": 2, "audit": 7, "order": 3}
    after = {"receipt": 2, "lot": 5, "audit": 9, "order": 3, "refund": 1}
    assert taken(before, after) == ("lot 3 to 5", "receipt 2", "refund 1")


def test_a_ledger_knows_what_it_stored(ledger: Ledger) -> None:
    """Only what was committed counts, with the numbers taken; reading stores nothing."""
    furnish(ledger)
    ledger.stored.clear()
    with pytest.raises(ValueError, match="x"), ledger.writing(OPERATOR, NOW) as work:
        raise_in(work.receipts.next_number)
    with ledger.reading() as work:
        work.customers.find("")
    assert ledger.stored == []
    with ledger.writing(OPERATOR, NOW) as work:
        work.receipts.next_number()
    with ledger.writing(OPERATOR, NOW) as work:
        work.shop.save_settings(work.shop.settings())
    assert ledger.stored == [("receipt 1",), ()]


def raise_in(before: Callable[[], object]) -> None:
    """Do something, then fail."""
    before()
    message = "x"
    raise ValueError(message)


def test_ctrl_c_waits_for_the_end_and_a_second_one_does_not() -> None:
    """The block is whole when the first one is felt; somebody who insists breaks it off."""
    done: list[str] = []

    def stopped(times: int, said: str) -> None:
        with unbroken():
            for _ in range(times):
                signal.raise_signal(signal.SIGINT)
            done.append(said)

    with pytest.raises(KeyboardInterrupt):
        stopped(1, "whole")
    assert done == ["whole"]
    with pytest.raises(KeyboardInterrupt):
        stopped(2, "never")
    assert done == ["whole"]
    assert signal.getsignal(signal.SIGINT) is signal.default_int_handler


def test_a_thread_of_its_own_needs_no_such_care() -> None:
    """Only the first thread of a program hears of Ctrl-C."""
    done: list[bool] = []

    def store() -> None:
        with unbroken():
            done.append(True)

    thread = threading.Thread(target=store)
    thread.start()
    thread.join()
    assert done == [True]


class CutError(Exception):
    """What the driver raises where the connection broke."""


def lost() -> OperationalError:
    """Give the error of a connection that broke while COMMIT was on its way."""
    return OperationalError(
        "COMMIT", {}, CutError("server closed the connection unexpectedly"), connection_invalidated=True
    )


@pytest.mark.postgres
def test_a_connection_lost_after_the_commit_arrived_is_no_failure(
    postgres_address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server is asked over a new connection, and says that it was stored."""
    real = RootTransaction.commit

    def cut(transaction: RootTransaction) -> None:
        real(transaction)
        raise lost()

    with closing(open_ledger(postgres_address)) as ledger:
        monkeypatch.setattr(RootTransaction, "commit", cut)
        with ledger.writing(OPERATOR, NOW) as work:
            work.receipts.next_number()
        monkeypatch.undo()
        assert ledger.stored == [("receipt 1",)]


@pytest.mark.postgres
def test_a_connection_lost_before_the_commit_arrived_stored_nothing(
    postgres_address: str, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The server ended the transaction, the sentence says so, and the number is still free."""
    real = committing.commit

    def cut(engine: Engine, connection: Connection, begun: RootTransaction) -> None:
        mine = connection.execute(text("SELECT pg_backend_pid()")).scalar_one()
        with engine.connect() as other:
            other.execute(text("SELECT pg_terminate_backend(:mine, 5000)"), {"mine": mine})
        real(engine, connection, begun)

    with closing(open_ledger(postgres_address)) as ledger:
        monkeypatch.setattr("shopledger.store.ledger.commit", cut)
        with pytest.raises(StoreError, match="nothing was stored"), ledger.writing(OPERATOR, NOW) as work:
            work.receipts.next_number()
        monkeypatch.undo()
        assert ledger.stored == []
        with ledger.writing(OPERATOR, NOW) as work:
            assert work.receipts.next_number() == 1


@pytest.mark.postgres
def test_where_nobody_can_be_asked_it_is_not_guessed(postgres_address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """While the server does not answer, neither yes nor no is said."""

    def cut(_transaction: RootTransaction) -> None:
        raise lost()

    def silent(_engine: Engine, _mine: str) -> bool:
        raise OutcomeUnknownError

    with closing(open_ledger(postgres_address)) as ledger:
        monkeypatch.setattr(RootTransaction, "commit", cut)
        monkeypatch.setattr(committing, "_was_committed", silent)
        said = pytest.raises(OutcomeUnknownError, match="look whether this was stored")
        with said, ledger.writing(OPERATOR, NOW) as work:
            work.receipts.next_number()
        monkeypatch.undo()


def fill_up(work: UnitOfWork) -> None:
    """Let the ledger grow no more, and write on."""
    pages = work.transaction.connection.exec_driver_sql("PRAGMA page_count").scalar_one()
    work.transaction.connection.exec_driver_sql(f"PRAGMA max_page_count = {pages}")
    for _ in range(400):
        work.receipts.keep_wording(f"{secrets.token_hex(200)}")


def test_a_full_disk_stores_nothing(sqlite_address: str) -> None:
    """SQLite says that it is full, the sentence says what to do, and the ledger goes on once there is room."""
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        with pytest.raises(DiskFullError, match="Free some room"), ledger.writing(OPERATOR, NOW) as work:
            fill_up(work)
        with ledger.writing(OPERATOR, NOW) as work:
            work.transaction.connection.exec_driver_sql("PRAGMA max_page_count = 1000000")
        with ledger.writing(OPERATOR, NOW) as work:
            work.audit.note(Deed.LOOKED_AT_PRESCRIPTIONS, Subject.CUSTOMER, 1)


@pytest.mark.parametrize(
    ("said", "told"),
    [
        ("disk I/O error", "the disk failed"),
        ("database or disk is full", "the disk is full"),
        ("unable to open database file", "cannot be opened"),
        ("attempt to write a readonly database", "may only be read"),
        ("database is locked", "the ledger is busy"),
        ("server closed the connection unexpectedly", "connection to the ledger's database was lost"),
        ("terminating connection due to administrator command", "connection to the ledger's database was lost"),
        ("could not extend file: No space left on device", "the disk is full"),
        ("Could not decode to UTF-8 column 'name' with text 'x'", "damaged"),
        ("database disk image is malformed", "damaged"),
    ],
)
def test_each_failure_of_the_database_has_its_sentence(said: str, told: str) -> None:
    """What SQLite and PostgreSQL say, in the owner's words."""
    from shopledger.store.translation import translation

    error = DBAPIError("INSERT", {}, CutError(said))
    assert told in str(translation(error))
