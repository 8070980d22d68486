"""The step to claims and refunds keeps a ledger of the first form whole, and refunds come back as they were posted."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing, contextmanager
from dataclasses import replace
from datetime import date

import pytest
from alembic import command
from sqlalchemy import Connection, inspect, text
from sqlalchemy.exc import DBAPIError

from shopledger.errors import RefusedError, StoreError
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.posted_rows import StockRow
from shopledger.ledger.books.postings import refund_event, reversing_entry
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.orders import Cancellation, Method, Payment, Refund
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper
from shopledger.ledger.receipt import Unclaimed
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.engine import ledger_engine
from shopledger.store.guards import lift_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.revision import Upgrading
from tests.counted import given_back, keep_sale, post_payment, post_sale
from tests.documents import named
from tests.shelf import CUSTOMER, WREN
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.store.test_orders import a_receipt

FIRST = "20261125_first_ledger"
SECOND = "20261125_claims_and_refunds"
BEFORE_BOOKS = "20261125_inspections"
ADDED = {
    "customer": {"printed_name"},
    "wearer": {"printed_name", "claim_within_days"},
    "shop_settings": {"standard_bifocal", "progressive_base", "standard_frame"},
    "order_charge": {"chosen", "release"},
    "receipt_replacement": {"reason"},
    "journal_entry": {"reverses"},
}
REFUND = Refund(
    1, DAY, Method.CARD, "4242", "a scratch", (LinePart(1, 1000, 0, 1), LinePart(3, 0, 0, 2), LinePart(2, 0, 0))
)


@contextmanager
def connected(address: str) -> Iterator[Connection]:
    """Give a connection as a migration has it."""
    engine = ledger_engine(address, migrating=True)
    try:
        with engine.connect().execution_options(writing=True) as connection, connection.begin():
            yield connection
    finally:
        engine.dispose()


SET_ANEW = {"seal", "salt"}
"""Columns that are filled anew when tables come up again: seals are set on what is there then."""


def rows_of(connection: Connection, *, without: dict[str, set[str]]) -> dict[str, list[dict[str, object]]]:
    """Give every row of every table, less some columns."""
    found: dict[str, list[dict[str, object]]] = {}
    for name in set(inspect(connection).get_table_names()) - {"seal"}:
        rows = connection.execute(text(f'SELECT * FROM "{name}"')).mappings()  # noqa: S608 - the database's own names
        unlike = without.get(name, set()) | SET_ANEW
        kept = [{key: value for key, value in row.items() if key not in unlike} for row in rows]
        found[name] = sorted(kept, key=repr)
    return found


@pytest.fixture
def sold(ledger_address: str) -> str:
    """Give the address of a ledger with a sale, a payment, a receipt and the one that replaced it.

    The sale is posted as the first form posted it: net, since it had no account for discounts.
    """
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            order = work.orders.add(an_order())
            keep_sale(work, order)
            net = (
                Posting(Account.RECEIVABLE, order.total),
                Posting(Account.SALES, -order.net_total),
                Posting(Account.SALES_TAX_PAYABLE, -order.tax_total),
            )
            work.journal.post(Entry(DAY, "sale, order 1", named("order 1"), net))
            post_payment(work, Payment(1, DAY, 500, Method.CASH), order)
            for replaces in (None, 1):
                work.receipts.add(a_receipt(work.receipts.next_number()), replaces=replaces)
            work.waiting.add(WaitingPaper(IssuedPaper.RECEIPT, 2))
    return ledger_address


@pytest.mark.slow
def test_down_and_up_again_keep_every_row_of_the_first_form(sold: str) -> None:
    """Nothing of what the first form knew is lost or changed on either way, and the whole opens as usual."""
    with connected(sold) as connection:
        lift_guards(connection)
        whole = rows_of(connection, without=ADDED)
        command.downgrade(alembic_config(connection), BEFORE_BOOKS)
        before = rows_of(connection, without=ADDED)
        command.downgrade(alembic_config(connection), FIRST)
        down = rows_of(connection, without={})
    assert not {"refund", "refund_part", "cancellation", "receipt_claim", "prescription_diagnosis"} & set(down)
    changing = {"shopledger_revision", "counter"}
    assert {name: rows for name, rows in down.items() if name not in changing} == {
        name: rows for name, rows in before.items() if name in down and name not in changing
    }
    with closing(open_ledger(sold, Upgrading(NOW))) as ledger, ledger.reading() as work:
        assert work.journal.verify().count == 2
        assert work.orders.get(1).lines[1].charges[1].code == "V2100"
    with connected(sold) as connection:
        after = rows_of(connection, without=ADDED)
        with pytest.raises(DBAPIError, match="never changed or deleted"):
            connection.exec_driver_sql("UPDATE order_charge SET net = 1")
        connection.rollback()
    assert after == whole


@pytest.mark.slow
def test_what_the_first_form_did_not_say_is_filled_in(sold: str) -> None:
    """Codes come from the release of that time, choices are known by their note, and nothing is reversed."""
    with connected(sold) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), FIRST)
        connection.exec_driver_sql(
            "UPDATE order_charge SET note = 'V2100 was chosen by the owner: a gap.' WHERE position = 2"
        )
    with closing(open_ledger(sold, Upgrading(NOW))) as ledger, ledger.reading() as work:
        right, left = work.orders.get(1).lines[1].charges
        assert (right.chosen, left.chosen) == (False, True)
        assert {right.release, left.release} == {"CMS HCPCS Level II, October 2025"}
        assert work.receipts.get(1).replaced_because == "paid in full since"
        assert work.customers.wearer(2).claim_within_days is None
        assert [entry.reverses for _, entry in work.journal.of_documents([named("order 1"), named("payment 1")])] == [
            None,
            None,
        ]


@pytest.mark.slow
def test_going_down_is_refused_where_a_refund_would_be_lost(sold: str) -> None:
    """The first form has no place for refunds, so nothing is changed."""
    with closing(open_ledger(sold)) as ledger, ledger.writing(OPERATOR, NOW) as work:
        work.refunds.add(REFUND)
    with connected(sold) as connection:
        lift_guards(connection)
        with pytest.raises(RuntimeError, match="no place for the rows of refund"):
            command.downgrade(alembic_config(connection), FIRST)
        connection.rollback()
    with closing(open_ledger(sold)) as ledger, ledger.reading() as work:
        assert len(work.orders.account(1).refunds) == 1


def test_refunds_and_a_cancellation_come_back_with_the_order(furnished: Ledger) -> None:
    """Parts keep their order, and the account holds both with who recorded the order when."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        first = work.refunds.add(REFUND)
        cancelled = work.cancellations.add(Cancellation(1, DAY, "ordered twice"))
        with pytest.raises(StoreError, match="cancellation"):
            work.cancellations.add(cancelled)
    with furnished.reading() as work:
        account = work.orders.account(1)
    assert account.refunds == (first,)
    assert (account.cancellation, first.number) == (cancelled, 1)
    assert account.entered is not None
    assert (account.entered.operator, account.entered.at) == (OPERATOR, "2026-03-02T15:04:05+00:00")


