"""Initials: whose glasses these are, and no more."""

from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.text import MOST_INITIALS, initials_of


@pytest.mark.parametrize(
    ("name", "initials"),
    [
        ("Odalys Fernhollow", "O.F."),
        ("odalys fernhollow", "O.F."),
        ("Ilse van der Marrow", "I.M."),
        ("Anne-Marie O'Tarrow", "A.M.O."),
        ("Łucja Ólafsdóttir", "Ł.Ó."),
        ("(Tobin) Marrow 3", "T.M."),
        ("Bo Cal Dee Eve Fay", "B.C.D.F."),
        ("ßen Ort", "O."),
        ("李小龍", "李."),
        ("42", "4"),
    ],
)
def test_initials_are_the_first_letters_of_the_words_that_name_somebody(name: str, initials: str) -> None:
    """Words in small letters, digits and marks do not count where there are better ones; long names keep the last."""
    assert initials_of(name) == initials


@given(st.text(min_size=1).filter(lambda name: bool(name.strip())))
def test_initials_never_hold_a_word(name: str) -> None:
    """Whatever the name, at most four letters of it are said, each by itself."""
    letters = initials_of(name).split(".")
    assert 1 <= len(letters) <= MOST_INITIALS + 1
    assert all(len(letter) <= 1 for letter in letters)
