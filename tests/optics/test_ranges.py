"""Every number that goes in has its range: the ends are taken, beyond them and NaN are refused by name."""

from __future__ import annotations

import math
from collections.abc import Callable
from typing import Any

import pytest

from shopledger.errors import OpticsError
from shopledger.optics import (
    base_curve,
    body,
    boxing,
    centring,
    fitting,
    outline,
    power,
    prescription,
    prism,
    surfaces,
    vertex,
)
from shopledger.optics.inspection import judge
from shopledger.optics.materials import Material, MaterialClass, index_class
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse
from shopledger.optics.prism import PrismVector
from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import LensType, tolerance
from shopledger.optics.trace import FrameTrace
from tests.optics.strategies import rounded_shape

SHAPE = rounded_shape(72)
RX = read_power("+2.00 -1.00 x 020")
EYE = EyePrescription(RX, 2.0)
INDEX = ("index", 1.3, 2.2, "")
PRISM_D = "prism dioptres"


def bodied(min_centre: float = 2, min_edge: float = 1, density: float = 1.3) -> object:
    """A lens with one of its numbers changed."""
    return body.lens_body(RX, SHAPE, (0, 0), 1.5, 6, min_centre, min_edge, density)


def row(index: float = 1.5, abbe: float = 50, density: float = 1.3, centre: float = 2) -> object:
    """A material with one of its numbers changed."""
    return Material("any", MaterialClass.PLASTIC, index, "d", abbe, density, "wet", centre, *["memory"] * 5)


RANGES: tuple[tuple[Callable[[Any], object], str, float, float, str], ...] = (
    (SphereCylinder, "sphere", -40, 40, "D"),
    (lambda n: SphereCylinder(0, n, 90), "cylinder", -20, 20, "D"),
    (lambda n: power.near_power(RX, n), "add", 0, 6, "D"),
    (power.standard_axis, "angle", -1e9, 1e9, "degrees"),
    (lambda n: power.power_in_meridian(RX, n), "meridian", -1e9, 1e9, "degrees"),
    (lambda n: prescription.power_to_make(EYE, LensUse.SCREEN, n), "screen share", 0, 1, ""),
    (lambda n: prescription.power_to_make(EYE, LensUse.SCREEN, 0.5, n), "intermediate", 0, 6, "D"),
    (lambda n: prism.resolve(n, 0, Side.LEFT), "prism", 0, 40, PRISM_D),
    (lambda n: prism.resolve(1, n, Side.LEFT), "base angle", 0, 360, "degrees"),
    (lambda n: prism.prentice(n, 1), "power", -80, 80, "D"),
    (lambda n: prism.prentice(1, n), "distance", -100, 100, "mm"),
    (lambda n: prism.prism_at(RX, Side.LEFT, n, 0), "inward", -100, 100, "mm"),
    (lambda n: prism.prism_at(RX, Side.LEFT, 0, n), "upward", -100, 100, "mm"),
    (lambda n: prism.imbalance_at(RX, RX, n), "upward", -100, 100, "mm"),
    (lambda n: prism.split_prism(PrismVector(1, 1), n), "right share", 0, 1, ""),
    (lambda n: vertex.effective_power(n, 0), "power", -80, 80, "D"),
    (lambda n: vertex.effective_power(1, n), "moved", -100, 100, "mm"),
    (lambda n: vertex.as_worn_power(RX, Side.LEFT, n, 0, 1.5), "pantoscopic tilt", -40, 40, "degrees"),
    (lambda n: vertex.as_worn_power(RX, Side.LEFT, 0, n, 1.5), "wrap angle", -40, 40, "degrees"),
    (lambda n: vertex.as_worn_power(RX, Side.LEFT, 0, 0, n), *INDEX),
    (lambda n: surfaces.surface_power(100, n), *INDEX),
    (lambda n: surfaces.surface_radius(1, n), *INDEX),
    (lambda n: surfaces.surface_radius(n, 1.5), "surface power", -80, 80, "D"),
    (lambda n: surfaces.sagitta(500, n), "distance", -200, 200, "mm"),
    (lambda n: surfaces.back_vertex_power(n, 0, 1, 1.5), "surface power", -80, 80, "D"),
    (lambda n: surfaces.back_vertex_power(0, n, 1, 1.5), "back surface power", -80, 80, "D"),
    (lambda n: surfaces.back_vertex_power(0, 0, n, 1.5), "centre thickness", 0, 60, "mm"),
    (lambda n: surfaces.back_vertex_power(0, 0, 1, n), *INDEX),
    (lambda n: surfaces.front_vertex_power(n, 0, 1, 1.5), "front surface power", -80, 80, "D"),
    (lambda n: surfaces.back_surface_power(n, 0, 1, 1.5), "power", -80, 80, "D"),
    (lambda n: surfaces.nominal_power(n, 0), "front surface power", -80, 80, "D"),
    (lambda n: surfaces.nominal_power(0, n), "back surface power", -80, 80, "D"),
    (lambda n: surfaces.lens_clock_power(n, 1.5), "lens clock reading", -40, 40, "D"),
    (lambda n: surfaces.lens_clock_power(1, n), *INDEX),
    (lambda n: surfaces.lens_clock_power(1, 1.5, n), "clock index", 1.3, 2.2, ""),
    (lambda n: surfaces.lens_clock_reading(n, 1.5), "surface power", -80, 80, "D"),
    (bodied, "minimum centre thickness", 0, 20, "mm"),
    (lambda n: bodied(min_edge=n), "minimum edge thickness", 0, 20, "mm"),
    (lambda n: bodied(density=n), "density", 0.5, 6, "g/cm3"),
    (lambda n: centring.decentration(n, 18, 31), "boxed width", 10, 120, "mm"),
    (lambda n: centring.decentration(54, n, 31), "distance between lenses", 0, 60, "mm"),
    (lambda n: centring.decentration(54, 18, n), "monocular PD", 10, 45, "mm"),
    (lambda n: centring.vertical_offset(n, 40), "fitting height", 0, 80, "mm"),
    (lambda n: centring.vertical_offset(20, n), "boxed height", 5, 90, "mm"),
    (lambda n: centring.optical_centre_height(n, 0), "boxed height", 5, 90, "mm"),
    (lambda n: centring.optical_centre_height(40, n), "offset", -45, 45, "mm"),
    (lambda n: centring.rule_of_thumb_blank(n, 3), "effective diameter", 10, 130, "mm"),
    (lambda n: centring.rule_of_thumb_blank(55, n), "decentration", -40, 40, "mm"),
    (lambda n: centring.rule_of_thumb_blank(55, 3, n), "allowance", 0, 20, "mm"),
    (centring.usual_corridor, "fitting height", 5, 50, "mm"),
    (lambda n: centring.usual_corridor(18, n), "reading zone", 0, 10, "mm"),
    (lambda n: centring.progressive_fits(n, 18), "fitting height", 5, 50, "mm"),
    (lambda n: centring.progressive_fits(18, n), "minimum fitting height", 5, 40, "mm"),
    (lambda n: fitting.minimum_blank(SHAPE, 0, 0, n), "allowance", 0, 20, "mm"),
    (lambda n: fitting.blank_covers(SHAPE, 0, 0, n), "blank", 10, 150, "mm"),
    (lambda n: boxing.from_point(SHAPE, n, 0), "decentration", -40, 40, "mm"),
    (lambda n: boxing.from_point(SHAPE, 0, n), "offset", -45, 45, "mm"),
    (lambda n: outline.smooth_path(SHAPE, n), "distance from the points", 0.001, 1, "mm"),
    (lambda n: outline.small_picture(SHAPE, n), "columns", 11, 200, "columns"),
    (lambda n: base_curve.usual_base_curve(RX, n, 20), "flattest curve", 0, 20, "D"),
    (lambda n: base_curve.usual_base_curve(RX, 2, n), "steepest curve", 2, 20, "D"),
    (index_class, "index", 1.48, 2.2, ""),
    (row, "index", 1.4, 2.0, ""),
    (lambda n: row(abbe=n), "Abbe number", 15, 100, ""),
    (lambda n: row(density=n), "density", 0.8, 5, "g/cm3"),
    (lambda n: row(centre=n), "minimum centre thickness", 0.5, 5, "mm"),
    (EyeMeasurements, "monocular PD", 20, 40, "mm"),
    (lambda n: EyeMeasurements(30, n), "near PD", 15, 30, "mm"),
    (lambda n: EyeMeasurements(30, None, n), "fitting height", 5, 50, "mm"),
    (Measurements.from_binocular, "PD", 40, 80, "mm"),
    (lambda n: Measurements.from_binocular(63, n), "near PD", 30, 63, "mm"),
    (lambda n: FrameTrace(SHAPE, SHAPE.mirrored(), n), "distance between lenses", 5, 40, "mm"),
    (lambda n: judge("add", "right", n, 2, LensType.PROGRESSIVE), "ordered add", -200, 200, "D"),
    (lambda n: judge("add", "right", 2, n, LensType.PROGRESSIVE), "measured add", -200, 200, "D"),
    (lambda n: tolerance("add", LensType.PROGRESSIVE, n), "strength", -80, 80, "D"),
)


