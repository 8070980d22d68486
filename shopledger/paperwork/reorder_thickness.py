"""Thickness and weight of the chosen lens and its alternatives: a table, and bars in two greys."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.reorder_record import LensOption, LensThickness, ReorderRecord
from shopledger.money.amount import write_amount
from shopledger.paperwork.blocks import Block, Column, column_heads, heading, line, paragraph, row, text_block
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Box, Mark, Rule
from shopledger.paperwork.typeset import BODY, NOTE, STRONG, lines_of, width_of
from shopledger.paperwork.wording import Wording

_RIGHT_GREY: Final = 0.25
_LEFT_GREY: Final = 0.7
_BAR: Final = 9.0
_NAMES: Final = 0.32
"""Share of the width that the lens's name takes, in the table and beside the bars."""


def thickness_blocks(sheet: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the table of both eyes per lens, then the chart."""
    columns = _columns(width)
    keys = ("lens", "eye", "centre", "thinnest", "thickest", "weight", "price")
    head = column_heads("thickness", [wording[f"thickness.{key}"] for key in keys], columns, width, wording.look.strip)
    rows = [block for option in sheet.options for block in _option_rows(option, wording, columns, width)]
    table = [replace(block, running=head) for block in rows]
    notes = text_block("directions", wording["thickness.directions"], width, NOTE)
    top = heading("thickness", wording["thickness.heading"], width)
    return [top, head, *table, *notes, *_chart(sheet.options, wording, width)]


def _columns(width: float) -> tuple[Column, ...]:
    shares = (_NAMES, 0.07, 0.09, 0.155, 0.155, 0.1, 0.11)
    columns, x = [], 4.0
    for at, share in enumerate(shares):
        room = share * (width - 8)
        columns.append(Column(x, room - (0 if at == len(shares) - 1 else 8), "left" if at < 2 else "right"))
        x += room
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
    return [replace(first, with_next=True), _closed(second, width, wording.look)]


def _refused(name: str, reason: str, columns: Sequence[Column], width: float, look: Look) -> Block:
    wide = columns[0], Column(columns[1].x, width - columns[1].x - 4)
    return _closed(row("thickness", (name, reason), wide, pad=1.5), width, look)


def _eye_cells(eye: str, lens: LensThickness, wording: Wording) -> tuple[str, ...]:
    def at(thickness: float, degrees: float) -> str:
        return wording.fill("thickness.at", mm=f"{thickness:.1f}", degrees=f"{degrees:.0f}")

    return (
        eye,
        f"{lens.centre:.1f}",
        at(lens.thinnest, lens.thinnest_at),
        at(lens.thickest, lens.thickest_at),
        f"{lens.weight:.1f}",
    )


def _closed(block: Block, width: float, look: Look) -> Block:
    rule = Rule(4, block.height, width - 4, block.height, 0.4, look.rule)
    return replace(block, marks=(*block.marks, rule))


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
        words = wording.fill("thickness.bar", mm=f"{_worst(lens):.1f}", grams=f"{lens.weight:.1f}")
        marks.append(line(words, start + length + 4, top + _BAR / 2 - style.leading / 2 - 0.3, style))
        top += _BAR + 2.5
    return Block("chart bar", max(top, height + 3) + 3, tuple(marks))
