"""What would do where no blank covers a shape, worked out by hand for round shapes of 25 mm radius and 18 mm apart."""

from __future__ import annotations

from dataclasses import replace

from shopledger.ledger.blank_advice import blank_findings
from shopledger.ledger.catalogue import Lens
from shopledger.ledger.layout import lay_out_each
from shopledger.ledger.settings import Settings
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription
from shopledger.optics.sides import Side
from shopledger.optics.trace import FrameTrace, Trace
from tests.shelf import LINED, SINGLE

ROUND = FrameTrace(Trace(Side.RIGHT, (2500,) * 720), Trace(Side.LEFT, (2500,) * 720), 18)
MINUS_4 = Prescription(EyePrescription(SphereCylinder(-4)), EyePrescription(SphereCylinder(-4)))


def lens(name: str, *diameters: float) -> Lens:
    """Give a lens that comes in these diameters."""
    return replace(SINGLE, name=name, blank_diameters=diameters)


def found(
    measured: Measurements, chosen: Lens, *others: Lens, allowance: float = Settings().blank_allowance
) -> list[Finding]:
    """Lay all lenses into the round frame and ask for advice."""
    first, *rest = lay_out_each(
        (chosen, *others), MINUS_4, ROUND, measured, LensUse.DISTANCE, Settings(blank_allowance=allowance)
    )
    return list(blank_findings(first, rest, ROUND, allowance))


def test_a_blank_that_covers_is_not_spoken_of() -> None:
    """Moved 4 mm inward a lens of 50 mm needs 60 with its allowance of 2, which there is."""
    assert found(Measurements(EyeMeasurements(30), EyeMeasurements(34)), lens("Plain", 60.1)) == []


def test_the_needed_diameter_and_the_pd_that_would_do_are_said() -> None:
    """56 mm less 2 reach 2 mm beyond the shape: half of the frame's PD, 34, may be missed by 2 mm either way."""
    (error,) = found(Measurements(EyeMeasurements(28), EyeMeasurements(34)), lens("Plain", 52, 56))
    assert (error.severity, error.code, error.field) == (Severity.ERROR, "BLANK-SMALL", "right.blank")
    assert (error.value, error.limit) == ("56", "at least 64.0 mm")
    assert "The right blank is 56 mm but the shape needs 64.0 mm: Plain comes in no larger one." in error.sentence
    assert "a right PD from 32.0 to 36.0 mm (it is 28.0)" in error.sentence


def test_of_a_segment_it_is_the_near_pd_that_would_do() -> None:
    """Near PD 28, segment 2 in: the middle stands 4 inward. 27 mm are reached, so it may stand 2 mm off either way."""
    lined = replace(LINED, name="Plain", blank_diameters=(56,), fitting_up=0)
    error, *_ = found(Measurements(EyeMeasurements(30, 28, 25), EyeMeasurements(34, 32, 25)), lined)
    assert error.limit == "at least 60.0 mm"
    assert "a right near PD from 30.0 to 34.0 mm (it is 28.0)" in error.sentence


def test_the_left_eye_s_pd_is_said_as_its_own() -> None:
    """Outward as well as inward: the left lens is no mirror of the right one's sentence."""
    (error,) = found(Measurements(EyeMeasurements(34), EyeMeasurements(38)), lens("Plain", 56))
    assert "a left PD from 32.0 to 36.0 mm (it is 38.0)" in error.sentence


def test_the_frame_that_would_do_is_said() -> None:
    """Effective diameter 50 and twice 6 mm are 62; a blank of 56 less 2 has room for 54."""
    (error,) = found(Measurements(EyeMeasurements(28), EyeMeasurements(34)), lens("Plain", 56))
    assert "make 54.0 mm at most (here 50.0 and 12.0)" in error.sentence


def test_no_pd_helps_a_blank_smaller_than_the_shape() -> None:
    """49 mm never cover 50."""
    both = found(Measurements(EyeMeasurements(34), EyeMeasurements(34)), lens("Plain", 49))
    assert len(both) == 2
    assert all("no PD in this frame at this height" in each.sentence for each in both)


def test_other_lenses_with_a_large_enough_blank_are_named() -> None:
    """64 mm are needed: one lens has them, one does not."""
    measured = Measurements(EyeMeasurements(28), EyeMeasurements(34))
    (error,) = found(measured, lens("Plain", 56), lens("Wide", 60, 65, 70), lens("Narrow", 60))
    assert error.sentence.endswith("; or Wide in 65 mm.")


def test_a_catalogue_without_diameters_is_told_what_to_ask_for() -> None:
    """A note with the needed diameter for each eye."""
    right, left = found(Measurements(EyeMeasurements(30), EyeMeasurements(34)), lens("Plain"))
    assert (right.severity, right.code, right.limit) == (Severity.NOTE, "BLANK-UNKNOWN", "at least 60.0 mm")
    assert "the left lens needs 52.0 mm. Ask the maker" in left.sentence
