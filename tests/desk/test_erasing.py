"""Erasing a customer or a wearer: from which day, what goes, what stays, and that the books prove it."""

from __future__ import annotations

import json
import shutil
import signal
from base64 import b64decode
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import event

from shopledger.desk.auditing import audit
from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.deposits import DepositRequest, GiveBackRequest, give_back, take_deposit
from shopledger.desk.books.reports import period_report
from shopledger.desk.certifying import print_certificate, print_issued
from shopledger.desk.changing_jobs import JobChange, Remeasured
from shopledger.desk.changing_orders import Reduction
from shopledger.desk.context import Desk
from shopledger.desk.copying import copy_to_draft
from shopledger.desk.drafts import draft_numbered, open_drafts
from shopledger.desk.erasing import (
    ErasureRequest,
    erase,
    erase_again,
    export_held,
    held_on,
    place_hold,
    plan_erasure,
    remembered,
)
from shopledger.desk.inspecting import InspectionRequest, record_inspection
from shopledger.desk.kept_forms import keep_form, kept_forms
from shopledger.desk.known_people import customer_card, find_customers
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, print_lens_order
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import give_refund, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, send_again, send_order_to
from shopledger.desk.people import add_supplier, change_customer, change_wearer
from shopledger.desk.prescribing import add_diagnoses, prescription_card
from shopledger.desk.prescription_files import document_name, hand_out_document, keep_document
from shopledger.desk.putting_right import CorrectionTerms, record_correction
from shopledger.desk.receipt_lookups import receipt_numbered
from shopledger.desk.receipts import issue_receipt, print_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.exports.notes import period_notes
from shopledger.files.refusals import TakenError
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.erasing import AskedBy, ErasedError, PersonErasedError
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.retention import KeptStillError
from shopledger.store import columns as kept
from shopledger.store.guards import lift_guards, set_guards
from shopledger.store.opening import Ledger, ledger_url, open_ledger
from shopledger.store.outside import remember
from shopledger.store.places import ledger_path
from shopledger.store.refusals import FileErasedError
from shopledger.store.tables.schema import METADATA
from tests.desk.books import everything, on_both
from tests.desk.family import FAMILY_ORDER, Past, later, read_as_ordered
from tests.faults import in_a_child, killed
from tests.rows import rows
from tests.shelf import CHILD, CUSTOMER, HOME

pytestmark = pytest.mark.slow

SHIPPED = date(2026, 3, 9)
BEFORE, ALLOWED = date(2034, 4, 14), date(2034, 4, 15)
"""The return for 2026 is due on 2027-04-15, and tax records are kept 7 years after that."""
LETTER = "asked by letter"
YES = frozenset({"ERASED-FOR-GOOD", "CUSTOMER-STAYS"})
WHOLE = ErasureRequest(CUSTOMER, LETTER, AskedBy.PERSON, accept=YES)
ONE = replace(WHOLE, wearer=CHILD)
TOLD = (
    "Odalys",
    "Fernhollow",
    "Tansy Lane",
    "555-0142",
    "H52.4",
    "2015-05-09",
    "O.F.",
    "kept in the blue box",
    "43002",
    "likes blue",
    "reads in bed",
)


@pytest.fixture(scope="module")
def past() -> Past:
    """Tell what happened in the furnished shop before the desk is given."""
    return deal


@pytest.fixture
def dealt(desk: Desk) -> Desk:
    """Give the desk where the family bought, on the day of that."""
    return later(desk, SHIPPED)


