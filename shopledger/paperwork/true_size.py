"""Letters, nose and bar of a drawing at true size: one way for each paper that a lens or a frame is laid on."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from shopledger.ledger.papers.true_size import BAR, TICK, Point, letter_place, nose
from shopledger.optics.lengths import as_given, as_listed, worked_out
from shopledger.paperwork.blocks import line, paragraph
from shopledger.paperwork.marks import Box, Mark, Rule, Trail, paragraph_of
from shopledger.paperwork.typeset import MM, Style, width_of
from shopledger.paperwork.wording import Wording

LETTER: Final = Style(17, bold=True, ink=0.25)
"""How the letter of a lens looks, R or L."""
_NOSE: Final = Style(7.5, bold=True)
_NOSE_LINE: Final = 1.2
_MEASURE: Final = Style(9, bold=True)
_NOTE: Final = Style(8)
_BAR_LINE: Final = 1.2
_ENDS: Final = 5.0


class Standing(NamedTuple):
    """A lens as it is drawn: its outline from the boxed centre in mm, and where that stands on the paper in points."""

    outline: Sequence[Point]
    x: float
    y: float

    @property
    def span(self) -> tuple[float, float]:
        """Where the drawn lens begins and ends, in points."""
        across = [x for x, _ in self.outline]
        return self.x + min(across) * MM, self.x + max(across) * MM


def told_apart(right: Standing, left: Standing, words: Wording) -> list[Mark]:
    """Write R and L in the lenses and draw the nose between them, whichever of them stands at the left of the paper."""
    first, second = sorted((right, left), key=lambda lens: lens.x)
    nose_side = {id(first): -1, id(second): 1}
    letters = [
        _letter(lens, words[f"shapes.{side}_letter"], nose_side[id(lens)])
        for side, lens in (("right", right), ("left", left))
    ]
    return [*letters, *_nose(first.span[1], second.span[0], first.y, words["shapes.nose"])]


def _letter(lens: Standing, letter: str, temple: int) -> Mark:
    across, up = zip(*lens.outline, strict=True)
    x, y = letter_place(max(across) - min(across), max(up) - min(up), temple)
    return line(letter, lens.x + x * MM - 20, lens.y - y * MM - LETTER.leading / 2, LETTER, "centre", 40)


def _nose(start: float, end: float, level: float, word: str) -> list[Mark]:
    """Draw the nose above the middle of the bridge with its word over it, on white where other lines cross."""
    middle, dbl = (start + end) / 2, (end - start) / MM
    points = nose(dbl)
    top = level - max(up for _, up in points) * MM - 2
    style = _NOSE
    while style.size > 5 and width_of(word, style) > end - start - 4:
        style = replace(style, size=style.size - 0.5)
    label = line(word, start, top - style.leading, style, "centre", end - start)
    left, above, right, below = label.extent
    return [
        Box(left - 1, above - 1, right - left + 2, below - above + 2, line=0, fill=1.0),
        Trail(tuple((middle + x * MM, level - 2 - up * MM) for x, up in points), _NOSE_LINE),
        label,
    ]


def told(right: Sequence[Point], left: Sequence[Point], dbl: float, words: Wording) -> str:
    """Say what a drawing of both lenses shows, for who cannot see it."""
    boxes = {"right": _box(right), "left": _box(left)}
    return words.fill("shapes.told", dbl=as_given(dbl), **boxes)


def _box(outline: Sequence[Point]) -> str:
    """Give the box of a lens as it is said, width before height."""
    across, up = zip(*outline, strict=True)
    return f"{worked_out(max(across) - min(across))} x {worked_out(max(up) - min(up))}"


def bar_to_measure(words: Wording, top: float, width: float) -> tuple[list[Mark], float]:
    """Draw the bar with a tick each 10 mm and its words on it, and beside it what it is for; give marks and height."""
    length = BAR * MM
    level = top + _MEASURE.leading + 3
    said = line(words.fill("shapes.measure", mm=as_listed(BAR)), 0, top, _MEASURE, "centre", length)
    marks: list[Mark] = [paragraph_of((said,)), Rule(0, level, length, level, _BAR_LINE)]
    count = round(BAR / TICK)
    for tick in range(count + 1):
        x, tall = tick * TICK * MM, _ENDS if tick % count == 0 else 3.5 if 2 * tick % count == 0 else 2.0
        marks.append(Rule(x, level - tall, x, level + tall, 0.7))
    note, height = paragraph(
        words.fill("shapes.scale", mm=as_listed(BAR)), length + 12, top, width - length - 12, _NOTE
    )
    return [*marks, paragraph_of(note)], max(level + _ENDS - top, height)
