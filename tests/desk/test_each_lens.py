"""A pair whose lenses are not alike, through the whole shop: sold, ordered, made, inspected, sent, and made again."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.closing import prove_books
from shopledger.desk.certifying import print_certificate
from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.inspecting import (
    InspectionPlan,
    plan_inspection,
    record_inspection,
    record_remake,
)
from shopledger.desk.job_sheets import print_job_sheet
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order, plan_lens_order, record_arrival
from shopledger.desk.order_lookups import order_account, prescribed
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.people import add_supplier
from shopledger.desk.prescribing import record_prescription
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.reordering import plan_reorder
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import Design
from shopledger.ledger.inspections import Scrap
from shopledger.ledger.orders import EyeRequest, Making, Method, OwnLens, Pair, PaymentRequest
from shopledger.ledger.papers.lens_order import LensOrderContent
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye, read_power
from shopledger.optics.prescription import Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side
from tests.desk.books import notes, on_both
from tests.desk.family import (
    ASKED,
    DISTANCE,
    PROGRESSIVE,
    READING,
    inspected,
    later,
    ordered,
    prescribe,
    prescription,
    read_as_ordered,
)
from tests.desk.test_whole_path import SHIPPING_DAY
from tests.shelf import CLEAR, CUSTOMER, SINGLE, THIN

KEPT = EyeRequest(Making.KEPT)
RIGHT_ONLY = replace(DISTANCE, extras=(CLEAR.code,), left=KEPT, frame_owned=True)
TWO_KINDS = replace(DISTANCE, left=EyeRequest(lens=THIN.code, extras=(CLEAR.code,)))
BALANCED = replace(READING, right=EyeRequest(balance=read_power("-0.50 DS")))
LAB = "Brightwater"
STRANGE = ("ANISOMETROPIA-STRONG", "SIGN-MISMATCH")


def sold(desk: Desk, asked: Any) -> Pair:  # noqa: ANN401 - a request of a pair
    """Sell one pair, with every warning accepted, and give it as it is stored."""
    request = ordered(asked)
    found = frozenset(finding.code for finding in plan_sale(desk, request).findings)
    number = record_sale(desk, replace(request, accept=found)).order.number or 0
    return order_account(desk, number).order.pairs[0]


def written_with(desk: Desk, right: str, left: str, *accept: str) -> None:
    """Record a prescription whose warnings are meant."""
    asked = prescription(CUSTOMER, right, left, desk.today)
    record_prescription(desk, replace(asked, accept=frozenset({*accept, "CHANGE-UNUSUAL", "ADD-CHANGE"})))


def lenses_for(desk: Desk, job: int, folder: Path, **more: Any) -> LensOrderContent:  # noqa: ANN401 - any field of a request
    """Order a job's lenses from the one lab."""
    return place_lens_order(desk, LensOrderRequest(job, LAB, **more), folder).content


def judged(desk: Desk, job: int, **changed: Any) -> InspectionPlan:  # noqa: ANN401 - any field of a request
    """Judge a job read as ordered but for some figures."""
    return plan_inspection(desk, read_as_ordered(desk, job, **changed))


def both_at(pd: float, height: float) -> Measurements:
    """Give both eyes measured alike."""
    eye = EyeMeasurements(pd, None, height)
    return Measurements(eye, eye)


@pytest.fixture
def lab(desk: Desk) -> Desk:
    """Give the desk that knows a lab."""
    add_supplier(desk, Supplier(LAB, "A-77", "555-0164"))
    return desk


@on_both
def test_what_one_eye_has_alone_is_kept(desk: Desk) -> None:
    """Another lens, an upgrade, no new lens; a pair of two equal lenses has nothing of its own."""
    pair = sold(desk, TWO_KINDS)
    assert (pair.right, pair.left) == (OwnLens(), OwnLens(Making.NEW, THIN.code, (CLEAR.code,)))
    assert [pair.lens_of(side) for side in Side] == [SINGLE.code, THIN.code]
    assert sold(desk, RIGHT_ONLY).sides == (Side.RIGHT,)
    assert not sold(desk, DISTANCE).left
    assert prove_books(desk).holds


