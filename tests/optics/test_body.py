"""The body of a lens: derived edges, independent integration, properties, and lenses that cannot be."""

from __future__ import annotations

import math

import numpy as np
import pytest
import shapely
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.optics.base_curve import usual_base_curve
from shopledger.optics.body import edge_thickness, lens_body, lens_surfaces, thickness_at
from shopledger.optics.boxing import from_point
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.refusals import ImpossibleLensError, OutOfRangeError
from shopledger.optics.sides import Side
from shopledger.optics.surfaces import back_vertex_power
from shopledger.optics.trace import Trace
from tests.optics.strategies import powers, rounded_shape, shapes

ROUND_50 = Trace(Side.RIGHT, (2500,) * 72)
ROUND_60 = Trace(Side.RIGHT, (3000,) * 72)
places = st.tuples(st.floats(-3, 6), st.floats(-4, 5))


@pytest.mark.parametrize(
    ("front", "back", "centre", "index", "trace", "edge"),
    [(6.25, -8.25, 2.0, 1.586, ROUND_50, 3.1505), (8.0, -4.0, 5.0, 1.498, ROUND_60, 0.9626)],
)
def test_an_edge_agrees_with_a_ray_tracer(
    front: float, back: float, centre: float, index: float, trace: Trace, edge: float
) -> None:
    """Edges that another library's surfaces gave, to four decimals; derived."""
    power = SphereCylinder(back_vertex_power(front, back, centre, index))
    made = edge_thickness(power, trace, (0, 0), index, front, centre, curve_index=index)
    assert made == pytest.approx(np.full(72, edge), abs=0.00005)


@settings(max_examples=40)
@given(powers(most=10), shapes(), places)
def test_a_body_keeps_both_minima_and_touches_one(
    power: SphereCylinder, trace: Trace, centre: tuple[float, float]
) -> None:
    """The thinnest lens is at its least centre or at its least edge, and nowhere thinner."""
    try:
        body = lens_body(power, trace, centre, 1.6, usual_base_curve(power), 1.5, 1.0, 1.3)
    except ImpossibleLensError:
        return
    assert body.centre_thickness >= 1.5 - 1e-9
    assert body.edge_thickness.min() >= 1.0 - 1e-6
    assert math.isclose(body.centre_thickness, 1.5) or math.isclose(body.edge_thickness.min(), 1.0, abs_tol=1e-6)
    assert (body.thickest, body.thinnest) == (body.edge_thickness.max(), body.edge_thickness.min())


@settings(max_examples=40)
@given(powers(most=8), st.floats(1, 5), places)
def test_both_forms_make_the_same_body(power: SphereCylinder, thickness: float, centre: tuple[float, float]) -> None:
    """Transposing a prescription does not change the glass."""
    trace = rounded_shape(72)
    made = [
        thickness_at(lens_surfaces(form, 5.0, thickness, 1.6), thickness, from_point(trace, *centre))
        for form in (power, power.transposed())
    ]
    assert made[0] == pytest.approx(made[1], abs=1e-9)


@settings(max_examples=30)
@given(powers(most=8), shapes(), places)
def test_thickness_is_continuous_round_the_edge(
    power: SphereCylinder, trace: Trace, centre: tuple[float, float]
) -> None:
    """Neighbours on the edge differ by no more than the slope of both sides allows."""
    edge = lens_body(power, trace, centre, 1.67, usual_base_curve(power), 1.2, 1.0, 1.37).edge_thickness
    step = np.linalg.norm(np.diff(trace.points, axis=0, append=trace.points[:1]), axis=1)
    assert np.all(np.abs(np.diff(edge, append=edge[:1])) <= 2 * step)


