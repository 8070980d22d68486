"""Judging segments and equal thinning prism: each row at its limit, and swapped, mirrored and wrong insets."""

from __future__ import annotations

import random
from dataclasses import replace

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.inspections import LensFigures, PairFigures
from shopledger.ledger.judging import judged_pair
from shopledger.ledger.judging_segments import (
    equal_thinning,
    segment_verdicts,
    thinning_findings,
    tilt_verdicts,
    with_found,
    with_segments,
    with_thinning,
)
from shopledger.ledger.orders import Making, OwnLens, Pair
from shopledger.optics.measurements import EyeMeasurements, Measurements, PdGiven
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.refusals import IncompleteError
from shopledger.optics.sides import Side
from shopledger.optics.tolerances import LensType
from tests.shelf import GRADUAL, LINED

POWERS = Prescription(read_eye("-2.00 DS add 2.00"), read_eye("-1.00 DS add 2.00"))
UNEVEN = Measurements.from_monocular((29.5, 33), 59, 17, 18)
NEARS = (27.848, 31.152)
EVEN = Measurements.from_binocular(63, 59, 17, 17)
BOTH = tuple(Side)
PROGRESSIVES = dict.fromkeys(Side, LensType.PROGRESSIVE)


def ordered(measured: Measurements = UNEVEN) -> PairFigures:
    """Give a lined pair as it was ordered."""
    plain = PairFigures(
        LensFigures(POWERS.right, measured.right), LensFigures(POWERS.left, measured.left), measured.pd_given
    )
    pair = Pair(1, 1, "WREN-52", LINED.code, LensUse.MULTIFOCAL, made=POWERS, measurements=measured)
    return with_segments(plain, pair, dict.fromkeys(Side, LINED))


def found(
    near_pd: tuple[float, ...] = NEARS,
    tilt: tuple[float | None, float | None] = (0.0, 0.0),
    width: tuple[float | None, float | None] = (None, None),
    measured: Measurements = UNEVEN,
) -> PairFigures:
    """Give the same pair as it was read, with segments as said."""
    return with_found(ordered(measured), ordered(measured), near_pd, tilt, width)


def failing(read: PairFigures, measured: Measurements = UNEVEN) -> list[tuple[str, str]]:
    """Give quantity and lens of each verdict on the segments that failed."""
    verdicts = segment_verdicts(ordered(measured), read, BOTH)
    return [(each.quantity, each.where) for each in verdicts if not each.passed]


def test_segments_as_ordered_pass() -> None:
    """Each row stands there: across for the pair and each eye, tilt of each; width only where it was measured."""
    verdicts = segment_verdicts(ordered(), found(), BOTH)
    assert [(each.quantity, each.where, each.limit) for each in verdicts] == [
        ("segment place", "pair", 2.5),
        ("segment place of one eye", "right", 1.25),
        ("segment place of one eye", "left", 1.25),
        ("tilt", "right", 2.0),
        ("tilt", "left", 2.0),
    ]
    assert all(each.passed and each.difference == 0 for each in verdicts)


ONE_EYE = [("segment place of one eye", "right"), ("segment place of one eye", "left")]
ALL = [("segment place", "pair"), *ONE_EYE]


@pytest.mark.parametrize(
    ("nears", "fails"),
    [
        # Swapped lenses: each segment stands as far from the nose as the other should.
        ((31.152, 27.848), ALL),
        # A near PD that was halved, though the face is uneven.
        ((29.5, 29.5), ONE_EYE),
        # Segments at the distance PD, without any inset.
        ((29.5, 33.0), ALL),
        # Insets the wrong way.
        ((31.152, 34.848), ALL),
        ((27.848 + 1.25, 31.152 + 1.25), []),
        ((27.848 + 1.26, 31.152), [("segment place of one eye", "right")]),
    ],
)
def test_a_wrong_inset_fails(nears: tuple[float, float], fails: list[tuple[str, str]]) -> None:
    """On a face of 29.5 and 33, near 27.85 and 31.15."""
    assert failing(found(nears)) == fails


