"""The job sheet's content: what to make, laid out or plainly not, and of the wearer no more than initials."""

from __future__ import annotations

import json
from dataclasses import asdict, replace

import pytest

from shopledger.ledger.orders import AcceptedWarning
from shopledger.ledger.papers.job_sheet import cutting_mode, job_sheet
from shopledger.optics.findings import Finding, Severity
from shopledger.optics.materials import MaterialClass
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import LensUse
from tests.ledger.papers.bench import TOUGH, elliptic, job, measured
from tests.shelf import CUSTOMER, GRADUAL, SINGLE


def finding(severity: Severity, code: str, sentence: str) -> Finding:
    """Give a finding of which only these matter."""
    return Finding(severity, code, "right.blank", "80", "", "definition", sentence)


def test_powers_are_given_in_minus_cylinder_form() -> None:
    """+0.75 +0.50 x 170 is +1.25 -0.50 x 080; add and prism stand by themselves."""
    sheet = job_sheet(job("+0.75 +0.50 x 170 add 2.00 2 BU 1.5 BI", "-1.00 DS add 2.00", lens=GRADUAL))
    assert (sheet.right.power, sheet.right.add, sheet.right.prism) == ("+1.25 -0.50 x 080", "+2.00", "1.50 BI, 2.00 BU")
    assert (sheet.left.power, sheet.left.prism) == ("-1.00 DS", "")
    assert sheet.multifocal


def test_a_balance_lens_is_called_one() -> None:
    """The word stands before its power, and alone where there is none."""
    assert job_sheet(job("balance", "-1.00 DS")).right.power.startswith("balance")


def test_the_centres_stand_where_pd_and_height_put_them() -> None:
    """Of 52 and 18 mm half is 35, so a PD of 31.5 goes 3.5 inward; 19 mm is 1 above half of 36."""
    sheet = job_sheet(job())
    assert (sheet.right.decentration_in, sheet.left.decentration_in) == (3.5, 4.0)
    assert (sheet.right.offset_up, sheet.left.offset_up) == (1.0, 1.0)
    assert sheet.laid_out
    assert sheet.shape is not None
    assert sheet.shape.right_centre == pytest.approx((3.5, 1.0), abs=0.01)
    assert sheet.shape.left_centre == pytest.approx((-4.0, 1.0), abs=0.01)


def test_outward_and_downward_are_minus() -> None:
    """A small frame puts the centres outward, a low height below the middle."""
    eye = job_sheet(job(shape=elliptic(40, 36, 16), measurements=measured(16))).right
    assert (eye.decentration_in, eye.offset_up) == (-3.5, -2.0)


def test_a_reading_pair_is_centred_for_near() -> None:
    """The near PD is the one on the sheet, marked so; without one it is the distance PD."""
    near = job_sheet(job(use=LensUse.READING)).right
    assert (near.pd, near.near, near.decentration_in) == (30.0, True, 5.0)
    own = Measurements(EyeMeasurements(31.5, None, 19), EyeMeasurements(31, None, 19))
    far = job_sheet(job(use=LensUse.READING, measurements=own)).right
    assert (far.pd, far.near, far.decentration_in) == (31.5, False, 3.5)


def test_what_is_to_spare_is_the_blank_less_the_need() -> None:
    """The smallest that covers is chosen; where none covers nothing is to spare."""
    made = job()
    assert made.layout is not None
    right = job_sheet(made).right
    assert right.blank is not None
    assert right.blank == made.layout.right.blank
    assert right.to_spare == pytest.approx(right.blank - round(made.layout.right.blank_needed, 1), abs=0.001)
    huge = job_sheet(job(shape=elliptic(70, 60, 20))).right
    assert (huge.blank, huge.to_spare) == (None, None)
    assert huge.blank_needed is not None
    assert huge.blank_needed > SINGLE.blank_diameters[-1]


@pytest.mark.parametrize(("height", "above"), [(19.0, 2.0), (17.0, 0.0), (16.5, -0.5), (None, None)])
def test_a_multifocal_s_height_is_held_to_the_least(height: float | None, above: float | None) -> None:
    """The design needs 17 mm; below is negative, and a height that nobody measured says nothing."""
    sheet = job_sheet(job(lens=GRADUAL, measurements=measured(height)))
    assert sheet.minimum_height == 17
    assert sheet.right.above_minimum == above


