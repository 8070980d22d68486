"""New lenses for a frame sold before: planned from the stored shape, checked, and drafted as an order."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.acceptance import FindingsRefusedError
from shopledger.desk.context import Desk
from shopledger.desk.drafting import draft_numbered, drafted_order, open_drafts
from shopledger.desk.goods import change_lens, frame_on_hand
from shopledger.desk.people import add_wearer
from shopledger.desk.reorder_record import reorder
from shopledger.desk.reordering import ReorderRequest, plan_reorder
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.exchange.order_file import read_order_file, write_order_file
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.parties import Relationship
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import write_eye
from shopledger.optics.prescription import LensUse
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, MEASURED, PROGRESSIVE, READING, at_height, later, ordered, prescribe
from tests.shelf import CHILD, CUSTOMER, LARK, SINGLE, WREN

YEARS_LATER = date(2029, 4, 10)
ASKED = ReorderRequest(CUSTOMER, CUSTOMER, WREN.code)


@pytest.fixture
def returned(desk: Desk) -> Desk:
    """Sell a distance, a reading and a progressive pair; three years later a new prescription comes."""
    record_sale(desk, ordered(DISTANCE, READING))
    there = later(desk, YEARS_LATER)
    prescribe(there, CUSTOMER, "-2.75 -1.25 x 090 add 2.25", "-2.50 -1.00 x 085 add 2.25", date(2029, 4, 2))
    return there


@on_both
def test_a_plan_finds_pair_shape_and_both_prescriptions(returned: Desk) -> None:
    """What is not said is as on the last pair in that frame; the prescription is the newest."""
    plan = plan_reorder(returned, ASKED)
    assert (plan.order.number, plan.pair.job_number, plan.frame.code) == (1, 1, WREN.code)
    assert plan.old is not None
    assert (plan.old.number, plan.new.number) == (1, 3)
    assert plan.prescriber.name == "Dr. Imre Castellane"
    assert plan.measurements == MEASURED
    assert plan.trace.origin.file_name == "pellow-52.txt"
    assert plan.findings == ()


def test_the_lenses_are_laid_out_in_the_stored_shape(returned: Desk) -> None:
    """Of 52 and 18 mm half is 35, so the centres stand 3.5 and 4 mm inward; 19 mm is 0.295 above half of 37.41."""
    chosen = plan_reorder(returned, ASKED).chosen
    assert chosen.lens.code == SINGLE.code
    assert [eye.decentration_in for eye in chosen.eyes] == pytest.approx([3.5, 4.0], abs=0.005)
    assert [eye.offset_up for eye in chosen.eyes] == pytest.approx([0.295, 0.295], abs=0.005)
    assert [eye.blank for eye in chosen.eyes] == [65, 65]
    assert write_eye(chosen.right.power) == "-2.75 -1.25 x 090"


def test_the_other_lenses_of_the_design_stand_beside(returned: Desk) -> None:
    """A thinner lens is offered for comparison, a progressive is not; thinner is thinner."""
    plan = plan_reorder(returned, ASKED)
    assert [other.lens.code for other in plan.others] == ["SV-167"]
    assert plan.chosen.thickest is not None
    assert plan.others[0].thickest is not None
    assert plan.others[0].thickest < plan.chosen.thickest


def test_a_plan_is_priced_with_today_s_catalogue(returned: Desk) -> None:
    """The frame is the customer's already, so the lenses alone are charged, at the price they have now."""
    change_lens(returned, SINGLE.code, {"price": 9000})
    assert plan_reorder(returned, ASKED).sale.order.total == 9000


def test_planning_a_reorder_stores_nothing(returned: Desk) -> None:
    """Looking is free."""
    before = everything(returned)
    plan_reorder(returned, ASKED)
    assert everything(returned) == before


@on_both
def test_an_earlier_pair_is_found_by_its_frame(returned: Desk) -> None:
    """Without a frame the newest pair is meant, which was the reading pair; its frame was never traced."""
    assert plan_reorder(returned, replace(ASKED, frame=" wren-52 ")).pair.job_number == 1
    with pytest.raises(RefusedError, match=r"trace is missing for LARK-48.*'shopledger trace add LARK-48 FILE'"):
        plan_reorder(returned, replace(ASKED, frame=""))