def test_a_reversing_entry_is_chained_and_points_at_the_old_one(furnished: Ledger) -> None:
    """What it points at is part of what is hashed, and an entry is voided once."""
    with furnished.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        post_sale(work, order)
        ((number, entry),) = work.journal.of_documents([named("order 1")])
        back = reversing_entry(entry, number, Cancellation(1, DAY, "ordered twice"))
        work.journal.post(back)
        work.journal.post(refund_event(replace(REFUND, number=1), order, given_back(REFUND.parts)).entry())
        assert [each for _, each in work.journal.of_documents([named("cancellation of order 1")])] == [back]
        assert work.journal.verify().count == 3
    with pytest.raises(StoreError), furnished.writing(OPERATOR, NOW) as work:
        work.journal.post(back)


def test_goods_that_come_back_keep_the_cost_they_left_at(furnished: Ledger) -> None:
    """They are no purchase: the last price paid stays what it was."""
    kind = StockedKind.FRAME
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        work.stock.bring(StockMovement(DAY, kind, WREN.code, 2, 12_400, StockReason.RECEIVED))
        sold = work.stock.take(StockMovement(DAY, kind, WREN.code, -1, 0, StockReason.SOLD, 1))
        work.stock.bring(StockMovement(DAY, kind, WREN.code, 1, 7000, StockReason.RECEIVED))
        assert work.stock.of_order(1) == (sold,)
        work.stock.bring(StockMovement(DAY, kind, WREN.code, 1, -sold.cost, StockReason.RETURNED, 1))
        level = work.stock.level(kind, WREN.code)
        assert (sold.cost, level.on_hand, level.last_cost) == (-6200, 3, 7000)
        assert [lot.cost for lot in work.stock.lots(kind, WREN.code)] == [6200, 7000, 6200]