def test_single_vision_has_no_least_height() -> None:
    """A number that the catalogue keeps for it all the same is not asked for."""
    assert job_sheet(job(lens=replace(SINGLE, min_fitting_height=17))).minimum_height is None


@pytest.mark.parametrize(
    ("material", "way"),
    [
        (MaterialClass.POLYCARBONATE, "dry"),
        (MaterialClass.PLASTIC, "wet"),
        (MaterialClass.URETHANE, "wet"),
        (MaterialClass.GLASS, "wet"),
    ],
)
def test_polycarbonate_is_cut_dry_and_the_rest_wet(material: MaterialClass, way: str) -> None:
    """Common practice, no source; shops differ on urethane."""
    assert cutting_mode(material, {}) == way


def test_the_shop_s_own_way_of_cutting_wins() -> None:
    """For the material it names, and for no other."""
    own = {MaterialClass.URETHANE: "dry"}
    urethane = replace(SINGLE, material_class=MaterialClass.URETHANE)
    assert job_sheet(job(lens=urethane), own).cutting == "dry"  # type: ignore[arg-type]
    assert job_sheet(job(lens=TOUGH), own).cutting == "dry"  # type: ignore[arg-type]
    assert job_sheet(job(), own).cutting == "wet"  # type: ignore[arg-type]


def test_without_a_trace_there_are_no_layout_figures() -> None:
    """What is measured on the wearer stays."""
    sheet = job_sheet(job(untraced=True))
    assert (sheet.shape, sheet.trace, sheet.laid_out) == (None, "", False)
    assert sheet.right.blank_needed is None
    assert (sheet.right.power, sheet.right.pd, sheet.right.height) == ("-2.50 -1.25 x 090", 31.5, 19.0)


def test_a_pair_without_prescription_or_pd_has_its_shape_and_no_centres() -> None:
    """It can be cut by the frame's middle; nothing is made up."""
    whole = job()
    bare = replace(whole, pair=replace(whole.pair, made=None, measurements=None), layout=None)
    sheet = job_sheet(bare)
    assert (sheet.right.power, sheet.right.pd, sheet.laid_out) == ("", None, False)
    assert sheet.shape is not None
    assert sheet.shape.right_centre is None


def test_errors_stop_and_unsettled_warnings_are_asked_about() -> None:
    """A warning that was accepted with the order is not asked again, and the same sentence is said once."""
    found = (
        finding(Severity.ERROR, "BLANK-SMALL", "The blank is too small."),
        finding(Severity.ERROR, "BLANK-SMALL", "The blank is too small."),
        finding(Severity.WARNING, "DEPTH-BELOW", "It is cut off below."),
        finding(Severity.WARNING, "EXPIRES-SOON", "It expires soon."),
        finding(Severity.NOTE, "TRACE-MISSING", "No trace yet."),
    )
    whole = job()
    order = replace(whole.order, accepted=(AcceptedWarning("EXPIRES-SOON", "It expires soon."),))
    sheet = job_sheet(replace(whole, order=order, findings=found, refusal="It cannot be laid out."))
    assert sheet.stops == ("It cannot be laid out.", "The blank is too small.")
    assert sheet.asks == ("It is cut off below.",)


def test_a_lens_that_cannot_be_made_stops_the_job() -> None:
    """The reason stands on the sheet, with the eye."""
    whole = job()
    assert whole.layout is not None
    right = replace(whole.layout.right, body=None, refusal="It would have no edge.")
    sheet = job_sheet(replace(whole, layout=replace(whole.layout, right=right)))
    assert sheet.stops == ("The right lens: It would have no edge.",)
    assert (sheet.right.edge, sheet.right.centre_thickness) == (None, None)


def test_nothing_on_the_sheet_names_the_wearer() -> None:
    """Neither the name nor the trace's file, which an owner may call after the customer."""
    note = f"for {CUSTOMER.upper()}, in a hurry"
    said = json.dumps(asdict(job_sheet(job(note=note)))).casefold()
    assert job_sheet(job(note=note)).note == "for O.F., in a hurry"
    for part in CUSTOMER.casefold().split():
        assert part not in said
    assert job_sheet(job()).initials == "O.F."
    assert job_sheet(job()).trace == "3 of 2026-03-01"
