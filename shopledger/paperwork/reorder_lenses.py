"""How thick the lenses of a reorder record come out: a table with bars, cuts at true size, and round the edge."""

from __future__ import annotations

import math
from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.reorder_record import CutShape, LensOption, LensProfile, LensThickness, ReorderRecord
from shopledger.money.amount import write_amount
from shopledger.optics.lengths import worked_out
from shopledger.paperwork.blocks import (
    Block,
    Column,
    column_heads,
    heading,
    line,
    paragraph,
    row,
    side_by_side,
    text_block,
)
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Box, Element, Kind, Mark, Outline, Rule, Trail
from shopledger.paperwork.tables import ruled
from shopledger.paperwork.true_size import bar_to_measure
from shopledger.paperwork.typeset import BODY, MM, NOTE, STRONG, Style, lines_of, width_of
from shopledger.paperwork.wording import Wording

_RIGHT_GREY: Final = 0.25
_LEFT_GREY: Final = 0.7
_BAR: Final = 9.0
_NAMES: Final = 0.32
"""Share of the width that the lens's name takes, in the table and beside the bars."""
_SIZE: Final = Style(8)
_OUTWARD: Final = 30.0
_INSIDE: Final = 0.88
_GRID: Final = 0.75
_EDGE_HEIGHT: Final = 84.0
_DASHES: Final = (5.0, 2.5)
_LEFT_OF_CHART: Final = 30.0