@on_both
def test_one_lens_goes_through_the_shop(lab: Desk, tmp_path: Path) -> None:
    """It is ordered, made, inspected, receipted and sent; of the one that stays nothing is asked or charged."""
    pair = sold(lab, RIGHT_ONLY)
    job = pair.job_number or 0
    content = lenses_for(lab, job, tmp_path)
    assert (content.right.asked, content.left.asked) == (True, False)
    assert content.extras == (CLEAR.name,)
    with pytest.raises(RefusedError, match="the job makes no left lens"):
        plan_lens_order(lab, LensOrderRequest(job, LAB, only=Side.LEFT, again="once more"))
    record_arrival(lab, job)
    sheet = job_card(lab, job).sheet
    assert (sheet.lens, sheet.left.not_made) == (f"{SINGLE.name}, right lens only", "not made: the old lens stays")
    assert sheet.left.power == ""
    assert print_job_sheet(lab, job, tmp_path).is_file()
    plan = record_inspection(lab, read_as_ordered(lab, job))
    assert plan.inspection.passed
    assert {verdict.where for verdict in plan.inspection.verdicts} == {"right", "pair"}
    assert plan.inspection.sides == (Side.RIGHT,)
    certificate = print_certificate(lab, job, tmp_path).content
    assert certificate.lenses[1].ordered == "not made: the old lens stays"
    assert certificate.places == ("right PD 31.5, height from the lowest point of the lens 19 mm",) * 2
    take_payment(lab, 1, PaymentRequest(order_account(lab, 1).balance, Method.CHECK, "1187"))
    ship_order(lab, 1, "post")
    receipt = issue_receipt(lab, 1, CUSTOMER, tmp_path).receipt.content
    assert [(line.code, line.modifier) for line in receipt.lines] == [("V2103", "RT"), ("V2750", "RT")]
    assert receipt.pairs[0].left == "not made: the old lens stays"
    assert prove_books(lab).holds


def test_a_remake_of_one_lens_orders_that_one(lab: Desk, tmp_path: Path) -> None:
    """The left one, of a pair whose right one was good; nothing is wanting of a lens that was never made."""
    job = sold(lab, DISTANCE).job_number or 0
    lenses_for(lab, job, tmp_path)
    record_remake(lab, job, "scratched", 500, Scrap.LEFT)
    content = lenses_for(lab, job, tmp_path)
    assert (content.right.asked, content.left.asked) == (False, True)
    again = "Made again, the LEFT lens only; the right one is done: scratched."
    assert again in job_card(lab, job).sheet.looks
    record_inspection(lab, read_as_ordered(lab, job))
    assert again not in job_card(lab, job).sheet.looks
    alone = sold(lab, RIGHT_ONLY).job_number or 0
    lenses_for(lab, alone, tmp_path)
    with pytest.raises(RefusedError, match="were ordered on"):
        plan_lens_order(lab, LensOrderRequest(alone, LAB))


def test_two_lenses_of_two_kinds_are_ordered_one_after_the_other(lab: Desk, tmp_path: Path) -> None:
    """Each order names one lens; the same command a second time orders the other, a third time nothing."""
    job = sold(lab, TWO_KINDS).job_number or 0
    first, second = (lenses_for(lab, job, tmp_path) for _ in range(2))
    assert [(each.lens, each.right.asked, each.left.asked) for each in (first, second)] == [
        (SINGLE.name, True, False),
        (THIN.name, False, True),
    ]
    assert (first.extras, second.extras) == ((), (CLEAR.name,))
    with pytest.raises(RefusedError, match="were ordered on"):
        plan_lens_order(lab, LensOrderRequest(job, LAB))
    sheet = job_card(lab, job).sheet
    assert sheet.lens == f"right: {SINGLE.name} + left: {THIN.name}"
    assert sheet.left.own == f"{THIN.name} · {THIN.material} + {CLEAR.name}"
    assert [line.net for line in order_account(lab, 1).order.lines if line.kind.value == "lenses"] == [0, 9000]


def test_each_lens_is_judged_by_its_own_kind(desk: Desk) -> None:
    """A bifocal beside a single vision lens: the add is read on the one that has it, on the other it is refused."""
    bifocal = replace(SINGLE, code="BIF", name="Bifocal", design=Design.BIFOCAL, number=None)
    LENSES.add(desk, bifocal)
    job = sold(desk, replace(DISTANCE, lens="BIF", right=EyeRequest(lens=SINGLE.code))).job_number or 0
    plan = judged(desk, job)
    assert plan.inspection.passed
    adds = [verdict.where for verdict in plan.inspection.verdicts if verdict.quantity == "add"]
    assert adds == ["left"]
    with pytest.raises(RefusedError, match="ordered without an add"):
        judged(desk, job, read=Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), plan.inspection.read.left.power))


@pytest.mark.parametrize("side", list(Side))
def test_one_lens_is_judged_by_its_own_place(desk: Desk, side: Side) -> None:
    """A height of its own is enough to sell and to judge it; its error is its own and not halved with the other eye."""
    right, left = (EyeMeasurements(31.5, None, 19.0 if each is side else None) for each in Side)
    measured = Measurements(right, left)
    alone = replace(PROGRESSIVE, measurements=measured)
    alone = replace(alone, left=KEPT) if side is Side.RIGHT else replace(alone, right=KEPT)
    job = sold(desk, alone).job_number or 0
    assert judged(desk, job).inspection.passed
    for off, good in ((0.9, True), (1.2, False)):
        high = both_at(31.5, 19.0 + off)
        assert judged(desk, job, measured=high).inspection.passed is good
        wide = both_at(31.5 + 2 * off, 19.0)
        found = {verdict.quantity: verdict for verdict in judged(desk, job, measured=wide).inspection.verdicts}
        assert found["horizontal imbalance"].or_else.startswith(f"monocular PD off by {2 * off:.1f} mm")
    with pytest.raises(IncompleteError, match=f"the {side.value} lens was made alone"):
        judged(desk, job, measured=Measurements.from_binocular(63))


