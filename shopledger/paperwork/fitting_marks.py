"""Segments and fitting crosses drawn on the shape of a lens at 1:1, cut off where the lens ends.

The outline of a segment is a usual one for its name and width; only its width and its top line are figures.
"""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator, Sequence
from typing import Final

from shopledger.ledger.papers.fitting_points import FittingPoint
from shopledger.ledger.papers.job_sheet import Point
from shopledger.paperwork.blocks import line
from shopledger.paperwork.marks import Mark, Rule, Trail
from shopledger.paperwork.typeset import MM, Style

_BELOW_TOP: Final = 5.0
"""How far below its top a straight-topped segment is widest; common practice [mm]."""
_RISE: Final = 1.5
"""How far a curved top rises above its ends; common practice [mm]."""
_UNKNOWN: Final = 6.0
"""How far the top line goes to either side where no width is known [mm]."""
_ARM: Final = 5.0
"""Arms of a fitting cross [mm]."""
_STEPS: Final = 120
_LINE: Final = 1.2
_HEAVY: Final = 2.0
_LABELS_BELOW: Final = 3.5
"""How far below a segment's top its labels begin, clear of the boxed centre's cross [mm]."""
_THIN: Final = 0.5
_DASHES: Final = (2.0, 2.0)
_LABEL: Final = Style(7.5)

Curve = list[Point]


def fitting_marks(
    fitting: FittingPoint,
    outline: Sequence[Point],
    x: float,
    y: float,
    nose: int,
    labels: Sequence[str],
    centre: Point | None,
) -> list[Mark]:
    """Draw a segment or a cross in a lens around its boxed centre at (x, y) on the paper.

    `nose` is +1 where the nose is to the right; `labels` stand below a segment's top, `centre` is the distance centre.
    """
    if fitting.inward is None or fitting.upward is None:
        return []
    at = (nose * fitting.inward, fitting.upward)

    def on_paper(point: Point) -> Point:
        return x + point[0] * MM, y - point[1] * MM

    heavy = _LINE if fitting.lined else _HEAVY
    curves = fitting_curves(fitting, outline, nose)
    marks: list[Mark] = [Trail(tuple(map(on_paper, run)), heavy) for run in curves]
    if fitting.lined and centre is not None:
        marks += _inset(on_paper(at), on_paper(centre))
    if fitting.lined:
        middle, top = on_paper(at)
        top += max(_LABELS_BELOW, fitting.intermediate_depth or 0.0) * MM + 2
        marks += [
            line(label, middle - 40, top + nth * _LABEL.leading, _LABEL, "centre", 80)
            for nth, label in enumerate(labels)
        ]
    return marks


def fitting_curves(fitting: FittingPoint, outline: Sequence[Point], nose: int) -> list[Curve]:
    """Give the lines of a segment or a cross from the lens's boxed centre, in mm, as far as they lie in it."""
    if fitting.inward is None or fitting.upward is None:
        return []
    at = (nose * fitting.inward, fitting.upward)
    curves = _segment(fitting, outline, at) if fitting.lined else _cross(at)
    return [run for curve in curves for run in _inside(curve, outline)]


def _inset(top: Point, centre: Point) -> Iterator[Mark]:
    """Draw a broken upright through the distance centre and one through the segment's middle, to see the inset."""
    for across in (top[0], centre[0]):
        yield Rule(across, min(centre[1], top[1]) - 4, across, top[1], _THIN, dashes=_DASHES)


def _cross(at: Point) -> list[Curve]:
    x, y = at
    return [_line((x - _ARM, y), (x + _ARM, y)), _line((x, y - _ARM), (x, y + _ARM))]


def _segment(fitting: FittingPoint, outline: Sequence[Point], at: Point) -> list[Curve]:
    """Give the lines of a segment whose top's middle is at a point."""
    x, top = at
    if fitting.shape == "full width":
        reach = max(abs(each - x) for each, _ in outline)
        levels = [top, *([top - fitting.intermediate_depth] if fitting.intermediate_depth else [])]
        return [_line((x - reach, level), (x + reach, level)) for level in levels]
    if fitting.width is None:
        return [_line((x - _UNKNOWN, top), (x + _UNKNOWN, top))]
    radius = fitting.width / 2
    if fitting.shape == "round":
        return [_arc((x, top - radius), radius, 0, 360)]
    return _topped(at, radius, fitting.intermediate_depth, _RISE if fitting.shape == "curved top" else 0.0)


def _topped(at: Point, radius: float, strip: float | None, rise: float) -> list[Curve]:
    """Give a segment with a straight or curved top: a circle below a chord, and the lower line of a strip."""
    x, top = at
    down = min(max(_BELOW_TOP, strip or 0.0), 0.8 * radius)
    middle = (x, top - down)
    chord = math.sqrt(radius**2 - (down - rise) ** 2)
    lift = math.degrees(math.asin((down - rise) / radius))
    lines = [_arc(middle, radius, 180 - lift, 360 + lift), _top_line(at, chord, rise)]
    if strip is not None:
        half = math.sqrt(max(radius**2 - (down - strip) ** 2, 0.0))
        lines.append(_line((x - half, top - strip), (x + half, top - strip)))
    return lines


def _top_line(at: Point, chord: float, rise: float) -> Curve:
    x, top = at
    if not rise:
        return _line((x - chord, top), (x + chord, top))
    bow = (chord**2 + rise**2) / (2 * rise)
    half = math.degrees(math.asin(chord / bow))
    return _arc((x, top - bow), bow, 90 - half, 90 + half)


def _line(start: Point, end: Point) -> Curve:
    return [_between(start, end, step / _STEPS) for step in range(_STEPS + 1)]


def _between(start: Point, end: Point, share: float) -> Point:
    return start[0] + (end[0] - start[0]) * share, start[1] + (end[1] - start[1]) * share


def _arc(middle: Point, radius: float, first: float, last: float) -> Curve:
    turns = (math.radians(first + (last - first) * step / _STEPS) for step in range(_STEPS + 1))
    return [(middle[0] + radius * math.cos(turn), middle[1] + radius * math.sin(turn)) for turn in turns]


def _inside(curve: Curve, outline: Sequence[Point]) -> Iterator[Curve]:
    """Give the stretches of a curve that lie in the lens."""
    within = _holder(outline)
    run: Curve = []
    for point in curve:
        if within(point):
            run.append(point)
            continue
        if len(run) > 1:
            yield run
        run = []
    if len(run) > 1:
        yield run


def _holder(outline: Sequence[Point]) -> Callable[[Point], bool]:
    """Give what tells whether a point lies in an outline: a ray to the right crosses it an odd number of times."""
    edges = list(zip(outline, (*outline[1:], outline[0]), strict=True))

    def holds(point: Point) -> bool:
        x, y = point
        crossed = [a[0] + (y - a[1]) * (b[0] - a[0]) / (b[1] - a[1]) > x for a, b in edges if (a[1] > y) != (b[1] > y)]
        return sum(crossed) % 2 == 1

    return holds
