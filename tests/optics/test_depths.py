"""Lenses with prism: light through the reference point, the leaning torus, the thinnest place, each by another way."""

from __future__ import annotations

import math
import warnings
from typing import TypeAlias

import numpy as np
import pytest
import shapely
from numpy.typing import NDArray

from shopledger.optics.base_curve import usual_base_curve
from shopledger.optics.body import LensBody, edge_thickness, lens_body, lens_surfaces, thickness_at
from shopledger.optics.boxing import from_point
from shopledger.optics.depths import Surfaces, slope_of, thinner_inside
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import PrismVector
from shopledger.optics.refusals import ImpossibleLensError
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from tests.optics.strategies import rounded_shape

Row: TypeAlias = NDArray[np.float64]

ROUND_50 = Trace(Side.RIGHT, (2500,) * 72)
INDICES = (1.498, 1.532, 1.586, 1.6, 1.67, 1.74)
MANY = 2000


def with_prism(power: SphereCylinder, prism: PrismVector, side: Side, index: float, thickness: float) -> Surfaces:
    """Both sides of a lens on its usual front, leaning for a prism."""
    plain = lens_surfaces(power, usual_base_curve(power), thickness, index)
    return Surfaces(plain.front, plain.back_along, plain.back_across, plain.axis, index, slope_of(prism, side, index))


def some_lens(generator: np.random.Generator) -> tuple[SphereCylinder, PrismVector, Side, float]:
    """A power, a prism up to about 14, a side and an index."""
    cylinder = float(generator.integers(-16, 17)) / 4
    axis = float(generator.integers(1, 181)) if cylinder else None
    power = SphereCylinder(float(generator.integers(-32, 25)) / 4, cylinder, axis)
    prism = PrismVector(*(float(each) / 4 for each in generator.integers(-40, 41, 2)))
    return power, prism, Side.RIGHT if generator.random() < 0.5 else Side.LEFT, float(generator.choice(INDICES))


def bent(way: Row, normal: Row, before: float, behind: float) -> Row:
    """Refract a ray by the vector form of the law."""
    unit = normal / np.linalg.norm(normal)
    cosine, ratio = float(way @ unit), before / behind
    turned: Row = ratio * way + (math.sqrt(1 - ratio**2 * (1 - cosine**2)) - ratio * cosine) * unit
    return turned


def test_light_through_the_reference_point_is_turned_by_the_prism() -> None:
    """Square to the front, a ray leaves the back at P / 100 toward the base, through the slopes of the thickness."""
    generator = np.random.default_rng(1)
    near = np.array([[1e-4, -1e-4, 0, 0], [0, 0, 1e-4, -1e-4]])
    for _ in range(MANY):
        power, prism, side, index = some_lens(generator)
        made = with_prism(power, prism, side, index, 3.0)
        right, left, up, down = thickness_at(made, 3.0, near)
        out = bent(np.array([0, 0, 1.0]), np.array([-(right - left) / 2e-4, -(up - down) / 2e-4, 1.0]), index, 1.0)
        inward = 1 if side is Side.RIGHT else -1
        # Light is turned to the base, by the definition of the prism dioptre.
        met = 100 * out[0] / out[2] * inward, 100 * out[1] / out[2]
        assert met == pytest.approx((prism.inward, prism.upward), abs=1e-5)


