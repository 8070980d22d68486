"""Names and free text as the ledger keeps them: one form, one line, of sensible length; initials and references."""

from __future__ import annotations

import re
import unicodedata
from typing import Final

from shopledger.errors import RefusedError

_CODE: Final = re.compile(r"[A-Z0-9][A-Z0-9-]{0,19}")
_NOT_KEPT: Final = frozenset({"Cc", "Cs", "Co", "Cn"})
"""Unicode's categories of what is no letter, mark, digit or sign; none of them is printable."""
LONGEST_NAME: Final = 120
LONGEST_NOTE: Final = 2000
MOST_INITIALS: Final = 4
"""How many initials are kept at most: the first ones and the last."""


def clean_text(field: str, text: str, longest: int = LONGEST_NAME, *, required: bool = True) -> str:
    """Give the text in composed Unicode form on one line, or refuse it.

    Control characters are refused, since they print as boxes and break sheets; runs of white space become one space.
    """
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    odd = () if joined.isprintable() else [each for each in joined if unicodedata.category(each) in _NOT_KEPT]
    if odd:
        raise RefusedError(
            field,
            f"'{_printable(joined)}'",
            f"it holds the control character U+{ord(odd[0]):04X}",
            "Type it again without it.",
        )
    if required and not joined:
        raise RefusedError(field, "empty", "it may not be", f"Give the {field}.")
    if len(joined) > longest:
        raise RefusedError(field, f"{len(joined)} characters long", f"at most {longest} fit", "Shorten it.")
    return joined


def _printable(text: str) -> str:
    return "".join(letter if letter.isprintable() else "?" for letter in text)


def read_code(kind: str, text: str) -> str:
    """Read the owner's short code for a catalogue item: capitals, digits and hyphens, at most 20."""
    typed = text.strip().upper()
    if not _CODE.fullmatch(typed):
        raise RefusedError(
            f"{kind} code",
            f"'{text.strip()}'",
            "a code is up to 20 letters, digits and hyphens, as in WREN-52",
            "Choose such a code.",
        )
    return typed


def initials_of(name: str) -> str:
    """Give the initials of a name, as `O.F.`; words in small letters such as `von` count only where all are so."""
    words = [word for word in re.split(r"[\s\-\N{HYPHEN}\N{NON-BREAKING HYPHEN}]+", name) if _letter(word)]
    proper = [word for word in words if not _letter(word).islower()] or words
    letters = [_letter(word).upper()[:1] for word in proper]
    if len(letters) > MOST_INITIALS:
        letters = [*letters[: MOST_INITIALS - 1], letters[-1]]
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


def kept_reference(what: str, means: str, text: str) -> str:
    """Read a reference: at most a card's last four digits, and of anything else fewer digits than a card number has."""
    reference = clean_text(f"{what} reference", text, 40, required=False)
    digits = sum(letter.isdigit() for letter in reference)
    longest = 4 if means == "card" else 12
    if digits > longest:
        raise RefusedError(
            f"{what} reference",
            f"{digits} digits long",
            f"at most {longest} digits are kept for a {means} {what}",
            "Never type a whole card number or its security code; the last four digits will do.",
        )
    return reference
