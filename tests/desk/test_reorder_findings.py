"""What is asked before new lenses are made: sides, heights, blanks, thickness, dates, and frames from elsewhere."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.drafts import drafted_order, open_drafts
from shopledger.desk.goods import LENSES, add_frame
from shopledger.desk.people import add_customer
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.reorder_lookups import ReorderRequest
from shopledger.desk.reorder_record import reorder
from shopledger.desk.reordering import (
    plan_reorder,
    reorder_start,
    traced_frames,
    wearer_pairs,
)
from shopledger.desk.sales import record_sale
from shopledger.desk.trace_library import adopt_trace
from shopledger.desk.tracing import keep_trace
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.settings import Settings
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import Measurements
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.desk.books import notes, on_both
from tests.desk.family import (
    ASKED,
    DISTANCE,
    PROGRESSIVE,
    WHOLE,
    YEARS_LATER,
    at_height,
    later,
    ordered,
    prescribe,
    set_shop,
)
from tests.shelf import CHILD, CUSTOMER, GRADUAL, HOME, SHOP, SINGLE, WREN

OWN: Frame = replace(WREN, code="OWN-WREN", maker="Elsewhere", model="Own", price=0, cost=0)
"""A frame that the customer brought along."""

CHILDS_PD = Measurements.from_binocular(54, right_height=17, left_height=17)


def codes(found: tuple[Finding, ...]) -> list[str]:
    """Give the codes of findings."""
    return [finding.code for finding in found]


def the(code: str, found: tuple[Finding, ...]) -> Finding:
    """Give the one finding with a code."""
    (finding,) = [each for each in found if each.code == code]
    return finding


def swapped(shape: FrameTrace) -> FrameTrace:
    """Give the shapes with right and left exchanged, as when the tracer's sides were mixed up."""
    right, left = Trace(Side.RIGHT, shape.left.hundredths), Trace(Side.LEFT, shape.right.hundredths)
    return FrameTrace(right, left, shape.dbl)


def keep_shape(desk: Desk, shape: FrameTrace) -> None:
    """Store a shape of the frame as an earlier day may have left it."""
    with desk.writing() as work:
        work.traces.add(StoredTrace(WREN.code, shape, TraceOrigin("by hand", "0" * 64, date(2026, 3, 1))))


def test_a_trace_whose_sides_are_swapped_is_asked_about(returned: Desk) -> None:
    """It lies the other way round from the trace before it; the drawing would send the lenses to the wrong eyes."""
    keep_shape(returned, swapped(plan_reorder(returned, ASKED).trace.shape))
    found = the("TRACE-SWAPPED", plan_reorder(returned, ASKED).findings)
    assert found.severity is Severity.WARNING
    assert "Right and left of trace 2 lie as left and right did in trace 1" in found.sentence


def test_one_side_traced_twice_is_asked_about(returned: Desk) -> None:
    """The left shape must be the mirror image of the right one, not its copy."""
    shape = plan_reorder(returned, ASKED).trace.shape
    keep_shape(returned, FrameTrace(shape.right, Trace(Side.LEFT, shape.right.hundredths), shape.dbl))
    found = the("TRACE-MIRROR", plan_reorder(returned, ASKED).findings)
    assert "one side was not traced twice or swapped" in found.sentence
    with pytest.raises(FindingsRefusedError, match="--accept TRACE-MIRROR"):
        reorder(returned, ASKED, Path("never-made"))


def test_the_same_frame_in_another_colour_is_offered_where_a_trace_is_missing(desk: Desk) -> None:
    """Taken over, its shape does for the new lenses."""
    other = replace(WREN, code="WREN-52-SAND", colour="sand")
    add_frame(desk, other, 1)
    record_sale(desk, ordered(replace(DISTANCE, frame=other.code)))
    asked = replace(ASKED, frame=other.code)
    with pytest.raises(RefusedError, match="'shopledger trace adopt WREN-52 WREN-52-SAND'"):
        plan_reorder(desk, asked)
    adopt_trace(desk, WREN.code, other.code)
    assert plan_reorder(desk, asked).trace.frame_code == other.code


def test_a_height_that_is_too_low_names_the_lenses_that_it_is_enough_for(desk: Desk) -> None:
    """15 mm are less than the 17 of the progressive; one with a shorter corridor needs 14."""
    LENSES.add(desk, replace(GRADUAL, code="PROG-9", name="Short progressive", corridor=9, min_fitting_height=14))
    record_sale(desk, ordered(PROGRESSIVE))
    found = plan_reorder(desk, replace(ASKED, measurements=at_height(15))).findings
    low = [finding for finding in found if finding.code == "HEIGHT-LOW"]
    assert [finding.severity for finding in low] == [Severity.ERROR] * 2
    assert all(finding.sentence.endswith("High enough for: PROG-9 (14 mm).") for finding in low)
    assert "HEIGHT-LOW" not in codes(
        plan_reorder(desk, replace(ASKED, lens="PROG-9", measurements=at_height(15))).findings
    )


