"""What is asked about a whole pair."""

from __future__ import annotations

import pytest

from shopledger.optics.boxing import box
from shopledger.optics.fitting import minimum_blank
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.notation import read_eye
from shopledger.optics.pair_checks import Placement, check_pair, layout_pd, placement
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.trace import FrameTrace
from tests.optics.strategies import rounded_shape

FRAME = FrameTrace(rounded_shape(400), rounded_shape(400).mirrored(), 18)
RX = Prescription(read_eye("-2.00 DS add 2.00"), read_eye("-2.00 DS add 2.00"))
FITTED = Measurements.from_binocular(64, 61, 22, 22)


def test_a_progressive_that_fits_raises_nothing() -> None:
    """Heights above the maker's minimum, blanks large enough, eyes alike."""
    found = check_pair(
        RX, FITTED, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=18, blanks=(70, 70)
    )
    assert found == ()


def test_reading_pairs_are_laid_out_for_the_near_pd() -> None:
    """Where it was measured; all else takes the distance PD (common practice, no source)."""
    both, far = EyeMeasurements(32, 30), EyeMeasurements(32)
    assert [layout_pd(both, use) for use in LensUse] == [30 if use is LensUse.READING else 32 for use in LensUse]
    assert layout_pd(far, LensUse.READING) == 32


def test_centres_are_placed_from_pd_and_height() -> None:
    """A 54 box with an 18 bridge and a half PD of 32 is 4 inward; a height of 22 in 40 is 2 up."""
    where = placement(FRAME.right, FRAME.dbl, FITTED.right, LensUse.DISTANCE)
    assert where.centre == pytest.approx((4, 2), abs=0.01)
    reading = placement(FRAME.right, FRAME.dbl, EyeMeasurements(32, 30), LensUse.READING)
    assert reading.centre == pytest.approx((6, 0), abs=0.01)
    assert isinstance(reading, Placement)


@pytest.mark.parametrize(
    ("height", "minimum", "expected"),
    [
        (None, 18, ["HEIGHT-MISSING", "HEIGHT-MISSING"]),
        (17.5, 18, ["HEIGHT-LOW", "HEIGHT-LOW"]),
        (45, 18, ["HEIGHT-OUTSIDE", "HEIGHT-OUTSIDE"]),
        (22, None, ["MINIMUM-HEIGHT-MISSING", "MINIMUM-HEIGHT-MISSING"]),
    ],
)
def test_heights_of_a_progressive_are_judged(height: float | None, minimum: float | None, expected: list[str]) -> None:
    """A height must be there, lie in the lens and reach the maker's minimum."""
    measured = Measurements.from_binocular(64, None, height, height)
    found = check_pair(RX, measured, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=minimum)
    assert [each.code for each in found] == expected


def test_a_shape_cut_away_below_the_pupil_is_found() -> None:
    """A height measured to the lowest point may leave less lens straight below the pupil."""
    pointed = rounded_shape(400, exponent=2.0, skew=0.08)
    frame = FrameTrace(pointed, pointed.mirrored(), 18)
    measured = Measurements.from_binocular(54, None, 19, 19)
    found = check_pair(RX, measured, frame, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=18.9)
    assert "DEPTH-BELOW" in [each.code for each in found]


def test_a_blank_is_judged_exactly() -> None:
    """The exact need passes and a hair less stops, each eye for itself."""
    needed = minimum_blank(FRAME.right, *placement(FRAME.right, 18, FITTED.right, LensUse.DISTANCE).centre)
    assert check_pair(RX, FITTED, FRAME, LensUse.DISTANCE, blanks=(needed + 0.01, needed + 0.01)) == ()
    (found,) = check_pair(RX, FITTED, FRAME, LensUse.DISTANCE, blanks=(needed + 0.01, needed - 0.01))
    assert (found.code, found.field, found.stops) == ("BLANK-SMALL", "left.blank", True)


def test_a_shape_that_is_only_rounded_below_is_no_cut() -> None:
    """Less than a millimetre between the lowest point and the rim straight below is not asked about."""
    measured = Measurements.from_binocular(62, None, 19, 19)
    assert check_pair(RX, measured, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=19) == ()


def test_a_bifocal_needs_no_minimum_height() -> None:
    """Only a progressive has a minimum height of its maker."""
    assert check_pair(RX, FITTED, FRAME, LensUse.MULTIFOCAL) == ()


