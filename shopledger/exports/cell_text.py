"""Text in a cell: it stays text whatever it begins with, and how many lines it takes there."""

from __future__ import annotations

import re
import textwrap
from typing import Final

LONGEST: Final = 32_767
"""As many characters as a cell holds."""

_BREAKS: Final = re.compile(r"[\t\n\v\f\r\x85\u2028\u2029]")
# What no XML file can hold: control characters, halves of a pair, and two code points that are no characters.
_NOT_WRITABLE: Final = re.compile("[^\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Some programs take the wide forms of the signs for the plain ones.
_FORMULA_SIGNS: Final = "=+-@\uff1d\uff0b\uff0d\uff20"

# In widths of a digit.
_USUAL: Final = 0.88
_BROAD: Final = 1.25
_SQUARE: Final = 2.0
_BROAD_LETTERS: Final = frozenset("mwMW@%&")
# From here on the planes of Unicode hold letters that fill a square.
_SQUARE_FROM: Final = "\u2e80"
_AIR: Final = 1.5
"""What a cell keeps free at its sides and before its text, in widths of a digit."""


def writable(text: str) -> str:
    """Give a text that any sheet can hold: on one line, without control characters, no longer than a cell."""
    return _NOT_WRITABLE.sub("", _BREAKS.sub(" ", text))[:LONGEST]


def begins_like_a_formula(text: str) -> bool:
    """Tell whether a spreadsheet could take the text for a formula if it were typed in."""
    return text.lstrip()[:1] in _FORMULA_SIGNS and bool(text.strip())


def escape_formula(text: str) -> str:
    """Give a text for a plain file, with a quote mark before one that a spreadsheet would run."""
    safe = writable(text)
    return f"'{safe}" if begins_like_a_formula(safe) else safe


def lines_of(text: str, width: float) -> int:
    """Count the lines that a text takes in a column of that width, broken between words where it can be."""
    measured = sum(map(_letter, text))
    free = max(width - _AIR, 1.0)
    if measured <= free:
        return 1
    fits = max(int(free * len(text) / measured), 1)
    return len(textwrap.wrap(text, fits)) or 1


def _letter(letter: str) -> float:
    if letter >= _SQUARE_FROM:
        return _SQUARE
    return _BROAD if letter in _BROAD_LETTERS or letter.isupper() else _USUAL