def test_a_blank_that_is_too_small_says_what_would_do(returned: Desk) -> None:
    """Once, with the diameter, the PD, the frame and the other lens; not a second time as the sale says it."""
    LENSES.change(returned, SINGLE.code, {"blank_diameters": (50, 55)})
    found = [each for each in plan_reorder(returned, ASKED).findings if each.code == "BLANK-SMALL"]
    assert [each.field for each in found] == ["right.blank", "left.blank"]
    for words in ("What would do: ", " PD ", "a frame whose effective diameter", "Thin single vision in 65 mm"):
        assert words in found[0].sentence


def test_unknown_blanks_are_told_and_do_not_stop(returned: Desk, tmp_path: Path) -> None:
    """The maker may have them though the catalogue does not say so."""
    LENSES.change(returned, SINGLE.code, {"blank_diameters": ()})
    assert codes(plan_reorder(returned, ASKED).findings) == ["BLANK-UNKNOWN"] * 2
    assert reorder(returned, ASKED, tmp_path)[0] == 1


def test_thick_lenses_are_told_and_need_no_yes(returned: Desk) -> None:
    """The comparison with thinner ones stands beside it."""
    prescribe(returned, CUSTOMER, "-8.00 DS", "-7.50 DS", date(2029, 4, 9))
    found = [each for each in plan_reorder(returned, ASKED).findings if each.code == "EDGE-THICK"]
    assert [(each.field, each.severity) for each in found] == [
        ("right.edge_thickness", Severity.NOTE), ("left.edge_thickness", Severity.NOTE),
    ]  # fmt: skip


def test_a_prism_is_part_of_each_lens_compared(returned: Desk) -> None:
    """3 and 4 dioptres at right angles are 5; over 53.6 mm at 1.498 one edge is some 5 mm thicker than the other."""
    # The wedge alone would be 5 x 53.6 / 49.8 mm from one end of the longest radius to the other.
    prescribe(returned, CUSTOMER, "-0.25 DS 3.00 BU 4.00 BI", "-0.25 DS", date(2029, 4, 9))
    plan = plan_reorder(returned, ASKED)
    assert "PRISM-NOT-COUNTED" not in codes(plan.findings)
    for layout in (plan.chosen, *plan.others):
        right, left = layout.right.body, layout.left.body
        assert right is not None
        assert left is not None
        wedge = 5 * 53.6 / 100 / (layout.lens.index - 1)
        assert wedge * 0.75 < right.thickest - right.thinnest - (left.thickest - left.thinnest) < wedge
        assert right.weight_g > left.weight_g + 1


@on_both
def test_an_expired_prescription_needs_a_yes_that_is_kept(desk: Desk, tmp_path: Path) -> None:
    """The yes is written into the draft, and stands with the order that the draft becomes."""
    record_sale(desk, ordered(DISTANCE))
    prescribe(desk, CUSTOMER, "-2.50 -1.25 x 090", "-2.25 -1.00 x 085", expires_on=date(2028, 3, 2))
    there = later(desk, YEARS_LATER)
    with pytest.raises(FindingsRefusedError, match="--accept PRESCRIPTION-EXPIRED"):
        reorder(there, ASKED, tmp_path)
    assert open_drafts(there) == ()
    asked = replace(ASKED, accept=frozenset({"PRESCRIPTION-EXPIRED", "ADD-CHANGE"}))
    number, _, _ = reorder(there, asked, tmp_path)
    request = drafted_order(there, number)
    assert "PRESCRIPTION-EXPIRED" in request.accept
    order = record_sale(there, request, draft=number).order
    assert "PRESCRIPTION-EXPIRED" in [each.code for each in order.accepted]


def test_an_old_prescription_is_asked_about_by_the_owner_s_limit(desk: Desk) -> None:
    """New lenses are made from it with a yes only."""
    record_sale(desk, ordered(DISTANCE))
    there = later(desk, YEARS_LATER)
    assert "PRESCRIPTION-OLD" not in codes(plan_reorder(there, ASKED).findings)
    set_shop(there, SHOP, Settings(prescription_months=12))
    assert the("PRESCRIPTION-OLD", plan_reorder(there, ASKED).findings).limit == "12 months"


@on_both
def test_a_frame_of_the_customer_s_own_takes_new_lenses(desk: Desk, tmp_path: Path) -> None:
    """Traced and never sold here: lens and PD are said, nothing is asked about where the frame is from."""
    add_frame(desk, OWN, 0, CUSTOMER)
    keep_trace(desk, OWN.code, WHOLE, "bench tracer")
    asked = ReorderRequest(CUSTOMER, CHILD, OWN.code, SINGLE.code, measurements=CHILDS_PD)
    plan = plan_reorder(desk, asked)
    assert (plan.earlier, plan.old, plan.changes) == (None, None, {})
    assert "FRAME-NOT-SOLD" not in codes(plan.findings)
    assert plan.sale.order.total == SINGLE.price
    number, _, record = reorder(desk, replace(asked, accept=frozenset(codes(plan.findings))), tmp_path)
    assert record.is_file()
    draft = open_drafts(desk)[0]
    assert draft.reason == "new lenses for the wearer's frame OWN-WREN"
    assert notes(desk)[-1] == ("tester", "drafted a reorder", "customer 1 frame OWN-WREN")
    order = record_sale(desk, drafted_order(desk, number), draft=number).order
    assert order.pairs[0].frame_code == OWN.code
    assert [line.description for line in order.lines] == [f"{SINGLE.name}, for distance"]


