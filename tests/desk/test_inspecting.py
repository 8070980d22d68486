"""The final inspection at the desk: judged, kept, and asked for before anything is shipped."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.certifying import hand_out_makers_sheet, print_certificate
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import (
    job_needs,
    plan_inspection,
    record_impact,
    record_inspection,
    record_remake,
)
from shopledger.desk.orders import cancel_order, ship_order, shipped_uninspected
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.inspections import BenchHistory, Checked, ImpactProof, MakersSheet, Scrap
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.store.refusals import FileChangedError, NumberUnknownError
from tests.desk.books import everything, notes, on_both, postings, words_in
from tests.desk.family import DISTANCE, FAMILY_ORDER, PROGRESSIVE, inspected, later, ordered, read_as_ordered
from tests.forging import forge
from tests.shelf import CASE, CUSTOMER

GOOD = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 085"))
AXIS_OFF = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 091"))
PROOF = Prescription(read_eye("-2.43 -1.18 x 092 add 1.93"), read_eye("-2.19 -0.94 x 083 add 1.93"))


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a distance pair, job 1, and a progressive pair, job 2; come back a week later."""
    record_sale(desk, ordered(DISTANCE, PROGRESSIVE))
    return later(desk, date(2026, 3, 9))


def bench_history(desk: Desk, job: int) -> BenchHistory:
    """Read all that was kept of a job at the bench."""
    with desk.reading() as work:
        return work.inspections.history(job)


@on_both
def test_an_inspection_is_kept_with_its_verdicts(sold: Desk) -> None:
    """What was read, who inspected and when, and each verdict stand in the ledger; the job passed."""
    plan = record_inspection(sold, read_as_ordered(sold, 1, note="by daylight"))
    kept = bench_history(sold, 1).newest
    assert kept == plan.inspection
    assert kept is not None
    assert (kept.number, kept.passed, kept.day, kept.note) == (1, True, date(2026, 3, 9), "by daylight")
    assert kept.entered is not None
    assert kept.entered.operator == "tester"
    judged = [(verdict.where, verdict.quantity) for verdict in kept.verdicts]
    powers = [(side, quantity) for side in ("right", "left") for quantity in ("sphere", "cylinder", "axis")]
    assert judged == [*powers, ("pair", "horizontal imbalance"), ("pair", "vertical imbalance")]


def test_a_reading_may_be_in_plus_cylinder_form(sold: Desk) -> None:
    """-2.50 -1.25 x 090 is the lens that reads -3.75 +1.25 x 180: the verdicts are the same (transposition)."""
    plus = Prescription(read_eye("-3.75 +1.25 x 180"), read_eye("-3.25 +1.00 x 175"))
    minus = plan_inspection(sold, read_as_ordered(sold, 1)).inspection
    assert plan_inspection(sold, read_as_ordered(sold, 1, read=plus)).inspection.verdicts == minus.verdicts


def test_an_error_measured_twice_needs_a_yes_that_is_kept(sold: Desk) -> None:
    """Prism read at the ordered place, with the centre's own place beside it: the question stands with the verdicts."""
    read = Prescription(read_eye("-2.50 -1.25 x 090 0.37 BI"), GOOD.left)
    with sold.reading() as work:
        placed = work.orders.pair(1)[1].measurements
    assert placed is not None
    off = Measurements(replace(placed.right, mono_pd=placed.right.mono_pd + 1, near_pd=None), placed.left)
    asked = read_as_ordered(sold, 1, read=read, measured=off)
    with pytest.raises(FindingsRefusedError, match="--accept PRISM-COUNTED-TWICE"):
        record_inspection(sold, asked)
    kept = record_inspection(sold, replace(asked, accept=frozenset({"PRISM-COUNTED-TWICE"}))).inspection
    assert [each.code for each in kept.accepted] == ["PRISM-COUNTED-TWICE"]
    assert plan_inspection(sold, replace(asked, measured=placed)).findings == ()


