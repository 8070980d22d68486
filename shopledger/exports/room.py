"""How many lines a text takes in a column, by a rough measure of its letters: enough to make a row high enough."""

from __future__ import annotations

import textwrap
from typing import Final

# In widths of a digit.
_USUAL: Final = 0.88
_BROAD: Final = 1.25
_SQUARE: Final = 2.0
_BROAD_LETTERS: Final = frozenset("mwMW@%&")
# From here on the planes of Unicode hold letters that fill a square.
_SQUARE_FROM: Final = "\u2e80"
_AIR: Final = 1.5
"""What a cell keeps free at its sides and before its text, in widths of a digit."""


def lines_of(text: str, width: float) -> int:
    """Count the lines that a text takes in a column of that width, broken between words where it can be."""
    measured = sum(map(_letter, text))
    room = max(width - _AIR, 1.0)
    if measured <= room:
        return 1
    fits = max(int(room * len(text) / measured), 1)
    return len(textwrap.wrap(text, fits)) or 1


def _letter(letter: str) -> float:
    if letter >= _SQUARE_FROM:
        return _SQUARE
    return _BROAD if letter in _BROAD_LETTERS or letter.isupper() else _USUAL