def deal(desk: Desk, folder: Path) -> None:
    """Let the family buy, wear, claim, give back and leave drafts: something stands in every table about them."""
    add_supplier(desk, Supplier("Brightwater Lens Laboratory", "A-77", "555-0164"))
    change_customer(desk, CUSTOMER, lambda found: replace(found, email="odalys@example.com"))
    for name in (CUSTOMER.replace("Fernhollow", "Marrowdene"), CUSTOMER):
        change_customer(desk, "1", lambda found, name=name: replace(found, name=name))  # type: ignore[misc]
        change_wearer(desk, "1", "2", lambda found, name=name: replace(found, name=f"Wren of {name}"))  # type: ignore[misc]
    change_wearer(desk, "1", "2", lambda found: replace(found, name=CHILD))
    add_diagnoses(desk, 1, ["H52.4"])
    keep_document(desk, 1, scan(folder))
    sold = record_sale(desk, replace(FAMILY_ORDER, note="kept in the blue box")).order
    herself = CorrectionTerms("Odalys read her PD from her old glasses")
    put_right = JobChange(sold.pairs[0].job_number or 0, herself, measured=Remeasured(pd_right=31.4))
    order = record_correction(desk, put_right).account.order
    there = later(desk, SHIPPED)
    sheet = makers_sheet(folder)
    for pair in order.standing_pairs:
        place_lens_order(there, LensOrderRequest(pair.job_number or 0, "Brightwater"), folder)
        record_inspection(there, judged(there, pair.job_number or 0, sheet))
        print_certificate(there, pair.job_number or 0, folder)
    take_payment(there, 1, PaymentRequest(order_account(there, 1).balance, Method.CHECK, "1044"))
    ship_order(there, 1, "Parcel post", tracking="Z-991-Fernhollow")
    parcel_back(there, 1, "nobody named Fernhollow at home")
    send_order_to(there, 1, replace(HOME, street="20 Tansy Lane"), "Odalys named another door")
    send_again(there, 1, "Parcel post")
    for wearer in (CUSTOMER, CHILD):
        issue_receipt(there, 1, wearer, folder)
    give_refund(there, 1, RefundRequest(Method.CHECK, "Odalys found them too dark", (RefundedLine(1, 500),)))
    deposit = take_deposit(there, DepositRequest(CUSTOMER, 5000, Method.CASH, note="for Wren")).account.deposit
    give_back(there, deposit.number or 0, GiveBackRequest(5000, Method.CASH))
    with there.writing() as work:
        work.drafts.add(1, SHIPPED, "new lenses", 'customer = "Odalys Fernhollow"')


def scan(folder: Path) -> Path:
    """Make the file of what the prescriber wrote for the customer."""
    file = folder / "Odalys.pdf"
    file.write_bytes(b"%PDF-1.4 reads in bed")
    return file


def makers_sheet(folder: Path) -> Path:
    """Make the sheet that came with the progressive lenses."""
    sheet = folder / "Odalys Fernhollow.txt"
    sheet.write_text("made for O.F., who likes blue")
    return sheet


def judged(desk: Desk, job: int, sheet: Path) -> InspectionRequest:
    """Give readings as ordered, of the progressive pair by its maker's sheet."""
    asked = read_as_ordered(desk, job)
    progressive = 3
    return replace(asked, sheet=sheet, compensated=asked.read) if job == progressive else asked


def said_anywhere(desk: Desk, *words: str) -> set[str]:
    """Give which of some words stand anywhere in the ledger's tables."""
    whole = repr(everything(desk))
    return {word for word in words if word in whole}


def test_nobody_is_erased_before_every_rule_lets_go(dealt: Desk) -> None:
    """The day before is refused with the day and the reason, changes nothing, and is noted as refused."""
    there = later(dealt, BEFORE)
    before = everything(there)
    with pytest.raises(KeptStillError, match=r"from 2034-04-15 on.*7 years after 2027-04-15"):
        erase(there, WHOLE)
    assert everything(there) == before
    newest = audit(there)[0].note
    assert (newest.deed.value, newest.subject, newest.outcome.value) == ("erased", "customer 1", "refused")