def test_another_use_is_worked_out_from_the_new_prescription(returned: Desk) -> None:
    """Reading: -2.75 with add 2.25 is made as -0.50, centred for the near PD."""
    chosen = plan_reorder(returned, replace(ASKED, use=LensUse.READING)).chosen
    assert write_eye(chosen.right.power) == "-0.50 -1.25 x 090"
    assert chosen.right.decentration_in == pytest.approx(5.0, abs=0.005)


def test_a_single_vision_pair_after_a_progressive_is_for_distance(desk: Desk) -> None:
    """A single vision lens cannot be made as the progressive was; with a progressive the use follows the lens."""
    record_sale(desk, ordered(PROGRESSIVE))
    assert plan_reorder(desk, ASKED).request.pairs[0].use is LensUse.MULTIFOCAL
    assert plan_reorder(desk, replace(ASKED, lens=SINGLE.code)).request.pairs[0].use is LensUse.DISTANCE


def test_extras_are_as_before_unless_said(desk: Desk) -> None:
    """Others, or none at all."""
    record_sale(desk, ordered(PROGRESSIVE))
    assert plan_reorder(desk, ASKED).request.pairs[0].extras == ("CLEAR",)
    assert plan_reorder(desk, replace(ASKED, extras=())).request.pairs[0].extras == ()


def test_new_measurements_take_the_place_of_the_old(returned: Desk) -> None:
    """They are used for the layout and stand in the draft."""
    own = Measurements(EyeMeasurements(32.0), EyeMeasurements(32.5))
    plan = plan_reorder(returned, replace(ASKED, measurements=own))
    assert plan.request.pairs[0].measurements == own
    assert [eye.decentration_in for eye in plan.chosen.eyes] == pytest.approx([3.0, 2.5], abs=0.005)


def test_an_older_prescription_may_be_named(returned: Desk) -> None:
    """It is not compared with itself."""
    plan = plan_reorder(returned, replace(ASKED, prescription=1))
    assert (plan.new.number, plan.findings) == (1, ())


@on_both
def test_a_draft_is_an_order_file_that_records_the_same_again(returned: Desk, tmp_path: Path) -> None:
    """What is stored reads back to the order that was planned; recorded, it is the order that was priced."""
    number, plan, _ = reorder(returned, ASKED, tmp_path)
    draft = draft_numbered(returned, number)
    assert (draft.number, draft.customer_number, draft.day) == (1, 1, YEARS_LATER)
    assert draft.reason == "new lenses for the frame of job 1"
    assert drafted_order(returned, number) == plan.request == read_order_file(write_order_file(plan.request))
    assert open_drafts(returned) == (draft,)
    order = record_sale(returned, drafted_order(returned, number), draft=number).order
    assert replace(order, number=None, pairs=plan.sale.order.pairs) == plan.sale.order
    assert frame_on_hand(returned, WREN.code)[1] == 2  # the frame was sold once


@on_both
def test_a_draft_is_recorded_once(returned: Desk, tmp_path: Path) -> None:
    """The second time names the order that it became, and nothing is stored."""
    reorder(returned, ASKED, tmp_path)
    request = drafted_order(returned, 1)
    record_sale(returned, request, draft=1)
    assert open_drafts(returned) == ()
    before = everything(returned)
    with pytest.raises(RefusedError, match=r"draft is 1; it was recorded as order 2\. Look at it with"):
        drafted_order(returned, 1)
    with pytest.raises(RefusedError, match=r"it was recorded as order 2"):
        record_sale(returned, request, draft=1)
    assert everything(returned) == before


def test_drafting_is_noted(returned: Desk, tmp_path: Path) -> None:
    """With whose it is and which pair it follows."""
    reorder(returned, ASKED, tmp_path)
    assert notes(returned)[-1] == ("tester", "drafted a reorder", "customer 1, job 1")


@on_both
def test_an_expired_prescription_is_asked_about_and_the_yes_is_kept(desk: Desk, tmp_path: Path) -> None:
    """The draft carries the yes, so that recording it on the same day does not ask again."""
    record_sale(desk, ordered(DISTANCE))
    prescribe(desk, CUSTOMER, "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", expires_on=date(2028, 3, 2))
    there = later(desk, YEARS_LATER)
    before = everything(there)
    with pytest.raises(FindingsRefusedError, match=r"expired on 2028-03-02.*add --accept PRESCRIPTION-EXPIRED"):
        reorder(there, ASKED, tmp_path)
    assert everything(there) == before
    reorder(there, replace(ASKED, accept=frozenset({"PRESCRIPTION-EXPIRED", "ADD-CHANGE"})), tmp_path)
    request = drafted_order(there, 1)
    assert request.accept == frozenset({"PRESCRIPTION-EXPIRED"})
    assert [kept.code for kept in record_sale(there, request, draft=1).order.accepted] == ["PRESCRIPTION-EXPIRED"]


