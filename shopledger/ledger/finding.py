"""One field that finds all: what was typed, read in every way in which it may be meant, and what is found, best first.

A number alone may be of anything, and the bars on a job's sheet are its number; `job 12` and `receipt-00012` say of
what. Digits as phones have them may be a part of a phone number, letters and digits one of a parcel's. All else are
words of a name, in any order and without accents.
"""

from __future__ import annotations

import re
from collections.abc import Iterable
from dataclasses import dataclass
from enum import Enum
from typing import Final

from shopledger.ledger.things import About, Thing
from shopledger.ledger.twice import phone_digits

LONGEST: Final = 100
"""How much of a text is read at most."""
MOST_WORDS: Final = 6
"""How many words of a text are looked for at most."""
FEWEST_DIGITS: Final = 4
"""Of how many digits on a text may be a part of a phone number."""
FEWEST_SIGNS: Final = 8
"""Of how many letters and digits on a text may be a part of a parcel's number."""
FEWEST_LETTERS: Final = 3
"""Of how many letters on a text may be a part of a mail address."""
LONGEST_NUMBER: Final = 9
"""No counter reaches ten digits."""

NUMBERED: Final = (Thing.JOB, Thing.ORDER, Thing.RECEIPT, Thing.CUSTOMER)
"""What a number alone may be of, the likeliest first."""
_CALLED: Final = {thing.value: thing for thing in (*NUMBERED, Thing.WEARER, Thing.PARCEL)}
_NAMED: Final = re.compile(rf"({'|'.join(_CALLED)})[\s#-]*0*(\d{{1,{LONGEST_NUMBER}}})(?:\.pdf)?", re.IGNORECASE)
_SIGNS: Final = re.compile(rf"(?=.*[0-9])[0-9A-Z]{{{FEWEST_SIGNS},}}", re.ASCII)
_PHONE: Final = re.compile(r"[0-9\s()./+-]+")


class Closeness(Enum):
    """How well something fits what was typed, the best first."""

    NAMED = "named by its kind and number"
    NUMBER = "has that number"
    WHOLE = "is called just that"
    BEGINS = "its words begin so"
    WITHIN = "holds that"


@dataclass(frozen=True, slots=True)
class Hit:
    """Something that was found: what it is, and what is said of it."""

    about: About
    words: str
    closeness: Closeness
    of: About | None = None
    """What it belongs to: the customer of a wearer, the order of a job, a receipt or a parcel."""


@dataclass(frozen=True, slots=True)
class Sought:
    """What was typed, in each way in which it may be meant; empty where it cannot be meant so."""

    text: str
    named: Thing | None = None
    """What the number is said to be of."""
    number: int | None = None
    phone: str = ""
    """Digits of a phone number."""
    signs: str = ""
    """Letters and digits of a parcel's number, in capitals."""
    mail: str = ""
    """A part of a mail address, in small letters."""

    @property
    def things(self) -> tuple[Thing, ...]:
        """Of what the number may be."""
        if self.number is None:
            return ()
        return NUMBERED if self.named is None else (self.named,)


def sought(typed: str) -> Sought | None:
    """Read what was typed; None where nothing was, since everybody is not to be listed by the way."""
    text = " ".join(typed[:LONGEST].split())
    if not any(map(str.isalnum, text)):
        return None
    named = _NAMED.fullmatch(text)
    if named is not None:
        return Sought(text, _CALLED[named[1].lower()], int(named[2]))
    plain = text.isascii() and text.isdigit()
    digits = phone_digits(text) if text.isascii() and _PHONE.fullmatch(text) else ""
    signs = re.sub(r"[\s-]", "", text.upper())
    one_word = " " not in text and not plain
    return Sought(
        text,
        number=int(text) if plain and len(text.lstrip("0")) in range(1, LONGEST_NUMBER + 1) else None,
        phone=digits if len(digits) >= FEWEST_DIGITS else "",
        signs=signs if _SIGNS.fullmatch(signs) else "",
        mail=text.lower() if one_word and len(text) >= FEWEST_LETTERS else "",
    )


def best_first(hits: Iterable[Hit], most: int) -> tuple[Hit, ...]:
    """Give hits with the best first, each thing once, and no more than so many."""
    order, things = list(Closeness), list(Thing)
    found: dict[About, Hit] = {}
    for hit in sorted(hits, key=lambda hit: (order.index(hit.closeness), things.index(hit.about.thing))):
        found.setdefault(hit.about, hit)
    return tuple(found.values())[:most]
