"""Tolerances as rows and verdicts by them, against print and at their limits."""

from __future__ import annotations

import math
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.inspection import Verdict, all_passed, judge, judge_centring, judge_power
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder
from shopledger.optics.refusals import IncompleteError, OutOfRangeError
from shopledger.optics.sources import SOURCES
from shopledger.optics.tolerances import ANSI_Z80_1, ISO_21987, TABLES, LensType, tolerance
from tests.optics.published.limits import AXIS_EQUATION, BANDS, OWN_ROWS, ROWS, UNCERTAIN_ROWS
from tests.optics.published.printed import Printed
from tests.optics.strategies import powers

SINGLE = LensType.SINGLE_VISION
WEAK = SphereCylinder(-2.0)
STRONG = SphereCylinder(-6.0)


def pair(
    right: float, left: float, right_height: float | None = None, left_height: float | None = None
) -> Measurements:
    """PD and height of both eyes."""
    return Measurements(EyeMeasurements(right, None, right_height), EyeMeasurements(left, None, left_height))


@pytest.mark.parametrize(("quantity", "design", "strength", "limit"), ROWS)
def test_limits_are_as_printed(quantity: str, design: str, strength: float, limit: float) -> None:
    """Each strength finds its row, from either side of zero."""
    row = tolerance(quantity, LensType(design), -strength)
    assert row.limit(-strength) == pytest.approx(limit)


@pytest.mark.parametrize("case", BANDS, ids=str)
def test_the_band_of_a_sphere_is_as_printed(case: Printed) -> None:
    """The printed ends pass and a hundredth beyond fails."""
    ordered, way = case.given
    assert judge("sphere", "right", ordered, case.expect, SINGLE, ordered).passed
    assert not judge("sphere", "right", ordered, case.expect + way * 0.01, SINGLE, ordered).passed


@pytest.mark.parametrize("case", AXIS_EQUATION, ids=str)
def test_the_axis_rows_are_the_rounded_equation(case: Printed) -> None:
    """An axis error of half the arc sine makes an eighth of blur; the table rounds it."""
    (cylinder,) = case.given
    assert tolerance("axis", SINGLE, cylinder).allowed == case.expect
    assert math.degrees(math.asin(0.12 / (2 * cylinder))) == pytest.approx(case.expect, abs=0.5)


def test_minus_three_and_a_quarter_is_no_minus_three() -> None:
    """-3.25 fails for an order of -3.00; [standards_page] read."""
    (sphere, cylinder) = judge_power("right", SphereCylinder(-3.0), SphereCylinder(-3.25), SINGLE)
    assert (sphere.passed, cylinder.passed) == (False, True)
    assert sphere.difference == pytest.approx(-0.25)


def test_every_row_has_a_known_source_and_says_its_rule() -> None:
    """No row is without a source, and doubt is said in its words."""
    for row in ANSI_Z80_1.rows:
        assert row.source in SOURCES
        assert row.quantity in row.rule
        assert ("from memory" in row.rule) == (row.sure == "memory")


@given(powers(), st.sampled_from(LensType))
def test_a_lens_as_ordered_passes_in_either_form(power: SphereCylinder, design: LensType) -> None:
    """No form of the cylinder fails a perfect lens."""
    assert all_passed(judge_power("left", power, power.transposed(), design))


def test_axes_are_compared_round_the_half_turn() -> None:
    """178 and 002 are 4 degrees apart."""
    axis = judge_power("left", read_power("-1.00 -0.50 x 178"), read_power("-1.00 -0.50 x 002"), SINGLE)[2]
    assert (axis.difference, axis.passed, axis.unit) == (4, True, "degrees")
    worse = judge_power("left", read_power("-1.00 -0.50 x 178"), read_power("-1.00 -0.50 x 170"), SINGLE)[2]
    assert (worse.difference, worse.passed) == (-8, False)


def test_no_axis_is_judged_where_there_is_none() -> None:
    """A sphere, a lens read as a sphere, and less than 0.12 D of cylinder have no axis to judge."""
    for ordered, measured in (("-1.00 DS", "-1.00 DS"), ("-1.00 -0.25 x 10", "-1.00 DS")):
        assert len(judge_power("right", read_power(ordered), read_power(measured), SINGLE)) == 2
    tiny = SphereCylinder(-1.0, -0.1, 10)
    assert len(judge_power("right", tiny, tiny, SINGLE)) == 2