def test_a_change_since_the_last_pair_is_asked_about(returned: Desk) -> None:
    """It is compared with what that pair was made from, not with the prescription before."""
    prescribe(returned, CUSTOMER, "-3.75 -1.25 x 090 add 2.25", "-3.50 -1.00 x 085 add 2.25", date(2029, 4, 9))
    found = plan_reorder(returned, ASKED).findings
    assert [(finding.code, finding.field, finding.value) for finding in found] == [
        ("CHANGE-UNUSUAL", "right.power", "1.25"),
        ("CHANGE-UNUSUAL", "left.power", "1.25"),
    ]


def test_a_lens_that_cannot_be_made_is_not_drafted(returned: Desk, tmp_path: Path) -> None:
    """At -20 D a back of hard resin has a radius of 24 mm, and the edge is 29.5 mm away; a yes does not help."""
    prescribe(returned, CUSTOMER, "-20.00 DS", "-20.00 DS", date(2029, 4, 9))
    accept = frozenset({"LENS-IMPOSSIBLE", "CHANGE-UNUSUAL"})
    asked = replace(ASKED, accept=accept)
    before = everything(returned)
    assert not plan_reorder(returned, asked).chosen.makeable
    with pytest.raises(FindingsRefusedError, match=r"too steep to reach the edge.*\[LENS-IMPOSSIBLE\]"):
        reorder(returned, asked, tmp_path)
    assert everything(returned) == before


@on_both
def test_a_blank_that_is_too_small_stops_a_reorder(returned: Desk, tmp_path: Path) -> None:
    """The largest is 55 mm, and the shape alone is 53.6 mm across before it is moved and ground."""
    change_lens(returned, SINGLE.code, {"blank_diameters": (50, 55)})
    assert [eye.blank for eye in plan_reorder(returned, ASKED).chosen.eyes] == [None, None]
    with pytest.raises(FindingsRefusedError, match=r"The right blank is 55 mm but the shape needs.*\[BLANK-SMALL\]"):
        reorder(returned, ASKED, tmp_path)
    assert open_drafts(returned) == ()


def test_a_progressive_needs_its_height(desk: Desk, tmp_path: Path) -> None:
    """A pair that was sold without a height cannot become a progressive unless it is measured."""
    record_sale(desk, ordered(replace(DISTANCE, measurements=at_height(None))))
    asked = replace(ASKED, lens="PROG-14")
    with pytest.raises(FindingsRefusedError, match="HEIGHT-MISSING"):
        reorder(desk, asked, tmp_path)
    assert reorder(desk, replace(asked, measurements=at_height(19)), tmp_path)[0] == 1


@on_both
def test_a_power_in_two_bands_is_settled_before_the_draft(returned: Desk, tmp_path: Path) -> None:
    """The owner's code goes into the draft, which then records without a question."""
    prescribe(returned, CUSTOMER, "-8.00 -2.25 x 090", "-8.00 -2.00 x 090", date(2029, 4, 9))
    asked = replace(ASKED, lens="SV-167", accept=frozenset({"CHANGE-UNUSUAL"}))
    with pytest.raises(UnsettledCodeError, match="Choose V2111 or V2112"):
        reorder(returned, asked, tmp_path)
    assert open_drafts(returned) == ()
    reorder(returned, replace(asked, right_code="V2112"), tmp_path)
    order = record_sale(returned, drafted_order(returned, 1), draft=1).order
    assert order.lines[0].charges[0].code == "V2112"


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, wearer=CHILD), "reorder is Wren Fernhollow; no pair in frame WREN-52 was sold to this wearer"),
        (replace(ASKED, wearer=CHILD, frame=""), "no pair at all was sold to this wearer"),
        (replace(ASKED, prescription=2), "prescription is 2; it is not Odalys Fernhollow's"),
        (replace(ASKED, use=LensUse.MULTIFOCAL), "use is multifocal; Clear single vision is a single vision lens"),
    ],
)
def test_what_does_not_belong_together_is_refused(returned: Desk, asked: ReorderRequest, words: str) -> None:
    """Wearer and frame, prescription and wearer, use and lens."""
    with pytest.raises(RefusedError, match=words):
        plan_reorder(returned, asked)


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, customer="Odalis"), "Did you mean Odalys Fernhollow"),
        (replace(ASKED, wearer="Wrem"), "Did you mean Wren Fernhollow"),
        (replace(ASKED, lens="SV-105"), "Did you mean SV-150"),
        (replace(ASKED, extras=("CLEAN",)), "Did you mean CLEAR"),
    ],
)
def test_a_mistyped_name_is_answered_with_the_nearest(
    returned: Desk, tmp_path: Path, asked: ReorderRequest, words: str
) -> None:
    """No draft is left behind, whichever name it was."""
    with pytest.raises(UnknownNameError, match=words):
        reorder(returned, asked, tmp_path)
    assert open_drafts(returned) == ()