@on_both
def test_an_erased_customer_is_nowhere_in_the_ledger(dealt: Desk) -> None:
    """Name, address, phone, birth date, powers, reasons, notes, drafts, frozen papers and old values are gone."""
    there = later(dealt, ALLOWED)
    assert said_anywhere(there, *TOLD) == set(TOLD)
    done = erase(there, WHOLE)
    assert said_anywhere(there, *TOLD) == set()
    assert done.packed
    assert {"receipt 1", "receipt 2", "inspection record 1", "lens order 4"} <= set(done.papers)
    assert {"customer", "wearer", "prescription_eye", "receipt", "draft_order", "changed_value"} <= {
        part.table_name for part in done.parts
    }


def test_what_was_half_typed_of_an_erased_person_goes_too(dealt: Desk) -> None:
    """A form that was begun about somebody else stays."""
    there = later(dealt, ALLOWED)
    keep_form(there, "sale", "1", {"customer": [CUSTOMER]})
    keep_form(there, "sale", "2", {"customer": ["Somebody Else"]})
    erase(there, WHOLE)
    assert [each.about for each in kept_forms(there)] == ["2"]


@on_both
def test_after_an_erasure_every_proof_holds(dealt: Desk) -> None:
    """Chain, documents, counters, stock, frozen papers: the proof says how many papers an erasure left something of."""
    there = later(dealt, ALLOWED)
    erase(there, WHOLE)
    verdict = prove_books(there)
    assert [str(each) for failed in verdict.failed for each in failed.differences] == []
    assert next(each.words for each in verdict.proofs if each.code == "RECEIPTS").endswith("(10)")


@on_both
def test_nothing_but_personal_columns_is_changed(dealt: Desk) -> None:
    """Money, tax, stock, codes, numbers, days and whose hand it was stay as they were, row by row."""
    there = later(dealt, ALLOWED)
    before = rest(there)
    erase(there, WHOLE)
    assert rest(there) == before


def rest(desk: Desk) -> dict[str, list[dict[str, Any]]]:
    """Give what no erasure touches: every column that tells of nobody, of every table but those of erasures."""
    own = {"erasure", "erasure_part", "audit_note", "counter", "seal"}
    with desk.reading() as work:
        return {
            table.name: [
                {
                    column.name: row._mapping[column.name]
                    for column in table.columns
                    if not kept.is_personal(column) and column.name not in {"erased_on", "seal", "salt"}
                }
                for row in rows(work, table.name, order=[column.name for column in table.primary_key.columns])
            ]
            for table in METADATA.sorted_tables
            if table.name not in own
        }


def test_what_was_erased_is_neither_shown_nor_printed_nor_sold_to(dealt: Desk, tmp_path: Path) -> None:
    """Each asks for something else: the paper, the prescription, the job, the person; all say when it was erased."""
    there = later(dealt, ALLOWED)
    erase(there, WHOLE)
    for asked in (
        lambda: print_receipt(there, 1, tmp_path),
        lambda: print_issued(there, 1, tmp_path),
        lambda: print_lens_order(there, 1, tmp_path),
        lambda: prescription_card(there, 1),
        lambda: add_diagnoses(there, 1, ["H52.1"]),
        lambda: hand_out_document(there, 1, tmp_path),
        lambda: keep_document(there, 1, scan(tmp_path)),
        lambda: job_card(there, 1),
        lambda: draft_numbered(there, 1),
        lambda: record_correction(there, Reduction(1, {1: 100}, CorrectionTerms("late"))),
        lambda: record_correction(there, JobChange(2, CorrectionTerms("misread"), measured=Remeasured(pd=60))),
        lambda: copy_to_draft(there, 1),
    ):
        with pytest.raises(ErasedError, match="erased on 2034-04-15"):
            asked()
    for dealing in (
        lambda: record_sale(there, replace(FAMILY_ORDER, customer="1")),
        lambda: change_customer(there, "1", lambda found: found),
        lambda: erase(there, replace(WHOLE, customer="1")),
        lambda: held_on(there, "1"),
    ):
        with pytest.raises(PersonErasedError, match=r"customer 1 was erased on 2034-04-15"):
            dealing()
    assert find_customers(there, "") == ()
    assert open_drafts(there) == ()
    assert {wearer.name for wearer, written in customer_card(there, "1").wearers if written is None} == {
        "erased 2034-04-15"
    }


