"""A ledger that named its documents in a text is carried over: every entry, proof and figure is what it was."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path
from typing import TypeAlias

import pytest
from alembic import command
from sqlalchemy import Connection

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.reports import export_period
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, ship_order
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.people import add_supplier
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest, ExpenseBilled, JobBilled
from shopledger.ledger.books.documents import VOIDABLE, Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Period
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Method, OwnLens
from shopledger.ledger.shipping import served_on
from shopledger.optics.sides import Side
from shopledger.store.engine import ledger_engine
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.refusals import UpgradeFailedError
from shopledger.store.revision import Upgrading
from tests.desk.before_parcels import shipped_whole, sold_at_once
from tests.desk.family import DISTANCE, FAMILY_ORDER, ordered
from tests.ledgers import BOTH
from tests.shelf import CUSTOMER

pytestmark = pytest.mark.slow

BEFORE = "20261125_books"
LATER_KINDS = {DocumentKind.BILL_CREDIT, DocumentKind.ADJUSTMENT, DocumentKind.DISPOSAL}
VOIDED_THEN = tuple(kind for kind in VOIDABLE if kind not in LATER_KINDS)
"""What could be voided then: other kinds of documents came later."""
DAY = date(2026, 3, 2)
NOON = datetime(2026, 3, 2, 12, tzinfo=UTC)
Rows: TypeAlias = "list[tuple[object, ...]]"
TEXTS = "SELECT number, document, hash FROM journal_entry ORDER BY number"
VOIDED = "SELECT document, reason FROM taken_back ORDER BY document"


@pytest.fixture(params=BOTH)
def address(request: pytest.FixtureRequest) -> str:
    """Give the address of a furnished ledger in which documents of many kinds were posted, and some voided."""
    place = str(request.getfixturevalue(f"furnished_{request.param}"))
    with closing(open_ledger(place)) as ledger:
        _fill(Desk(ledger, "tester", NOON, DAY))
    return place


def _fill(desk: Desk) -> None:
    """Sell, ship, cancel, bill, spend and move money; then take one document of each kind back that can be."""
    sold_at_once(desk, FAMILY_ORDER)
    shipped_whole(desk, 1)
    sold_at_once(desk, ordered(DISTANCE))
    cancel_order(desk, 2, "ordered twice")
    add_supplier(desk, Supplier("Thistledown"))
    spent = (ExpenseBilled(ExpenseCategory.OFFICE, 250),)
    for _ in range(2):
        record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(1, 1_500),), expenses=spent))
    pay_bill(desk, 2, BillPaymentRequest(100, SpendMethod.OWNER))
    take_deposit(desk, DepositRequest(CUSTOMER, 9_000, Method.CHECK))
    record_move(desk, MoneyMove(DAY, MoveKind.CONTRIBUTION, CashAccount.CASH, 5_000))
    record_expense(desk, Expense(DAY, "Rook", ExpenseCategory.RENT, "rent", 700, SpendMethod.BANK))
    for kind in VOIDED_THEN:
        void_document(desk, Document(kind, 1), "a mistake", accept=frozenset({"CASH-SHORT"}))


@contextmanager
def connected(address: str) -> Iterator[Connection]:
    """Give a connection as a migration has it."""
    engine = ledger_engine(address, migrating=True)
    with engine.connect().execution_options(writing=True) as connection, connection.begin():
        yield connection
    engine.dispose()


def as_before(address: str) -> tuple[Rows, Rows]:
    """Take the ledger back to the form of before; gives each entry's text and hash, and what was voided."""
    with connected(address) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), BEFORE)
        set_guards(connection)
        columns = connection.exec_driver_sql("SELECT * FROM journal_entry").keys()
        assert "document_kind" not in columns
        texts, voided = (connection.exec_driver_sql(asked).all() for asked in (TEXTS, VOIDED))
        return [tuple(row) for row in texts], [tuple(row) for row in voided]


