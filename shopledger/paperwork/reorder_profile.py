"""How thick the chosen lens is: cut level and upright through its optical centre at true size, and round its edge."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from typing import Final

from shopledger.ledger.papers.reorder_record import CutShape, LensProfile, ReorderRecord
from shopledger.paperwork.blocks import Block, heading, line, side_by_side, text_block
from shopledger.paperwork.marks import Mark, Outline, Rule, Trail
from shopledger.paperwork.typeset import BODY, MM, NOTE, STRONG, Style
from shopledger.paperwork.wording import Wording

_SIZE: Final = Style(8)
_OUTWARD: Final = 30.0
_INSIDE: Final = 0.88
_GRID: Final = 0.75
_EDGE_HEIGHT: Final = 84.0
_DASHES: Final = (5.0, 2.5)
_LEFT_OF_CHART: Final = 30.0


def profile_blocks(sheet: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set both cuts of each lens side by side, then both edges on one chart; nothing for a pair that cannot be made."""
    right, left = sheet.right_profile, sheet.left_profile
    if right is None or left is None:
        return []
    top = heading("profile", wording["profile.heading"], width)
    half = width / 2
    level = side_by_side(
        "level cuts",
        _cut(right.level, right.centre, wording, "right", ("temple", "nose"), half),
        _cut(left.level, left.centre, wording, "left", ("nose", "temple"), half),
        half,
    )
    upright = side_by_side(
        "upright cuts",
        _cut(_from_top(right.upright), right.centre, wording, "right", ("top", "bottom"), half),
        _cut(_from_top(left.upright), left.centre, wording, "left", ("top", "bottom"), half),
        half,
    )
    return [
        top,
        *_title(wording["profile.level"], width),
        level,
        *_title(wording["profile.upright"], width),
        upright,
        *_edge(right, left, wording, width),
    ]


def _title(words: str, width: float) -> Iterator[Block]:
    blocks = text_block("cuts", words, width, NOTE)
    yield from (Block(block.name, block.height, block.marks, with_next=True) for block in blocks)


def _from_top(cut: CutShape) -> CutShape:
    """Lay an upright cut down with its top at the left."""
    return CutShape(tuple(-place for place in reversed(cut.along)), cut.front[::-1], cut.back[::-1])


def _cut(cut: CutShape, centre: float, wording: Wording, side: str, ends: tuple[str, str], width: float) -> Block:
    """Draw one cut at true size with its front below, and write its thickness at both ends and at the centre."""
    deepest, low, high = max(cut.back), cut.along[0], cut.along[-1]
    start = width / 2 - (low + high) / 2 * MM
    base = 14 + deepest * MM
    front = [(start + at * MM, base - depth * MM) for at, depth in zip(cut.along, cut.front, strict=True)]
    back = [(start + at * MM, base - depth * MM) for at, depth in zip(cut.along, cut.back, strict=True)]
    middle = min(back, key=lambda point: abs(point[0] - start))
    # The words of both ends stand over them in one row, a little outward, so that they never meet in a narrow lens.
    low_x, high_x = max(front[0][0] - _OUTWARD, 4), min(front[-1][0] + _OUTWARD, width - 6)
    marks: list[Mark] = [
        Outline((*front, *reversed(back)), 0.8, fill=_INSIDE),
        Rule(start, middle[1] - 3, start, base + 3, 0.4),
        line(wording[f"shapes.{side}_letter"], (low_x + high_x) / 2 - 20, 0, STRONG, "centre", 40),
        line(f"{centre:.1f}", start - 20, base + 4, _SIZE, "centre", 40),
        line(_end(ends[0], cut.ends[0], wording), low_x, 0, _SIZE),
        line(_end(ends[1], cut.ends[1], wording), high_x - 80, 0, _SIZE, "right", 80),
    ]
    return Block("cut", base + 4 + _SIZE.leading + 3, tuple(marks))


def _end(place: str, thick: float, wording: Wording) -> str:
    return wording.fill("profile.end", place=wording[f"profile.{place}"], mm=f"{thick:.1f}")


def _edge(right: LensProfile, left: LensProfile, wording: Wording, width: float) -> Iterator[Block]:
    """Draw both edges over the way round: a full line for the right lens, a broken one for the left."""
    yield from _title(wording["profile.edge"], width)
    most = math.ceil(max(*right.edge, *left.edge))
    left_x, right_x = _LEFT_OF_CHART, width - 8
    top, bottom = 6.0, 6.0 + _EDGE_HEIGHT
    marks: list[Mark] = []
    for mm in _steps(most):
        y = bottom - mm / most * _EDGE_HEIGHT
        marks += [Rule(left_x, y, right_x, y, 0.4, _GRID), line(f"{mm}", 0, y - 5, _SIZE, "right", left_x - 5)]
    for quarter, place in enumerate(("nose", "top", "temple", "bottom", "nose")):
        x = left_x + (right_x - left_x) * quarter / 4
        label_x = min(max(x - 30, left_x - 20), right_x - 52)
        marks += [
            Rule(x, top, x, bottom, 0.4, _GRID),
            line(wording[f"profile.{place}"], label_x, bottom + 3, _SIZE, "centre", 60),
        ]
    for edge, thick, dashes in ((right.edge, 1.2, ()), (left.edge, 1.0, _DASHES)):
        marks.append(Trail(_curve(edge, left_x, right_x, bottom, _EDGE_HEIGHT / most), thick, dashes=dashes))
    yield Block("edge chart", bottom + 3 + _SIZE.leading + 3, tuple(marks), with_next=True)
    yield _legend(wording, left_x)


def _steps(most: int) -> range:
    """Give the whole millimetres that get a line: each, or fewer where there are many."""
    return range(0, most + 1, max(1, math.ceil(most / 7)))


def _curve(
    edge: Sequence[float], left: float, right: float, bottom: float, per_mm: float
) -> tuple[tuple[float, float], ...]:
    closed = (*edge, edge[0])
    step = (right - left) / (len(closed) - 1)
    return tuple((left + at * step, bottom - thick * per_mm) for at, thick in enumerate(closed))


def _legend(wording: Wording, x: float) -> Block:
    """Say which line is which lens."""
    marks: list[Mark] = []
    for key, thick, dashes in (("right", 1.2, ()), ("left", 1.0, _DASHES)):
        marks += [
            Rule(x, BODY.leading / 2, x + 26, BODY.leading / 2, thick, dashes=dashes),
            line(wording[f"profile.{key}"], x + 32, 0, BODY),
        ]
        x += 150
    return Block("edge legend", BODY.leading + 3, tuple(marks))
