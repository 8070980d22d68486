"""New lenses for a frame sold before, planned: what is looked up, laid out, compared and priced."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.drafts import open_drafts
from shopledger.desk.goods import LENSES
from shopledger.desk.people import add_wearer
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.reorder_record import reorder
from shopledger.desk.reordering import plan_reorder, usable_prescriptions
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.parties import Relationship
from shopledger.optics.findings import Severity
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import write_eye
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from tests.desk.books import everything, on_both
from tests.desk.family import (
    ASKED,
    CHILDS,
    DISTANCE,
    MEASURED,
    PROGRESSIVE,
    ordered,
    prescribe,
)
from tests.shelf import CHILD, CLEAR, CUSTOMER, LARK, SINGLE, WREN


@on_both
def test_a_plan_finds_pair_shape_and_both_prescriptions(returned: Desk) -> None:
    """What is not said is as on the last pair in that frame; the prescription is the newest."""
    plan = plan_reorder(returned, ASKED)
    assert plan.earlier is not None
    assert (plan.earlier.order.number, plan.earlier.pair.job_number, plan.frame.code) == (1, 1, WREN.code)
    assert plan.earlier.same_frame
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
    LENSES.change(returned, SINGLE.code, {"price": 9000})
    assert plan_reorder(returned, ASKED).sale.order.total == 9000


def test_the_price_is_that_of_every_line(returned: Desk) -> None:
    """Lenses and a coating chosen this time; the frame is not among the lines."""
    order = plan_reorder(returned, replace(ASKED, extras=(CLEAR.code,))).sale.order
    assert [(line.description, line.net) for line in order.lines] == [
        (f"{SINGLE.name}, for distance", 8000),
        (CLEAR.name, 12995),
    ]
    assert order.total == 20995


def test_what_changed_is_said_for_each_eye(returned: Desk) -> None:
    """Both spheres and both adds went up a step; without an earlier prescription nothing is said."""
    words = "sphere 0.25 D toward minus, add 0.25 D stronger"
    assert plan_reorder(returned, ASKED).changes == {Side.RIGHT: words, Side.LEFT: words}


def test_planning_a_reorder_stores_nothing(returned: Desk) -> None:
    """Looking is free."""
    before = everything(returned)
    plan_reorder(returned, ASKED)
    assert everything(returned) == before


@on_both
def test_an_earlier_pair_is_found_by_its_frame(returned: Desk) -> None:
    """Without a frame the newest pair is meant, which was the reading pair; its frame was never traced."""
    earlier = plan_reorder(returned, replace(ASKED, frame=" wren-52 ")).earlier
    assert earlier is not None
    assert earlier.pair.job_number == 1
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


def test_a_change_since_the_last_pair_is_asked_about(returned: Desk) -> None:
    """It is compared with what that pair was made from, not with the prescription before."""
    prescribe(returned, CUSTOMER, "-3.75 -1.25 x 090 add 2.25", "-3.50 -1.00 x 085 add 2.25", date(2029, 4, 9))
    found = [finding for finding in plan_reorder(returned, ASKED).findings if finding.severity is Severity.WARNING]
    assert [(finding.code, finding.field, finding.value) for finding in found] == [
        ("CHANGE-UNUSUAL", "right.power", "1.25"),
        ("CHANGE-UNUSUAL", "left.power", "1.25"),
    ]


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (replace(ASKED, wearer=CHILD), "lens is missing; there is no earlier pair to go by. Name one with '--lens'"),
        (replace(ASKED, wearer=CHILD, lens=SINGLE.code), "PD is missing; there is no earlier pair"),
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


def test_the_child_s_frame_was_not_traced(desk: Desk) -> None:
    """Sold without a trace, so it must be asked for first."""
    record_sale(desk, ordered(CHILDS))
    with pytest.raises(RefusedError, match="trace is missing for LARK-48; new lenses need the frame's shape"):
        plan_reorder(desk, ReorderRequest(CUSTOMER, CHILD, LARK.code))


def test_all_prescriptions_of_a_wearer_are_given_newest_first(returned: Desk) -> None:
    """So that one can be picked by its day."""
    assert [each.number for each in usable_prescriptions(returned, CUSTOMER, CUSTOMER)] == [3, 1]
