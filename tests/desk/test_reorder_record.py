"""The record's content: every figure of the plan in its place, each side as it was traced."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import numpy as np
import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import LENSES
from shopledger.desk.reorder_record import reorder_record
from shopledger.desk.reordering import ReorderPlan, plan_reorder
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.journal import Head
from shopledger.ledger.orders import EyeRequest, Making
from shopledger.ledger.papers.reorder_record import PowerChange, ReorderRecord
from shopledger.ledger.papers.strips import LensSaid, Strip, StripKind
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.boxing import box
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace
from tests.desk.family import ASKED, DISTANCE, MEASURED, YEARS_LATER, later, ordered, prescribe
from tests.optics.strategies import rounded_shape
from tests.shelf import CLEAR, CUSTOMER, SHOP, SINGLE, WREN

CROOKED = FrameTrace(
    rounded_shape(a=52, b=37, lift=0.05, skew=0.04), rounded_shape(side=Side.LEFT, a=52, b=37, lift=0.03, skew=0.05), 18
)
"""Shapes that are no mirror images of themselves or of each other."""


def page_layout(plan: ReorderPlan) -> ReorderRecord:
    """Give the record of a plan as draft 7."""
    return reorder_record(7, plan, SHOP, (CLEAR.name,), Head(3, "ab" * 32))


@pytest.fixture
def crooked(returned: Desk) -> ReorderPlan:
    """Plan new lenses in the crooked shapes."""
    with returned.writing() as work:
        work.traces.add(StoredTrace(WREN.code, CROOKED, TraceOrigin("by hand", "0" * 64, date(2026, 3, 1))))
    return plan_reorder(returned, ASKED)


def test_each_shape_is_the_trace_around_its_boxed_centre(crooked: ReorderPlan) -> None:
    """Point for point, right for right and left for left; the optical centre lies toward the nose."""
    sheet = page_layout(crooked)
    for trace, shape, inward in ((CROOKED.right, sheet.right_shape, 1), (CROOKED.left, sheet.left_shape, -1)):
        boxed = box(trace)
        wanted = trace.points - np.array([boxed.centre_x, boxed.centre_y])
        assert np.allclose(np.array(shape.outline), wanted, atol=1e-9)
        assert shape.optical_centre[0] * inward == pytest.approx(
            crooked.chosen.eye(trace.side).decentration_in, abs=1e-9
        )
        assert shape.optical_centre[0] * inward > 2
        assert shape.height == MEASURED.eye(trace.side).fitting_height
        assert shape.least_blank == crooked.chosen.eye(trace.side).blank_needed


def test_the_profile_is_that_of_the_chosen_lens(crooked: ReorderPlan) -> None:
    """Its centre is the body's, no place of its edge is thicker than the thickest, and its cuts end at the edge."""
    sheet = page_layout(crooked)
    for side, profile in ((Side.RIGHT, sheet.right_profile), (Side.LEFT, sheet.left_profile)):
        body = crooked.chosen.eye(side).body
        assert body is not None
        assert profile is not None
        assert profile.centre == body.centre_thickness
        assert max(profile.edge) <= body.thickest + 1e-9
        assert max(profile.edge) == pytest.approx(body.thickest, abs=0.1)
        for cut in (profile.level, profile.upright):
            assert all(body.thinnest - 0.02 <= end <= body.thickest + 0.02 for end in cut.ends)


def test_a_lens_that_cannot_be_made_has_no_profile(returned: Desk) -> None:
    """At -20 D the back does not reach the edge."""
    prescribe(returned, CUSTOMER, "-20.00 DS", "-20.00 DS", date(2029, 4, 9))
    sheet = page_layout(plan_reorder(returned, ASKED))
    assert (sheet.right_profile, sheet.left_profile) == (None, None)
    assert sheet.options[0].refusal


def test_the_price_is_today_s_with_every_line(returned: Desk) -> None:
    """The lines come to the total of the order that is drafted."""
    LENSES.change(returned, SINGLE.code, {"price": 9050})
    plan = plan_reorder(returned, replace(ASKED, extras=(CLEAR.code,)))
    price = page_layout(plan).price
    assert price is not None
    assert [line.net for line in price.lines] == [9050, 12995]
    assert sum(line.net for line in price.lines) + price.tax == price.total == plan.sale.order.total
    assert [option.price for option in page_layout(plan).options] == [9050, 18000]


def test_both_prescriptions_stand_side_by_side(returned: Desk) -> None:
    """Each quantity before and now with its difference, the axis the shorter way round, prism as written."""
    prescribe(returned, CUSTOMER, "-2.75 -1.25 x 005 add 2.25 2.00 BU", "-3.00 DS add 2.25", date(2029, 4, 9))
    sheet = page_layout(plan_reorder(returned, ASKED))
    right = {power.quantity: power for power in sheet.right_powers}
    assert (right["sphere"].before, right["sphere"].now, right["sphere"].change) == ("-2.50", "-2.75", "-0.25")
    assert (right["axis"].before, right["axis"].now, right["axis"].change) == ("090", "005", "-85°")
    assert right["prism"] == PowerChange("prism", "–", "2.00 BU", "changed")
    left = {power.quantity: power for power in sheet.left_powers}
    assert (left["cylinder"].change, left["axis"].now, left["axis"].change) == ("+1.00", "–", "")
    assert sheet.left_change.startswith("sphere 0.75 D toward minus, cylinder gone")


def test_an_axis_that_stayed_has_not_turned(returned: Desk) -> None:
    """Zero has no sign."""
    right = {power.quantity: power for power in page_layout(plan_reorder(returned, ASKED)).right_powers}
    assert right["axis"].change == "0°"
    assert right["prism"].change == ""


def test_what_nobody_may_miss_stands_on_a_strip(desk: Desk) -> None:
    """Of an eye without a lens neither power nor prism is made; the other one is the only lens, and has its prism."""
    alone = replace(DISTANCE, left=EyeRequest(Making.NONE))
    record_sale(desk, ordered(alone))
    there = later(desk, YEARS_LATER)
    prescribe(there, CUSTOMER, "-2.75 -1.25 x 090 1 BU 2 BI", "-2.50 -1.00 x 085 2 BI", date(2029, 4, 2))
    sheet = page_layout(plan_reorder(there, ASKED))
    assert sheet.strips == (
        Strip(StripKind.ONE_LENS, (LensSaid(Side.RIGHT),)),
        Strip(StripKind.PRISM, (LensSaid(Side.RIGHT, "2.00 BI, 1.00 BU"),)),
    )
    assert (sheet.right_made, sheet.left_made) == ("-2.75 -1.25 x 090 prism 2.00 BI, 1.00 BU", "")


def test_an_own_frame_and_a_thick_edge_stand_on_strips_of_the_record(crooked: ReorderPlan) -> None:
    """The shop has no second one; 7 mm is thick (common practice, no source)."""
    assert page_layout(crooked).strips == ()
    body = crooked.chosen.left.body
    assert body is not None
    thick = replace(crooked.chosen.left, body=replace(body, thickest=7.3))
    plan = replace(crooked, frame=replace(crooked.frame, owned_by=1), chosen=replace(crooked.chosen, left=thick))
    assert page_layout(plan).strips == (
        Strip(StripKind.OWN_FRAME),
        Strip(StripKind.THICK_EDGE, (LensSaid(Side.LEFT, "7.3 mm"),)),
    )
