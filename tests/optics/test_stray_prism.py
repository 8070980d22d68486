"""Prism that nobody ordered: the printed rules of decentration, both ways of measuring, and the pair's verdicts."""

from __future__ import annotations

import math
from typing import TypeAlias

import numpy as np
import pytest

from shopledger.optics.inspection import judge_centring
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prism import NO_PRISM, PrismVector
from shopledger.optics.sides import Side
from shopledger.optics.stray_prism import stray_pair, stray_prism
from shopledger.optics.tolerances import LensType

SINGLE = LensType.SINGLE_VISION
TILTED = read_power("+1.00 -4.00 x 045")
MANY = 5000
Shift: TypeAlias = tuple[float, float]
"""Out and up [mm]."""


def pair(right: float, left: float, heights: tuple[float | None, float | None] = (None, None)) -> Measurements:
    """PD and height of both eyes."""
    return Measurements(EyeMeasurements(right, None, heights[0]), EyeMeasurements(left, None, heights[1]))


def decentred(power: SphereCylinder, side: Side, out: float, up: float) -> tuple[float, float]:
    """Base in and base up of a lens moved out and up, by the printed rules for a decentred astigmatic lens.

    [jalie_2024]_: the axis is measured from the nose, so that the left lens has 180 minus its standard axis.
    """
    axis = math.radians((power.axis or 0.0) if side is Side.RIGHT else 180 - (power.axis or 0.0))
    across = out * math.sin(axis) + up * math.cos(axis)
    vertical = (up * power.sphere + power.cylinder * math.cos(axis) * across) / 10
    horizontal = (out * power.sphere + power.cylinder * math.sin(axis) * across) / 10
    return -horizontal, vertical


def some_power(generator: np.random.Generator) -> SphereCylinder:
    """A sphere-cylinder on the quarter step, either form."""
    cylinder = float(generator.integers(-24, 25)) / 4
    axis = float(generator.integers(1, 181)) if cylinder else None
    return SphereCylinder(float(generator.integers(-60, 61)) / 4, cylinder, axis)


def test_each_eye_is_off_by_the_printed_rules_and_by_what_was_read() -> None:
    """On random lenses, sides, shifts and readings the error is the printed decentration and the reading's excess."""
    generator = np.random.default_rng(12)
    for _ in range(MANY):
        power, side = some_power(generator), Side.RIGHT if generator.random() < 0.5 else Side.LEFT
        out, up, much_in, much_up = (float(each) for each in generator.uniform(-4, 4, 4))
        total = stray_prism(power, side, -out, up, PrismVector(much_in, much_up)).total
        inward, upward = decentred(power, side, out, up)
        assert (total.inward, total.upward) == pytest.approx((inward + much_in, upward + much_up), abs=1e-9)


def read_at(power: SphereCylinder, side: Side, centre: Shift, at: Shift) -> PrismVector:
    """What a lensmeter shows at a place: the prism of a lens whose optical centre is decentred from it."""
    return PrismVector(*decentred(power, side, centre[0] - at[0], centre[1] - at[1]))


def test_both_ways_of_measuring_find_the_same_error() -> None:
    """A lens read at its ordered place, at its centre, or anywhere has one error where the wearer looks through."""
    generator = np.random.default_rng(3)
    for _ in range(MANY):
        power, side = some_power(generator), Side.LEFT if generator.random() < 0.5 else Side.RIGHT
        prism_in, prism_up, *places = (float(each) for each in generator.uniform(-3, 3, 6))
        wanted, centre, anywhere = PrismVector(prism_in, prism_up), (places[0], places[1]), (places[2], places[3])
        at_order = stray_prism(power, side, 0.0, 0.0, read_at(power, side, centre, (0.0, 0.0)) - wanted).total
        for out, up in (centre, anywhere):
            there = stray_prism(power, side, -out, up, read_at(power, side, centre, (out, up)) - wanted).total
            assert (there - at_order).amount < 1e-9


