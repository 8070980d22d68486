"""A lens cut through its optical centre, and its edge read from the nose: worked out by hand for round shapes."""

from __future__ import annotations

import math

import pytest

from shopledger.optics.body import LensBody, lens_body
from shopledger.optics.plain_shapes import plain_shape
from shopledger.optics.power import SphereCylinder
from shopledger.optics.profile import edge_from_nose, lens_cut
from shopledger.optics.refusals import OutOfRangeError, TraceError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace, trace_from_radii
from tests.optics.strategies import rounded_shape

ROUND = {side: Trace(side, (2500,) * 360) for side in Side}


def body(power: SphereCylinder, trace: Trace, centre: tuple[float, float] = (0.0, 0.0)) -> LensBody:
    """Give a lens of index 1.53 on a front of 4.00, for which front curves are marked."""
    return lens_body(power, trace, centre, 1.53, 4.0, 2.0, 1.0, 1.3)


def test_a_level_cut_runs_from_edge_to_edge_through_the_centre() -> None:
    """A circle of 25 mm whose optical centre stands 3 mm inward ends 22 mm toward the nose and 28 mm away from it."""
    cut = lens_cut(body(SphereCylinder(-4), ROUND[Side.RIGHT], (3.0, 0.0)), ROUND[Side.RIGHT], (3.0, 0.0), 0)
    assert (cut.along[0], cut.along[-1]) == pytest.approx((-28, 22), abs=0.005)
    cut = lens_cut(body(SphereCylinder(-4), ROUND[Side.LEFT], (3.0, 0.0)), ROUND[Side.LEFT], (3.0, 0.0), 0)
    assert (cut.along[0], cut.along[-1]) == pytest.approx((-22, 28), abs=0.005)


def test_an_upright_cut_is_as_long_as_the_shape_is_there() -> None:
    """3 mm inward a circle of 25 mm is twice the root of 625 less 9 high; seen from 2 mm up it ends 2 mm sooner."""
    cut = lens_cut(body(SphereCylinder(-4), ROUND[Side.RIGHT], (3.0, 2.0)), ROUND[Side.RIGHT], (3.0, 2.0), 90)
    half = math.sqrt(625 - 9)
    assert (cut.along[0], cut.along[-1]) == pytest.approx((-half - 2, half - 2), abs=0.005)


def test_both_sides_are_those_of_spheres() -> None:
    """The front is 4.00 D of index 1.53, so its radius is 132.5 mm; the thickness at the middle is the centre's."""
    cut = lens_cut(body(SphereCylinder(-4), ROUND[Side.RIGHT]), ROUND[Side.RIGHT], (0.0, 0.0), 0, 51)
    radius = 530 / 4.0
    assert cut.front[0] == pytest.approx(radius - math.sqrt(radius**2 - 25**2), abs=1e-4)
    assert (cut.front[25], cut.thickness[25]) == pytest.approx((0, 2.0), abs=1e-9)


@pytest.mark.parametrize("side", Side)
@pytest.mark.parametrize("meridian", [0, 30, 90, 135])
def test_a_cut_ends_as_thick_as_the_edge(side: Side, meridian: float) -> None:
    """Where a cut meets the edge it has the thickness that was worked out round the edge."""
    trace, centre = plain_shape(side, 52, 36), (2.0, 1.0)
    made = body(SphereCylinder(-3, -2, 40), trace, centre)
    cut = lens_cut(made, trace, centre, meridian)
    x, y = trace.points.T
    x, y = x - side.inward * 2.0, y - 1.0
    for end in (0, -1):
        at = cut.along[end] * math.cos(math.radians(meridian)), cut.along[end] * math.sin(math.radians(meridian))
        nearest = int(((x - at[0]) ** 2 + (y - at[1]) ** 2).argmin())
        assert cut.thickness[end] == pytest.approx(made.edge_thickness[nearest], abs=0.03)


def test_a_centre_outside_the_shape_is_refused() -> None:
    """No cut through it would be a cut through the lens."""
    made = body(SphereCylinder(-1), ROUND[Side.RIGHT])
    with pytest.raises(TraceError, match="the optical centre stands outside it"):
        lens_cut(made, ROUND[Side.RIGHT], (30.0, 0.0), 0)
    with pytest.raises(OutOfRangeError, match="meridian"):
        lens_cut(made, ROUND[Side.RIGHT], (0.0, 0.0), 270)


def test_the_edge_is_read_from_the_nose_over_the_top() -> None:
    """A minus lens with its centre inward is thin toward the nose and thick toward the temple, on either eye."""
    for side in Side:
        made = body(SphereCylinder(-4), ROUND[side], (3.0, 0.0))
        edge = edge_from_nose(made, ROUND[side], 72)
        assert int(edge.argmin()) == 0
        assert int(edge.argmax()) == 36
        assert edge[18] == pytest.approx(edge[54], abs=1e-3)


def test_mirror_image_lenses_have_the_same_edge_from_the_nose() -> None:
    """The left lens of a mirrored shape and axis is read like the right one."""
    right = rounded_shape(lift=0.05, skew=0.03)
    left = Trace(Side.LEFT, tuple(right.hundredths[(200 - at) % 400] for at in range(400)))
    one = edge_from_nose(body(SphereCylinder(-3, -2, 30), right, (2.0, 1.0)), right)
    other = edge_from_nose(body(SphereCylinder(-3, -2, 150), left, (2.0, 1.0)), left)
    assert one == pytest.approx(other, abs=1e-6)
    assert max(one) - min(one) > 1


def test_up_is_a_quarter_after_the_nose() -> None:
    """With the centre 4 mm up a minus lens is thinnest on top and thickest below."""
    trace = trace_from_radii(Side.LEFT, ROUND[Side.LEFT].radii)
    edge = edge_from_nose(body(SphereCylinder(-4), trace, (0.0, 4.0)), trace, 72)
    assert (int(edge.argmin()), int(edge.argmax())) == (18, 54)