def test_an_axis_turns_the_edge_with_it() -> None:
    """A minus cylinder at 180 is thick above and below; at 90 it is thick at the sides."""
    flat = lens_body(read_power("-1.00 -4.00 x 180"), ROUND_50, (0, 0), 1.5, 4, 2, 1, 1.3)
    upright = lens_body(read_power("-1.00 -4.00 x 090"), ROUND_50, (0, 0), 1.5, 4, 2, 1, 1.3)
    assert flat.thickest_angle % 180 == pytest.approx(90)
    assert upright.thickest_angle % 180 == pytest.approx(0)
    oblique = lens_body(read_power("-1.00 -4.00 x 030"), ROUND_50, (0, 0), 1.5, 4, 2, 1, 1.3)
    assert oblique.thickest_angle % 180 == pytest.approx(120)
    assert oblique.thinnest_angle % 180 == pytest.approx(30)


def test_along_a_principal_meridian_a_toric_back_is_its_circle() -> None:
    """At the ends of each principal meridian the edge is that of a sphere of this power."""
    toric = edge_thickness(read_power("+2.00 -3.00 x 180"), ROUND_50, (0, 0), 1.5, 6, 4)
    along = edge_thickness(SphereCylinder(2.0), ROUND_50, (0, 0), 1.5, 6, 4)
    across = edge_thickness(SphereCylinder(-1.0), ROUND_50, (0, 0), 1.5, 6, 4)
    assert (toric[0], toric[18]) == pytest.approx((along[0], across[18]), abs=1e-9)


def test_a_centre_moved_in_makes_the_temple_side_thick() -> None:
    """A minus lens centred to the nose is thickest at the temple, which is on the other side for each eye."""
    right = lens_body(SphereCylinder(-5), ROUND_50, (4, 0), 1.5, 4, 2, 1, 1.3)
    left = lens_body(SphereCylinder(-5), ROUND_50.mirrored(), (4, 0), 1.5, 4, 2, 1, 1.3)
    assert right.thickest_angle == pytest.approx(180)
    assert left.thickest_angle == pytest.approx(0)
    assert right.thickest == pytest.approx(left.thickest)


@pytest.mark.parametrize("power", ["+4.00 -1.50 x 030", "-6.00 DS", "-2.00 -3.00 x 100"])
def test_volume_and_weight_agree_with_a_fine_grid(power: str) -> None:
    """The volume is that of columns on a fine grid inside the polygon; weight is volume times density."""
    trace, centre = rounded_shape(400, lift=0.03), (2.0, 1.0)
    body = lens_body(read_power(power), trace, centre, 1.6, 5, 1.5, 1.0, 1.3)
    x, y = np.meshgrid(np.arange(-30, 30, 0.1) + 0.05, np.arange(-25, 25, 0.1) + 0.05)
    polygon = shapely.Polygon(from_point(trace, *centre).T)
    inside = shapely.contains_xy(polygon, x, y)
    columns = thickness_at(body.surfaces, body.centre_thickness, np.array([x[inside], y[inside]]))
    assert body.volume == pytest.approx(columns.sum() * 0.01, rel=5e-4)
    assert body.weight_g == pytest.approx(body.volume * 1.3 / 1000)


def test_a_lens_without_an_edge_says_where_and_what_would_do() -> None:
    """A plus lens too thin for its shape names the angle, the edge and the centre thickness it needs."""
    with pytest.raises(ImpossibleLensError, match="A centre thickness of") as refused:
        edge_thickness(SphereCylinder(6), rounded_shape(), (0, 0), 1.5, 8, 2.0)
    assert refused.value.thickness < 0
    enough = refused.value.centre_needed
    assert edge_thickness(SphereCylinder(6), rounded_shape(), (0, 0), 1.5, 8, enough).min() >= 0
    with pytest.raises(ImpossibleLensError):
        edge_thickness(SphereCylinder(6), rounded_shape(), (0, 0), 1.5, 8, enough - 0.02)


def test_a_surface_too_steep_for_the_shape_is_refused() -> None:
    """A back curve that ends before the edge names the angle and no thickness."""
    with pytest.raises(ImpossibleLensError, match=r"too steep to reach the edge at \d+ degrees\. Choose a flatter"):
        edge_thickness(SphereCylinder(-30), ROUND_60, (0, 0), 1.5, 4, 2)


