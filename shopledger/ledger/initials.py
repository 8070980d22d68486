"""A person's initials: enough to tell whose glasses they are at the bench, without a name lying about."""

from __future__ import annotations

import re
from typing import Final

MOST: Final = 4
"""How many initials are kept at most: the first ones and the last."""


def initials_of(name: str) -> str:
    """Give the initials of a name, as `O.F.`; words in small letters such as `von` count only where all are so."""
    words = [word for word in re.split(r"[\s\-\N{HYPHEN}\N{NON-BREAKING HYPHEN}]+", name) if _letter(word)]
    proper = [word for word in words if not _letter(word).islower()] or words
    letters = [_letter(word).upper()[:1] for word in proper]
    if len(letters) > MOST:
        letters = [*letters[: MOST - 1], letters[-1]]
    return "".join(f"{letter}." for letter in letters) or name.strip()[:1]


def nameless(text: str, *names: str) -> str:
    """Give a text with initials, those of the last name given, where it holds one of these names whole."""
    known = [name for name in names if name]
    for name in known:
        text = re.sub(re.escape(name), initials_of(known[-1]), text, flags=re.IGNORECASE)
    return text


def _letter(word: str) -> str:
    """Give a word's first letter; nothing where it has none."""
    return next((letter for letter in word if letter.isalpha()), "")