def test_planning_stores_nothing(sold: Desk) -> None:
    """A dry run judges and leaves the ledger as it was."""
    before = everything(sold)
    assert plan_inspection(sold, read_as_ordered(sold, 1)).inspection.number is None
    assert everything(sold) == before


@pytest.mark.parametrize(("day", "said"), [(date(2026, 3, 1), "order was recorded"), (date(2026, 4, 1), "after today")])
def test_an_inspection_happens_between_the_order_and_today(sold: Desk, day: date, said: str) -> None:
    """A day before the order or after today is refused."""
    with pytest.raises(RefusedError, match=said):
        record_inspection(sold, read_as_ordered(sold, 1, day=day))


@on_both
def test_nothing_is_shipped_before_it_was_inspected(sold: Desk) -> None:
    """Each job that lacks an inspection is named with the command; nothing is stored."""
    before = everything(sold)
    with pytest.raises(RefusedError, match=r"job 1 was not inspected, job 2 was not inspected.*job inspect 1.*REASON"):
        ship_order(sold, 1, "post")
    assert everything(sold) == before
    record_inspection(sold, read_as_ordered(sold, 1))
    with pytest.raises(RefusedError, match=r"lacking: job 2 was not inspected;.*job inspect 2"):
        ship_order(sold, 1, "post")
    record_inspection(sold, read_as_ordered(sold, 2))
    assert ship_order(sold, 1, "post").away
    assert bench_history(sold, 1).omission is None


def test_a_failed_job_is_shipped_only_with_a_reason_that_is_kept(sold: Desk) -> None:
    """The reason stands with the job that failed, and with no other."""
    record_inspection(sold, read_as_ordered(sold, 1, read=AXIS_OFF))
    record_inspection(sold, read_as_ordered(sold, 2))
    with pytest.raises(RefusedError, match=r"job 1 failed its inspection \(left axis\)"):
        ship_order(sold, 1, "post")
    ship_order(sold, 1, "post", without_inspection="the wearer leaves tomorrow; remade by post")
    omission = bench_history(sold, 1).omission
    assert omission is not None
    assert omission.reason == "the wearer leaves tomorrow; remade by post"
    with sold.reading() as work:
        order = work.orders.get(1)
    assert shipped_uninspected(sold, order) == (omission,)
    assert bench_history(sold, 2).omission is None


def test_a_reason_is_refused_where_nothing_lacks(sold: Desk) -> None:
    """Every job passed, so there is nothing to excuse; an order of accessories has no job at all."""
    inspected(sold)
    with pytest.raises(RefusedError, match="Leave --without-inspection out"):
        ship_order(sold, 1, "post", without_inspection="in a hurry")
    record_sale(sold, OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code),)))
    with pytest.raises(RefusedError, match="nothing on this order lacks"):
        ship_order(sold, 2, "post", without_inspection="in a hurry")
    assert ship_order(sold, 2, "post").away


def test_a_remake_has_to_be_inspected_anew(sold: Desk) -> None:
    """A job that passed and was made again is no longer inspected."""
    inspected(sold)
    record_remake(sold, 1, "scratched when packed", 1700, Scrap.LEFT)
    with pytest.raises(RefusedError, match="job 1 was not inspected since it was made again"):
        ship_order(sold, 1, "post")
    record_inspection(sold, read_as_ordered(sold, 1))
    assert ship_order(sold, 1, "post").away


@on_both
def test_a_failed_job_is_made_again_with_reason_cost_and_scrap(sold: Desk) -> None:
    """The remake points at the inspection that it follows; its cost becomes scrap, out of the work in hand."""
    booked = postings(sold)
    failed = record_inspection(sold, read_as_ordered(sold, 1, read=AXIS_OFF)).inspection
    remake = record_remake(sold, 1, "axis off by 6", 1850, Scrap.LEFT)
    assert (remake.follows, remake.cost, remake.scrap, remake.day) == (
        failed.number,
        1850,
        Scrap.LEFT,
        date(2026, 3, 9),
    )
    assert bench_history(sold, 1).remakes == (remake,)
    moved = [(account, amount) for document, account, amount in postings(sold)[len(booked) :] if document == "remake 1"]
    assert sorted(moved) == [("jobs in work", -1850), ("scrap and remakes", 1850)]
    with pytest.raises(RefusedError, match="cost"):
        record_remake(sold, 1, "again", -1)


