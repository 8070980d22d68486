"""Posted rows stay: no statement changes or deletes one, by any road."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date

import pytest
from sqlalchemy.exc import DBAPIError

from shopledger.errors import StoreError
from shopledger.ledger.again import Again, RemakeCause
from shopledger.ledger.audit import Subject
from shopledger.ledger.books.payee_forms import W9, TaxpayerKind
from shopledger.ledger.carried import PaidShare
from shopledger.ledger.certificates import Certificate
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.erasing import AskedBy, Erasure, HoldDeed, LegalHold
from shopledger.ledger.inspections import ImpactProof, ImpactRecord, Omission, Remake
from shopledger.ledger.joins import Join, JoinDeed
from shopledger.ledger.names import NameChange, Named
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Cancellation, Method, Payment, Refund
from shopledger.ledger.parcels import OrderAddress, ParcelReturn
from shopledger.ledger.parties import Address, Customer, WearerMove
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from shopledger.store.guards import DATED, POSTED
from shopledger.store.opening import Ledger
from shopledger.store.refusals import MonthClosedError
from shopledger.store.tables.schema import METADATA
from shopledger.store.translation import CLOSED_MONTH
from shopledger.store.work import UnitOfWork
from tests.counted import post_sale
from tests.parcels import whole_parcel
from tests.rows import TO_COME, put_row, rows
from tests.shelf import WREN
from tests.store.bench_samples import an_inspection
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.store.test_orders import a_receipt

HASH = "ab" * 32
DAYED = {"day": DAY.isoformat()}
HERE = ("1 Elm Way", "Columbus", "OH", "43002")
BOOKED: Mapping[str, Mapping[str, object]] = {
    "kept_file": {"sha256": HASH, "name": "bill.pdf", "size": 9},
    "kept_body": {"sha256": HASH, "body": b"two cases", "seal": TO_COME},
    "prescription_file": {"prescription_number": 1, "sha256": HASH},
    "order_own_lens": {"job_number": 1, "side": "left", "making": "new", "lens_code": None},
    "order_own_extra": {"job_number": 1, "side": "left", "position": 1, "extra_code": "CLEAR"},
    "supplier": {
        "number": 1, "name": "Pellerin Lens Works", "folded": "pellerin lens works", "account": "", "phone": "",
        "email": "", "note": "",
    },
    "bill": {
        "number": 1, "supplier_number": 1, "invoice": "A-1", **DAYED, "due_on": None, "note": "", "file_sha256": HASH,
    },
    "bill_line": {
        "bill_number": 1, "position": 1, "kind": "job", "description": "lenses", "item_kind": None, "item_code": "",
        "quantity": 0, "job_number": 1, "category": None, "amount": 3200, "landed": 3200,
    },
    "bill_payment": {"number": 1, "bill_number": 1, **DAYED, "amount": 3200, "method": "bank", "reference": ""},
    "bill_credit": {
        "number": 1, "bill_number": 1, **DAYED, "kind": "allowance", "amount": 100, "reason": "scuffed",
        "method": None, "other_bill": None,
    },
    "bill_credit_part": {
        "credit_number": 1, "position": 1, "account": "lenses and lab work", "amount": 100, "movement_number": None,
    },
    "adjustment": {"number": 1, **DAYED, "reason": "one year of the edger", "reverses": None, "opening": 0},
    "adjustment_line": {"adjustment_number": 1, "position": 1, "account": "depreciation", "amount": 100, "state": ""},
    "expense": {
        "number": 1, **DAYED, "payee": "Millbrae Power", "category": "utilities", "description": "light",
        "amount": 4000, "method": "bank", "reference": "", "file_sha256": None,
    },
    "money_move": {
        "number": 1, **DAYED, "kind": "banked", "till": "bank", "amount": 500, "fee": 0, "state": "", "reference": "",
        "note": "",
    },
    "deposit": {
        "number": 1, "customer_number": 1, **DAYED, "amount": 500, "method": "cash", "reference": "", "note": "",
        "gives_back": None,
    },
    "w9": {
        "number": 2, "payee": "Imke Sandlark", "folded": "imke sandlark", "name": "Imke Sandlark",
        "street": "4 Quarry Road", "second_line": "", "city": "Barre", "state": "VT", "postcode": "05641",
        "kind": "individual", "tax_number": "12-3456789", "received_on": "2026-01-12", "backup_withholding": 0,
    },
    "w9_erasure": {"number": 1, "w9_number": 1, **DAYED, "reason": "seven years are over"},
    "report_limit": {"number": 1, "year": 2027, "amount": 210_000},
    "disposal": {
        "number": 1, **DAYED, "document_kind": "expense", "document_number": 1, "position": 1, "cost": 5000,
        "depreciation": 1000, "how": "sold", "proceeds": 300, "till": "bank", "reference": "", "note": "",
    },
    "refund_credit": {"refund_number": 1, "deposit_number": 1},
    "taken_back": {"document_kind": "expense", "document_number": 1, **DAYED, "reason": "typed twice"},
    "period_event": {
        "number": 1, "month": "2026-01", "deed": "closed", "reason": "", "accepted": "", "head_count": 0,
        "head_hash": HASH,
    },
    "lens_order": {
        "number": 1, "job_number": 1, "supplier_number": 1, **DAYED, "expected_on": None, "follows": None, "note": "",
        "body": "{}", "sha256": HASH,
    },
    "lens_arrival": {"lens_order_number": 1, **DAYED, "note": ""},
    "closed_as": {"event_number": 1, "accounting": "cash"},
    "closed_look": {"event_number": 1, "position": 1, "looker": "Ines", "looks": 1, "receipts": 0, "exports": 0},
    "bank_account": {"number": 1, "name": "Checking", "folded": "checking", "ending": "5678"},
    "bank_layout": {"number": 1, "account_number": 1, "body": "{}"},
    "bank_statement": {
        "number": 1, "account_number": 1, **DAYED, "form": "typed", "file_name": "", "sha256": "", "first": None,
        "last": None, "balance_day": None, "balance": None, "accepted": "",
    },
    "bank_line": {
        "number": 1, "account_number": 1, "statement_number": 1, **DAYED, "amount": -500, "text": "fee",
        "check_number": "", "source_id": "1", "kind": "FEE", "key": HASH, "replaces": None,
    },
    "bank_match": {
        "number": 1, **DAYED, "line_number": 1, "entry_number": 1, "other_line": None,
        "takes_back": None,
    },
    "processor": {"number": 1, "name": "Cardwell", "folded": "cardwell"},
    "processor_layout": {"number": 1, "processor_number": 1, "body": "{}"},
    "processor_report": {"number": 1, "processor_number": 1, **DAYED, "file_name": "june.csv", "sha256": HASH},
    "processor_line": {
        "number": 1, "processor_number": 1, "report_number": 1, "payout": "", "payout_day": None, "arrives_on": None,
        "transaction_id": "t1", **DAYED, "kind": "charge", "gross": 500, "fee": 20, "net": 480, "key": HASH,
        "replaces": None,
    },
    "payout_move": {"number": 1, "processor_number": 1, "payout": "p1", "move_number": 1},
    "audit_pruning": {"number": 1, "last": 1, "hash": HASH, "many": 1, "older_than": "2020-01-01", "began": "2019"},
}  # fmt: skip
"""A row for each table of bills, other money, the bank, closed months, lens orders and files, as it is stored."""
UNSTAMPED = {
    *("closed_as", "closed_look", "bill_line", "kept_body", "order_own_lens", "order_own_extra"),
    *("bill_credit_part", "adjustment_line", "refund_credit"),
}


@pytest.fixture
def full(ledger: Ledger) -> Ledger:
    """Give a ledger with a row in each posted table."""
    furnish(ledger)
    shape = FrameTrace(Trace(Side.RIGHT, (2500,) * 36), Trace(Side.LEFT, (2500,) * 36), 18)
    with ledger.writing(OPERATOR, NOW) as work:
        order = work.orders.add(an_order())
        work.payments.add(Payment(1, DAY, 100, Method.CASH))
        work.payments.add(Payment(1, DAY, 100, Method.CASH, moved_from=1))
        kind, way = CorrectionKind.EXCHANGED, (LinePart(1, 100, 0),)
        posted = work.corrections.add(Correction(1, DAY, kind, "too wide", parts=way))
        work.orders.add_lines(order, number_of(posted), order.lines[:1])
        work.paid_shares.of_payment(1, PaidShare(7, 0, 5))
        work.paid_shares.of_correction(1, PaidShare(-7, 0, -5))
        work.parcels.add(whole_parcel(order, DAY))
        work.parcels.bring_back(ParcelReturn(1, DAY, "moved away"))
        work.parcels.send_to(OrderAddress(1, DAY, Address(*HERE)))
        work.refunds.add(Refund(1, DAY, Method.CASH, "", "scratched", (LinePart(1, 100, 0, side=Side.RIGHT),)))
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
        work.stock.bring(StockMovement(DAY, StockedKind.FRAME, WREN.code, 2, 200, StockReason.OPENING))
        work.stock.take(StockMovement(DAY, StockedKind.FRAME, WREN.code, -1, 0, StockReason.SOLD, 1))
        post_sale(work, order)
        work.earnings.put_off(1, DAY)
        work.earnings.take_over(1)
        work.inspections.add(an_inspection())
        work.inspections.add_impact(ImpactRecord(1, DAY, ImpactProof.CERTIFICATE, "C-77"))
        work.inspections.add_remake(Remake(1, DAY, "axis off", 1850))
        work.inspections.omit([Omission(2, "in a hurry")])
        work.orders.add_job(1, replace(order.pairs[0], again=Again(1, 1, RemakeCause.MAKER, DAY)))
        work.orders.take_out(2, 1)
        work.inspections.add_certificate(Certificate(work.inspections.next_certificate_number(), 1, "{}", HASH))
        work.audit.changed(Subject.CUSTOMER, 1, Address(*HERE), Address("7 Elm Way", *HERE[1:]), customer=1)
        work.audit.changed(Subject.CUSTOMER, 1, Address(*HERE), Address("9 Elm Way", *HERE[1:]), customer=1)
        other = number_of(work.customers.add(Customer("Nobody Now", Address(*HERE))))
        work.erasures.hold(LegalHold(1, None, DAY, HoldDeed.PLACED, "a lawsuit"))
        work.erasures.erase(Erasure(other, None, DAY, AskedBy.PERSON, "asked by letter", "nothing was sold"))
        work.customers.add_move(WearerMove(DAY, 2, 1, other))
        work.joins.add(Join(DAY, JoinDeed.JOINED, other, 1, "recorded twice"))
        work.names.add(NameChange(Named.SHOP, "Thistledown Optical", "Fernhollow Optical", DAY))
        work.w9s.add(W9("Corin Ash", "Corin Ash", Address(*HERE), TaxpayerKind.OTHER, "12-3456780", DAY))
        for table, values in BOOKED.items():
            put_row(work, table, values if table in UNSTAMPED else {**values, **work.transaction.stamp})
    return ledger


def test_no_posted_row_is_changed_or_deleted(full: Ledger) -> None:
    """The database refuses to update, delete or overwrite a row of any posted table, and says what to do instead."""
    for table in POSTED:
        with full.reading() as work:
            before = rows(work, table)
            dialect = work.transaction.connection.dialect.name
        assert before, table
        names = ", ".join(column.name for column in METADATA.tables[table].columns if column.computed is None)
        overwriting = f"INSERT OR REPLACE INTO {{table}} ({names}) SELECT {_to_come(names)} FROM {{table}}"  # noqa: S608 - names of the tables
        last = overwriting if dialect == "sqlite" else "TRUNCATE {table} CASCADE"
        for deed in ("UPDATE {table} SET {one} = {one}", "DELETE FROM {table}", last):
            said = deed.format(table=table, one=next(iter(before[0]._mapping)))
            with pytest.raises(StoreError, match=r"never changed or deleted"), full.writing(OPERATOR, NOW) as work:
                work.transaction.connection.exec_driver_sql(said)
        with full.reading() as work:
            assert rows(work, table) == before


def test_what_may_change_is_not_guarded(full: Ledger) -> None:
    """People, the catalogue and counters are no posted rows."""
    with full.writing(OPERATOR, NOW) as work:
        for table in ("customer", "frame", "counter", "stock_level", "tax_rate", "shop"):
            assert table not in POSTED
        work.transaction.connection.exec_driver_sql("UPDATE customer SET phone = '', seal = 1000000")


def test_a_guard_is_no_matter_of_the_store_alone(full: Ledger) -> None:
    """Another program that opens the database meets the same refusal."""
    stranger = full._engine.connect().execution_options(writing=True)
    with stranger, pytest.raises(DBAPIError, match="post a correction"):
        stranger.exec_driver_sql("DELETE FROM payment")


def close(ledger: Ledger, month: str, deed: str = "closed", number: int = 2) -> None:
    """Note that a month was closed or reopened."""
    said = {"number": number, "month": month, "deed": deed, "reason": "a bill came late"}
    with ledger.writing(OPERATOR, NOW) as work:
        put_row(work, "period_event", {**BOOKED["period_event"], **said, **work.transaction.stamp})


def test_a_dated_table_has_a_day_and_is_posted() -> None:
    """A month can only be closed to what says its day and stays as it is."""
    assert set(DATED) <= set(POSTED)
    assert all("day" in METADATA.tables[table].columns for table in DATED)


@pytest.mark.parametrize("table", DATED)
def test_a_closed_month_takes_no_row_of_any_dated_table(full: Ledger, table: str) -> None:
    """The first and the last day are in it; the day after is not."""
    close(full, "2026-02")
    for day in ("2026-02-01", "2026-02-28"):
        with (
            pytest.raises(MonthClosedError, match="is closed, so nothing was stored"),
            full.writing(OPERATOR, NOW) as work,
        ):
            _again(work, table, day)
    with full.writing(OPERATOR, NOW) as work:
        before = len(rows(work, table))
        assert _again(work, table, "2026-03-01") > before


def test_a_reopened_month_takes_rows_again(full: Ledger) -> None:
    """The newest word on a month holds."""
    close(full, "2026-02")
    close(full, "2026-02", "reopened", 3)
    with full.writing(OPERATOR, NOW) as work:
        work.payments.add(Payment(1, date(2026, 2, 14), 100, Method.CASH))
    close(full, "2026-02", number=4)
    with pytest.raises(MonthClosedError), full.writing(OPERATOR, NOW) as work:
        work.payments.add(Payment(1, date(2026, 2, 14), 100, Method.CASH))


def test_a_closed_month_is_no_matter_of_the_store_alone(full: Ledger) -> None:
    """Another program that opens the database meets the same refusal."""
    stranger = full._engine.connect().execution_options(writing=True)
    with stranger, pytest.raises(DBAPIError, match=CLOSED_MONTH):
        stranger.exec_driver_sql(
            "INSERT INTO payment (number, order_number, day, amount, method, reference, operator, recorded_at) "
            "SELECT number + 9, order_number, '2026-01-05', amount, method, reference, operator, recorded_at "
            "FROM payment"
        )


def _to_come(names: str) -> str:
    """Name columns to copy, and give the copy a seal to come."""
    return ", ".join(str(TO_COME) if name == "seal" else name for name in names.split(", "))


def _again(work: UnitOfWork, table: str, day: str) -> int:
    """Insert the table's first row once more, under another key and on another day; gives how many are there."""
    row = dict(rows(work, table)[0]._mapping)
    keys = METADATA.tables[table].primary_key.columns
    row.update({key.name: row[key.name] + 90 for key in keys if isinstance(row[key.name], int)})
    row = {name: value for name, value in row.items() if METADATA.tables[table].columns[name].computed is None}
    row.update({"seal": TO_COME} if "seal" in row else {})
    if "order_number" in keys:
        row["order_number"] = number_of(work.orders.add(an_order(day=DAY)))
    if table == "parcel":
        row["again_of"] = None
    if table == "earned":
        row["line"] = 1
    if table == "parcel_return":
        row["parcel_number"] = work.parcels.add(whole_parcel(work.orders.get(1), DAY)).number
    if table == "journal_entry":
        row["hash"] = "cd" * 32
    put_row(work, table, {**row, "day": day})
    return len(rows(work, table))
