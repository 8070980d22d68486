"""A line of a prescription taken apart: numbers with their sign, words, and what is neither."""

from __future__ import annotations

import re
from dataclasses import dataclass
from enum import Enum


class Kind(Enum):
    """What one piece of a line is."""

    NUMBER = "number"
    FRACTION = "fraction"
    """Such as 1/2 or 2 1/2, which only prism is written with."""
    WORD = "word"
    OTHER = "other"
    """Anything else, which has no place in a prescription."""


@dataclass(frozen=True, slots=True)
class Token:
    """One piece of a line."""

    kind: Kind
    text: str
    """As typed, but for copied signs and wide letters."""
    word: str = ""
    """A word in small letters without its points; empty for what is none."""
    sign: str = ""
    digits: str = ""
    """The digits of a number with a point; a fraction is brought to it."""
    start: int = 0
    end: int = 0
    """Where it stands in the line."""
    parted: bool = False
    """Whether a slash stands before it."""
    apart: bool = False
    """Whether there is a blank between its sign and its digits."""

    @property
    def size(self) -> float:
        """The number without its sign; an eighth in either of its short spellings is the eighth itself."""
        return size_of(self.digits)

    @property
    def value(self) -> float:
        """The number with its sign."""
        return -self.size + 0.0 if self.sign == "-" else self.size

    @property
    def whole(self) -> bool:
        """Whether it is written without a point, a comma or a fraction."""
        return self.kind is Kind.NUMBER and self.digits.isdigit()


EIGHTHS = {"12": 0.125, "13": 0.125, "37": 0.375, "38": 0.375, "62": 0.625, "63": 0.625, "87": 0.875, "88": 0.875}
"""Both the cut and the rounded spelling of an eighth are in use."""

_VULGAR = {"¼": ".25", "½": ".5", "¾": ".75", "⅛": ".125", "⅜": ".375", "⅝": ".625", "⅞": ".875"}
_CUT = {"1/2": ".5", "1/4": ".25", "3/4": ".75", "1/8": ".125", "3/8": ".375", "5/8": ".625", "7/8": ".875"}

_WIDE = {wide: wide - 0xFEE0 for wide in range(0xFF01, 0xFF5F)}
_ALIKE = str.maketrans(
    {
        **dict.fromkeys(
            "\N{MINUS SIGN}\N{EN DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}\N{FIGURE DASH}\N{SMALL HYPHEN-MINUS}", "-"
        ),
        **dict.fromkeys("\N{MULTIPLICATION SIGN}\N{MULTIPLICATION X}\N{VECTOR OR CROSS PRODUCT}", "x"),
        **dict.fromkeys("\N{INCREMENT}\N{GREEK SMALL LETTER DELTA}\N{WHITE UP-POINTING TRIANGLE}", "Δ"),
        **dict.fromkeys("\N{MASCULINE ORDINAL INDICATOR}\N{RING ABOVE}\N{RING OPERATOR}", "°"),
        **dict.fromkeys("\N{FRACTION SLASH}\N{DIVISION SLASH}", "/"),
        **dict.fromkeys("\N{ZERO WIDTH SPACE}\N{WORD JOINER}\N{ZERO WIDTH NO-BREAK SPACE}"),
    }
)
_QUOTES = "\"'`\u2018\u2019\u201a\u201b\u201c\u201d\u201e\u201f\xab\xbb\u2039\u203a"
_PARTING = frozenset({"and", "with"})

_TOKEN = re.compile(
    r"""
    (?P<gap> [\s,;|:=&/]+ )
    | (?P<fraction> (?P<fraction_sign> [+-]?) (?P<fraction_blank> \s*) (?P<wholes> [1-9] \s+ )?
        (?: (?P<cut> [1357]\s*/\s*[248] ) | (?P<vulgar> [¼½¾⅛⅜⅝⅞] ) ) (?! [0-9.¼½¾⅛⅜⅝⅞] | ,[0-9] ) )
    | (?P<number> (?P<sign> [+-]?) (?P<blank> \s*)
        (?P<digits> (?> [0-9]+ (?: \.[0-9]* | ,[0-9]+ )? | (?<![a-z])\.[0-9]+ | (?<=[+-]),[0-9]+ ) )
        (?P<part> [¼½¾⅛⅜⅝⅞]?) (?! [0-9.¼½¾⅛⅜⅝⅞] ) )
    | (?P<word> d\.?[cs]\.?(?=x) | [a-z]+ (?: \.[a-z]+ )* (?: \.(?![0-9]) )? | [Δ^°@*] )
    | (?P<other> [^\s,;|:=&/]+ )
    """,
    re.VERBOSE | re.IGNORECASE | re.ASCII,
)