def test_a_strong_lens_may_be_off_by_a_share() -> None:
    """Two per cent of 10 D is 0.2 D."""
    verdict = judge("sphere", "right", -10.0, -10.2, SINGLE, -10.0)
    assert verdict.passed
    assert verdict.limit == pytest.approx(0.2)
    assert not judge("sphere", "right", -10.0, -10.21, SINGLE, -10.0).passed
    assert "2% of it" in verdict.rule


@pytest.mark.parametrize(
    ("power", "measured", "passed", "or_else"),
    [
        (WEAK, pair(32, 32), True, "yes"),
        (WEAK, pair(33.5, 33.5), True, "no"),
        (WEAK, pair(34, 34), False, "no"),
        (STRONG, pair(32.5, 32.5), True, "yes"),
        (STRONG, pair(33.2, 33.2), True, "yes"),
        (STRONG, pair(33.5, 33.5), False, "no"),
        (STRONG, pair(33.5, 30.5), True, "yes"),
    ],
)
def test_single_vision_passes_across_on_prism_or_on_pd(
    power: SphereCylinder, measured: Measurements, passed: bool, or_else: str
) -> None:
    """0.67 prism dioptres or 2.5 mm of the ordered PD; -2 D makes 0.6 over 3 mm, and -6 D makes 0.72 over 1.2."""
    (across,) = judge_centring(power, power, pair(32, 32), measured, SINGLE)
    assert (across.passed, across.or_else.endswith(or_else)) == (passed, True)


@pytest.mark.parametrize(
    ("measured", "passed"), [(pair(33, 32), True), (pair(33.1, 33.1), False), (pair(33.5, 30.5), True)]
)
def test_a_progressive_passes_across_on_prism_or_on_each_eye(measured: Measurements, passed: bool) -> None:
    """Each fitting cross is within 1 mm, or the prism of both together is within 0.67."""
    ordered = pair(32, 32, 20, 20)
    with_heights = pair(measured.right.mono_pd, measured.left.mono_pd, 20, 20)
    assert judge_centring(STRONG, STRONG, ordered, with_heights, LensType.PROGRESSIVE)[0].passed is passed


@pytest.mark.parametrize(
    ("power", "heights", "passed"),
    [(STRONG, (20, 21), True), (STRONG, (20, 21.1), False), (WEAK, (20, 21.6), True), (WEAK, (20, 21.7), False)],
)
def test_single_vision_passes_up_and_down_on_prism_or_on_level(
    power: SphereCylinder, heights: tuple[float, float], passed: bool
) -> None:
    """0.33 prism dioptres or 1 mm of level; -2 D makes 0.32 over 1.6 mm."""
    verdicts = judge_centring(power, power, pair(32, 32), pair(32, 32, *heights), SINGLE)
    assert [each.quantity for each in verdicts] == ["horizontal imbalance", "vertical imbalance"]
    assert verdicts[1].passed is passed


def test_unequal_lenses_at_one_wrong_level_make_prism() -> None:
    """Both centres 1 mm too high are level, but -6 and -1 D differ by half a prism dioptre; the level passes it."""
    down = judge_centring(STRONG, SphereCylinder(-1.0), pair(32, 32, 20, 20), pair(32, 32, 21, 21), SINGLE)[1]
    assert down.passed
    assert down.measured == pytest.approx(0.5)
    assert down.or_else.endswith("yes")


def test_each_height_of_a_multifocal_is_judged() -> None:
    """Each within 1 mm, and the two alike within 1 mm of what was ordered."""
    ordered, measured = pair(32, 32, 20, 20), pair(32, 32, 21, 19)
    verdicts = judge_centring(WEAK, WEAK, ordered, measured, LensType.MULTIFOCAL)
    named = {(each.quantity, each.where): each.passed for each in verdicts}
    assert named["height", "right"]
    assert named["height", "left"]
    assert not named["height difference", "pair"]