def test_a_look_at_an_order_s_prescription_is_noted(desk: Desk) -> None:
    """Whoever is shown the powers stands in the audit, by the prescription's number."""
    sold(desk, DISTANCE)
    order = order_account(desk, 1).order
    assert list(prescribed(desk, order)) == [1]
    assert notes(desk)[-1][1:] == (Deed.LOOKED_AT_PRESCRIPTION.value, "prescription 1")


def test_nothing_is_asked_for_a_lens_that_stays() -> None:
    """Neither a claim code nor a balance power, which would be dropped without a word."""
    with pytest.raises(RefusedError, match="no lens is made for that eye"):
        replace(RIGHT_ONLY, left_code="V2103")
    with pytest.raises(RefusedError, match="nothing is made for it"):
        EyeRequest(Making.KEPT, balance=read_power("-1.00 DS"))


def test_a_balance_lens_is_made_as_its_power(lab: Desk, tmp_path: Path) -> None:
    """Ordered, made and inspected as what the owner chose; never plano, which is what no power would read as."""
    prescribe(lab, CUSTOMER, "balance", "-2.25 -1.00 x 085 add 2.00")
    pair = sold(lab, BALANCED)
    assert pair.made == Prescription(read_eye("balance -0.50 DS"), read_eye("-0.25 -1.00 x 085"))
    job = pair.job_number or 0
    content = lenses_for(lab, job, tmp_path)
    assert (content.right.sphere, content.right.balance) == (-0.5, True)
    assert job_card(lab, job).sheet.right.written == "balance"
    assert judged(lab, job).inspection.passed
    plano = Prescription(read_eye("plano"), pair.made.left)
    assert not judged(lab, job, read=plano).inspection.passed


def test_a_balance_lens_without_power_is_not_ordered(lab: Desk, tmp_path: Path) -> None:
    """As older orders have them: a lab's file would say nothing but zero."""
    written_with(lab, "balance", "balance", "BALANCE-BOTH")
    job = sold(lab, READING).job_number or 0
    with pytest.raises(RefusedError, match="only balances the other and has no power"):
        lenses_for(lab, job, tmp_path)


def test_new_lenses_are_as_the_old_ones_were(desk: Desk) -> None:
    """One eye's own lens and upgrades come again, unless another lens is asked for the pair."""
    sold(desk, TWO_KINDS)
    inspected(desk, 1)
    there = later(desk, SHIPPING_DAY)
    plan = plan_reorder(there, ASKED)
    assert plan.request.pairs[0].left == EyeRequest(lens=THIN.code, extras=(CLEAR.code,))
    assert [eye.lens.code for eye in plan.chosen.eyes] == [SINGLE.code, THIN.code]
    other = plan_reorder(there, replace(ASKED, lens=THIN.code, extras=()))
    assert other.request.pairs[0].left == EyeRequest()


def test_a_lens_that_stayed_is_made_new_with_the_next_prescription(desk: Desk) -> None:
    """An eye that had no lens gets none again."""
    for place, making in enumerate((Making.KEPT, Making.NONE), start=1):
        sold(desk, replace(RIGHT_ONLY, left=EyeRequest(making)))
        there = later(desk, SHIPPING_DAY)
        left = plan_reorder(there, ASKED).request.pairs[0].left
        assert left == EyeRequest(Making.NONE if making is Making.NONE else Making.NEW), place


@pytest.mark.parametrize("change", ["axes swapped", "lenses swapped", "base in for out", "one cylinder turned"])
def test_what_was_made_for_the_other_eye_fails(desk: Desk, change: str) -> None:
    """Two unlike lenses in a face that is not even: each mistake of side or sign is found."""
    written_with(desk, "-2.50 -1.25 x 060 1.5 BI 1 BU", "+0.75 -2.00 x 020 2 BI 0.5 BD", *STRANGE)
    uneven = Measurements(EyeMeasurements(29.5, None, 18), EyeMeasurements(33, None, 20))
    pair = sold(desk, replace(TWO_KINDS, measurements=uneven))
    made = pair.made
    assert made is not None
    wrong = {
        "axes swapped": ("-2.50 -1.25 x 020 1.5 BI 1 BU", "+0.75 -2.00 x 060 2 BI 0.5 BD"),
        "lenses swapped": ("+0.75 -2.00 x 020 2 BI 0.5 BD", "-2.50 -1.25 x 060 1.5 BI 1 BU"),
        "base in for out": ("-2.50 -1.25 x 060 1.5 BO 1 BU", "+0.75 -2.00 x 020 2 BI 0.5 BD"),
        "one cylinder turned": ("-2.50 -1.25 x 120 1.5 BI 1 BU", "+0.75 -2.00 x 020 2 BI 0.5 BD"),
    }[change]
    job = pair.job_number or 0
    assert judged(desk, job).inspection.passed
    assert not judged(desk, job, read=Prescription(*map(read_eye, wrong))).inspection.passed