@on_both
def test_what_is_left_of_a_receipt_adds_up(dealt: Desk) -> None:
    """Number, day, order, amounts and codes are as they were issued, and the tombstone names its erasure."""
    there = later(dealt, ALLOWED)
    whole = receipt_numbered(there, 1).content
    erase(there, WHOLE)
    left = receipt_numbered(there, 1).content
    assert (left.erased_on, left.erasure, left.wearer) == ("2034-04-15", 1, "erased 2034-04-15")
    for name in ("number", "issued_on", "order_number", "total", "tax", "paid", "balance", "ledger_head", "lines"):
        assert getattr(left, name) == getattr(whole, name), name
    assert order_account(there, 1).order.ship_to.state == "OH"


@on_both
def test_a_wearer_may_be_erased_alone(dealt: Desk) -> None:
    """The child's data goes, what is shared with it goes too, and the mother's stays as it was."""
    there = later(dealt, ALLOWED)
    mother = [prescription_card(there, 1), receipt_numbered(there, 1).content, customer_card(there, CUSTOMER).customer]
    erase(there, ONE)
    assert said_anywhere(there, "Wren Fernhollow", "2015-05-09") == set()
    assert [
        prescription_card(there, 1),
        receipt_numbered(there, 1).content,
        customer_card(there, CUSTOMER).customer,
    ] == mother
    with pytest.raises(ErasedError):
        prescription_card(there, 2)
    assert prove_books(there).holds
    erase(there, WHOLE)
    assert prove_books(there).holds
    assert receipt_numbered(there, 2).content.erasure == 1


@on_both
def test_an_older_copy_forgets_again_whom_the_ledger_forgot(dealt: Desk) -> None:
    """The list lies outside the ledger; it is applied to a copy of before once, and then there is nothing to do."""
    there = later(dealt, ALLOWED)
    erase(there, ONE)
    listed = remembered(there.ledger.url)
    assert [(each.customer_number, each.wearer_number, each.reason) for each in listed] == [(1, 2, LETTER)]
    erase(there, WHOLE)
    with there.writing() as work:
        assert work.erasures.apply_again(remembered(there.ledger.url)) == ()


def test_a_restored_copy_is_brought_to_the_same_state(dealt: Desk, tmp_path: Path) -> None:
    """What an older file still knew is blanked under the same numbers and days, and its books hold."""
    there = later(dealt, ALLOWED)
    place = ledger_path(there.ledger.url)
    assert place is not None
    there.ledger.pack()
    copy = tmp_path / "older.db"
    shutil.copy(place, copy)
    erase(there, ONE)
    erase(there, WHOLE)
    there.ledger.close()
    shutil.copy(copy, place)
    for leftover in ("-wal", "-shm"):
        place.with_name(place.name + leftover).unlink(missing_ok=True)
    with closing(open_ledger(there.ledger.url)) as opened:
        again = replace(there, ledger=opened)
        assert said_anywhere(again, *TOLD) == set(TOLD)
        assert [(each.number, each.wearer_number, each.day) for each in erase_again(again)] == [
            (1, 2, ALLOWED), (2, None, ALLOWED),
        ]  # fmt: skip
        assert said_anywhere(again, *TOLD) == set()
        assert prove_books(again).holds
        assert erase_again(again) == ()


def test_nothing_is_left_on_the_disk(dealt: Desk) -> None:
    """After an erasure no page of the file and of its log holds the name, the street or a power's text."""
    there = later(dealt, ALLOWED)
    place = ledger_path(there.ledger.url)
    assert place is not None
    erase(there, WHOLE)
    there.ledger.close()
    for file in place.parent.glob(f"{place.name}*"):
        body = file.read_bytes()
        for word in (b"Fernhollow", b"Tansy Lane", b"odalys@example.com", b"-2.50 -1.25"):
            assert word not in body, (file.name, word)