def test_an_owned_pair_of_an_earlier_order_is_gone_by(desk: Desk) -> None:
    """Lenses were made for the own frame once: pair, PD and height are those of that job."""
    add_frame(desk, OWN, 0, CUSTOMER)
    keep_trace(desk, OWN.code, WHOLE, "bench tracer")
    record_sale(desk, ordered(replace(DISTANCE, frame=OWN.code)))
    plan = plan_reorder(desk, ReorderRequest(CUSTOMER, CUSTOMER))
    assert plan.earlier is not None
    assert (plan.earlier.same_frame, plan.frame.code, plan.trace.frame_code) == (True, OWN.code, OWN.code)
    assert plan.measurements == DISTANCE.measurements
    assert plan.sale.order.total == SINGLE.price


def test_a_frame_of_the_shop_that_was_not_sold_to_the_wearer_is_asked_about(desk: Desk) -> None:
    """It is in the catalogue and traced; that the wearer has one from elsewhere needs a yes."""
    asked = ReorderRequest(CUSTOMER, CHILD, WREN.code, SINGLE.code, measurements=CHILDS_PD)
    found = the("FRAME-NOT-SOLD", plan_reorder(desk, asked).findings)
    assert found.severity is Severity.WARNING
    assert "No pair in WREN-52 was sold to Wren Fernhollow" in found.sentence


def test_another_frame_keeps_the_pd_and_forgets_the_height(returned: Desk) -> None:
    """A PD belongs to the face, a height to the frame; lens and prescription before are those of the newest pair."""
    own = replace(OWN, code="OWN-2")
    add_frame(returned, own, 0, CUSTOMER)
    keep_trace(returned, own.code, WHOLE, "bench tracer")
    plan = plan_reorder(returned, replace(ASKED, frame=own.code))
    assert [plan.measurements.eye(side).mono_pd for side in Side] == [31.5, 31.0]
    assert [plan.measurements.eye(side).fitting_height for side in Side] == [None, None]
    assert the("PD-AS-BEFORE", plan.findings).severity is Severity.NOTE
    assert plan.chosen.lens.code == SINGLE.code
    assert plan.old is not None
    assert [plan.chosen.eye(side).offset_up for side in Side] == [0.0, 0.0]
    missing = plan_reorder(returned, replace(ASKED, frame=own.code, lens=GRADUAL.code)).findings
    assert codes(missing).count("HEIGHT-MISSING") == 2


def test_another_customer_s_frame_is_refused(desk: Desk) -> None:
    """What belongs to somebody else is not for this wearer's lenses."""
    other = add_customer(desk, "Tamsin Ashgrove", HOME)
    add_frame(desk, OWN, 0, str(other.number))
    keep_trace(desk, OWN.code, WHOLE, "bench tracer")
    asked = ReorderRequest(CUSTOMER, CHILD, OWN.code, SINGLE.code, measurements=CHILDS_PD)
    with pytest.raises(RefusedError, match="it belongs to another customer"):
        plan_reorder(desk, asked)


def test_a_wearer_s_pairs_are_listed_newest_first(returned: Desk) -> None:
    """Each frame once, with whether it can take new lenses from a stored shape; the child has none."""
    found = wearer_pairs(returned, CUSTOMER, CUSTOMER)
    assert [(card.job_number, card.frame.code, card.traced) for card in found] == [
        (2, "LARK-48", False), (1, "WREN-52", True),
    ]  # fmt: skip
    assert wearer_pairs(returned, CUSTOMER, CHILD) == ()


def test_frames_for_new_lenses_are_the_shop_s_and_the_customer_s_with_a_shape(returned: Desk) -> None:
    """Those without a shape are none of them."""
    assert [frame.code for frame in traced_frames(returned, CUSTOMER)] == [WREN.code]


def test_a_reorder_starts_from_the_pair_before(returned: Desk) -> None:
    """Frame, lens and measurements of the pair in it; a frame that was never traced is refused at once."""
    start = reorder_start(returned, CUSTOMER, CUSTOMER, "wren-52")
    assert start.lens is not None
    assert (start.frame.code, start.lens.code, start.measurements) == (WREN.code, SINGLE.code, DISTANCE.measurements)
    with pytest.raises(RefusedError, match="trace is missing for LARK-48"):
        reorder_start(returned, CUSTOMER, CUSTOMER, "")
