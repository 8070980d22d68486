"""What may be written for an eye, and the power to make from it."""

from __future__ import annotations

import math

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.optics.notation import read_eye
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription, LensUse, Prescription, power_to_make
from shopledger.optics.prism import Base, Prism
from shopledger.optics.refusals import IncompleteError, OutOfRangeError
from shopledger.optics.sides import Side
from tests.optics.strategies import powers, quarters

EYE = read_eye("-2.50 -1.25 x 090 add 2.25 1.5 BI")


def test_each_side_has_its_eye() -> None:
    """Right is right and left is left."""
    both = Prescription(EYE, read_eye("+1.00 DS"))
    assert both.eye(Side.RIGHT) is both.right
    assert both.eye(Side.LEFT) is both.left
    assert Side.RIGHT.other is Side.LEFT
    assert Side.LEFT.other is Side.RIGHT


def test_distance_leaves_the_add_out() -> None:
    """A distance lens has the power as written, its prism, and no add."""
    assert power_to_make(EYE, LensUse.DISTANCE) == read_eye("-2.50 -1.25 x 090 1.5 BI")


def test_reading_adds_the_add_to_the_sphere() -> None:
    """Reading is sphere plus add: common practice, no source; +2.00 with 2.25 reads +4.25."""
    assert power_to_make(read_eye("+2.00 DS add 2.25"), LensUse.READING).power == SphereCylinder(4.25)


def test_a_screen_takes_its_share_and_nothing_is_rounded() -> None:
    """Half of 2.25 is 1.125 and stays so; a given intermediate goes before any share."""
    assert power_to_make(EYE, LensUse.SCREEN).power == SphereCylinder(-1.375, -1.25, 90)
    assert power_to_make(EYE, LensUse.SCREEN, screen_share=0.6).power.sphere == pytest.approx(-1.15)
    assert power_to_make(EYE, LensUse.SCREEN, intermediate=1.0).power.sphere == -1.5


def test_a_multifocal_keeps_everything() -> None:
    """A multifocal is made as written."""
    assert power_to_make(EYE, LensUse.MULTIFOCAL) is EYE


@given(powers(), quarters(0.5, 4), st.sampled_from([LensUse.READING, LensUse.SCREEN, LensUse.DISTANCE]))
def test_cylinder_and_axis_never_change(power: SphereCylinder, add: float, use: LensUse) -> None:
    """Only the sphere depends on what a pair is for."""
    made = power_to_make(EyePrescription(power, add), use)
    assert (made.power.cylinder, made.power.axis, made.add) == (power.cylinder, power.axis, None)


@pytest.mark.parametrize("use", [LensUse.READING, LensUse.SCREEN, LensUse.MULTIFOCAL])
def test_a_missing_add_is_asked_for(use: LensUse) -> None:
    """Reading, a screen and a multifocal need an add."""
    with pytest.raises(IncompleteError) as refused:
        power_to_make(read_eye("-1.00 DS"), use)
    assert refused.value.field == "add"
    assert str(refused.value) == (
        f"add: a lens for {use.value} needs an add and none is written. "
        "Enter the add from the prescription, or make the pair for distance."
    )


@pytest.mark.parametrize("use", LensUse)
def test_a_balance_lens_needs_no_add(use: LensUse) -> None:
    """A lens that only balances the other is made as it is written, for every use."""
    assert power_to_make(read_eye("balance -2.00 DS"), use).power == SphereCylinder(-2.0)
    assert power_to_make(read_eye("balance -2.00 DS add 2.00"), use).power == SphereCylinder(-2.0)


@pytest.mark.parametrize("add", [0, -0.25, 6.25, math.nan])
def test_an_add_that_cannot_be_is_refused(add: float) -> None:
    """An add is above zero and at most 6 D."""
    with pytest.raises(OutOfRangeError, match="add"):
        EyePrescription(SphereCylinder(0), add)


def test_an_add_of_nothing_is_left_out() -> None:
    """The refusal of a zero add says to leave it out; the least add is accepted."""
    with pytest.raises(OutOfRangeError) as refused:
        EyePrescription(SphereCylinder(0), 0)
    assert str(refused.value) == "add is 0 D; allowed is 0.25 to 6 D. Leave the add out where there is none."
    assert EyePrescription(SphereCylinder(0), 0.25).add == 0.25


def test_prism_that_contradicts_itself_is_refused() -> None:
    """One eye has at most one of in and out, and one of up and down."""
    with pytest.raises(IncompleteError, match="same line"):
        EyePrescription(SphereCylinder(0), None, (Prism(1, Base.IN), Prism(2, Base.OUT)))


@pytest.mark.parametrize("share", [-0.1, 1.1, math.nan])
def test_a_share_is_from_nothing_to_all(share: float) -> None:
    """A screen takes between nothing and the whole add."""
    with pytest.raises(OutOfRangeError, match="screen share"):
        power_to_make(EYE, LensUse.SCREEN, screen_share=share)