@pytest.mark.parametrize(
    ("ordered", "measured"),
    [(pair(32, 32, 20, 20), pair(32, 32, 20)), (pair(32, 32, 20), pair(32, 32, 20, 20)), (pair(32, 32), pair(32, 32))],
)
def test_a_height_that_was_not_measured_is_asked_for(ordered: Measurements, measured: Measurements) -> None:
    """A progressive cannot be judged without both heights."""
    with pytest.raises(IncompleteError, match="Measure both heights"):
        judge_centring(WEAK, WEAK, ordered, measured, LensType.PROGRESSIVE)


@pytest.mark.parametrize(
    ("quantity", "ordered", "measured", "passed"),
    [
        ("add", 2.0, 2.125, True),
        ("add", 2.0, 2.13, False),
        ("base curve", 6.0, 6.75, True),
        ("base curve", 6.0, 5.2, False),
        ("centre thickness", 2.0, 2.3, True),
        ("centre thickness", 2.0, 1.69, False),
        ("tilt", 0.0, -2.0, True),
    ],
)
def test_single_numbers_are_judged_at_their_limit(quantity: str, ordered: float, measured: float, passed: bool) -> None:
    """The limit itself passes."""
    assert judge(quantity, "right", ordered, measured, LensType.PROGRESSIVE, ordered).passed is passed


def test_nothing_judged_is_nothing_passed() -> None:
    """An empty inspection is no good one, and one failure fails the pair."""
    good = judge("add", "right", 2.0, 2.0, LensType.PROGRESSIVE, 2.0)
    bad = judge("add", "left", 2.0, 2.5, LensType.PROGRESSIVE, 2.0)
    assert isinstance(good, Verdict)
    assert not all_passed(())
    assert all_passed((good,))
    assert not all_passed((good, bad))


def test_a_standard_that_was_not_read_is_not_enabled() -> None:
    """Its table is there, empty, and using it says what to do."""
    assert TABLES == (ANSI_Z80_1, ISO_21987)
    assert ISO_21987.rows == ()
    assert {table.source for table in TABLES} <= SOURCES.keys()
    with pytest.raises(IncompleteError, match="Type it from a bought copy"):
        judge_power("right", WEAK, WEAK, SINGLE, ISO_21987)


def test_a_quantity_without_a_row_is_refused_with_those_that_have_one() -> None:
    """Single vision has no segment."""
    with pytest.raises(IncompleteError, match=r"no row for segment size of single vision.*centre thickness"):
        tolerance("segment size", SINGLE)


@pytest.mark.parametrize("bad", [math.nan, math.inf])
def test_a_reading_that_is_no_number_is_refused(bad: float) -> None:
    """No verdict rests on a NaN."""
    with pytest.raises(OutOfRangeError):
        judge("add", "right", 2.0, bad, LensType.PROGRESSIVE, 2.0)
    with pytest.raises(OutOfRangeError):
        tolerance("sphere", SINGLE, bad)


def test_a_power_is_judged_with_everything_that_a_certificate_shows() -> None:
    """Each verdict carries what was ordered and measured, the difference, the limit, its unit, rule and source."""
    ordered, measured = read_power("+1.00 -0.75 x 010"), read_power("+1.12 -1.00 x 172")
    assert judge_power("left", ordered, measured, SINGLE) == (
        Verdict(
            "sphere",
            "left",
            1.0,
            1.125,
            0.125,
            0.13,
            "D",
            "sphere up to 6.5 D, single vision or multifocal: within 0.13 D",
            "ansi_z80_1",
            passed=True,
        ),
        Verdict(
            "cylinder",
            "left",
            -0.75,
            -1.0,
            -0.25,
            0.13,
            "D",
            "cylinder up to 2 D, single vision or multifocal: within 0.13 D",
            "ansi_z80_1",
            passed=False,
        ),
        Verdict(
            "axis",
            "left",
            10,
            172,
            -18,
            5,
            "degrees",
            "axis up to 0.75 D, any design: within 5 degrees",
            "ansi_z80_1",
            passed=False,
        ),
    )


