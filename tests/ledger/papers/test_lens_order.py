"""What a lab is sent: minus-cylinder powers, lengths by eye, initials alone, and the same content from its JSON."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import LedgerError
from shopledger.ledger.canonical import thawed
from shopledger.ledger.lens_orders import Edging
from shopledger.ledger.papers.lens_order import FORM, LensOrderContent, lens_order_shape
from shopledger.optics.measurements import EyeMeasurements, Measurements
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from tests.ledger.papers.bench import job, measured
from tests.ledger.papers.lab import sent
from tests.shelf import CUSTOMER, GRADUAL, LINED


def test_powers_are_made_with_a_minus_cylinder_and_prism_in_two_parts() -> None:
    """+0.75 +0.50 x 170 is +1.25 -0.50 x 080 (definition of transposition); base in and up are plus."""
    right = sent(job("+0.75 +0.50 x 170 2 BU 1.5 BI", "-0.50 DS 2 BD 1.5 BO")).right
    assert (right.sphere, right.cylinder, right.axis) == (1.25, -0.5, 80)
    assert (right.prism_in, right.prism_up, right.prism) == (1.5, 2.0, "1.50 BI, 2.00 BU")
    left = sent(job("plano", "-0.50 DS 2 BD 1.5 BO")).left
    assert (left.prism_in, left.prism_up, left.power) == (-1.5, -2.0, "-0.50 DS")


def test_uncut_lenses_have_the_diameter_that_covers_and_edged_ones_the_shape() -> None:
    """The lab that edges chooses its own blank; the shape goes along with both, since thickness hangs on it."""
    uncut, edged = sent(job()), sent(job(), edging=Edging.EDGED)
    assert (uncut.right.blank, uncut.edged) == (65, False)
    assert (edged.right.blank, edged.edged) == (None, True)
    assert edged.right.blank_needed == uncut.right.blank_needed
    assert len(uncut.right.radii) == len(edged.left.radii) == 400
    assert (uncut.right.a, uncut.right.b, uncut.dbl, uncut.measured) == (52.0, 36.0, 18.0, True)


def test_a_frame_that_was_not_traced_has_its_stamped_sizes() -> None:
    """Eye size and bridge, and nothing that only a trace can tell."""
    said = sent(job(untraced=True))
    assert (said.right.a, said.right.b, said.dbl, said.measured, said.trace) == (52, None, 18, False, "")
    assert (said.right.blank, said.right.radii, lens_order_shape(said)) == (None, (), None)


def test_a_reading_pair_is_centred_for_near_and_a_multifocal_has_both() -> None:
    """One PD per lens to centre by; a multifocal's near PD stands beside it."""
    reading = sent(job(use=LensUse.READING))
    assert (reading.right.pd, reading.right.near_pd, reading.near) == (30.0, None, True)
    both = sent(job("-2 DS add 2", "-2 DS add 2", lens=GRADUAL, use=LensUse.MULTIFOCAL))
    assert (both.right.pd, both.right.near_pd, both.near, both.right.add) == (31.5, 30.0, False, 2.0)


def test_a_segment_has_its_near_pd_inset_and_place() -> None:
    """Near 30 and 29.5 of 31.5 and 31: 1.5 in; what was frozen before such facts were kept reads without them."""
    said = sent(job("-2 DS add 2", "-2 DS add 2", lens=LINED, use=LensUse.MULTIFOCAL))
    fitting = said.right.fitting
    assert fitting is not None
    assert (fitting.near_pd, said.right.inset, fitting.inward, fitting.upward) == (30.0, 1.5, 5.0, 1.0)
    assert (fitting.shape, fitting.width, fitting.near_measured) == ("flat top", 28, True)
    assert said.right.centre == (3.5, 5.0)
    body = json.loads(said.canonical())
    for side in ("right", "left"):
        del body[side]["fitting"], body[side]["thinning"]
    older = thawed(LensOrderContent, json.dumps(body), "lens order")
    assert (older.right.fitting, older.right.inset, older.right.thinning) == (None, None, False)
    assert older.right.near_pd == 30.0


def test_a_near_pd_that_was_not_measured_is_called_a_usual_one() -> None:
    """31.5 by 400 / 427 is 29.508."""
    far = Measurements(EyeMeasurements(31.5, None, 19), EyeMeasurements(31, None, 19))
    fitting = sent(
        job("-2 DS add 2", "-2 DS add 2", lens=LINED, use=LensUse.MULTIFOCAL, measurements=far)
    ).right.fitting
    assert fitting is not None
    assert (fitting.near_pd, fitting.inset, fitting.near_measured) == (29.508, 1.992, False)


def test_nothing_in_it_names_the_wearer() -> None:
    """Remarks that hold the name are sent with initials, and the note of the sale stays in the shop."""
    said = sent(job(note=f"{CUSTOMER} is in a hurry"), note=f"For {CUSTOMER.upper()}, please")
    assert said.note == "For O.F., please"
    for part in CUSTOMER.split():
        assert part.casefold() not in said.canonical().casefold()


def test_the_shape_is_drawn_with_the_dots_towards_the_nose() -> None:
    """35 mm to the boxed centre and a PD of 31.5 is 3.5 in; the left one's is to the left of its centre."""
    shape = lens_order_shape(sent(job()))
    assert shape is not None
    assert shape.right_centre == pytest.approx((3.5, 1.0))
    assert shape.left_centre == pytest.approx((-4.0, 1.0))


@given(
    st.sampled_from(["-2.50 -1.125 x 090", "+9.50 DS", "balance", "plano -0.50 x 180 2 BU"]),
    st.booleans(),
    st.sampled_from(Edging),
    st.sampled_from([(Side.RIGHT,), (Side.LEFT,), tuple(Side)]),
    st.text('aé;= "\\', max_size=20),
)
def test_the_frozen_content_gives_itself_back(
    power: str, untraced: bool, edging: Edging, lenses: tuple[Side, ...], note: str
) -> None:
    """Written and read again it is the same, and so is its JSON."""
    said = sent(job(power, power, untraced=untraced), edging=edging, lenses=lenses, note=note)
    assert thawed(LensOrderContent, said.canonical(), "lens order") == said
    assert thawed(LensOrderContent, said.canonical(), "lens order").canonical() == said.canonical()


def test_an_order_of_the_first_form_stays_what_it_was() -> None:
    """It knew nothing of the job in whose place it was: its frozen text has no such key, and never gets one."""
    first = json.dumps(
        {key: value for key, value in json.loads(sent(job()).canonical()).items() if key != "in_place_of"}
        | {"form": 1},
        ensure_ascii=False,
        separators=(",", ":"),
        sort_keys=True,
    )
    said = thawed(LensOrderContent, first, "lens order")
    assert (said.form, said.in_place_of) == (1, None)
    assert said.canonical() == first


def test_content_of_a_later_form_is_refused() -> None:
    """It is not guessed at."""
    body = json.loads(sent(job()).canonical()) | {"form": FORM + 1}
    with pytest.raises(LedgerError, match="newer shopledger"):
        thawed(LensOrderContent, json.dumps(body), "lens order")


def test_heights_that_were_not_measured_are_not_known() -> None:
    """A single vision pair may do without."""
    said = sent(job(measurements=measured(None)))
    assert said.right.height is None
    assert replace(said, number=3).number == 3
