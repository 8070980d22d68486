"""Text read in many ways and written in one."""

from __future__ import annotations

import contextlib
from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import ShopledgerError
from shopledger.optics.notation import (
    read_axis,
    read_dioptres,
    read_eye,
    read_power,
    read_prism,
    read_resultant,
    write_dioptres,
    write_eye,
    write_power,
    write_prisms,
    write_resultant,
)
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism, PrismVector
from shopledger.optics.refusals import IncompleteError, NotationError, OutOfRangeError
from shopledger.optics.sides import Side
from tests.optics.strategies import eyes


@pytest.mark.parametrize(
    ("typed", "written"),
    [
        ("-2.50 -1.25 x 090 add 2.00", "-2.50 -1.25 x 090 add 2.00"),
        ("-2.50-1.25x90", "-2.50 -1.25 x 090"),
        ("-2.5 / -1.25 X 90°", "-2.50 -1.25 x 090"),
        ("−2.50 −1.25 × 5", "-2.50 -1.25 x 005"),
        ("-2,50 -1,25 x 90", "-2.50 -1.25 x 090"),
        ("-2.50, -1.25 axis 90 deg", "-2.50 -1.25 x 090"),
        ("+1.00 DS", "+1.00 DS"),
        ("+1 sph add +2.25", "+1.00 DS add 2.25"),
        ("+1.00 DS 0.00", "+1.00 DS"),
        ("pl", "plano"),
        ("PLANO", "plano"),
        ("0.00", "plano"),
        ("plano -0.50 x 180", "plano -0.50 x 180"),
        ("-1.00 -0.50 DC x 7", "-1.00 -0.50 x 007"),
        ("balance", "balance"),
        ("bal -2.00", "balance -2.00 DS"),
        ("+1.00 2 BU", "+1.00 DS prism 2.00 BU"),
        ("+1.00 prism 2Δ base up 1.5 BI", "+1.00 DS prism 1.50 BI, 2.00 BU"),
        ("+1.00 add 2 1 BD 1.5 BO", "+1.00 DS add 2.00 prism 1.50 BO, 1.00 BD"),
        ("-1.00 -0.50 x 10 add:1.50 .5 bo", "-1.00 -0.50 x 010 add 1.50 prism 0.50 BO"),
        ("-.12 -.37 x 10", "-0.12 -0.37 x 010"),
    ],
)
def test_many_ways_of_writing_come_to_one(typed: str, written: str) -> None:
    """What people write is understood, and written in one form."""
    assert write_eye(read_eye(typed)) == written


@given(eyes())
def test_what_is_written_reads_back(eye: EyePrescription) -> None:
    """Text leads back to the same prescription, prism along the line of the eyes first, however it was typed."""
    level = tuple(prism for prism in eye.prism if prism.base.horizontal)
    upright = tuple(prism for prism in eye.prism if not prism.base.horizontal)
    assert read_eye(write_eye(eye)) == replace(eye, prism=(*level, *upright))


def test_prism_is_written_in_one_order() -> None:
    """In or out first, then up or down, whichever came first on the prescription; without prism there is no word."""
    up, inward = Prism(1.0, Base.UP), Prism(2.0, Base.IN)
    assert write_prisms((up, inward)) == write_prisms((inward, up)) == "2.00 BI, 1.00 BU"
    assert write_prisms(()) == ""
    assert "prism" not in write_eye(read_eye("-1.00 DS"))


@given(st.integers(-320, 320))
def test_eighths_read_back_from_their_short_spelling(count: int) -> None:
    """Every eighth is written with two decimals and is the exact eighth again."""
    assert read_dioptres(write_dioptres(count / 8)) == count / 8


@pytest.mark.parametrize(("whole", "texts"), [(0.125, (".12", ".125", ".13")), (2.375, ("2.37", "2.375", "2.38"))])
def test_each_spelling_of_an_eighth_is_the_eighth(whole: float, texts: tuple[str, ...]) -> None:
    """Cut, full and rounded spellings are one value: common practice, no source."""
    assert {read_dioptres(text) for text in texts} == {whole}
    assert read_dioptres("-0.63") == -0.625
    assert read_dioptres("+0.87") == 0.875


@pytest.mark.parametrize(
    ("power", "text"),
    [(0.25, "+0.25"), (-2.5, "-2.50"), (0.0, "0.00"), (-0.001, "0.00"), (0.875, "+0.87"), (1.146, "+1.15")],
)
def test_dioptres_are_written_with_sign_and_two_decimals(power: float, text: str) -> None:
    """Eighths are cut and all else is rounded, and zero has no sign."""
    assert write_dioptres(power) == text


