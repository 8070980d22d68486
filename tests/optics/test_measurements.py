"""Measurements: halved, added up, and refused where no face has them."""

from __future__ import annotations

import math
import random

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.measurements import EyeMeasurements, Measurements, near_shares
from shopledger.optics.refusals import OutOfRangeError
from shopledger.optics.sides import Side


@given(st.floats(40, 80))
def test_one_pd_is_halved_and_adds_up_again(pd: float) -> None:
    """A PD given as one number is halved for each eye: common practice, no source."""
    both = Measurements.from_binocular(pd)
    assert both.right.mono_pd == both.left.mono_pd == pd / 2
    assert both.pd == pytest.approx(pd)
    assert both.pd_given == "binocular"


def test_everything_measured_is_kept_for_each_eye() -> None:
    """Near PD is halved, heights stay with their eye."""
    both = Measurements.from_binocular(63, 60, 20, 21)
    assert both.eye(Side.RIGHT) == EyeMeasurements(31.5, 30, 20)
    assert both.eye(Side.LEFT) == EyeMeasurements(31.5, 30, 21)
    assert both.near_pd == 60


def test_near_pd_of_both_needs_each_eye() -> None:
    """With one near PD alone there is no sum."""
    assert Measurements(EyeMeasurements(32, 30), EyeMeasurements(31)).near_pd is None
    assert Measurements(EyeMeasurements(32), EyeMeasurements(31, 29)).near_pd is None


def test_centimetres_are_told_from_millimetres() -> None:
    """A PD of 6.3 is refused with the number that was meant."""
    with pytest.raises(OutOfRangeError, match="looks like centimetres: write 63"):
        Measurements.from_binocular(6.3)
    with pytest.raises(OutOfRangeError, match=r"looks like centimetres: write 31\.5"):
        EyeMeasurements(3.15)
    with pytest.raises(OutOfRangeError, match="looks like centimetres: write 18"):
        EyeMeasurements(31, fitting_height=1.8)


@pytest.mark.parametrize("pd", [39.9, 80.1, math.nan, math.inf, -63])
def test_a_pd_that_no_face_has_is_refused(pd: float) -> None:
    """Children start at 40 mm and nobody goes beyond 80."""
    with pytest.raises(OutOfRangeError, match="PD"):
        Measurements.from_binocular(pd)


def test_monocular_pds_must_add_up_to_a_face() -> None:
    """20 and 19 is refused for the eye, though each half may be near."""
    with pytest.raises(OutOfRangeError, match="monocular PD"):
        Measurements(EyeMeasurements(20), EyeMeasurements(19))


def test_near_is_no_wider_than_distance() -> None:
    """Eyes turn in to read."""
    with pytest.raises(OutOfRangeError, match="near PD"):
        EyeMeasurements(31, 31.5)
    with pytest.raises(OutOfRangeError, match="near PD"):
        Measurements.from_binocular(62, 64)


def test_a_near_pd_of_both_eyes_is_shared_and_not_halved() -> None:
    """29.5 and 33 with near 59 are 27.85 and 31.15: second derivation, no source."""
    shared = Measurements.from_monocular((29.5, 33), 59)
    assert shared.right.near_pd == pytest.approx(27.85, abs=0.005)
    assert shared.left.near_pd == pytest.approx(31.15, abs=0.005)
    assert shared.near_pd == 59
    assert shared.pd_given == "monocular"


def test_the_shares_of_a_near_pd_are_those_of_eyes_that_look_at_one_point() -> None:
    """Lines of sight from both eyes to a point before the bridge cross the lens there: similar triangles, no source."""
    drawn = random.Random(59)
    for _ in range(2000):
        right, left, before, behind = (drawn.uniform(*span) for span in ((24, 38), (24, 38), (250, 600), (20, 32)))
        # Each eye turns about a point behind the lens; where its line of sight to the object meets the lens is near.
        crossing = [eye + (0.0 - eye) * behind / (behind + before) for eye in (right, left)]
        assert near_shares((right, left), sum(crossing)) == pytest.approx(crossing, abs=0.0011)


def test_equal_eyes_have_equal_shares_whatever_is_rounded() -> None:
    """A near PD as wide as the distance PD stays within it on both sides."""
    third = 92.3 / 3
    assert Measurements.from_monocular((third, third), 2 * third).right.near_pd == third
    assert Measurements.from_monocular((31.5, 31.5), 60) == Measurements(
        EyeMeasurements(31.5, 30.0), EyeMeasurements(31.5, 30.0)
    )


@pytest.mark.parametrize(("near", "said"), [(63, "near PD is 63"), (31, "near PD is 31"), (5.9, "write 59")])
def test_a_near_pd_is_refused_as_it_was_typed(near: float, said: str) -> None:
    """Never by a share that nobody typed."""
    with pytest.raises(OutOfRangeError, match=said):
        Measurements.from_monocular((29.5, 33), near)
