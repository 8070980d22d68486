"""Free text in one form on one line, and the owner's short codes."""

from __future__ import annotations

import unicodedata

import pytest
from hypothesis import given

from shopledger.errors import RefusedError
from shopledger.ledger.text import clean_text, code_of, read_code
from tests.strategies import TEXTS


def test_white_space_becomes_single_blanks_on_one_line() -> None:
    """Tabs, line ends and runs of blanks are one blank each, none at the ends."""
    assert clean_text("name", "  Odalys\t\n Fernhollow \r\n") == "Odalys Fernhollow"


def test_letters_are_composed() -> None:
    """An e with a combining acute is the same name as é."""
    assert clean_text("name", "Rene\u0301") == "Ren\u00e9"


@pytest.mark.parametrize(
    ("letter", "told"),
    [
        ("\x00", "control character U+0000"),
        ("\x1b", "control character U+001B"),
        ("\x9b", "control character U+009B"),
        ("\u202e", "invisible character U+202E"),
        ("\u2066", "invisible character U+2066"),
        ("\u200f", "invisible character U+200F"),
        ("\ufeff", "invisible character U+FEFF"),
        ("\ue000", "invisible character U+E000"),
        ("\udc80", "invisible character U+DC80"),
        ("\U000e0041", "invisible character U+E0041"),
    ],
)
def test_what_cannot_be_seen_is_refused_by_its_number_and_place(letter: str, told: str) -> None:
    """What steers a terminal or breaks a sheet is named, and stands in the sentence as its number, never itself."""
    with pytest.raises(RefusedError) as caught:
        clean_text("name", f"Wren{letter}52")
    assert f"{told} in place 5" in str(caught.value)
    assert str(caught.value).isprintable()
    assert str(caught.value).startswith("name is 'Wren\\")


def test_what_joins_letters_is_kept() -> None:
    """Some scripts are not written without the signs that join and part letters."""
    with pytest.raises(RefusedError, match="name is empty"):
        clean_text("name", "\u200c\u200d")
    for name in ("\u0646\u06cc\u200c\u0627", "\u0915\u094d\u200d\u0937"):
        assert clean_text("name", name) == name


def test_empty_text_is_refused_where_it_is_needed() -> None:
    """Blanks alone are nothing; where text may be left out they are empty."""
    with pytest.raises(RefusedError, match="name is empty"):
        clean_text("name", " \t ")
    assert clean_text("note", "  ", required=False) == ""


def test_text_that_does_not_fit_is_refused_with_both_lengths() -> None:
    """At most 120 characters unless said otherwise, counted after cleaning."""
    assert len(clean_text("name", " " + "x" * 120 + " ")) == 120
    with pytest.raises(RefusedError, match="121 characters long; at most 120"):
        clean_text("name", "x" * 121)
    with pytest.raises(RefusedError, match="at most 3 fit"):
        clean_text("name", "four", 3)


@given(TEXTS)
def test_cleaning_twice_changes_nothing(text: str) -> None:
    """Clean text is clean already, and composed."""
    try:
        clean = clean_text("name", text)
    except RefusedError:
        return
    assert clean_text("name", clean) == clean
    assert unicodedata.is_normalized("NFC", clean)


def test_a_code_is_capitals_digits_and_hyphens() -> None:
    """Small letters are raised, blanks around dropped."""
    assert read_code("frame", " wren-52 ") == "WREN-52"
    assert read_code("frame", "A" * 20) == "A" * 20


@pytest.mark.parametrize("typed", ["", "-A", "WREN 52", "WREN_52", "Ä1", "A" * 21, "../A"])
def test_what_is_no_code_is_refused_by_its_kind(typed: str) -> None:
    """Other letters, blanks, and more than twenty are refused."""
    with pytest.raises(RefusedError, match="frame code"):
        read_code("frame", typed)


@pytest.mark.parametrize(
    ("words", "used", "made"),
    [
        ("Wren 52", set(), "WREN-52"),
        ("Wren 52", {"WREN-52", "WREN-52-2"}, "WREN-52-3"),
        ("Élan, moss & tea", set(), "ELAN-MOSS-TEA"),
        ("a very long name of a frame", set(), "A-VERY-LONG-NAME"),
        ("\N{CJK UNIFIED IDEOGRAPH-773C}", set(), "ITEM"),
    ],
)
def test_a_code_is_made_of_a_name(words: str, used: set[str], made: str) -> None:
    """It is one that the catalogue takes, and that no other item has."""
    assert code_of(words, used) == made
    assert read_code("frame", made) == made