def test_swapped_readings_are_noticed_and_the_yes_is_kept(sold: Desk, tmp_path: Path) -> None:
    """Right and left fit better the other way round: asked before it is stored as failed, and said on paper."""
    swapped = read_as_ordered(sold, 1, read=Prescription(GOOD.left, GOOD.right))
    before = everything(sold)
    with pytest.raises(FindingsRefusedError, match=r"right and left fit better swapped.*--accept READINGS-SWAPPED"):
        record_inspection(sold, swapped)
    assert everything(sold) == before
    kept = record_inspection(sold, replace(swapped, accept=frozenset({"READINGS-SWAPPED"}))).inspection
    assert not kept.passed
    assert [each.code for each in kept.accepted] == ["READINGS-SWAPPED"]
    printed = words_in(print_certificate(sold, 1, tmp_path).file)
    assert "Accepted when it was recorded: right and left fit better swapped" in printed


def test_free_form_lenses_are_judged_by_the_makers_sheet(sold: Desk, tmp_path: Path) -> None:
    """The sheet's powers are what must be read; its name and hash are kept, and the ordered powers beside them."""
    sheet = tmp_path / "even-2.pdf"
    sheet.write_bytes(b"compensated")
    asked = read_as_ordered(sold, 2, read=PROOF, compensated=PROOF, sheet=sheet)
    kept = record_inspection(sold, asked).inspection
    assert kept.passed
    assert kept.sheet is not None
    assert (kept.sheet.file_name, kept.sheet.powers) == ("even-2.pdf", PROOF)
    assert kept.sheet.file_sha256 == hashlib.sha256(b"compensated").hexdigest()
    assert kept.ordered.right.power == read_eye("-2.50 -1.25 x 090 add 2.00")
    assert not plan_inspection(
        sold, replace(asked, read=Prescription(read_eye("-2.75 -1.25 x 090 add 2.00"), PROOF.left))
    ).inspection.passed


@pytest.fixture
def sheeted(sold: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Desk:
    """Judge job 2 by a maker's sheet that is gone from its folder afterwards."""
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path / "data"))
    sheet = tmp_path / "even-2.PDF"
    sheet.write_bytes(b"compensated")
    record_inspection(sold, read_as_ordered(sold, 2, read=PROOF, compensated=PROOF, sheet=sheet))
    sheet.unlink()
    return sold


@on_both
def test_the_makers_sheet_itself_is_kept_and_handed_out_again(sheeted: Desk, tmp_path: Path) -> None:
    """Byte for byte under a name of our own, and the look is noted."""
    file = hand_out_makers_sheet(later(sheeted, date(2031, 5, 6)), 2, tmp_path)
    assert file == tmp_path / "makers-sheet-00002-00001.pdf"
    assert file.read_bytes() == b"compensated"
    assert notes(sheeted)[-1] == ("tester", "looked at a sheet of the maker", "job 2")


@pytest.mark.parametrize(
    ("damage", "said"),
    [
        ("UPDATE kept_body SET body = CAST('other powers' AS BLOB)", "it is not what was kept"),
        ("DELETE FROM kept_body", "it is missing"),
    ],
)
def test_a_makers_sheet_that_was_lost_or_changed_is_refused(
    sheeted: Desk, tmp_path: Path, damage: str, said: str
) -> None:
    """It is never handed out as if it were the one that the job was judged by."""
    forge(sheeted, damage)
    before = everything(sheeted)
    with pytest.raises(FileChangedError, match=said):
        hand_out_makers_sheet(sheeted, 2, tmp_path)
    assert everything(sheeted) == before
    assert list(tmp_path.glob("makers-sheet*")) == []


