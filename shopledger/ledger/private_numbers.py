"""Numbers that the shop never keeps, wherever they are typed: whole numbers of payment cards, social security numbers.

A card's number is known by its issuer range, its length and its check digit, together (ISO/IEC 7812: issuer number in
front, Luhn digit at the end). Grouped with blanks, dashes or points it counts where the groups are even, as in 4-4-4-4,
or as cards print them, 4-6-5 and 4-6-4: two telephone numbers in a row are no card. A social security number is known
by its form 3-2-4, or as nine digits near its name. What was never given out passes (Social Security Administration: no
area 000, 666 or 900 to 999, no group 00, no serial 0000). Digits of every script count.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator, Sequence
from typing import Final

CARD: Final = "the whole number of a payment card"
SOCIAL_SECURITY: Final = "a social security number"

SHORTEST_CARD: Final = 13
LONGEST_CARD: Final = 19

_LONG: Final = frozenset(range(16, 20))
_ISSUERS: Final[tuple[tuple[str, str, frozenset[int]], ...]] = (
    ("4", "4", frozenset({13, 16, 18, 19})),
    ("51", "55", frozenset({16})),
    ("2221", "2720", frozenset({16})),
    ("34", "34", frozenset({15})),
    ("37", "37", frozenset({15})),
    ("300", "305", frozenset({14}) | _LONG),
    ("3095", "3095", frozenset({14}) | _LONG),
    ("36", "36", frozenset({14}) | _LONG),
    ("38", "39", frozenset({14}) | _LONG),
    ("3528", "3589", _LONG),
    ("6011", "6011", _LONG),
    ("644", "659", _LONG),
    ("62", "62", _LONG),
    ("810", "817", _LONG),
    ("2200", "2204", _LONG),
    ("5018", "5018", frozenset(range(13, 20))),
    ("5020", "5020", frozenset(range(13, 20))),
    ("5038", "5038", frozenset(range(13, 20))),
    ("5893", "5893", frozenset(range(13, 20))),
    ("6304", "6304", frozenset(range(13, 20))),
    ("6759", "6763", frozenset(range(13, 20))),
    ("508", "508", frozenset({16})),
    ("607", "608", frozenset({16})),
)
"""First and last issuer number of each range and how long its cards' numbers are (public lists of issuer ranges)."""
_PRINTED: Final = ((4, 6, 5), (4, 6, 4))
"""Uneven groups that cards print."""
_LEAST_IN_LONG_ROW: Final = 4
"""Groups of fewer digits stand for a card's number only where they are the whole row: small figures stand in rows."""

_JOINS: Final = r"[\s.\u00b7_]|[-\u2010-\u2015\u2212\ufe58\ufe63\uff0d]"
_ROW: Final = re.compile(rf"[0-9]+(?:(?:{_JOINS}){{1,3}}[0-9]+)*")
_GROUP: Final = re.compile(r"[0-9]+")
_SSN_FORM: Final = re.compile(
    rf"(?<![0-9])(?<![0-9][-.])(?P<area>[0-9]{{3}})(?P<join>(?:{_JOINS}){{1,3}})(?P<group>[0-9]{{2}})(?P=join)"
    r"(?P<serial>[0-9]{4})(?![0-9]|[-.][0-9])"
)
_SSN_NAME: Final = re.compile(r"\bs\.? ?s\.? ?n\b|\bss ?#|\bsocial\b|\bsoc\.? ?sec", re.IGNORECASE)
_NINE: Final = re.compile(rf"(?<![0-9])(?:[0-9](?:{_JOINS})?){{8}}[0-9](?![0-9])")
_NEAR: Final = 30
"""Within how many letters of its name nine digits are taken for the number. (common practice, no source)"""


def private_number(text: str) -> str:
    """Say what private number a text holds, in words; empty where it holds none."""
    plain = _plain(text)
    if any(map(_is_card, _candidates(plain))):
        return CARD
    return SOCIAL_SECURITY if _holds_social_security(plain) else ""


def luhn_remainder(digits: str) -> int:
    """Give what the check digit leaves over; nothing where it fits (ISO/IEC 7812-1, annex B)."""
    doubled = (int(digit) * (2 if place % 2 else 1) for place, digit in enumerate(reversed(digits)))
    return sum(value - 9 if value > 9 else value for value in doubled) % 10


def _plain(text: str) -> str:
    """Give a text with digits of every script as 0 to 9, and without what no eye sees between them."""
    if text.isascii():
        return text
    found = []
    for letter in unicodedata.normalize("NFKD", text):
        digit = unicodedata.digit(letter, None)
        if digit is not None:
            found.append(str(digit))
        elif unicodedata.category(letter) not in {"Cf", "Mn", "Me"}:
            found.append(letter)
    return "".join(found)


def _candidates(plain: str) -> Iterator[str]:
    """Give the digits of each row, and part of a row, that is grouped as a card's number may be."""
    for row in _ROW.finditer(plain):
        groups = _GROUP.findall(row[0])
        for start in range(len(groups)):
            for end in range(start + 1, len(groups) + 1):
                some = groups[start:end]
                digits = "".join(some)
                if len(digits) > LONGEST_CARD:
                    break
                if len(digits) >= SHORTEST_CARD and _grouped(some, whole=len(some) == len(groups)):
                    yield digits


def _grouped(groups: Sequence[str], *, whole: bool) -> bool:
    sizes = tuple(map(len, groups))
    if len(sizes) == 1 or sizes in _PRINTED:
        return True
    even = len(set(sizes[:-1])) == 1 and sizes[-1] <= sizes[0]
    return even and (whole or sizes[0] >= _LEAST_IN_LONG_ROW)


def _is_card(digits: str) -> bool:
    issued = any(len(digits) in lengths and first <= digits[: len(first)] <= last for first, last, lengths in _ISSUERS)
    return issued and luhn_remainder(digits) == 0


def _holds_social_security(plain: str) -> bool:
    for found in _SSN_FORM.finditer(plain):
        if _given_out(found["area"], found["group"], found["serial"]):
            return True
    for name in _SSN_NAME.finditer(plain):
        near = plain[max(0, name.start() - _NEAR) : name.end() + _NEAR]
        for nine in _NINE.finditer(near):
            digits = "".join(_GROUP.findall(nine[0]))
            if _given_out(digits[:3], digits[3:5], digits[5:]):
                return True
    return False


def _given_out(area: str, group: str, serial: str) -> bool:
    return area not in {"000", "666"} and area < "900" and group != "00" and serial != "0000"