def test_a_ledger_of_before_opens_and_proves_and_exports_what_it_did(address: str, tmp_path: Path) -> None:
    """Each entry names the document that its text named, under the hash that it had; the month still adds up."""
    texts, voided = as_before(address)
    with closing(open_ledger(address, Upgrading(NOON))) as ledger:
        desk = Desk(ledger, "tester", NOON, DAY)
        with desk.reading() as work:
            entries = list(work.journal._entries(1, work.journal.head().count))
            assert [(number, str(entry.document), hashed) for number, hashed, entry in entries] == texts
            found = [work.voidings.of(Document.read(str(words))) for words, _ in voided]
            assert [(str(each.document), each.reason) for each in found if each] == voided
        assert len(voided) == len(VOIDED_THEN)
        assert [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []
        assert export_period(desk, Period.of_month(2026, 3), tmp_path).is_file()


def test_every_pair_of_before_reads_as_two_equal_lenses(address: str) -> None:
    """Nothing of its own on either eye; lines, charges and codes are what they were."""
    with closing(open_ledger(address, Upgrading(NOON))) as ledger, ledger.reading() as work:
        before = [work.orders.get(number) for number in (1, 2)]
    as_before(address)
    with closing(open_ledger(address, Upgrading(NOON))) as ledger, ledger.reading() as work:
        after = [work.orders.get(number) for number in (1, 2)]
    assert after == before
    for pair in (pair for order in after for pair in order.pairs):
        assert (pair.sides, pair.right, pair.left) == (tuple(Side), OwnLens(), OwnLens())
        assert pair.lens_of(Side.RIGHT) == pair.lens_of(Side.LEFT) == pair.lens_code


def test_a_shipment_of_before_reads_as_a_parcel_of_all(address: str) -> None:
    """With the order's address, every job and all goods; its entry and the head that a paper printed stand."""
    with closing(open_ledger(address, Upgrading(NOON))) as ledger, ledger.reading() as work:
        before, head = work.orders.account(1), work.journal.head()
    texts, _ = as_before(address)
    assert "shipment of order 1" in {str(text) for _, text, _ in texts}
    with closing(open_ledger(address, Upgrading(NOON))) as ledger:
        desk = Desk(ledger, "tester", NOON, DAY)
        with desk.reading() as work:
            after = work.orders.account(1)
            assert (replace(after, parcels=()), work.journal.head()) == (replace(before, parcels=()), head)
            (parcel,), (was,) = after.parcels, before.parcels
            assert set(parcel.items) == set(was.items)
            assert (parcel.number, parcel.ship_to, parcel.carrier) == (1, after.order.ship_to, "Parcel post")
            assert parcel.jobs == tuple(pair.job_number for pair in after.order.pairs)
            assert served_on(after) == DAY
        assert [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []
        parcel_back(desk, 1, "moved away")
        send_again(desk, 1, "Parcel post")
        assert [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []


def test_a_ledger_with_parcels_does_not_go_back(furnished_sqlite: str) -> None:
    """The earlier form has no place for them; nothing is changed."""
    with closing(open_ledger(furnished_sqlite, Upgrading(NOON))) as ledger:
        desk = Desk(ledger, "tester", NOON, DAY)
        sold_at_once(desk, ordered(DISTANCE))
        ship_order(desk, 1, "post", without_inspection="a trial")
    with pytest.raises(RuntimeError, match="no place for the rows of parcel; nothing was changed"):
        as_before(furnished_sqlite)
    with closing(open_ledger(furnished_sqlite, Upgrading(NOON))) as ledger, ledger.reading() as work:
        assert len(work.orders.account(1).parcels) == 1


@pytest.mark.parametrize("words", ["nothing 1", "order", "order 07", "order x"])
def test_a_text_that_names_no_document_stops_the_upgrade(furnished_sqlite: str, words: str) -> None:
    """What no program wrote is not guessed at: the ledger is left as it was, and the text is named."""
    as_before(furnished_sqlite)
    with connected(furnished_sqlite) as connection:
        lift_guards(connection)
        connection.exec_driver_sql(f"UPDATE journal_entry SET document = '{words}' WHERE number = 1")  # noqa: S608 - the words above
        set_guards(connection)
    with pytest.raises(UpgradeFailedError, match=f"names a document that is none: '{words}'; nothing was changed"):
        open_ledger(furnished_sqlite, Upgrading(NOON))
    with connected(furnished_sqlite) as connection:
        assert connection.exec_driver_sql("SELECT document FROM journal_entry WHERE number = 1").scalar_one() == words
