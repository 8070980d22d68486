"""Text that stays text: nothing a customer is called may turn into a formula on somebody's screen."""

from __future__ import annotations

import re
from typing import Final

LONGEST: Final = 32_767
"""As many characters as a cell holds."""

_BREAKS: Final = re.compile(r"[\t\n\v\f\r\x85\u2028\u2029]")
# What no XML file can hold: control characters, halves of a pair, and two code points that are no characters.
_NOT_WRITABLE: Final = re.compile("[^\x20-\x7e\xa0-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
# Some programs take the wide forms of the signs for the plain ones.
_FORMULA_SIGNS: Final = "=+-@\uff1d\uff0b\uff0d\uff20"


def inert(text: str) -> str:
    """Give a text that any sheet can hold: on one line, without control characters, no longer than a cell."""
    return _NOT_WRITABLE.sub("", _BREAKS.sub(" ", text))[:LONGEST]


def begins_like_a_formula(text: str) -> bool:
    """Tell whether a spreadsheet could take the text for a formula if it were typed in."""
    return text.lstrip()[:1] in _FORMULA_SIGNS and bool(text.strip())
