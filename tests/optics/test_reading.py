"""What prescribers write is understood in every way of writing, and what is not surely understood is refused."""

from __future__ import annotations

import re
from dataclasses import replace

import pytest

from shopledger.errors import ShopledgerError
from shopledger.optics.notation import read_dioptres, read_eye, read_eyes, read_power, read_prism, write_eye
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.refusals import NotationError, PointMissingError
from shopledger.optics.sides import Side
from tests.optics.ways_of_writing import ASKED, MARKED_LEFT, MARKED_RIGHT, REFUSED, WAYS, each_way, eye

FIRST = eye(-2.5, -1.25, 90)


def alike(one: EyePrescription, other: EyePrescription) -> bool:
    """Whether both say the same; the order of two prisms says nothing."""
    return replace(one, prism=()) == replace(other, prism=()) and set(one.prism) == set(other.prism)


def test_the_table_holds_hundreds_of_ways_and_none_twice() -> None:
    """At least 300 ways of writing and 100 refusals, each once."""
    ways = [way for way, _ in each_way()]
    refused = [typed for typed, _ in REFUSED]
    assert len(ways) == len(set(ways)) >= 300
    assert len(refused) == len(set(refused)) >= 100


@pytest.mark.parametrize("said", WAYS, ids=lambda said: write_eye(said[0]))
def test_every_way_of_writing_is_read(said: tuple[EyePrescription, tuple[str, ...]]) -> None:
    """Each says what the table says of it, and what was understood reads back from its one form."""
    meant, ways = said
    for way in ways:
        found = read_eye(way)
        assert alike(found, meant), way
        assert read_eye(write_eye(found)) == found, way


def test_a_line_marked_for_its_eye_is_read() -> None:
    """The name of the eye may stand before the powers, and the same line is refused for the other eye."""
    for ways, side, other in ((MARKED_RIGHT, Side.RIGHT, Side.LEFT), (MARKED_LEFT, Side.LEFT, Side.RIGHT)):
        for way in ways:
            assert read_eye(way, side) == read_eye(way) == FIRST, way
            with pytest.raises(NotationError, match=f"marked for the {side.value} eye and given for the {other.value}"):
                read_eye(way, other)


@pytest.mark.parametrize("typed", ["OU -2.00 DS", "both eyes -2.00", "O.U. plano add 2.00"])
def test_a_line_for_both_eyes_is_none_of_one_eye(typed: str) -> None:
    """Where the eye is known it is typed for each; where no eye is meant the mark says nothing."""
    assert read_eye(typed).power.cylinder == 0
    with pytest.raises(NotationError, match="marked for both eyes and given for the left one"):
        read_eye(typed, Side.LEFT)


def test_an_add_may_be_marked_for_both_eyes_or_its_own() -> None:
    """An add of the other eye is refused."""
    assert read_eye("-2.00 DS add 2.00 OU", Side.RIGHT) == read_eye("-2.00 add +2.00 OD", Side.RIGHT)
    for typed, side in (("-2.00 add 2.00 OS", Side.RIGHT), ("OD -2.00 add 2.00 OS", None)):
        with pytest.raises(NotationError, match="marked for the left eye and given for the right"):
            read_eye(typed, side)


@pytest.mark.parametrize(("typed", "said"), REFUSED)
def test_what_is_not_surely_understood_is_refused(typed: str, said: str) -> None:
    """The one piece that has no place is named, or what is missing."""
    with pytest.raises(ShopledgerError, match=re.escape(said)):
        read_eye(typed)


@pytest.mark.parametrize(("typed", "lines"), ASKED)
def test_a_whole_number_of_two_digits_is_asked_about(typed: str, lines: tuple[str, ...]) -> None:
    """Every line that may be meant is given, and what cannot be is not offered as the only one."""
    with pytest.raises(PointMissingError, match="no decimal point and may be") as asked:
        read_eye(typed)
    assert asked.value.lines == lines
    assert asked.value.text in typed


def test_a_calculated_power_may_have_any_decimals() -> None:
    """Calculators take what others gave; a prescription is never written so."""
    assert read_dioptres("-8.4988") == -8.4988


def test_parts_typed_by_themselves_are_asked_about_too() -> None:
    """A sphere, an add or a prism by itself may have lost its point as well."""
    for reader, typed, numbers in (
        (read_dioptres, "-10", ("-1.00", "-10.00")),
        (read_dioptres, "25", ("0.25", "2.50", "25.00")),
        (read_prism, "25 BU", ("0.25", "2.50", "25.00")),
        (read_power, "+25", ("+0.25", "+2.50", "+25.00")),
    ):
        with pytest.raises(PointMissingError) as asked:
            reader(typed)
        assert asked.value.numbers == numbers


@pytest.mark.parametrize(
    ("typed", "right", "left"),
    [
        ("OD -2.50 -1.25 x 090 OS -2.25 DS", eye(-2.5, -1.25, 90), eye(-2.25)),
        ("R: -2.50 DS; L: -2.25 DS", eye(-2.5), eye(-2.25)),
        ("OS -2.25 DS OD -2.50 DS", eye(-2.5), eye(-2.25)),
        ("OD -2.50 OS -2.25 ADD +2.00 OU", eye(-2.5, 0, None, 2.0), eye(-2.25, 0, None, 2.0)),
        ("OD -2.50 add 2.00 OS -2.25 add 2.25", eye(-2.5, 0, None, 2.0), eye(-2.25, 0, None, 2.25)),
        ("OD bal. OS -2.25 add +2.00 OS", eye(0, balance=True), eye(-2.25, 0, None, 2.0)),
        ("OD -2.50 add 2.00 OU OS -2.25", eye(-2.5, 0, None, 2.0), eye(-2.25, 0, None, 2.0)),
        ("OU -1.00 DS", eye(-1), eye(-1)),
        ("both eyes plano +2.00 add", eye(0, 0, None, 2.0), eye(0, 0, None, 2.0)),
    ],
)
def test_both_eyes_are_read_from_one_line(typed: str, right: EyePrescription, left: EyePrescription) -> None:
    """Each eye's name stands before its powers, in either order, and an add may be marked for both."""
    assert read_eyes(typed) == Prescription(right, left)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("-2.50 DS", "both eyes are wanted, and it names none. Write OU before it"),
        ("OD -2.50 DS", "the left eye is missing. Write the left one too"),
        ("left -2.50 -1.25 x 90 add 2", "the right eye is missing"),
        ("OD -2.50 OS", "something is missing after OS"),
        ("OD -2.50 OD -2.25", "'OD' cannot be placed after the sphere -2.50"),
        ("OD -2.50 OS -2.25 add 2.00", "whether the add is for both eyes"),
        ("OD -2.50 OS -2.25 add 2.00 OD", "marked for the other eye"),
        ("OU -2.50 OS -2.25", "'OS' cannot be placed"),
        ("OD -2.50 OS +25", "no decimal point"),
        ("OD " + "-2.50 " * 60, "longer than 240 letters"),
    ],
)
def test_a_line_that_does_not_say_which_eye_is_refused(typed: str, said: str) -> None:
    """An eye that is missing, named twice, or an add of nobody knows which eye."""
    with pytest.raises(NotationError, match=re.escape(said)):
        read_eyes(typed)


def test_digits_without_end_are_refused_like_few() -> None:
    """A bar code read a hundred times is no power, and no number that a computer has to hold."""
    with pytest.raises(NotationError, match="the decimal point seems to be missing"):
        read_dioptres("+" + "9" * 5_000, signed=True)