def thickness_blocks(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the table of both eyes per lens, then the chart."""
    columns = _columns(width)
    keys = ("lens", "eye", "centre", "thinnest", "thickest", "weight", "price")
    head = column_heads("thickness", wording.each("thickness", keys), columns, width, wording.look.strip)
    rows = [block for option in record.options for block in _option_rows(option, wording, columns, width)]
    table = [replace(block, running=head) for block in rows]
    notes = text_block("directions", wording["thickness.directions"], width, NOTE)
    top = heading("thickness", wording["thickness.heading"], width)
    return [top, head, *table, *notes, *_chart(record.options, wording, width)]


def _columns(width: float) -> tuple[Column, ...]:
    shares = (_NAMES, 0.07, 0.09, 0.155, 0.155, 0.1, 0.11)
    columns, x = [], 4.0
    for at, share in enumerate(shares):
        wide = share * (width - 8)
        columns.append(Column(x, wide - (0 if at == len(shares) - 1 else 8), "left" if at < 2 else "right"))
        x += wide
    return tuple(columns)


def _option_rows(option: LensOption, wording: Wording, columns: Sequence[Column], width: float) -> list[Block]:
    """Give a row per eye, kept together; why a lens cannot be made stands in their place."""
    style = STRONG if option.chosen else BODY
    name = f"{option.name} ({wording['thickness.chosen']})" if option.chosen else option.name
    if option.right is None or option.left is None:
        return [_refused(name, wording.fill("thickness.refused", reason=option.refusal), columns, width, wording.look)]
    right = (*_eye_cells(wording["thickness.right"], option.right, wording), write_amount(option.price))
    left = (*_eye_cells(wording["thickness.left"], option.left, wording), "")
    lines = lines_of(name, columns[0].width, style)
    first = row("thickness", (lines[0], *right), columns, style, pad=1.5)
    second = row("thickness", ("\n".join(lines[1:]), *left), columns, style, pad=1.5)
    return [replace(first, with_next=True), ruled(second, width, wording.look)]


def _refused(name: str, reason: str, columns: Sequence[Column], width: float, look: Look) -> Block:
    wide = columns[0], Column(columns[1].x, width - columns[1].x - 4)
    return ruled(row("thickness", (name, reason), wide, pad=1.5), width, look)


def _eye_cells(eye: str, lens: LensThickness, wording: Wording) -> tuple[str, ...]:
    def at(thickness: float, degrees: float) -> str:
        return wording.fill("thickness.at", mm=worked_out(thickness), degrees=f"{degrees:.0f}")

    return (
        eye,
        worked_out(lens.centre),
        at(lens.thinnest, lens.thinnest_at),
        at(lens.thickest, lens.thickest_at),
        f"{lens.weight:.1f}",
    )


def _chart(options: Sequence[LensOption], wording: Wording, width: float) -> list[Block]:
    """Draw a bar per eye and lens on one scale from zero; lenses that cannot be made have none."""
    thickest = [max(_worst(lens) for lens in _made(option)) for option in options if _made(option)]
    if not thickest:
        return []
    scale = (width * (1 - _NAMES) - 90) / max(thickest)
    bars = [_bars(option, scale, wording, width) for option in options if _made(option)]
    kept = [replace(block, with_next=True) for block in bars[:-1]]
    return [_legend(wording, width), *kept, bars[-1]]


def _made(option: LensOption) -> tuple[LensThickness, ...]:
    return () if option.right is None or option.left is None else (option.right, option.left)


def _worst(lens: LensThickness) -> float:
    return max(lens.centre, lens.thickest)


def _legend(wording: Wording, width: float) -> Block:
    """Set the chart's title and which grey is which eye."""
    marks: list[Mark] = [line(wording["thickness.chart"], 4, 8, STRONG)]
    x = width * _NAMES + 4 + 150
    for key, grey in (("chart_right", _RIGHT_GREY), ("chart_left", _LEFT_GREY)):
        label = wording[f"thickness.{key}"]
        marks += [Box(x, 10, _BAR, _BAR - 1, line=0.4, fill=grey), line(label, x + _BAR + 4, 8, BODY)]
        x += _BAR + 4 + width_of(label, BODY) + 16
    return Block("chart legend", 8 + BODY.leading + 4, tuple(marks), with_next=True)


def _bars(option: LensOption, scale: float, wording: Wording, width: float) -> Block:
    style = STRONG if option.chosen else BODY
    start = 4 + width * _NAMES
    name, height = paragraph(option.name, 4, 3, start - 12, style)
    marks: list[Mark] = [*name]
    top = 4.0
    for lens, grey in zip(_made(option), (_RIGHT_GREY, _LEFT_GREY), strict=True):
        length = _worst(lens) * scale
        marks.append(Box(start, top, length, _BAR, line=0.4, fill=grey))
        words = wording.fill("thickness.bar", mm=worked_out(_worst(lens)), grams=f"{lens.weight:.1f}")
        marks.append(line(words, start + length + 4, top + _BAR / 2 - style.leading / 2 - 0.3, style))
        top += _BAR + 2.5
    return Block("chart bar", max(top, height + 3) + 3, tuple(marks))


def profile_blocks(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set both cuts of each lens with a bar to measure, then both edges on one chart; nothing without lenses."""
    right, left = record.right_profile, record.left_profile
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
        replace(upright, with_next=True),
        _bar(wording, width),
        *_edge(right, left, wording, width),
    ]


def _bar(wording: Wording, width: float) -> Block:
    marks, height = bar_to_measure(wording, 2, width)
    return Block("cuts, bar", height + 6, tuple(marks))


def _title(words: str, width: float) -> Iterator[Block]:
    blocks = text_block("cuts", words, width, NOTE)
    yield from (replace(block, with_next=True) for block in blocks)


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
        line(worked_out(centre), start - 20, base + 4, _SIZE, "centre", 40),
        line(_end(ends[0], cut.ends[0], wording), low_x, 0, _SIZE),
        line(_end(ends[1], cut.ends[1], wording), high_x - 80, 0, _SIZE, "right", 80),
    ]
    figure = Element(Kind.FIGURE, tuple(marks), _told_cut(cut, centre, wording, side, ends))
    return Block("cut", base + 4 + _SIZE.leading + 3, (figure,))


def _told_cut(cut: CutShape, centre: float, wording: Wording, side: str, ends: tuple[str, str]) -> str:
    """Say a cut for who cannot see it: how thick it is at both ends and in its middle."""
    first, last = (_end(place, thick, wording) for place, thick in zip(ends, cut.ends, strict=True))
    return wording.fill(f"profile.told_{side}", first=first, centre=worked_out(centre), last=last)


def _end(place: str, thick: float, wording: Wording) -> str:
    return wording.fill("profile.end", place=wording[f"profile.{place}"], mm=worked_out(thick))


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
    figure = Element(Kind.FIGURE, tuple(marks), _told_edge(right, left, wording))
    yield Block("edge chart", bottom + 3 + _SIZE.leading + 3, (figure,), with_next=True)
    yield _which_line(wording, left_x)


def _told_edge(right: LensProfile, left: LensProfile, wording: Wording) -> str:
    """Say the chart of both edges for who cannot see it."""
    spans = (f"{worked_out(min(lens.edge))} – {worked_out(max(lens.edge))}" for lens in (right, left))
    return wording.fill("profile.told_edge", **dict(zip(("right", "left"), spans, strict=True)))


def _steps(most: int) -> range:
    """Give the whole millimetres that get a line: each, or fewer where there are many."""
    return range(0, most + 1, max(1, math.ceil(most / 7)))


def _curve(
    edge: Sequence[float], left: float, right: float, bottom: float, per_mm: float
) -> tuple[tuple[float, float], ...]:
    closed = (*edge, edge[0])
    step = (right - left) / (len(closed) - 1)
    return tuple((left + at * step, bottom - thick * per_mm) for at, thick in enumerate(closed))


def _which_line(wording: Wording, x: float) -> Block:
    """Say which line is which lens."""
    marks: list[Mark] = []
    for key, thick, dashes in (("right", 1.2, ()), ("left", 1.0, _DASHES)):
        marks += [
            Rule(x, BODY.leading / 2, x + 26, BODY.leading / 2, thick, dashes=dashes),
            line(wording[f"profile.{key}"], x + 32, 0, BODY),
        ]
        x += 150
    return Block("edge legend", BODY.leading + 3, tuple(marks))