@pytest.mark.parametrize("amount", [0.5, 3.0, 8.0, 20.0])
@pytest.mark.parametrize("power", ["-6.00 DS", "+4.00 DS"])
def test_another_librarys_ray_is_turned_by_the_prism(power: str, amount: float) -> None:
    """A sphere turned about the back's vertex by the slope's angle makes the prism in a general ray tracer."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from prysm.experimental.raytracing import spencer_and_murty, surfaces
    made = with_prism(read_power(power), PrismVector(0.0, amount), Side.LEFT, 1.6, 4.0)
    lean = math.atan(made.slope[1])
    turn = np.array([[1, 0, 0], [0, math.cos(lean), math.sin(lean)], [0, -math.sin(lean), math.cos(lean)]])
    glass = lambda wavelength: 1.6  # noqa: ARG005, E731 - the library wants a function of the wavelength
    air = lambda wavelength: 1.0  # noqa: ARG005, E731 - as above
    stack = [
        surfaces.Surface.sphere(made.front_curvature, "refr", np.array([0, 0, 0.0]), glass),
        surfaces.Surface.sphere(made.back_curvatures[0], "refr", np.array([0, 0, 4.0]), air, R=turn),
    ]
    # A hair beside the vertex, where the library's polar slopes are not defined.
    start, way = np.array([[1e-6, 0, -10.0]]), np.array([[0, 0, 1.0]])
    out = np.squeeze(spencer_and_murty.raytrace(stack, start, way, 0.5876)[1][-1])
    assert abs(100 * out[1] / out[2]) == pytest.approx(amount, abs=1e-6)


def test_a_leaning_back_is_the_torus_turned_about_its_vertex() -> None:
    """Points of the back, turned back by a plain rotation, obey the implicit equation of the torus of the powers."""
    generator = np.random.default_rng(2)
    for _ in range(MANY):
        power, prism, side, index = some_lens(generator)
        made = with_prism(power, prism, side, index, 3.0)
        points = generator.uniform(-18, 18, (2, 10))
        front = made.front_curvature
        back = thickness_at(made, 3.0, points) + front * (points**2).sum(axis=0) / (
            1 + np.sqrt(1 - front**2 * (points**2).sum(axis=0))
        )
        own = turned_level(np.vstack([points, back - 3.0]), made.slope)
        assert np.abs(off_torus(own, made)).max() < 1e-8


def turned_level(places: Row, slope: tuple[float, float]) -> Row:
    """Turn places about the line in which the leaning plane cuts the level one, until the plane is level."""
    rise = math.hypot(*slope)
    if rise == 0:
        return places
    axis = np.array([-slope[1], slope[0], 0.0]) / rise
    angle = math.atan(rise)
    crossed = np.array([[0, -axis[2], axis[1]], [axis[2], 0, -axis[0]], [-axis[1], axis[0], 0]])
    rotation = np.eye(3) + math.sin(angle) * crossed + (1 - math.cos(angle)) * crossed @ crossed
    level: Row = rotation @ places
    return level


def off_torus(own: Row, made: Surfaces) -> Row:
    """How far places lie off the torus, in mm for small distances."""
    turn = math.radians(made.axis)
    along = own[0] * math.cos(turn) + own[1] * math.sin(turn)
    across = own[1] * math.cos(turn) - own[0] * math.sin(turn)
    one, other = made.back_curvatures
    flat, steep, u, v = (one, other, along, across) if abs(one) < abs(other) else (other, one, across, along)
    ring = 1 / flat - 1 / steep
    from_axis = np.hypot(u, 1 / flat - own[2]) * math.copysign(1, flat)
    off: Row = np.hypot(from_axis - ring, v) - abs(1 / steep)
    return off


def made_with(prism: PrismVector, power: str, trace: Trace, index: float = 1.6) -> LensBody:
    """A lens with prism, its reference point in the middle."""
    whole = read_power(power)
    return lens_body(whole, trace, (0, 0), index, usual_base_curve(whole), 1.5, 1.0, 1.3, prism=prism)


def test_a_plano_lens_with_prism_is_a_wedge() -> None:
    """Over 50 mm 6 prism dioptres of index 1.6 make 5 mm, by P d / (100 (n - 1)) within 2 per cent, thin at 1 mm."""
    flat = lens_body(SphereCylinder(0.0), ROUND_50, (0, 0), 1.6, 0.0, 1.5, 1.0, 1.3, prism=PrismVector(6.0, 0.0))
    assert flat.thinnest == pytest.approx(1.0, abs=1e-9)
    assert flat.thickest - flat.thinnest == pytest.approx(6 * 50 / 60, rel=0.02)
    assert (flat.thickest_angle, flat.thinnest_angle) == (0, 180)
    assert flat.centre_thickness == pytest.approx((flat.thickest + flat.thinnest) / 2)
    left = lens_body(
        SphereCylinder(0.0), ROUND_50.mirrored(), (0, 0), 1.6, 0.0, 1.5, 1.0, 1.3, prism=PrismVector(6.0, 0.0)
    )
    assert (left.thickest_angle, left.thinnest_angle) == (180, 0)
    upward = made_with(PrismVector(0.0, 4.0), "-3.00 DS", ROUND_50)
    assert upward.thickest_angle == 90


def brute_force_least(body: LensBody, trace: Trace) -> tuple[float, float]:
    """The least thickness on a fine grid inside the shape, and at the edge."""
    x, y = np.meshgrid(np.arange(-28, 28, 0.25), np.arange(-24, 24, 0.25))
    inside = shapely.contains_xy(shapely.Polygon(from_point(trace, 0, 0).T), x, y)
    grid = thickness_at(body.surfaces, body.centre_thickness, np.array([x[inside], y[inside]]))
    return float(grid.min()), float(body.edge_thickness.min())


@pytest.mark.parametrize(
    "power", ["-5.00 DS", "-1.00 -3.00 x 030", "+5.00 -1.00 x 100", "+1.00 -2.00 x 060", "-0.50 DS"]
)
@pytest.mark.parametrize("prism", [PrismVector(2.0, 0.0), PrismVector(-4.0, 3.0), PrismVector(0.5, -7.5)])
def test_no_place_is_thinner_than_the_minima(power: str, prism: PrismVector) -> None:
    """On a fine grid the lens is nowhere thinner than its edge may be, nor inside a centre; and one of them is met."""
    trace = rounded_shape(200, lift=0.03)
    body = made_with(prism, power, trace)
    inside, edge = brute_force_least(body, trace)
    assert edge >= 1.0 - 1e-9
    if inside < edge - 0.01:
        assert inside >= 1.5 - 1e-9
        assert inside == pytest.approx(1.5, abs=0.003) or edge == pytest.approx(1.0, abs=1e-8)
    else:
        assert edge == pytest.approx(1.0, abs=1e-8) or body.centre_thickness == pytest.approx(1.5, abs=1e-8)
    assert body.centre_thickness >= 1.5 - 1e-9


def test_the_thinnest_place_of_a_minus_lens_is_its_optical_centre() -> None:
    """-5 D with 2 base in has it 4 mm outward, by Prentice: it is 1.5 mm there, and thicker at its reference point."""
    body = made_with(PrismVector(2.0, 0.0), "-5.00 DS", ROUND_50)
    at = np.array([np.linspace(-8, 8, 1601), np.zeros(1601)])
    along = thickness_at(body.surfaces, body.centre_thickness, at)
    assert at[0][along.argmin()] == pytest.approx(-4.0, abs=0.15)
    assert along.min() == pytest.approx(1.5, abs=1e-6)
    assert body.centre_thickness > 1.5
    assert thinner_inside(body.surfaces, from_point(ROUND_50, 0, 0)) == pytest.approx(body.centre_thickness - 1.5)


def test_no_prism_is_the_plain_lens_and_a_known_centre_has_the_same_edge() -> None:
    """On random lenses a prism of nothing changes nothing, and an edge from a known centre is the body's own."""
    generator = np.random.default_rng(4)
    trace = rounded_shape(72, lift=0.03)
    for _ in range(60):
        power, prism, _, index = some_lens(generator)
        curve = usual_base_curve(power)
        plain = lens_body(power, trace, (2, 1), index, curve, 1.5, 1.0, 1.3)
        same = lens_body(power, trace, (2, 1), index, curve, 1.5, 1.0, 1.3, prism=PrismVector(0.0, 0.0))
        body = lens_body(power, trace, (2, 1), index, curve, 1.5, 1.0, 1.3, prism=prism)
        assert same.weight_g == plain.weight_g
        assert body.thinnest >= 1.0 - 1e-9
        edge = edge_thickness(power, trace, (2, 1), index, curve, body.centre_thickness, prism=prism)
        assert edge == pytest.approx(body.edge_thickness, abs=1e-9)


