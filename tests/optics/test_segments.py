"""Where segments, crosses, centres and blanks stand: by hand, and against a second derivation that shares no code.

Published examples of segment drop are in `published/fittings.py`; of insets and blanks of multifocals none was found.
"""

from __future__ import annotations

import math
import random

import pytest
import shapely
import shapely.affinity

from shopledger.optics.fitting import blank_middle, minimum_blank
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.pair_checks import Places, check_near_pd, check_pair, near_pd_of, placement, places
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.segments import BlankMarks, segment_inset, usual_near_pd
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.optics.strategies import rounded_shape

FRAME = FrameTrace(rounded_shape(400), rounded_shape(400).mirrored(), 18)
RX = Prescription(read_eye("-2.00 DS add 2.00"), read_eye("-2.00 DS add 2.00"))
EYE = EyeMeasurements(32, 30, 17)
LINED = BlankMarks(lined=True, inward=2, upward=-4, distance_up=4)


def test_a_segment_stands_at_the_near_pd_and_the_distance_centre_at_the_distance_pd() -> None:
    """A box of 54 by 40 with 18 between: 36 less 30 and 36 less 32 inward, 17 less 20 up; the blank by its marks."""
    found = places(FRAME.right, 18, EYE, LensUse.MULTIFOCAL, LINED)
    assert found.fitting.centre == pytest.approx((6, -3), abs=0.01)
    assert found.optical.centre == pytest.approx((4, 1), abs=0.01)
    assert found.middle.centre == pytest.approx((4, 1), abs=0.01)


def test_a_progressive_is_fitted_by_its_cross_and_free_of_prism_in_the_middle() -> None:
    """The cross stands 4 mm above the middle of the blank."""
    found = places(FRAME.right, 18, EYE, LensUse.MULTIFOCAL, BlankMarks(lined=False, inward=0, upward=4))
    assert found.fitting == placement(FRAME.right, 18, EYE, LensUse.MULTIFOCAL)
    assert found.middle == found.optical
    assert found.middle.centre == pytest.approx((4, -7), abs=0.01)


def test_what_the_maker_does_not_say_is_taken_for_the_middle() -> None:
    """Segment top or cross in the middle of the blank, the distance centre level with the top; single vision is one."""
    bare = places(FRAME.right, 18, EYE, LensUse.MULTIFOCAL, BlankMarks(lined=True))
    assert bare.middle == bare.fitting
    assert bare.optical.upward == bare.fitting.upward
    plain = placement(FRAME.right, 18, EYE, LensUse.DISTANCE)
    assert places(FRAME.right, 18, EYE, LensUse.DISTANCE) == Places(plain, plain, plain)


def test_a_near_pd_that_was_not_measured_is_the_usual_one() -> None:
    """400 mm before and 27 behind the lens: 32 by 400 / 427 is 29.977."""
    assert usual_near_pd(32) == pytest.approx(29.9766, abs=1e-4)
    assert near_pd_of(EyeMeasurements(32)) == usual_near_pd(32)
    assert near_pd_of(EYE) == 30
    assert segment_inset(32, 30) == 2


def test_the_near_pd_of_a_segment_is_asked_for() -> None:
    """For lined lenses and for reading pairs, for each eye that lacks it, and for no others."""
    far = Measurements(EyeMeasurements(32, None, 17), EyeMeasurements(31, 29, 17))
    lined = check_near_pd(far, LensUse.MULTIFOCAL, (LINED, LINED))
    assert [(each.code, each.field) for each in lined] == [("NEAR-PD-MISSING", "right.near_pd")]
    assert "set in by a usual 2.0 mm" in lined[0].sentence
    gradual = BlankMarks(lined=False)
    assert check_near_pd(far, LensUse.MULTIFOCAL, (gradual, gradual)) == ()
    assert [each.field for each in check_near_pd(far, LensUse.READING)] == ["right.near_pd"]


def test_a_height_above_the_maker_s_largest_stops() -> None:
    """17 where 16 is allowed; at 17 it passes."""

    def codes(most: float) -> list[str]:
        both = Measurements(EYE, EYE)
        found = check_pair(
            RX, both, FRAME, LensUse.MULTIFOCAL, maximum_fitting_height=most, marks=(LINED, LINED), blanks=(80, 80)
        )
        return [each.code for each in found]

    assert codes(16) == ["HEIGHT-HIGH"] * 2
    assert codes(17) == []


def test_a_blank_is_judged_from_its_middle() -> None:
    """A segment of which the top is the middle of the blank wants a larger blank than one that stands in and down."""

    def codes(marks: BlankMarks, blank: float) -> list[str]:
        both = Measurements(EYE, EYE)
        found = check_pair(RX, both, FRAME, LensUse.MULTIFOCAL, marks=(marks, marks), blanks=(blank, blank))
        return [each.code for each in found if each.code == "BLANK-SMALL"]

    assert codes(LINED, 66) == []
    assert codes(BlankMarks(lined=True), 66) == ["BLANK-SMALL"] * 2


def blank_before_the_face(
    trace: Trace, dbl: float, across: float, height: float, inward: float, upward: float
) -> float:
    """Work the blank out on the face: from the middle of the bridge, in millimetres to the wearer's left, and up.

    `across` is how far from the middle of the bridge the mark is to stand, `height` how far above the lowest point.
    """
    rim = shapely.Polygon(trace.points)
    low_x, low_y, high_x, _ = rim.bounds
    # Who faces the wearer sees the right lens on the left: its nose side is to the right.
    nose = 1 if trace.side is Side.RIGHT else -1
    worn = shapely.affinity.translate(rim, -nose * dbl / 2 - (high_x if nose > 0 else low_x), -low_y)
    mark_x = -nose * across
    middle = shapely.Point(mark_x - nose * inward, height - upward)
    return 2 * float(middle.hausdorff_distance(worn.exterior)) + 2


def test_the_blank_that_covers_agrees_with_one_worked_out_on_the_face() -> None:
    """3000 random faces, shapes and blanks against shapely: second derivation, no source."""
    drawn, worst = random.Random(28), 0.0
    for _ in range(3000):
        side = drawn.choice(tuple(Side))
        trace = rounded_shape(
            drawn.choice((72, 100, 400)), side, drawn.uniform(44, 60), drawn.uniform(28, 48), drawn.uniform(2, 4),
            drawn.uniform(-0.08, 0.08), drawn.uniform(-0.05, 0.05),
        )  # fmt: skip
        dbl, far = drawn.uniform(14, 24), drawn.uniform(26, 37)
        eye = EyeMeasurements(far, far - drawn.uniform(0.5, 3.5), drawn.uniform(10, 24))
        marks = BlankMarks(drawn.random() < 0.5, drawn.uniform(-1, 6), drawn.uniform(-8, 6), drawn.uniform(0, 6))
        found = places(trace, dbl, eye, LensUse.MULTIFOCAL, marks)
        assert eye.near_pd is not None
        assert eye.fitting_height is not None
        assert marks.inward is not None
        assert marks.upward is not None
        across = eye.near_pd if marks.lined else eye.mono_pd
        wanted = blank_before_the_face(trace, dbl, across, eye.fitting_height, marks.inward, marks.upward)
        worst = max(worst, abs(minimum_blank(trace, *found.middle.centre) - wanted))
    assert worst < 1e-8


def test_the_middle_goes_the_other_way_than_the_mark() -> None:
    """A mark that stands in and down on its blank leaves the middle out and up."""
    assert blank_middle(6, -3, 2, -4) == (4, 1)
    assert math.isclose(blank_middle(0.5, 0.5, -0.25, 4)[1], -3.5)