def test_a_pair_sold_without_measurements_asks_for_them(desk: Desk) -> None:
    """A pair without a prescription needs none; new lenses do."""
    record_sale(desk, ordered(replace(DISTANCE, measurements=None, without_prescription=True)))
    with pytest.raises(RefusedError, match="PD is missing; job 1 was made without one"):
        plan_reorder(desk, ASKED)
    plan = plan_reorder(desk, replace(ASKED, measurements=MEASURED))
    assert plan.old is None


def test_a_wearer_without_a_prescription_is_told_so(desk: Desk) -> None:
    """One that was sold plano glasses may never have had one."""
    add_wearer(desk, CUSTOMER, "Tamsin Fernhollow", Relationship.SPOUSE)
    record_sale(desk, ordered(replace(DISTANCE, wearer="Tamsin", without_prescription=True)))
    with pytest.raises(RefusedError, match="prescription is missing for Tamsin Fernhollow"):
        plan_reorder(desk, replace(ASKED, wearer="Tamsin"))


def test_an_unknown_draft_is_named(desk: Desk) -> None:
    """There is none yet."""
    with pytest.raises(NumberUnknownError, match="there is no draft 1"):
        drafted_order(desk, 1)


def test_a_record_that_cannot_be_printed_leaves_no_draft(desk: Desk, tmp_path: Path) -> None:
    """The papers' font sets Latin, Greek and Cyrillic letters."""
    add_wearer(desk, CUSTOMER, "\N{HIRAGANA LETTER A}\N{HIRAGANA LETTER I}", Relationship.OTHER)
    record_sale(desk, ordered(replace(DISTANCE, wearer="3", without_prescription=True)))
    prescribe(desk, "3", "-1.00 DS", "-1.00 DS")
    before = everything(desk)
    with pytest.raises(MissingGlyphError):
        reorder(desk, replace(ASKED, wearer="3"), tmp_path)
    assert everything(desk) == before


@on_both
def test_the_record_says_what_is_made_and_what_changed(returned: Desk, tmp_path: Path) -> None:
    """Draft number, both days, the frame, powers before and now with the difference, and the lenses compared."""
    prescribe(returned, CUSTOMER, "-4.00 -1.25 x 090 add 2.25", "-3.75 -1.00 x 085 add 2.25", date(2029, 4, 9))
    number, plan, file = reorder(returned, replace(ASKED, accept=frozenset({"CHANGE-UNUSUAL"})), tmp_path)
    assert (number, file.name) == (1, "reorder-00001.pdf")
    text = words_in(file)
    for words in (
        "No. 1", CUSTOMER, plan.frame.description, "job 1, order 1", "-2.50", "-4.00", "-1.50", "Clear single vision",
        "Thin single vision", "pellow-52.txt",
    ):  # fmt: skip
        assert words.replace("-", "\N{MINUS SIGN}") in text or words in text, words


def test_the_child_s_frame_was_not_traced(desk: Desk) -> None:
    """Sold without a trace, so it must be asked for first."""
    record_sale(desk, ordered(CHILDS))
    with pytest.raises(RefusedError, match="trace is missing for LARK-48; new lenses need the frame's shape"):
        plan_reorder(desk, ReorderRequest(CUSTOMER, CHILD, LARK.code))
