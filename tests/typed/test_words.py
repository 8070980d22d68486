"""Words of a list are read by what makes them plain, and another word is answered with the one that is meant."""

from __future__ import annotations

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.catalogue import ExtraKind
from shopledger.typed.other_words import OTHER_WORDS
from shopledger.typed.words import read_word, typed_word

EXPENSES, EXTRAS = tuple(ExpenseCategory), tuple(ExtraKind)


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("Postage", ExpenseCategory.POSTAGE),
        ("postage and shipping out", ExpenseCategory.POSTAGE),
        ("adve", ExpenseCategory.ADVERTISING),
        ("Insur", ExpenseCategory.INSURANCE),
    ],
)
def test_the_beginning_of_a_word_finds_it(text: str, word: ExpenseCategory) -> None:
    """Its first part, or four letters of it, where no other word begins so."""
    assert read_word(text, "category", EXPENSES) is word


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("rent", "that is rent-of-premises (Schedule C line 20b) or rent-of-equipment (Schedule C line 20a) here."),
        ("Internet", "that is utilities (Schedule C line 25) here. Type it so."),
        ("license", "taxes-and-licences (Schedule C line 23) or training-and-licences (Schedule C line 48)"),
        ("rent-of", "Did you mean rent-of-equipment or rent-of-premises?"),
        ("ins", "it is advertising, "),
        ("", "it is advertising, "),
    ],
)
def test_another_word_is_answered_with_the_one_that_is_meant(text: str, said: str) -> None:
    """It is never taken for it: under which line an expense goes, the owner says."""
    with pytest.raises(RefusedError) as refusal:
        read_word(text, "category", EXPENSES)
    assert said in str(refusal.value)


def test_the_trades_short_word_for_a_coating_is_answered() -> None:
    """`ar` is no polarized lens, and four letters find the whole word."""
    assert read_word("photo", "extra", EXTRAS) is ExtraKind.PHOTOCHROMIC
    with pytest.raises(RefusedError, match="that is anti-reflective here"):
        read_word("AR", "extra", EXTRAS)


def test_other_words_mean_words_that_there_are() -> None:
    """Each leads to words of its list, and none is a word of it."""
    for kind in (ExpenseCategory, ExtraKind):
        known = {typed_word(word) for word in kind}
        for other, meant in OTHER_WORDS[kind.__name__].items():
            assert set(meant) <= known, other
            assert other not in known
            assert meant
    assert OTHER_WORDS.keys() == {"ExpenseCategory", "ExtraKind"}