def test_a_pair_is_judged_with_both_ways_of_passing() -> None:
    """Horizontal power is along 180: -2.00 -1.00 x 090 has -3, and 1 mm off for each eye makes 0.6 together."""
    power = read_power("-2.00 -1.00 x 090")
    (across,) = judge_centring(power, power, pair(32, 32), pair(33, 33), SINGLE)
    plain = "single vision or multifocal"
    rule = f"horizontal imbalance, {plain}: within 0.67 prism dioptres, or PD, {plain}: "
    assert across == Verdict(
        "horizontal imbalance",
        "pair",
        0.0,
        pytest.approx(0.6),  # type: ignore[arg-type]
        pytest.approx(0.6),  # type: ignore[arg-type]
        0.67,
        "prism dioptres",
        f"{rule}within 2.5 mm",
        "ansi_z80_1",
        passed=True,
        or_else="PD off by 2 mm, 2.5 mm would do: yes",
    )


def test_vertical_prism_is_that_of_the_90_meridian_of_each_eye() -> None:
    """-2.00 -3.00 x 180 has -5 up and down, -1 the other: 1 mm up on both makes 0.5 and 0.1, which differ by 0.4."""
    right, left = read_power("-2.00 -3.00 x 180"), read_power("-1.00 DS")
    down = judge_centring(right, left, pair(32, 32, 20, 20), pair(32, 32, 21, 21), SINGLE)[1]
    assert down.measured == pytest.approx(0.4)
    swapped = judge_centring(left, right, pair(32, 32, 20, 20), pair(32, 32, 21, 21), SINGLE)[1]
    assert swapped.measured == pytest.approx(0.4)


def test_prism_of_both_eyes_may_cancel_across() -> None:
    """One eye out and the other in: the wearer's eyes only move aside together."""
    (across,) = judge_centring(STRONG, STRONG, pair(32, 32), pair(33, 31), SINGLE)
    assert across.measured == pytest.approx(0)


@pytest.mark.parametrize("design", LensType)
def test_a_stricter_table_holds_everywhere(design: LensType) -> None:
    """With every allowance at nothing, nothing that is off passes, and every limit is nothing."""
    strict = replace(ANSI_Z80_1, rows=tuple(replace(row, allowed=0.0) for row in ANSI_Z80_1.rows))
    power, off = read_power("-2.00 -1.00 x 020"), read_power("-2.01 -1.01 x 021")
    ordered, measured = pair(32, 31, 20, 21), pair(32.1, 31.1, 20.1, 21.2)
    verdicts = judge_power("right", power, off, design, strict) + judge_centring(
        power, power, ordered, measured, design, strict
    )
    assert [each.limit for each in verdicts] == [0.0] * len(verdicts)
    assert not any(each.passed for each in verdicts)
    heights = [each for each in verdicts if each.quantity.startswith("height")]
    assert [(each.where, round(each.ordered, 6), round(each.measured, 6)) for each in heights] == (
        [] if design is SINGLE else [("right", 20, 20.1), ("left", 21, 21.2), ("pair", -1, -1.1)]
    )


def test_one_height_of_a_single_vision_pair_judges_no_level() -> None:
    """Where only one height was measured and none ordered, there is nothing to compare."""
    for measured in (pair(32, 32, 20), pair(32, 32, None, 20)):
        assert [each.quantity for each in judge_centring(WEAK, WEAK, pair(32, 32), measured, SINGLE)] == [
            "horizontal imbalance"
        ]


@pytest.mark.parametrize(("quantity", "design", "strength", "limit"), [*ROWS, *UNCERTAIN_ROWS, *OWN_ROWS])
@pytest.mark.parametrize("way", [1, -1])
def test_each_row_holds_just_inside_on_and_just_outside_its_limit(
    quantity: str, design: str, strength: float, limit: float, way: int
) -> None:
    """A thousandth less than the printed limit and the limit itself pass; a thousandth more fails, either way."""
    for more, good in ((-0.001, True), (0.0, True), (0.001, False)):
        verdict = judge(quantity, "right", 0.0, way * (limit + more), LensType(design), strength)
        assert verdict.passed is good, verdict


def test_every_row_is_tried_at_its_edges() -> None:
    """No row of the table is left out of the test above."""
    tried = {
        tolerance(quantity, LensType(design), strength)
        for quantity, design, strength, _ in (*ROWS, *UNCERTAIN_ROWS, *OWN_ROWS)
    }
    assert tried == set(ANSI_Z80_1.rows)
