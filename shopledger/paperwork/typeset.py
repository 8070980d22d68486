"""Type: styles, the width of a text, and its breaking into lines."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Final, TypeAlias

from shopledger.paperwork.fonts import BOLD, REGULAR, faces

MM: Final = 72 / 25.4
"""Points in a millimetre."""

Ink: TypeAlias = float | tuple[float, float, float]
"""A grey from 0 (black) to 1 (white), or red, green and blue, each from 0 to 1."""


@dataclass(frozen=True, slots=True)
class Style:
    """How a text looks: size in points, weight, ink."""

    size: float
    bold: bool = False
    ink: Ink = 0.0

    @property
    def font(self) -> str:
        """Name of the registered face."""
        return BOLD if self.bold else REGULAR

    @property
    def leading(self) -> float:
        """From one baseline to the next, in points."""
        return self.size * 1.26

    @property
    def drop(self) -> float:
        """From the top of a line to its baseline, in points."""
        return self.size * 0.96


BODY: Final = Style(9.5)
STRONG: Final = Style(9.5, bold=True)
LABEL: Final = Style(8.5, ink=0.3)
COLUMN: Final = Style(8.5, bold=True)
SMALL: Final = Style(7.5, ink=0.3)
HEADING: Final = Style(11, bold=True)
TITLE: Final = Style(16, bold=True)
NOTE: Final = Style(9)
SHOP: Final = Style(13, bold=True)
NUMBER: Final = Style(11, bold=True)
OUTCOME: Final = Style(12, bold=True)
OUTCOME_WHITE: Final = Style(12, bold=True, ink=1.0)
STAMP: Final = Style(10, bold=True)


def width_of(text: str, style: Style) -> float:
    """Give the width of a text on one line, in points."""
    return _thousandths(text, style.bold) * style.size / 1000


@lru_cache(maxsize=8192)
def _thousandths(text: str, bold: bool) -> float:  # noqa: FBT001 - a key of the cache
    widths = _widths(bold)
    return sum(widths[ord(letter)] for letter in text)


@cache
def _widths(bold: bool) -> dict[int, float]:  # noqa: FBT001 - a key of the cache
    widths: dict[int, float] = faces()[bold].face.charWidths
    return widths


def lines_of(text: str, width: float, style: Style) -> list[str]:
    """Break a text into lines no wider than `width`; its own line ends are kept, and no text is one empty line."""
    lines: list[str] = []
    for paragraph in text.split("\n"):
        if width_of(paragraph, style) <= width:
            lines.append(paragraph)
        else:
            lines.extend(_broken(paragraph, width, style))
    return lines


def _broken(paragraph: str, width: float, style: Style) -> Iterator[str]:
    line = ""
    for word in paragraph.split(" "):
        longer = f"{line} {word}" if line else word
        if width_of(longer, style) <= width:
            line = longer
            continue
        if line:
            yield line
        *whole, line = _pieces(word, width, style)
        yield from whole
    yield line


def _pieces(word: str, width: float, style: Style) -> list[str]:
    """Cut a word that is wider than the line by itself, so that no letter of it is lost."""
    pieces = [""]
    for letter in word:
        if pieces[-1] and width_of(pieces[-1] + letter, style) > width:
            pieces.append("")
        pieces[-1] += letter
    return pieces


def shortened(text: str, width: float, style: Style) -> str:
    """Give the text, or as much of it as fits with an ellipsis: only where the whole stands elsewhere on the paper."""
    if width_of(text, style) <= width:
        return text
    kept = text
    while kept and width_of(f"{kept}…", style) > width:
        kept = kept[:-1]
    return f"{kept.rstrip()}…"