def test_a_job_without_a_makers_sheet_has_none_to_hand_out(sold: Desk, tmp_path: Path) -> None:
    """Neither before its inspection nor judged by the prescription; of an old one only the name is known."""
    record_inspection(sold, read_as_ordered(sold, 1))
    for job in (1, 2):
        with pytest.raises(RefusedError, match="no inspection of it was judged by one"):
            hand_out_makers_sheet(sold, job, tmp_path)
    with pytest.raises(NumberUnknownError, match="job 99"):
        hand_out_makers_sheet(sold, 99, tmp_path)
    sheet = MakersSheet(PROOF, "even-2.pdf", "ab" * 32)
    inspection = plan_inspection(sold, read_as_ordered(sold, 2)).inspection
    with sold.writing() as work:
        work.inspections.add(replace(inspection, sheet=sheet))
    with pytest.raises(RefusedError, match="only its name and hash abababababababab were kept"):
        hand_out_makers_sheet(sold, 2, tmp_path)


def test_a_dry_run_keeps_no_sheet(sold: Desk, tmp_path: Path) -> None:
    """Nothing lies in the ledger's folder of files afterwards."""
    sheet = tmp_path / "even-2.pdf"
    sheet.write_bytes(b"compensated")
    plan_inspection(sold, read_as_ordered(sold, 2, read=PROOF, compensated=PROOF, sheet=sheet))
    assert [file for file in tmp_path.rglob("*") if file.is_file() and file.read_bytes() == b"compensated"] == [sheet]


def test_sheet_and_compensated_powers_belong_together(sold: Desk, tmp_path: Path) -> None:
    """One without the other is refused, and so is a file that is not there."""
    with pytest.raises(RefusedError, match="typed from the maker's sheet"):
        plan_inspection(sold, read_as_ordered(sold, 2, compensated=PROOF))
    with pytest.raises(RefusedError, match="no compensated powers"):
        plan_inspection(sold, read_as_ordered(sold, 2, sheet=tmp_path / "none.pdf"))
    with pytest.raises(RefusedError, match="cannot be read"):
        plan_inspection(sold, read_as_ordered(sold, 2, compensated=PROOF, sheet=tmp_path / "none.pdf"))


def test_what_a_job_has_to_be_judged_by_must_be_measured(sold: Desk) -> None:
    """A PD for each eye of a progressive, heights where some were ordered, engraved marks where there are some."""
    needs = job_needs(sold, 2)
    assert (needs.pd, needs.each_eye, needs.heights, needs.marks) == (True, True, True, True)
    assert not job_needs(sold, 1).each_eye
    for job, more, said in (
        (1, {"measured": None}, "none was measured"),
        (1, {"measured": Measurements.from_binocular(62.5)}, "height"),
        (2, {"measured": Measurements.from_binocular(62.5, None, 19, 19)}, "for each eye"),
    ):
        with pytest.raises(IncompleteError, match=said):
            plan_inspection(sold, read_as_ordered(sold, job, **more))
    with pytest.raises(RefusedError, match="34 mm apart"):
        plan_inspection(sold, read_as_ordered(sold, 2, marks_seen=(True, None)))


def test_one_pd_is_shared_as_it_was_ordered(sold: Desk) -> None:
    """31.5 and 31 ordered, 63.5 measured: each eye is off by half a millimetre."""
    found = plan_inspection(sold, read_as_ordered(sold, 1, measured=Measurements.from_binocular(63.5, None, 19, 19)))
    places = found.inspection.read.measurements
    assert places is not None
    assert (places.right, places.left) == (EyeMeasurements(32.0, None, 19), EyeMeasurements(31.5, None, 19))


def test_a_frame_that_is_not_right_fails_the_job(sold: Desk) -> None:
    """Good lenses in a frame with a loose lens do not leave."""
    kept = record_inspection(sold, read_as_ordered(sold, 1, off=(Checked.SEATING, Checked.BENCH))).inspection
    assert kept.failures == ("bench alignment", "lens seating")


