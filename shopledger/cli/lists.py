"""What a question can be answered with, as a list: how it is found by a part of a code or name, shown, and added to."""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from enum import Enum
from typing import Final, NamedTuple

from shopledger.errors import nearest
from shopledger.typed.words import typed_word

PAGE: Final = 20
"""How many lines of a list are shown at once."""


class Row(NamedTuple):
    """One line of a list: what is typed for it, what it is called, and what else is told of it."""

    code: str
    words: str = ""
    more: str = ""

    @property
    def said(self) -> str:
        """The line's words after its code."""
        return ": ".join(part for part in (self.words, self.more) if part)


@dataclass(frozen=True, slots=True)
class Listing:
    """What can be picked at a question."""

    kind: str
    rows: Callable[[str], Sequence[Row]]
    """Those whose code or words hold a text; all where it is empty."""
    many: bool = False
    """Whether several may be typed with spaces between."""
    beside: frozenset[str] = frozenset()
    """Words that may stand beside a code and are none."""
    add: Callable[[], str] | None = None
    """Asks for a new one, stores it, and gives what is typed for it."""
    least: int = 2
    """How many letters of a code or name pick."""

    def fitting(self, text: str) -> tuple[Row, ...]:
        """Give the one with that code or name, else all that hold the text; a letter alone is a slip, and no part."""
        wanted = folded(text)
        found = tuple(self.rows(text))
        for exact in (
            [row for row in found if folded(row.code) == wanted],
            [row for row in found if folded(row.words) == wanted],
        ):
            if len(exact) == 1:
                return (exact[0],)
        return found if len(wanted) >= self.least else ()

    def near(self, text: str) -> tuple[str, ...]:
        """Give the codes and names most like what was typed, by any of their words."""
        names = [name for row in self.rows("") for name in (row.code, row.words) if name and not name.isdigit()]
        by_part = {part: name for name in names for part in (*folded(name).split(), folded(name))}
        return tuple(dict.fromkeys(by_part[part] for part in nearest(folded(text), by_part)))


def folded(text: str) -> str:
    """Give a text as lists are searched: without accents, capitals and spare space."""
    parted = unicodedata.normalize("NFKD", text)
    return " ".join("".join(each for each in parted if not unicodedata.combining(each)).casefold().split())


def listing(kind: str, rows: Iterable[Row], *, many: bool = False, beside: Iterable[str] = ()) -> Listing:
    """Make the list of what is known beforehand."""
    known = tuple(rows)

    def found(text: str) -> Sequence[Row]:
        wanted = folded(text)
        return [row for row in known if wanted in folded(row.code) or wanted in folded(row.words)]

    return Listing(kind, found, many, frozenset(beside))


def words_of(kind: str, words: Iterable[Enum]) -> Listing:
    """Make the list of the words of an enum, each picked by how it begins."""
    known = tuple(typed_word(word) for word in words)

    def found(text: str) -> Sequence[Row]:
        wanted = "-".join(text.casefold().replace("-", " ").split())
        exact = [word for word in known if word == wanted]
        return [Row(word) for word in exact or known if word.startswith(wanted)]

    return Listing(kind, found, least=1)


class Page(NamedTuple):
    """Some lines of a list, and how many there are in all."""

    lines: tuple[str, ...]
    shown: int
    total: int


def page(rows: Sequence[Row], start: int = 0, *, numbered: bool = False) -> Page:
    """Lay out a page of a list; where rows are `numbered`, each begins with its place."""
    here = rows[start : start + PAGE]
    codes = max((len(row.code) for row in here), default=0)
    places = (f"{place:>3}  " if numbered else "" for place in range(start + 1, start + PAGE + 1))
    lines = (f"  {place}{row.code:<{codes}}  {row.said}".rstrip() for place, row in zip(places, here, strict=False))
    return Page(tuple(lines), start + len(here), len(rows))


def named_by_number(rows: Iterable[Row]) -> bool:
    """Tell whether any code is a number, beside which the places of a list would only confuse."""
    return any(row.code.isdigit() for row in rows)


_PARTS: Final = re.compile(r"([\s,/]+)")
_COUNT: Final = re.compile(r"(.*?)(=\S*)?", re.DOTALL)


def parts_of(text: str) -> list[tuple[str, str]]:
    """Part a line of several codes: each part is a code and what follows it, a count or a gap."""
    found = []
    for part in _PARTS.split(text.strip()):
        code, count = _COUNT.fullmatch(part).groups(default="")  # type: ignore[union-attr]
        gap = not part or _PARTS.fullmatch(part) is not None
        found.append(("", part) if gap else (code, count))
    return found
