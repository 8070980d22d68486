"""What is still to be claimed, until when, and issuing all open receipts at once."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path

import pytest

from shopledger.desk import claims
from shopledger.desk.claims import mark_claimed, unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.issuing import issue_all_open
from shopledger.desk.orders import cancel_order, ship_order, take_payment
from shopledger.desk.people import add_customer, add_wearer, change_customer, change_wearer
from shopledger.desk.prescribing import plan_prescription, prescription_card, record_prescription
from shopledger.desk.receipt_lookups import receipts
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.reorder_record import reorder
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.parties import Relationship
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import ASKED, CHILDS, DISTANCE, FAMILY_ORDER, inspected, later, ordered, prescription
from tests.desk.test_sales import TOTAL
from tests.shelf import CHILD, CUSTOMER, HOME

CHINESE = "李小龍"


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Record, pay and ship the family's order on 9 March, and come back a month later."""
    record_sale(desk, FAMILY_ORDER)
    shipping_day = later(desk, date(2026, 3, 9))
    take_payment(shipping_day, 1, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    inspected(shipping_day)
    ship_order(shipping_day, 1, "post")
    return later(desk, date(2026, 4, 9))


@on_both
def test_what_is_paid_and_not_handed_in_is_listed_with_its_last_day(paid: Desk, tmp_path: Path) -> None:
    """Days count from the day of service; a part without a limit comes last, and a handed-in receipt is gone."""
    change_wearer(paid, CUSTOMER, CHILD, lambda wearer: replace(wearer, claim_within_days=90))
    first, second = unclaimed(paid)
    assert (first.wearer, first.amount, first.receipt) == (CHILD, 16927, None)
    assert (first.served_on, first.last_day) == (date(2026, 3, 9), date(2026, 6, 7))
    assert (first.runs_out(paid.today), second.runs_out(paid.today)) == (59, None)
    assert (second.wearer, second.last_day) == (CUSTOMER, None)
    issue_receipt(paid, 1, CHILD, tmp_path)
    assert unclaimed(paid)[0].receipt == 1
    assert mark_claimed(paid, 1).claimed_on == date(2026, 4, 9)
    assert [claim.wearer for claim in unclaimed(paid)] == [CUSTOMER]


def test_what_is_not_paid_or_not_shipped_has_no_day_yet(desk: Desk) -> None:
    """Nothing can be claimed before it is paid, and the limit begins with the day of service."""
    record_sale(desk, ordered(DISTANCE))
    change_wearer(desk, CUSTOMER, CUSTOMER, lambda wearer: replace(wearer, claim_within_days=365))
    assert unclaimed(desk) == ()
    take_payment(desk, 1, PaymentRequest(18000, Method.CASH))
    (claim,) = unclaimed(desk)
    assert (claim.served_on, claim.last_day) == (None, None)


@on_both
def test_a_receipt_is_handed_in_once_and_only_one_that_holds(paid: Desk, tmp_path: Path) -> None:
    """Replaced, unknown, in the future or before its issue: refused, and nothing stored."""
    issue_receipt(paid, 1, CHILD, tmp_path)
    replace_receipt(paid, 1, "a new name", tmp_path)
    before = everything(paid)
    for number, day, said in (
        (1, None, "receipt 2 took its place"),
        (2, date(2026, 4, 8), "the receipt is of 2026-04-09"),
        (2, date(2026, 4, 10), "after today"),
    ):
        with pytest.raises(RefusedError, match=said):
            mark_claimed(paid, number, day)
    with pytest.raises(NumberUnknownError):
        mark_claimed(paid, 3)
    assert everything(paid) == before
    mark_claimed(paid, 2)
    with pytest.raises(RefusedError, match="it was handed in on 2026-04-09"):
        mark_claimed(paid, 2)


def test_a_receipt_not_paid_in_full_or_cancelled_is_nothing_to_hand_in(desk: Desk, tmp_path: Path) -> None:
    """A plan pays back what was paid, and for goods that were sold."""
    record_sale(desk, ordered(DISTANCE))
    issue_receipt(desk, 1, CUSTOMER, tmp_path, not_paid_in_full=True)
    with pytest.raises(RefusedError, match="not paid in full"):
        mark_claimed(desk, 1)
    cancel_order(desk, 1, "ordered twice")
    with pytest.raises(RefusedError, match="its order was cancelled"):
        mark_claimed(desk, 1)


@on_both
def test_all_open_receipts_are_issued_and_progress_is_told(paid: Desk, tmp_path: Path) -> None:
    """Every paid part without a receipt, those that were not paid in full before included; a second run has nothing."""
    record_sale(paid, ordered(DISTANCE))
    issue_receipt(paid, 2, CUSTOMER, tmp_path, not_paid_in_full=True)
    record_sale(paid, ordered(replace(CHILDS, frame_owned=True)))
    take_payment(paid, 2, PaymentRequest(18000, Method.CASH))
    told: list[tuple[int, int]] = []
    done = issue_all_open(paid, tmp_path, lambda at, of: told.append((at, of)))
    assert [(each.receipt.order_number, each.receipt.wearer_number) for each in done.printed] == [
        (1, 1),
        (1, 2),
        (2, 1),
    ]
    assert done.printed[-1].receipt.content.replaces == 1
    assert told == [(1, 3), (2, 3), (3, 3)]
    assert all(each.file.is_file() for each in done.printed)
    assert issue_all_open(paid, tmp_path).printed == ()


def test_issuing_all_can_break_off_and_be_run_again(
    paid: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What a folder kept from being printed took no number; after a break each is issued, and none twice."""
    blocked = tmp_path / "papers"
    blocked.write_text("a file where the folder should be")
    with pytest.raises(ShopledgerError, match="papers"):
        issue_receipt(paid, 1, CUSTOMER, blocked)
    assert receipts(paid) == ()
    calls: list[int] = []

    def broken(*_args: object) -> None:
        calls.append(1)
        raise KeyboardInterrupt

    with pytest.raises(KeyboardInterrupt):
        issue_all_open(paid, tmp_path, broken)
    monkeypatch.undo()
    done = issue_all_open(paid, tmp_path)
    assert [each.receipt.number for each in done.printed] == [2]
    assert [(each.number, each.prints) for each in receipts(paid)] == [(2, 1), (1, 1)]
    assert claims.unclaimed(paid)[0].receipt == 1


@on_both
def test_a_name_that_cannot_be_set_is_printed_as_it_is_spelled(desk: Desk, tmp_path: Path) -> None:
    """Without a spelling it is told and passed over; with one the receipt prints, and a copy stays as it is."""
    add_wearer(desk, CUSTOMER, CHINESE, Relationship.SPOUSE)
    for number, name in enumerate((CHINESE, CHILD), start=1):
        account = record_sale(desk, ordered(replace(CHILDS, wearer=name, without_prescription=True)))
        take_payment(desk, number, PaymentRequest(account.balance, Method.CASH))
    done = issue_all_open(desk, tmp_path)
    assert [each.receipt.content.wearer for each in done.printed] == [CHILD]
    ((claim, error),) = done.refused
    assert claim.wearer == CHINESE
    assert isinstance(error, MissingGlyphError)
    change_wearer(desk, CUSTOMER, CHINESE, lambda wearer: replace(wearer, printed_name="Li Xiaolong"))
    printed = issue_receipt(desk, 1, CHINESE, tmp_path)
    assert "Li Xiaolong" in words_in(printed.file)
    assert printed.receipt.content.spellings == ((CHINESE, "Li Xiaolong"),)
    assert printed.receipt.content.wearer == CHINESE
    change_wearer(desk, CUSTOMER, CHINESE, lambda wearer: replace(wearer, printed_name="Lee"))
    assert printed.receipt.content == receipts(desk, 1)[0].content
    assert ("tester", "changed", "wearer 3") in notes(desk)


def test_a_reorder_record_is_printed_with_the_spelling(returned: Desk, tmp_path: Path) -> None:
    """Without one it is refused and no draft is left behind."""
    change_wearer(returned, CUSTOMER, CUSTOMER, lambda wearer: replace(wearer, name=CHINESE))
    asked = replace(ASKED, wearer=CHINESE)
    with pytest.raises(MissingGlyphError):
        reorder(returned, asked, tmp_path)
    change_wearer(returned, CUSTOMER, CHINESE, lambda wearer: replace(wearer, printed_name="Li Xiaolong"))
    number, _, file = reorder(returned, asked, tmp_path)
    assert number == 1
    assert "Li Xiaolong" in words_in(file)


def test_people_are_added_and_changed_with_their_spelling_and_limit(desk: Desk) -> None:
    """A customer who wears has the spelling too; a change keeps the number and whose wearer it is."""
    customer = add_customer(desk, CHINESE, HOME, printed_name="Li Xiaolong")
    with desk.reading() as work:
        assert work.customers.wearers(customer.number or 0)[0].printed_name == "Li Xiaolong"
    child = add_wearer(desk, CUSTOMER, "Alder", Relationship.CHILD, claim_within_days=180, printed_name="Alder F.")
    assert (child.claim_within_days, child.printed_name) == (180, "Alder F.")
    changed = change_wearer(
        desk, CUSTOMER, "Alder", lambda wearer: replace(wearer, customer_number=9, number=9, name="A.")
    )
    assert (changed.number, changed.customer_number, changed.name) == (child.number, child.customer_number, "A.")
    moved = change_customer(desk, str(customer.number), lambda found: replace(found, phone="555-0199", number=1))
    assert (moved.number, moved.phone) == (customer.number, "555-0199")


@pytest.mark.parametrize(
    ("change", "said"),
    [
        ({"claim_within_days": 0}, "filing limit is 0 days"),
        ({"claim_within_days": 4000}, "from 1 to 3650 days"),
        ({"birth_date": date(2026, 3, 3)}, "birth date"),
        ({"name": " "}, "wearer name"),
    ],
)
def test_a_change_that_cannot_be_is_refused(desk: Desk, change: dict[str, object], said: str) -> None:
    """The wearer stays as it was."""
    before = everything(desk)
    with pytest.raises(RefusedError, match=said):
        change_wearer(desk, CUSTOMER, CHILD, lambda wearer: replace(wearer, **change))  # type: ignore[arg-type]
    assert everything(desk) == before


@on_both
def test_a_diagnosis_is_printed_as_the_document_gave_it_and_never_of_itself(desk: Desk, tmp_path: Path) -> None:
    """Kept with the prescription, frozen on the receipt; a code without an eye is noted; none is derived."""
    asked = prescription(
        CUSTOMER, "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", desk.today, diagnoses=("h5210", "H52.4")
    )
    assert [finding.code for finding in plan_prescription(desk, asked).findings if finding.field == "diagnosis"] == [
        "DIAGNOSIS-LOOK"
    ]
    plan = record_prescription(desk, asked)
    written, _, _ = prescription_card(desk, plan.written.number or 0)
    assert written.diagnoses == ("H52.10", "H52.4")
    record_sale(desk, ordered(DISTANCE, CHILDS, payments=(PaymentRequest(30000, Method.CASH),)))
    printed = issue_receipt(desk, 1, CUSTOMER, tmp_path)
    assert printed.receipt.content.diagnoses == ("H52.10", "H52.4")
    assert "H52.10, H52.4" in words_in(printed.file)
    assert issue_receipt(desk, 1, CHILD, tmp_path).receipt.content.diagnoses == ()


@on_both
def test_what_is_too_old_to_file_is_passed_over(paid: Desk) -> None:
    """Orders of a year ago are listed on demand, or where the wearer's plan gives longer."""
    late = later(paid, paid.today + timedelta(days=366))
    assert unclaimed(late) == ()
    assert len(unclaimed(late, date(2026, 3, 2))) == 2
    change_wearer(late, CUSTOMER, CHILD, lambda wearer: replace(wearer, claim_within_days=730))
    assert [claim.wearer for claim in unclaimed(late)] == [CHILD]