def size_of(text: str) -> float:
    """Give a number of dioptres, with an eighth for either of its short spellings.

    Parameters
    ----------
    text : str
        Digits with at most one point.

    Returns
    -------
    float
        The number. [D]

    References
    ----------
    [common_practice]_ spelling of eighths
    """
    whole, _, part = text.partition(".")
    if part in EIGHTHS:
        return int(whole or 0) + EIGHTHS[part]
    return float(text)


def plain(text: str) -> str:
    """Bring copied signs, wide letters and the quotes around a line to one plain form.

    Parameters
    ----------
    text : str
        As typed or copied.

    Returns
    -------
    str
        The same line in plain signs.

    References
    ----------
    [common_practice]_ what keyboards and word processors put in the place of plain signs
    """
    bare = text.translate(_WIDE).translate(_ALIKE)
    bare = re.sub(r"\s", " ", bare).strip().strip(_QUOTES).strip()
    # A dash that a word processor made of a hyphen is a minus only where it touches its number.
    bare = re.sub("\N{EM DASH}(?=[0-9.])", "-", bare)
    bare = re.sub(r"(?<=[0-9])\.$", "", bare)
    return re.sub(r"(?<=[A-Za-z])-(?=[A-Za-z])", " ", bare)


def tokens_of(text: str) -> tuple[Token, ...]:
    """Take a plain line apart; commas, slashes, colons and the like only part.

    Parameters
    ----------
    text : str
        A line as `plain` gives it.

    Returns
    -------
    (n,) tuple of Token
        Its pieces in their order.

    References
    ----------
    [common_practice]_ how the parts of a prescription are set apart
    """
    found: list[Token] = []
    parted = False
    for match in _TOKEN.finditer(text):
        if match["gap"]:
            parted = parted or "/" in match["gap"]
            continue
        token = _token(match, text, parted=parted)
        if token.word in _PARTING:
            continue
        found.append(token)
        parted = False
    return tuple(found)


def _token(match: re.Match[str], text: str, *, parted: bool) -> Token:
    start, end, typed = match.start(), match.end(), match[0]
    if match["fraction"]:
        kind, digits = _fraction(match)
        return Token(kind, typed, "", match["fraction_sign"], digits, start, end, parted, bool(match["fraction_blank"]))
    if match["number"]:
        kind, digits = _number(match, text)
        return Token(kind, typed, "", match["sign"], digits, start, end, parted, bool(match["blank"]))
    if match["word"]:
        return Token(Kind.WORD, typed, typed.lower().replace(".", ""), start=start, end=end, parted=parted)
    return Token(Kind.OTHER, typed, start=start, end=end, parted=parted)


def _fraction(match: re.Match[str]) -> tuple[Kind, str]:
    """Bring a fraction to its decimals; a half by itself, as one letter, is a number like any other."""
    wholes, vulgar = (match["wholes"] or "").strip(), match["vulgar"]
    if vulgar:
        return (Kind.FRACTION if wholes else Kind.NUMBER), wholes + _VULGAR[vulgar]
    cut = _CUT.get(re.sub(r"\s", "", match["cut"]))
    return (Kind.FRACTION, wholes + cut) if cut else (Kind.OTHER, "")


def _number(match: re.Match[str], text: str) -> tuple[Kind, str]:
    digits, part = match["digits"].replace(",", "."), match["part"]
    # Digits that go on behind a blank would make two numbers of one: -1. 25.
    broken = digits.endswith(".") and re.match(r"\s+[0-9]", text[match.end() :])
    if broken or (part and not digits.isdigit()):
        return Kind.OTHER, ""
    return Kind.NUMBER, digits + _VULGAR[part] if part else digits