def test_calculated_powers_are_written_to_whole_degrees() -> None:
    """An axis that rounds to 0 is written 180, and a cylinder that rounds to nothing is left out."""
    assert write_power(SphereCylinder(1.0, -0.5, 0.3)) == "+1.00 -0.50 x 180"
    assert write_power(SphereCylinder(1.0, -0.5, 179.7)) == "+1.00 -0.50 x 180"
    assert write_power(SphereCylinder(1.0, -0.001, 20)) == "+1.00 DS"


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("", "nothing is written"),
        ("junk", "'junk' cannot be placed at the start"),
        ("2.50", "the sign is missing"),
        ("-250", "decimal point seems to be missing"),
        ("+1.00 DS -0.50 x 90", "marked as a sphere"),
        ("-1.00 -0.50 x 0", "Write 180"),
        ("-1.00 -0.50 x 181", "from 1 to 180"),
        ("-1.00 -0.50 x 90.5", "whole number"),
        ("add 22 BU", "cannot be placed at the start"),
        ("+1.00 add 22 BU", "missing after 'BU'"),
        ("+1.0012 BU", "missing after 'BU'"),
        ("-1.00 " + "1 BU " * 100, "longer than 120 letters"),
    ],
)
def test_what_cannot_be_read_is_explained(typed: str, said: str) -> None:
    """A refusal repeats the text and says what is wrong with it."""
    with pytest.raises(NotationError, match=said) as refused:
        read_eye(typed)
    assert refused.value.text in typed


@pytest.mark.parametrize("typed", ["+1.00 -0.50", "-1.00 x 90", "-1.00 0 BU", "-1.00 1 BU 2 BD"])
def test_parts_that_belong_together_are_asked_for(typed: str) -> None:
    """A cylinder without an axis, an axis without a cylinder, a prism of nothing, and two that fight are refused."""
    with pytest.raises(IncompleteError):
        read_eye(typed)


@pytest.mark.parametrize("typed", ["two", "2.5.0", "1e3", "--2", ""])
def test_no_number_is_no_power(typed: str) -> None:
    """Only plain decimals are dioptres."""
    with pytest.raises(NotationError, match=r"-2\.50"):
        read_dioptres(typed)


@pytest.mark.parametrize("typed", ["", "x", "-90", "ninety"])
def test_no_whole_number_is_no_axis(typed: str) -> None:
    """Only whole degrees are an axis."""
    with pytest.raises(NotationError, match="whole number"):
        read_axis(typed)


def test_an_axis_reads_with_its_marks() -> None:
    """A cross, the word and the sign of degrees may stand by it."""
    assert [read_axis(text) for text in ("090", "x 5", "Axis 180", "45°")] == [90, 5, 180, 45]


def test_a_prism_reads_alone() -> None:
    """Amount and base, in letters or in words."""
    assert read_prism("2 BD") == Prism(2, Base.DOWN)
    assert read_prism("1.5 base out") == Prism(1.5, Base.OUT)
    with pytest.raises(NotationError, match="no prism"):
        read_prism("2 sideways")


@pytest.mark.parametrize("typed", ["balance", "-1.00 DS add 2.00", "-1.00 DS 1 BU"])
def test_a_power_alone_is_only_a_power(typed: str) -> None:
    """Where a power is wanted, add, prism and balance are refused."""
    with pytest.raises(NotationError, match="only a power"):
        read_power(typed)


@given(st.text(max_size=40))
def test_no_text_breaks_the_reader(typed: str) -> None:
    """Any text is read or refused in words, never with another error."""
    for reader in (read_eye, read_dioptres, read_axis, read_prism):
        with contextlib.suppress(ShopledgerError):
            reader(typed)


@given(st.text(alphabet="+-0123456789. xaddpnobBUIOD/,", max_size=30))
def test_no_near_miss_breaks_the_reader(typed: str) -> None:
    """Text of the right letters in any order is read or refused in words."""
    try:
        eye = read_eye(typed)
    except ShopledgerError:
        return
    assert write_eye(read_eye(write_eye(eye))) == write_eye(eye)


def test_a_resultant_is_written_with_the_angle_of_its_base() -> None:
    """1.5 up and 2 in are 2.50 at 037 before the right eye and at 143 before the left; [nfos_12] prints 37."""
    prism = PrismVector(2, 1.5)
    assert write_resultant(prism, Side.RIGHT) == "2.50 at 037"
    assert write_resultant(prism, Side.LEFT) == "2.50 at 143"
    assert write_resultant(PrismVector(1, -0.001), Side.RIGHT) == "1.00 at 000"
    assert write_resultant(PrismVector(0, 0), Side.RIGHT) == "0.00"


@given(st.integers(1, 1000), st.integers(0, 359), st.sampled_from(Side))
def test_a_resultant_reads_back(hundredths: int, angle: int, side: Side) -> None:
    """An amount with a base angle is the same after writing and reading."""
    text = f"{hundredths / 100:.2f} at {angle:03d}"
    assert write_resultant(read_resultant(text, side), side) == text


def test_no_angle_is_no_resultant() -> None:
    """A base in letters has its own reader, and an angle beyond the circle is refused."""
    assert read_resultant("2.5 @ 37°", Side.RIGHT) == read_resultant("2.50 at 037", Side.RIGHT)
    with pytest.raises(NotationError, match="angle of its base"):
        read_resultant("2 BU", Side.RIGHT)
    with pytest.raises(OutOfRangeError, match="base angle"):
        read_resultant("2 at 361", Side.RIGHT)
