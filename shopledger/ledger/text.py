"""Names and free text as the ledger keeps them: one form, one line, of sensible length; initials and references."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Container, Iterator
from contextlib import contextmanager
from contextvars import ContextVar
from datetime import date
from itertools import chain, count
from typing import Final

from shopledger.errors import JOINERS, RefusedError, unseen, visible
from shopledger.ledger.private_numbers import CARD, SOCIAL_SECURITY, private_number

_CODE: Final = re.compile(r"[A-Z0-9][A-Z0-9-]{0,19}")
_ROOM: Final = 16
"""How long a code that is made of a name may be, so that a number fits behind it."""
_AS_KEPT: ContextVar[bool] = ContextVar("as_kept", default=False)
_INSTEAD: Final = {
    CARD: "Never type a whole card number or its security code; the last four digits will do.",
    SOCIAL_SECURITY: "Leave it out: it is never kept or printed.",
}
_ERASED: Final = "erased "
LONGEST_NAME: Final = 120
LONGEST_NOTE: Final = 2000
MOST_INITIALS: Final = 4
"""How many initials are kept at most: the first ones and the last."""


@contextmanager
def as_kept() -> Iterator[None]:
    """Take what the ledger holds already as it is: what was once let in must go on being read."""
    token = _AS_KEPT.set(True)
    try:
        yield
    finally:
        _AS_KEPT.reset(token)


def taken_anew() -> bool:
    """Tell whether a value comes from outside, and not from the ledger."""
    return not _AS_KEPT.get()


def clean_text(
    field: str, text: str, longest: int = LONGEST_NAME, *, required: bool = True, numbers: bool = False
) -> str:
    """Give the text in composed Unicode form on one line, or refuse it.

    What cannot be seen is refused, since it steers terminals and breaks sheets, and so are numbers that the shop never
    keeps, except with `numbers`, where whoever reads the text asks about them. Runs of white space become one space.
    """
    joined = " ".join(unicodedata.normalize("NFC", text).split())
    if taken_anew():
        refuse_unseen(field, joined)
        if not numbers:
            refuse_private(field, joined)
    if required and not joined.strip("".join(JOINERS)):
        raise RefusedError(field, "empty", "it may not be", f"Give the {field}.")
    if len(joined) > longest:
        raise RefusedError(field, f"{len(joined)} characters long", f"at most {longest} fit", "Shorten it.")
    return joined


def refuse_unseen(field: str, text: str) -> None:
    """Refuse a text with a character that cannot be seen, and show where it stands."""
    if text.isprintable():
        return
    place, letter = next(((at, each) for at, each in enumerate(text, start=1) if unseen(each)), (0, ""))
    if place:
        kind = "control character" if unicodedata.category(letter) == "Cc" else "invisible character"
        raise RefusedError(
            field,
            f"'{visible(text)}'",
            f"it holds the {kind} U+{ord(letter):04X} in place {place}",
            "Type it again without it.",
        )


def refuse_private(field: str, text: str) -> None:
    """Refuse a text that holds a card's whole number or a social security number, without repeating it."""
    found = private_number(text)
    if found:
        raise RefusedError(
            field,
            f"a text with what looks like {found}",
            "the shop never keeps one",
            _INSTEAD[found],
        )


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
    if taken_anew():
        refuse_private(f"{kind} code", typed)
    return typed


def code_of(words: str, used: Container[str]) -> str:
    """Make a code of an item's name that none has yet: `WREN-52`, and `WREN-52-2` where that is used."""
    plain = unicodedata.normalize("NFKD", words).encode("ascii", "ignore").decode().upper()
    made = "-".join(re.findall(r"[A-Z0-9]+", plain))[:_ROOM].strip("-") or "ITEM"
    others = (f"{made}-{each}" for each in count(2))
    return next(each for each in chain([made], others) if each not in used)


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
    reference = clean_text(f"{what} reference", text, 40, required=False, numbers=True)
    digits = sum(letter.isdigit() for letter in reference)
    longest = 4 if means == "card" else 12
    if digits > longest:
        raise RefusedError(
            f"{what} reference",
            f"{digits} digits long",
            f"at most {longest} digits are kept for a {means} {what}",
            _INSTEAD[CARD],
        )
    if taken_anew():
        refuse_private(f"{what} reference", reference)
    return reference


def mark(day: date) -> str:
    """Give the words that stand where a name stood before it was erased."""
    return f"{_ERASED}{day.isoformat()}"


def is_mark(text: object) -> bool:
    """Tell whether such words stand there."""
    return isinstance(text, str) and text.startswith(_ERASED) and len(text) == len(_ERASED) + len("2030-04-20")