def test_a_legal_hold_keeps_everything_until_it_is_lifted(dealt: Desk) -> None:
    """On the customer or on one wearer: nobody of them is erased, whatever the day."""
    there = later(dealt, date(2060, 1, 1))
    place_hold(there, CUSTOMER, "a lawsuit", CHILD)
    for request in (WHOLE, ONE):
        with pytest.raises(KeptStillError, match="There is a legal hold: a lawsuit"):
            plan_erasure(there, request)
    plan_erasure(there, replace(WHOLE, wearer="1"))
    with pytest.raises(RefusedError, match="there is one already"):
        place_hold(there, CUSTOMER, "again", CHILD)
    place_hold(there, CUSTOMER, "settled", CHILD, lift=True)
    assert plan_erasure(there, WHOLE).held.records > 100


def test_an_erasure_needs_a_yes_and_a_reason_without_the_name(dealt: Desk) -> None:
    """It cannot be undone, and its reason is kept."""
    there = later(dealt, ALLOWED)
    before = everything(there)
    with pytest.raises(FindingsRefusedError, match="ERASED-FOR-GOOD"):
        erase(there, replace(WHOLE, accept=frozenset()))
    with pytest.raises(RefusedError, match="it names the person"):
        erase(there, replace(WHOLE, reason="Odalys Fernhollow wrote to us"))
    assert everything(there) == before


@on_both
def test_all_that_is_held_is_written_out_for_the_person(dealt: Desk, tmp_path: Path) -> None:
    """Every table that tells of somebody has its rows in the file, and the export is noted with how many."""
    held, (file, text) = export_held(dealt, CUSTOMER, tmp_path)
    written = json.loads(file.read_text())
    empty = {"legal_hold", "order_warning", "prescription_warning", "cancellation", "impact_record", "remake"}
    empty |= {"inspection_omission", "receipt_replacement", "lens_arrival"}
    # A payee's, and no customer's.
    empty |= {"w9"}
    assert {table for table in _personal() if table not in written} <= empty
    assert written["receipt"][0]["canonical"]["wearer"] == CUSTOMER
    assert b"%PDF-1.4 reads in bed" in [b64decode(row["body"]) for row in written["kept_body"]]
    assert "Odalys Fernhollow" in text.read_text()
    newest = audit(dealt)[0].note
    assert (newest.deed.value, newest.records, newest.file_name) == (
        "exported all that is held", held.records, "held-customer-00001.json",
    )  # fmt: skip
    one = held_on(dealt, CUSTOMER, CHILD)
    assert one.records < held.records
    assert {row["wearer_number"] for table in one.tables for row in table.rows if "wearer_number" in row} == {2}


def test_what_is_held_is_written_again_and_over_nothing_else(dealt: Desk, tmp_path: Path) -> None:
    """The same list takes its own place; a letter that is called so is not touched."""
    _, files = export_held(dealt, CUSTOMER, tmp_path)
    export_held(dealt, CUSTOMER, tmp_path)
    for file in files:
        written = file.read_bytes()
        file.write_bytes(b"Dear Odalys")
        with pytest.raises(TakenError, match="is no list of what is held"):
            export_held(dealt, CUSTOMER, tmp_path)
        assert file.read_bytes() == b"Dear Odalys"
        file.write_bytes(written)


def _personal() -> Iterator[str]:
    for table in METADATA.sorted_tables:
        if any(kept.is_personal(column) for column in table.columns):
            yield table.name