def test_marks_that_are_not_seen_fail_a_progressive(sold: Desk) -> None:
    """Without its marks nobody can place the fitting cross again."""
    kept = record_inspection(sold, read_as_ordered(sold, 2, marks_seen=(True, False))).inspection
    assert kept.failures == ("left engraved marks",)


def test_impact_resistance_is_proven_and_kept_three_years_from_shipping(sold: Desk) -> None:
    """The certificate is kept from the start; the end of its time is known once the job has left."""
    first = record_impact(sold, 1, ImpactProof.CERTIFICATE, "Brightwater C-2207")
    assert (first.record.number, first.until) == (1, None)
    inspected(sold)
    ship_order(sold, 1, "post")
    second = record_impact(sold, 1, ImpactProof.EXCEPTION, "letter of 2026-02-20")
    assert second.until == date(2029, 3, 9)
    assert bench_history(sold, 1).impact == (first.record, second.record)


def test_a_pair_without_prescription_has_no_prescriber_to_except_it(desk: Desk) -> None:
    """Only a prescriber may except a patient; nobody prescribed this pair."""
    record_sale(desk, ordered(replace(DISTANCE, without_prescription=True, measurements=None)))
    with pytest.raises(RefusedError, match="no prescriber can except it"):
        record_impact(desk, 1, ImpactProof.EXCEPTION, "letter of 2026-02-20")
    plano = record_inspection(desk, read_as_ordered(desk, 1)).inspection
    assert plano.passed
    assert [verdict.ordered for verdict in plano.verdicts] == [0, 0, 0, 0]


def test_nothing_is_recorded_for_an_unknown_or_cancelled_job(desk: Desk) -> None:
    """Inspection, proof and remake are refused alike."""
    with pytest.raises(NumberUnknownError, match="there is no job 9"):
        record_remake(desk, 9, "why", 0)
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    request = read_as_ordered(desk, 1)
    cancel_order(desk, 1, "ordered twice")
    for deed in (
        lambda: record_inspection(desk, request),
        lambda: record_impact(desk, 1, ImpactProof.CERTIFICATE, "C-1"),
        lambda: record_remake(desk, 1, "why", 0),
    ):
        with pytest.raises(RefusedError, match="was cancelled on"):
            deed()


def test_the_certificate_says_what_the_ledger_keeps(sold: Desk, tmp_path: Path) -> None:
    """Wearer, glasses, verdicts with rule and limit, who recorded it, and the proof of impact resistance."""
    with pytest.raises(RefusedError, match="job inspect 1"):
        print_certificate(sold, 1, tmp_path)
    record_inspection(sold, read_as_ordered(sold, 1, read=AXIS_OFF))
    record_impact(sold, 1, ImpactProof.CERTIFICATE, "Brightwater C-2207")
    failed = print_certificate(sold, 1, tmp_path)
    assert failed.file.name == "inspection-record-00001.pdf"
    words = words_in(failed.file)
    for said in ("NOT PASSED: left axis", CUSTOMER, "Recorded by tester", "within 3 degrees", "lens 19 and 19 mm",
                 "summaries of ANSI Z80.1, edition 2015", "Supplier's certificate Brightwater C-2207"):  # fmt: skip
        assert said in words
    record_inspection(sold, read_as_ordered(sold, 1))
    passed = print_certificate(sold, 1, tmp_path)
    assert "PASSED" in words_in(passed.file)
    assert print_certificate(sold, 1, tmp_path).file.read_bytes() == passed.file.read_bytes()


def test_a_whole_family_order_passes_and_leaves(desk: Desk) -> None:
    """Distance, reading at the near PD, progressive, and the child's pair are each judged by their own order."""
    record_sale(desk, FAMILY_ORDER)
    plans = inspected(desk)
    assert all(plan.inspection.passed for plan in plans)
    reading = plans[1].inspection.ordered
    assert reading.right.power == read_eye("-0.50 -1.25 x 090")
    assert reading.right.place is not None
    assert reading.right.place.mono_pd == 30.0
    assert ship_order(desk, 1, "post").away