def test_with_one_pd_of_both_the_pair_alone_is_judged() -> None:
    """2.5 mm of both together, and no more than that before one eye."""
    assert failing(found((58.0,), measured=EVEN), EVEN) == []
    assert failing(found((61.5,), measured=EVEN), EVEN) == []
    assert failing(found((61.51,), measured=EVEN), EVEN) == [("segment place", "pair")]
    assert failing(found((32.1, 26.9), measured=EVEN), EVEN) == [("segment place", "pair")]
    quantities = [each.quantity for each in segment_verdicts(ordered(EVEN), found((59.0,), measured=EVEN), BOTH)]
    assert quantities == ["segment place", "tilt", "tilt"]


def test_random_faces_pass_as_ordered_and_fail_swapped_or_halved() -> None:
    """2000 faces: swapped fails where near PDs differ by more than 1.25 mm, halved by more than twice that."""
    drawn, seen = random.Random(125), 0
    for _ in range(2000):
        far = round(drawn.uniform(26, 37), 1), round(drawn.uniform(26, 37), 1)
        face = Measurements.from_monocular(far, round(sum(far) - drawn.uniform(2, 5), 1), 17, 17)
        right, left = face.right.near_pd, face.left.near_pd
        assert right is not None
        assert left is not None
        assert failing(found((right, left), measured=face), face) == []
        apart, half = abs(right - left), (right + left) / 2
        assert bool(failing(found((left, right), measured=face), face)) is (apart > 1.25 + 1e-6)
        assert bool(failing(found((half, half), measured=face), face)) is (apart / 2 > 1.25 + 1e-6)
        seen += apart > 2.5
    assert 500 < seen < 1900


@pytest.mark.parametrize(
    ("tilt", "fails"),
    [((2.0, -2.0), []), ((2.1, 0.0), [("tilt", "right")]), ((0.0, -2.1), [("tilt", "left")])],
)
def test_a_segment_lies_level_within_two_degrees(tilt: tuple[float, float], fails: list[tuple[str, str]]) -> None:
    """Either way."""
    assert failing(found(tilt=tilt)) == fails


@pytest.mark.parametrize(
    ("width", "fails"),
    [
        ((28.5, 28.0), []),
        ((28.6, 28.0), [("segment size", "right")]),
        ((28.4, 27.6), [("segment size difference", "pair")]),
        ((None, 25.0), [("segment size", "left")]),
    ],
)
def test_widths_are_judged_where_they_were_measured(
    width: tuple[float | None, float | None], fails: list[tuple[str, str]]
) -> None:
    """Half a millimetre each, 0.7 apart."""
    assert failing(found(width=width)) == fails


def test_what_a_segment_is_judged_by_must_be_measured() -> None:
    """Near PD and tilt of each; one near PD of both does not do where each eye was ordered by itself."""
    with pytest.raises(IncompleteError, match="right segment was ordered at a near PD and none was measured"):
        failing(found(()))
    with pytest.raises(IncompleteError, match="one near PD of both was given"):
        found((59.0,))
    with pytest.raises(IncompleteError, match="how the left segment lies"):
        failing(found(tilt=(0.0, None)))


def test_a_near_pd_of_lenses_without_a_segment_is_refused() -> None:
    """Single vision and progressives have none to measure."""
    plain = PairFigures(LensFigures(POWERS.right, UNEVEN.right), LensFigures(POWERS.left, UNEVEN.left))
    with pytest.raises(RefusedError, match="no segment was ordered"):
        with_found(plain, plain, (59.0,), (None, None), (None, None))


def test_of_one_lens_the_one_segment_is_judged() -> None:
    """The other eye keeps its old lens, of which nothing was ordered."""
    pair = Pair(
        1, 1, "WREN-52", LINED.code, LensUse.MULTIFOCAL, made=POWERS, measurements=UNEVEN, left=OwnLens(Making.KEPT)
    )
    plain = PairFigures(LensFigures(POWERS.right, UNEVEN.right), LensFigures(POWERS.left, UNEVEN.left))
    wanted = with_segments(plain, pair, dict.fromkeys(Side, LINED))
    read = with_found(wanted, wanted, (29.2,), (0.0, None), (None, None))
    verdicts = segment_verdicts(wanted, read, pair.sides)
    assert [(each.quantity, each.where, each.passed) for each in verdicts] == [
        ("segment place of one eye", "right", False),
        ("tilt", "right", True),
    ]


def test_a_near_pd_that_was_not_measured_is_judged_as_it_was_ordered() -> None:
    """The usual one by which the segment was placed: 29.5 by 400 / 427."""
    far = Measurements(EyeMeasurements(29.5, None, 17), EyeMeasurements(33, None, 18))
    assert ordered(far).right.near_pd == pytest.approx(29.5 * 400 / 427)