def ident(case: object) -> str:
    """Name a case by its quantity."""
    return case if isinstance(case, str) else ""


@pytest.mark.parametrize(("taking", "name", "low", "high", "unit"), RANGES, ids=ident)
def test_a_number_beyond_its_range_is_refused_by_name(
    taking: Callable[[Any], object], name: str, low: float, high: float, unit: str
) -> None:
    """A hair beyond either end, NaN and infinities are refused with the name, both ends and the unit."""
    hair = max(abs(low), abs(high)) * 1e-6
    for bad in (low - hair, high + hair, math.nan, math.inf, -math.inf):
        with pytest.raises(OutOfRangeError) as refused:
            taking(bad)
        error = refused.value
        assert (error.name, error.low, error.high, error.unit) == (name, low, high, unit)
        assert str(error).startswith(f"{name} is ")
        assert error.hint.endswith(".")


@pytest.mark.parametrize(("taking", "name", "low", "high", "unit"), RANGES, ids=ident)
def test_both_ends_of_a_range_are_taken(
    taking: Callable[[Any], object], name: str, low: float, high: float, unit: str
) -> None:
    """The ends themselves are allowed; what may be refused then is what is made of them."""
    for end in (low, high):
        try:
            taking(end)
        except OpticsError as refused:
            beyond = isinstance(refused, OutOfRangeError) and refused.name == name and "focus" not in refused.hint
            assert not beyond, (end, unit)


def test_both_principal_powers_have_the_range_of_a_sphere() -> None:
    """A cylinder may not carry the power beyond what a sphere may have."""
    assert SphereCylinder(35, 5, 90).transposed() == SphereCylinder(40, -5, 180)
    with pytest.raises(OutOfRangeError) as refused:
        SphereCylinder(35.25, 5, 90)
    assert (refused.value.name, refused.value.value) == ("sphere and cylinder together", 40.25)