def test_an_absurdly_thick_centre_is_refused() -> None:
    """A lens thicker than 40 mm is not made."""
    with pytest.raises(ImpossibleLensError, match="mm thick"):
        lens_body(SphereCylinder(18), Trace(Side.RIGHT, (4400,) * 36), (0, 0), 1.5, 9, 2, 12, 1.3)


@pytest.mark.parametrize("bad", [math.nan, -1, 21])
def test_minima_out_of_range_are_refused(bad: float) -> None:
    """Least thicknesses are plain millimetres."""
    with pytest.raises(OutOfRangeError, match="minimum"):
        lens_body(SphereCylinder(1), ROUND_50, (0, 0), 1.5, 6, bad, 1, 1.3)
    with pytest.raises(OutOfRangeError, match="minimum"):
        lens_body(SphereCylinder(1), ROUND_50, (0, 0), 1.5, 6, 1, bad, 1.3)


def test_a_lens_too_thin_says_what_is_wrong_with_it() -> None:
    """The reason names the least edge, and an edge that is just thick enough is not refused."""
    with pytest.raises(ImpossibleLensError) as refused:
        edge_thickness(SphereCylinder(6), ROUND_50, (0, 0), 1.5, 8, 2.0, min_edge=1.0)
    assert refused.value.reason == "its edge is thinner than 1.00 mm"
    centre = refused.value.centre_needed
    assert edge_thickness(SphereCylinder(6), ROUND_50, (0, 0), 1.5, 8, centre, min_edge=1.0).min() >= 1.0


def test_the_thickness_that_would_do_is_the_least_that_does() -> None:
    """For a nearly flat plus lens the need may be below a millimetre."""
    with pytest.raises(ImpossibleLensError) as refused:
        edge_thickness(SphereCylinder(0.5), ROUND_50, (0, 0), 1.5, 6, 0.05)
    assert 0.2 < refused.value.centre_needed < 0.4


def test_a_body_is_made_of_the_marked_front_curve() -> None:
    """The index of curve markings holds for the whole body: its edge is that of its own centre thickness."""
    shape = rounded_shape(200, lift=0.05, skew=0.05)
    for marked in (1.53, 1.67):
        body = lens_body(read_power("+2.00 -1.00 x 030"), shape, (2, 1), 1.67, 6, 1.5, 1, 1.37, marked)
        centre = body.centre_thickness
        edge = edge_thickness(read_power("+2.00 -1.00 x 030"), shape, (2, 1), 1.67, 6, centre, curve_index=marked)
        assert body.edge_thickness == pytest.approx(edge, abs=1e-9)
        assert body.surfaces.front == pytest.approx(6 * 0.67 / (marked - 1))


def test_places_on_the_edge_are_told_from_the_boxed_centre() -> None:
    """The thickest place of a minus lens lies in the direction that is told, seen from the middle of its box."""
    shape = rounded_shape(400, lift=0.1, skew=0.05)
    body = lens_body(SphereCylinder(-5), shape, (3, 2), 1.6, 4, 1.5, 1, 1.3)
    x, y = from_point(shape, 0, 0)
    at = int(body.edge_thickness.argmax())
    assert body.thickest_angle == pytest.approx(math.degrees(math.atan2(y[at], x[at])) % 360)
    with pytest.raises(ValueError, match="read-only"):
        body.edge_thickness[0] = 1


def test_a_shape_seen_from_its_boxed_centre_reaches_as_far_either_way() -> None:
    """From the boxed centre left and right, top and bottom are equally far; seen from inward it moves outward."""
    shape = rounded_shape(400, lift=0.1, skew=0.05)
    x, y = from_point(shape, 0, 0)
    assert (x.max(), y.max()) == pytest.approx((-x.min(), -y.min()))
    moved = from_point(shape, 3, 2)
    assert moved == pytest.approx(np.array([x - 3, y - 2]))