def test_the_level_of_a_progressive_is_judged_where_it_was_measured() -> None:
    """Two degrees too; nothing is asked for."""
    level = PairFigures(LensFigures(POWERS.right, tilt=2.5), LensFigures(POWERS.left))
    assert [(each.where, each.passed) for each in tilt_verdicts(level, PROGRESSIVES)] == [("right", False)]
    assert tilt_verdicts(level, dict.fromkeys(Side, LensType.MULTIFOCAL)) == ()


# ------------------------------------------------------------ equal thinning prism


def progressives(right: str, left: str, given: PdGiven = "monocular") -> PairFigures:
    """Give readings of a progressive pair in its place."""
    return PairFigures(LensFigures(read_eye(right), UNEVEN.right), LensFigures(read_eye(left), UNEVEN.left), given)


AS_ORDERED = progressives("-2.00 DS add 2.00", "-1.00 DS add 2.00")


def thinned_failures(read: PairFigures, thinning: float | None) -> list[str]:
    """Give what fails of a progressive pair that was ordered with that thinning prism."""
    wanted = with_thinning(POWERS, thinning, PROGRESSIVES)
    verdicts = judged_pair(AS_ORDERED, wanted, read, PROGRESSIVES)
    return [f"{each.where} {each.quantity}" for each in verdicts if not each.passed]


def test_equal_thinning_prism_is_no_error_of_the_pair() -> None:
    """1.50 base down before both eyes, ordered so or taken as it is read; without saying so each lens is off."""
    read = progressives("-2.00 DS add 2.00 1.5 BD", "-1.00 DS add 2.00 1.5 BD")
    assert thinned_failures(read, -1.5) == []
    assert equal_thinning(POWERS, read, PROGRESSIVES) == -1.5
    assert thinned_failures(read, None) == ["right prism at reference point", "left prism at reference point"]
    assert thinned_failures(AS_ORDERED, -1.5) == ["right prism at reference point", "left prism at reference point"]


@pytest.mark.parametrize(("right", "left"), [("1.5 BD", "0.75 BD"), ("1.0 BD", ""), ("1.0 BD", "1.0 BU")])
def test_unequal_vertical_prism_is_an_error_however_it_is_called(right: str, left: str) -> None:
    """Its equal part is taken off, and what is left is judged by the pair."""
    read = progressives(f"-2.00 DS add 2.00 {right}", f"-1.00 DS add 2.00 {left}".strip())
    assert "pair vertical imbalance" in thinned_failures(read, equal_thinning(POWERS, read, PROGRESSIVES))


def test_thinning_prism_stands_beside_prescribed_prism() -> None:
    """2 BO and 1 BU of the prescription before one eye stay what they are."""
    prescribed = replace(POWERS, right=read_eye("-2.00 DS add 2.00 2 BO 1 BU"))
    wanted = with_thinning(prescribed, -1.5, PROGRESSIVES)
    assert {(each.amount, each.base.value) for each in wanted.right.prism} == {(0.5, "down"), (2.0, "out")}
    assert {(each.amount, each.base.value) for each in wanted.left.prism} == {(1.5, "down")}


@pytest.mark.parametrize(
    ("thinning", "asked"), [(None, False), (-1.5, False), (-2.0, False), (2.01, True), (-5.0, True)]
)
def test_thinning_prism_of_more_than_the_add_is_asked_about(thinning: float | None, asked: bool) -> None:
    """Common practice is about two thirds of it: adds of 2.00 here."""
    found = thinning_findings(thinning, POWERS)
    assert [each.code for each in found] == (["THINNING-UNUSUAL"] if asked else [])


def test_only_progressives_have_thinning_prism() -> None:
    """And the equal part of one lens alone is nothing."""
    lined = dict.fromkeys(Side, LensType.MULTIFOCAL)
    with pytest.raises(RefusedError, match="only progressives have it"):
        with_thinning(POWERS, -1.0, lined)
    with pytest.raises(RefusedError, match="before both eyes alike"):
        equal_thinning(POWERS, AS_ORDERED, {Side.RIGHT: LensType.PROGRESSIVE})
    assert with_thinning(POWERS, None, lined) == POWERS
    assert GRADUAL.thinning_prism is None