@pytest.mark.parametrize(
    ("forged", "found"),
    [
        ("UPDATE receipt SET canonical = replace(canonical, 'Odalys', 'Odilia')", "its content was changed"),
        ("DELETE FROM erasure_part; DELETE FROM erasure", "erasure 1 of its wearer is not there"),
        ("UPDATE erasure SET wearer_number = 1", "erasure 1 of its wearer is not there"),
    ],
)
def test_a_frozen_paper_is_whole_or_erased_or_broken(dealt: Desk, forged: str, found: str) -> None:
    """Whoever blanks a receipt past the program finds no erasure for it; whoever takes one away breaks its papers."""
    there = later(dealt, ALLOWED)
    if "erasure" in forged:
        erase(there, WHOLE)
    with there.writing() as work:
        connection = work.transaction.connection
        lift_guards(connection)
        connection.exec_driver_sql("PRAGMA defer_foreign_keys = ON")
        for said in forged.split("; "):
            connection.exec_driver_sql(said)
        set_guards(connection)
    failed = {proof.code: [each.found for each in proof.differences] for proof in prove_books(there).failed}
    assert any(found in each for each in failed["RECEIPTS"])
    assert "RECORDS" in failed


def test_a_refused_look_is_noted_by_itself(dealt: Desk) -> None:
    """Nothing was shown, and it is known who asked."""
    there = later(dealt, ALLOWED)
    erase(there, WHOLE)
    with pytest.raises(ErasedError):
        prescription_card(replace(there, operator="Ines"), 1)
    newest = audit(there)[0].note
    assert (newest.operator, newest.deed.value, newest.subject, newest.outcome.value) == (
        "Ines", "looked at a prescription", "prescription 1", "refused",
    )  # fmt: skip


def test_the_months_notes_say_who_looked(dealt: Desk) -> None:
    """How often prescriptions and receipts were looked at and exports made, by each operator."""
    ines = replace(dealt, operator="Ines")
    for _ in range(2):
        prescription_card(ines, 1)
    receipt_numbered(ines, 1)
    with period_report(dealt, Month(2026, 3).days) as report:
        said = [note for about, note in period_notes(report, ()) if " by " in note and "looked at" in note]
    assert "Prescriptions looked at twice, receipts once by Ines." in said


@on_both
def test_a_file_that_proves_something_else_too_stays(dealt: Desk, tmp_path: Path) -> None:
    """The maker's sheet goes with its wearer; kept as a bill's proof as well, it is the shop's."""
    there = later(dealt, ALLOWED)
    sheet = makers_sheet(tmp_path)
    bill = BillRequest(
        "Brightwater", "L-1", expenses=(ExpenseBilled(next(iter(ExpenseCategory)), 100),), file=str(sheet)
    )
    record_bill(there, bill)
    erase(there, WHOLE)
    with there.reading() as work:
        (kept_file,) = (each for each in work.kept_files.all() if each.name == sheet.name)
        assert work.kept_files.body(kept_file.sha256) == sheet.read_bytes()
    assert prove_books(there).holds


def test_a_day_that_has_not_come_needs_another_yes(dealt: Desk) -> None:
    """Who takes a later day for today, to try something out, is told what the clock says."""
    ahead = replace(later(dealt, ALLOWED), now=later(dealt, BEFORE).now)
    with pytest.raises(FindingsRefusedError, match="it is 2034-04-14, and the records must be kept until 2034-04-15"):
        erase(ahead, WHOLE)
    erase(ahead, replace(WHOLE, accept=YES | {"NOT-YET-BY-CLOCK"}))


def test_what_an_erasure_left_to_do_is_done_again(dealt: Desk, monkeypatch: pytest.MonkeyPatch) -> None:
    """Stopped once the ledger knew it: the file is packed and the list outside written at the next call."""
    there = later(dealt, ALLOWED)
    with monkeypatch.context() as broken:
        broken.setattr(Ledger, "pack", lambda _: (_ for _ in ()).throw(KeyboardInterrupt))
        with pytest.raises(KeyboardInterrupt):
            erase(there, WHOLE)
    assert remembered(there.ledger.url) == ()
    assert erase_again(there) == ()
    assert [each.customer_number for each in remembered(there.ledger.url)] == [1]
    assert said_anywhere(there, *TOLD) == set()


