"""Posted rows stay: no statement changes or deletes one, by any road."""

from __future__ import annotations

from dataclasses import replace

import pytest
from sqlalchemy.exc import DBAPIError

from shopledger.errors import StoreError
from shopledger.ledger.inspections import ImpactProof, ImpactRecord, Omission, Remake
from shopledger.ledger.orders import Cancellation, Method, Payment, Refund, RefundPart, Shipment
from shopledger.ledger.postings import sale_entry
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.store.guards import POSTED
from shopledger.store.opening import Ledger
from tests.shelf import WREN
from tests.store.bench_samples import an_inspection
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.store.test_orders import a_receipt


@pytest.fixture
def full(ledger: Ledger) -> Ledger:
    """Give a ledger with a row in each posted table."""
    furnish(ledger)
    shape = FrameTrace(Trace(Side.RIGHT, (2500,) * 36), Trace(Side.LEFT, (2500,) * 36), 18)
    with ledger.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        work.payments.add(Payment(1, DAY, 100, Method.CASH))
        work.shipments.add(Shipment(1, DAY, "by post"))
        work.refunds.add(Refund(1, DAY, Method.CASH, "", "scratched", (RefundPart(1, 100, 0),)))
        work.cancellations.add(Cancellation(1, DAY, "ordered twice"))
        work.prescriptions.add(replace(work.prescriptions.get(1), number=None, diagnoses=("H52.4",)))
        work.traces.add(StoredTrace(WREN.code, shape, TraceOrigin("wren.dcs", "00", DAY)))
        for replaces in (None, 1):
            work.receipts.add(a_receipt(work.receipts.next_number()), replaces=replaces)
        work.receipts.record_print(1, DAY)
        work.receipts.keep_wording("{}")
        work.receipts.mark_claimed(1, DAY)
        work.drafts.add(1, DAY, "again", "customer = 1")
        work.drafts.mark_recorded(1, 1)
        work.stock.add(StockMovement(DAY, StockedKind.FRAME, WREN.code, 1, 100, StockReason.OPENING))
        work.journal.post(sale_entry(order))
        work.inspections.add(an_inspection())
        work.inspections.add_impact(ImpactRecord(1, DAY, ImpactProof.CERTIFICATE, "C-77"))
        work.inspections.add_remake(Remake(1, DAY, "axis off", 1850))
        work.inspections.omit([Omission(2, "in a hurry")])
        work.audit.note("looked", "at nothing")
    return ledger


def test_no_posted_row_is_changed_or_deleted(full: Ledger) -> None:
    """The database refuses to update, delete or overwrite a row of any posted table, and says what to do instead."""
    for table in POSTED:
        with full.reading() as work:
            before = work._transaction.rows(table)
            dialect = work._transaction.connection.dialect.name
        assert before, table
        overwriting = "INSERT OR REPLACE INTO {table} SELECT * FROM {table}"
        last = overwriting if dialect == "sqlite" else "TRUNCATE {table} CASCADE"
        for deed in ("UPDATE {table} SET {one} = {one}", "DELETE FROM {table}", last):
            said = deed.format(table=table, one=next(iter(before[0]._mapping)))
            with pytest.raises(StoreError, match=r"never changed or deleted"), full.writing(OPERATOR, NOW) as work:
                work._transaction.connection.exec_driver_sql(said)
        with full.reading() as work:
            assert work._transaction.rows(table) == before


def test_what_may_change_is_not_guarded(full: Ledger) -> None:
    """People, the catalogue and counters are no posted rows."""
    with full.writing(OPERATOR, NOW) as work:
        for table in ("customer", "frame", "counter", "stock_level", "tax_rate", "shop"):
            assert table not in POSTED
        work._transaction.connection.exec_driver_sql("UPDATE customer SET phone = ''")


def test_a_guard_is_no_matter_of_the_store_alone(full: Ledger) -> None:
    """Another program that opens the database meets the same refusal."""
    stranger = full._engine.connect().execution_options(writing=True)
    with stranger, pytest.raises(DBAPIError, match="post a correction"):
        stranger.exec_driver_sql("DELETE FROM payment")