def test_a_pair_is_judged_by_both_eyes_together() -> None:
    """On random pairs base in adds up, and up counts right less left, by the printed rules."""
    generator = np.random.default_rng(8)
    for _ in range(MANY // 2):
        powers = some_power(generator), some_power(generator)
        (out_r, out_l, up_r, up_l), excess = generator.uniform(-2, 2, 4), generator.uniform(-0.5, 0.5, 4)
        measured = pair(32 + out_r, 31 + out_l, (20 + up_r, 19 + up_l))
        too_much = (PrismVector(*map(float, excess[:2])), PrismVector(*map(float, excess[2:])))
        verdicts = judge_centring(*powers, pair(32, 31, (20, 19)), measured, SINGLE, excess=too_much)
        right, left = decentred(powers[0], Side.RIGHT, out_r, up_r), decentred(powers[1], Side.LEFT, out_l, up_l)
        across = abs(right[0] + left[0] + excess[0] + excess[2])
        upright = abs(right[1] + excess[1] - left[1] - excess[3])
        assert [each.measured for each in verdicts] == pytest.approx([across, upright], abs=1e-9)
        for verdict, limit in zip(verdicts, (0.67, 0.33), strict=True):
            assert verdict.passed or verdict.measured > limit
            assert not verdict.passed or verdict.measured <= limit + 1e-6 or verdict.or_else.endswith("yes")


def test_an_oblique_cylinder_off_its_place_is_not_excused_by_one_meridian() -> None:
    """1.5 mm aside and 1.2 mm down make 2 x 0.15 and 1 x 0.12 of vertical prism, not 0.12 alone."""
    ordered, measured = pair(32, 32, (20, 20)), pair(33.5, 32, (21.2, 20))
    across, upright = judge_centring(TILTED, TILTED, ordered, measured, SINGLE)
    assert upright.measured == pytest.approx(0.42)
    assert not upright.passed
    assert upright.or_else == "centre height off by 1.2 mm, 1 mm would do: no"
    assert across.passed


def test_millimetres_excuse_only_the_prism_that_they_make() -> None:
    """A PD within its 2.5 mm lifts the image through an oblique cylinder; a level of 0.0 mm does not excuse that."""
    upright = judge_centring(TILTED, TILTED, pair(32, 32, (20, 20)), pair(34, 32, (20, 20)), SINGLE)[1]
    assert upright.measured == pytest.approx(0.4)
    assert not upright.passed
    assert upright.or_else.endswith("no, 0.40 prism dioptres do not come from that")


def test_prism_of_both_eyes_up_and_down_adds_up() -> None:
    """0.30 too much up on one eye and 0.30 down on the other are 0.60 for the pair, which no level excuses."""
    excess = (PrismVector(0, 0.3), PrismVector(0, -0.3))
    plano = SphereCylinder(0.0)
    for place in (None, pair(32, 32), pair(32, 32, (20, 20))):
        across, upright = judge_centring(plano, plano, place, place, SINGLE, excess=excess)
        assert upright.measured == pytest.approx(0.6)
        assert not upright.passed
        assert across.passed
    alike = (PrismVector(0.3, 0.3), PrismVector(-0.3, 0.3))
    assert all(each.passed for each in judge_centring(plano, plano, None, None, SINGLE, excess=alike))


def test_unequal_lenses_moved_alike_are_not_excused() -> None:
    """Both centres 3 mm too high are level, but -6 and -1 D make 1.5 prism dioptres; likewise both 3 mm to one side."""
    strong, weak = SphereCylinder(-6.0), SphereCylinder(-1.0)
    upright = judge_centring(strong, weak, pair(32, 32, (20, 20)), pair(32, 32, (23, 23)), SINGLE)[1]
    assert upright.measured == pytest.approx(1.5)
    assert not upright.passed
    assert upright.or_else.startswith("centre height of one eye off by 3 mm")
    (across,) = judge_centring(strong, weak, pair(33, 30), pair(30, 33), SINGLE)
    assert across.measured == pytest.approx(1.5)
    assert not across.passed
    assert across.or_else.startswith("PD of one eye off by 3 mm")


def test_a_level_that_was_not_ordered_is_shared() -> None:
    """2 mm between the centres are 1 mm for each eye, whichever stands higher: -6 and -2 D make 0.8."""
    strong, weak = SphereCylinder(-6.0), SphereCylinder(-2.0)
    for heights in ((21, 19), (19, 21)):
        upright = judge_centring(strong, weak, pair(32, 32), pair(32, 32, heights), SINGLE)[1]
        assert upright.measured == pytest.approx(0.8)
        assert not upright.passed
    assert [each.lifted for each in stray_pair((strong, weak), pair(32, 32), pair(32, 32))] == [NO_PRISM, NO_PRISM]