@pytest.mark.parametrize("body", [[], {"erasures": 3}, {"erasures": [{}, 7, {"customer_number": "x"}]}])
def test_an_odd_list_outside_is_none(dealt: Desk, body: Any) -> None:  # noqa: ANN401 - any JSON
    """It helps, and is never needed."""
    remember(dealt.ledger.url, "erasures", body if isinstance(body, dict) else {"erasures": body})
    assert remembered(dealt.ledger.url) == ()
    assert erase_again(dealt) == ()


KILLS = 40


@pytest.mark.long
def test_a_kill_at_any_statement_erases_all_or_nothing(dealt: Desk, tmp_path: Path) -> None:
    """Afterwards everything is known or nothing, the books hold, and the erasure can be made or finished."""
    there = later(dealt, ALLOWED)
    place = ledger_path(there.ledger.url)
    assert place is not None
    there.ledger.pack()
    there.ledger.close()
    most = _erased_until(there, place, tmp_path / "whole.db", 0)
    seen = set()
    for at in range(1, most + 1, max(1, most // KILLS)):
        copy = tmp_path / f"killed-{at}.db"
        assert in_a_child(lambda at=at, copy=copy: _erased_until(there, place, copy, at)) == -signal.SIGKILL  # type: ignore[misc]
        with closing(open_ledger(ledger_url(str(copy)))) as opened:
            again = replace(there, ledger=opened)
            left = said_anywhere(again, *TOLD)
            assert left in (set(), set(TOLD))
            seen.add(not left)
            assert prove_books(again).holds
            erase_again(again)
            if left:
                erase(again, WHOLE)
            assert said_anywhere(again, *TOLD) == set()
            assert prove_books(again).holds
    assert False in seen


def _erased_until(desk: Desk, place: Path, copy: Path, at: int) -> int:
    """Erase in a copy, and be killed before the statement of that number; gives how many there were."""
    shutil.copy(place, copy)
    count = 0
    with closing(open_ledger(ledger_url(str(copy)))) as opened:

        @event.listens_for(opened._engine, "before_cursor_execute")
        def counted(*_: object) -> None:
            nonlocal count
            count += 1
            if count == at:
                killed()

        erase(replace(desk, ledger=opened), WHOLE)
    return count


@on_both
def test_a_document_of_two_wearers_goes_with_the_last_of_them(dealt: Desk, tmp_path: Path) -> None:
    """A scan of both prescriptions stays while one of the two is there, and no longer."""
    there = later(dealt, ALLOWED)
    keep_document(there, 2, scan(tmp_path))
    assert "Odalys.pdf" in {
        row["name"]
        for table in held_on(there, CUSTOMER, CHILD).tables
        if table.name == "kept_file"
        for row in table.rows
    }
    erase(there, ONE)
    file = hand_out_document(there, 1, tmp_path)
    assert file.read_bytes() == scan(tmp_path).read_bytes()
    erase(there, replace(WHOLE, wearer="1"))
    assert said_anywhere(there, "reads in bed", "Odalys.pdf") == set()
    assert prove_books(there).holds


def test_a_document_that_was_erased_is_not_taken_for_kept(dealt: Desk, tmp_path: Path) -> None:
    """The same bytes would be found by their hash, and are gone: whoever brings them is told, and nothing is stored."""
    there = later(dealt, ALLOWED)
    erase(there, replace(WHOLE, wearer="1"))
    before = everything(there)
    with pytest.raises(FileErasedError, match=r"Odalys\.pdf cannot be kept: the same file was erased on 2034-04-15"):
        keep_document(there, 2, scan(tmp_path))
    assert everything(there) == before
    assert document_name(there, prescription_card(there, 2)[0]) == ""