def test_a_receipt_handed_in_is_no_longer_open(furnished: Ledger) -> None:
    """Only receipts that nothing replaced count, and a cancelled order has nothing to hand in."""
    open_part = Unclaimed(1, 1, CUSTOMER, CUSTOMER, None, None)
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        assert work.receipts.unclaimed(DAY, 365) == (open_part,)
        for replaces in (None, 1):
            work.receipts.add(a_receipt(work.receipts.next_number()), replaces, "a refund")
        work.receipts.mark_claimed(1, DAY)
        assert work.receipts.unclaimed(DAY, 365) == (open_part,)
        work.receipts.mark_claimed(2, date(2026, 3, 9))
        assert work.receipts.unclaimed(DAY, 365) == ()
        assert work.receipts.get(2).claimed_on == date(2026, 3, 9)
        assert work.receipts.get(1).replaced_because == "a refund"


def test_a_pair_of_a_cancelled_order_was_never_made(furnished: Ledger) -> None:
    """The last pair of a wearer is that of the newest order that stands, in the frame that is named."""
    with furnished.writing(OPERATOR, NOW) as work:
        for _ in range(2):
            work.orders.add(an_order())
        assert [pair.job_number for _, pair in [work.orders.last_pair(1) or pytest.fail("none")]] == [3]
        work.cancellations.add(Cancellation(2, DAY, "ordered twice"))
        last = work.orders.last_pair(1, WREN.code)
        assert last is not None
        assert last[1].job_number == 1
        assert work.orders.last_pair(1, "LARK-48") is None


def test_what_came_back_counts_against_what_was_sold_in_the_month(furnished: Ledger) -> None:
    """Opening, received, sold and adjusted still add up, and the value is what the goods on hand cost."""
    kind = StockedKind.FRAME
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        work.stock.bring(StockMovement(DAY, kind, WREN.code, 3, 18_600, StockReason.RECEIVED))
        work.stock.take(StockMovement(DAY, kind, WREN.code, -2, 0, StockReason.SOLD, 1))
        work.stock.bring(StockMovement(DAY, kind, WREN.code, 1, 5000, StockReason.RETURNED, 1))
        (row,) = work.reports.rows(StockRow, Month(2026, 3).days)
        assert (row.opening, row.came, row.went, row.adjusted, row.closing) == (0, 4, 2, 0, 2)
        assert row.value == 6200 + 5000


def test_diagnoses_can_come_after_the_prescription(furnished: Ledger) -> None:
    """They are added behind those that stand there; one that stands there already is refused."""
    with furnished.writing(OPERATOR, NOW) as work:
        written = work.prescriptions.get(1)
        longer = work.prescriptions.add_diagnoses(written, ("h5213",))
        assert work.prescriptions.get(1) == longer
        assert work.prescriptions.add_diagnoses(longer, ("H52.4",)).diagnoses == ("H52.13", "H52.4")
        assert work.prescriptions.get(1).diagnoses == ("H52.13", "H52.4")
        with pytest.raises(RefusedError, match="twice"):
            work.prescriptions.add_diagnoses(work.prescriptions.get(1), ("H52.4",))