def test_each_eye_is_judged_by_its_own_measurements() -> None:
    """A low height and an odd PD are told of the eye that has them."""
    uneven = Measurements(EyeMeasurements(32, None, 17), EyeMeasurements(26, None, 20))
    found = check_pair(RX, uneven, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=18)
    assert [(each.code, each.field) for each in found if each.code != "DEPTH-BELOW"] == [
        ("HEIGHT-LOW", "right.fitting_height"),
        ("DECENTRATION-UNUSUAL", "left.decentration"),
    ]


def test_a_reading_pair_is_centred_by_its_near_pd() -> None:
    """At a half near PD of 29.5 the centres stand 6.5 inward, which is asked about; at distance they would not be."""
    measured = Measurements.from_binocular(64, 59)
    assert [each.code for each in check_pair(RX, measured, FRAME, LensUse.READING)] == ["DECENTRATION-UNUSUAL"] * 2
    assert check_pair(RX, measured, FRAME, LensUse.DISTANCE) == ()


def test_allowance_and_reading_point_are_settings() -> None:
    """A larger allowance asks for a larger blank, and a nearer reading point makes less prism."""
    needed = minimum_blank(FRAME.right, *placement(FRAME.right, 18, FITTED.right, LensUse.DISTANCE).centre) + 0.01
    larger = check_pair(RX, FITTED, FRAME, LensUse.DISTANCE, blanks=(needed, needed), allowance=3)
    assert [each.code for each in larger] == ["BLANK-SMALL", "BLANK-SMALL"]
    both = Prescription(read_eye("-1.00 DS add 2.00"), read_eye("-2.00 DS add 2.00"))
    assert check_pair(both, FITTED, FRAME, LensUse.MULTIFOCAL, reading_below=9.9) == ()


def test_a_reading_pair_asks_for_the_near_pd() -> None:
    """Without it both lenses would be centred for distance."""
    found = check_pair(RX, Measurements.from_binocular(64), FRAME, LensUse.READING)
    assert [each.code for each in found] == ["NEAR-PD-MISSING", "NEAR-PD-MISSING"]


def test_a_frame_far_too_wide_is_asked_about() -> None:
    """More than 6 mm inward, or more than 1 outward, is unusual: common practice, no source."""
    wide = check_pair(RX, Measurements.from_binocular(58), FRAME, LensUse.DISTANCE)
    narrow = check_pair(RX, Measurements.from_binocular(76), FRAME, LensUse.DISTANCE)
    assert {each.code for each in wide + narrow} == {"DECENTRATION-UNUSUAL"}
    assert len(wide + narrow) == 4


@pytest.mark.parametrize(
    ("right", "left", "code"),
    [
        ("-1.00 DS add 2.00", "-1.75 DS add 2.00", None),
        ("-1.00 DS add 2.00", "-2.00 DS add 2.00", "IMBALANCE"),
        ("-1.00 DS add 2.00", "-2.50 DS add 2.00", "IMBALANCE-STRONG"),
        ("balance", "-4.00 DS add 2.00", None),
    ],
)
def test_vertical_imbalance_is_asked_about_from_one_prism_dioptre(right: str, left: str, code: str | None) -> None:
    """At 10 mm below, a dioptre makes one prism dioptre; 1.5 is the usual place for slab-off."""
    both = Prescription(read_eye(right), read_eye(left))
    found = check_pair(both, FITTED, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=18)
    assert [each.code for each in found] == ([code] if code else [])


def test_the_frame_of_these_tests_is_54_by_40() -> None:
    """The numbers above rest on this box."""
    assert (box(FRAME.right).a, box(FRAME.right).b) == pytest.approx((54, 40), abs=0.011)


@pytest.mark.parametrize("prism", ["", " 2 BU", " 2 BI"])
def test_prescribed_prism_is_no_imbalance_of_reading(prism: str) -> None:
    """It stands the same at every height, so that 10 mm of one dioptre's difference stay 1.00; up and down is said."""
    powers = Prescription(read_eye(f"-1.00 DS add 2.00{prism}"), read_eye("-2.00 DS add 2.00"))
    found = check_pair(powers, FITTED, FRAME, LensUse.MULTIFOCAL, progressive=True, minimum_fitting_height=18)
    assert [(each.code, each.value) for each in found] == [("IMBALANCE", "1.00")]
    assert ("beside the 2.00 prescribed" in found[0].sentence) is (prism == " 2 BU")