@pytest.mark.parametrize("power", ["+4.00 -1.50 x 030", "-6.00 DS"])
def test_volume_with_prism_agrees_with_a_fine_grid(power: str) -> None:
    """The volume is that of columns on a fine grid inside the polygon."""
    trace = rounded_shape(400, lift=0.03)
    body = made_with(PrismVector(-3.0, 2.5), power, trace)
    x, y = np.meshgrid(np.arange(-30, 30, 0.1) + 0.05, np.arange(-25, 25, 0.1) + 0.05)
    inside = shapely.contains_xy(shapely.Polygon(from_point(trace, 0, 0).T), x, y)
    columns = thickness_at(body.surfaces, body.centre_thickness, np.array([x[inside], y[inside]]))
    assert body.volume == pytest.approx(columns.sum() * 0.01, rel=5e-4)


def test_a_lens_too_thin_for_its_prism_says_which_centre_would_do() -> None:
    """The apex is named with its angle, and the named thickness does."""
    with pytest.raises(ImpossibleLensError, match="at 180 degrees") as refused:
        edge_thickness(SphereCylinder(0.0), ROUND_50, (0, 0), 1.6, 4, 2.0, 1.0, prism=PrismVector(6.0, 0.0))
    enough = refused.value.centre_needed
    assert (
        edge_thickness(SphereCylinder(0.0), ROUND_50, (0, 0), 1.6, 4, enough, 1.0, prism=PrismVector(6.0, 0.0)).min()
        >= 1.0
    )
    with pytest.raises(ImpossibleLensError, match="too steep"):
        lens_body(SphereCylinder(-30), ROUND_50, (0, 0), 1.5, 4, 2, 1, 1.3, prism=PrismVector(6.0, 0.0))
