"""What is different from one prescription to the next, said for one eye."""

from __future__ import annotations

import pytest

from shopledger.ledger.prescription import axis_turn, changes_in_words
from shopledger.optics.notation import read_eye


@pytest.mark.parametrize(
    ("before", "now", "words"),
    [
        ("-2.50 DS", "-2.50 DS", "as before"),
        ("-2.50 DS", "-2.75 DS", "sphere 0.25 D toward minus"),
        ("-2.50 DS", "-2.00 DS", "sphere 0.50 D toward plus"),
        ("+1.00 DS", "-0.25 DS", "sphere 1.25 D toward minus"),
        ("-2.50 -1.00 x 090", "-2.50 -1.50 x 090", "cylinder 0.50 D stronger"),
        ("-2.50 -1.00 x 090", "-2.50 -0.75 x 085", "cylinder 0.25 D weaker, axis turned 5°, from 090 to 085"),
        ("-2.50 -1.00 x 175", "-2.50 -1.00 x 005", "axis turned 10°, from 175 to 005"),
        ("-2.50 DS", "-2.50 -0.50 x 010", "cylinder new, -0.50 x 010"),
        ("-2.50 -0.50 x 010", "-2.50 DS", "cylinder gone, it was -0.50 x 010"),
        ("-3.50 +1.00 x 180", "-2.50 -1.00 x 090", "as before"),
        ("-2.50 DS add 2.00", "-2.50 DS add 2.25", "add 0.25 D stronger"),
        ("-2.50 DS", "-2.50 DS add 1.00", "add new, +1.00"),
        ("-2.50 DS add 1.00", "-2.50 DS", "no add any more, it was +1.00"),
        ("-2.50 DS", "-2.50 DS 2.00 BU", "prism new, 2.00 BU"),
        ("-2.50 DS 2.00 BU", "-2.50 DS", "prism gone, it was 2.00 BU"),
        ("-2.50 DS 2.00 BU", "-2.50 DS 3.00 BO", "prism 3.00 BO, it was 2.00 BU"),
        ("-2.50 DS 2.00 BU 1.00 BI", "-2.50 DS 1.00 BI 2.00 BU", "as before"),
    ],
)
def test_each_change_is_said_in_plain_words(before: str, now: str, words: str) -> None:
    """Nothing is said of what stayed, and the cylinder's form is no change."""
    assert changes_in_words(read_eye(before), read_eye(now)) == words


def test_a_balance_lens_is_told() -> None:
    """A lens that only balances the other one is another lens."""
    plain, balance = read_eye("-2.50 DS"), read_eye("balance -2.50 DS")
    assert changes_in_words(plain, balance) == "a balance lens now"
    assert changes_in_words(balance, plain) == "no balance lens any more"


@pytest.mark.parametrize(
    ("before", "now", "turned"), [(90, 95, 5), (5, 175, -10), (175, 5, 10), (180, 90, -90), (None, 5, None)]
)
def test_an_axis_turns_the_shorter_way(before: float | None, now: float | None, turned: float | None) -> None:
    """175 and 5 degrees are ten apart; without an axis before or now there is no turn."""
    assert axis_turn(before, now) == turned
