"""The top of the job sheet: number, initials, bars; what stops the job; frame and lenses."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.ledger.papers.job_sheet import JobSheet
from shopledger.paperwork.bar_code import bar_code
from shopledger.paperwork.blocks import Block, gap, line, paragraph
from shopledger.paperwork.marks import Box, Mark, Picture, Rule
from shopledger.paperwork.typeset import MM, Style, width_of
from shopledger.paperwork.wording import Wording

_CODE_WIDTH: Final = 190.0
_CODE_HEIGHT: Final = 44.0


def fitted_style(text: str, size: float, width: float, *, least: float = 8.0) -> Style:
    """Give bold type of that size, or smaller where the text would be wider than its room."""
    style = Style(size, bold=True)
    while style.size > least and width_of(text, style) > width:
        style = replace(style, size=style.size - 0.5)
    return style


def job_head(content: JobSheet, words: Wording, width: float, scale: float) -> Block:
    """Set the number as large as there is room, the initials, and the number as bars for a scanner."""
    number = str(content.job_number)
    number_style = replace(fitted_style(number, 50 * scale, 150), ink=words.look.accent)
    small = Style(11 * scale)
    code_x, middle = width - _CODE_WIDTH, 160.0
    marks: list[Mark] = [
        line(words["titles.job"], 0, 0, Style(12 * scale, bold=True)),
        line(number, 0, 13 * scale, number_style),
        line(content.initials, middle, 0, fitted_style(content.initials, 30 * scale, code_x - middle)),
        line(words.fill("titles.order", number=content.order_number), middle, 38 * scale, small),
        line(words.fill("titles.day", day=words.day(content.order_day)), middle, 52 * scale, small),
        *bar_code(number, code_x, 0, _CODE_WIDTH, _CODE_HEIGHT),
        line(number, code_x, _CODE_HEIGHT + 2, Style(11, bold=True), "centre", _CODE_WIDTH),
    ]
    bottom = max(68 * scale, _CODE_HEIGHT + 17)
    look = words.look
    if look.logo is not None:
        marks.append(Picture(middle, bottom, look.logo_width * MM, look.logo_height * MM, look.logo))
        bottom += look.logo_height * MM + 4
    return Block("head", bottom + 6, (*marks, Rule(0, bottom, width, bottom, 2.4)))


def stops_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set what must be settled before cutting white on black, and what to look at in a strong box."""
    blocks: list[Block] = []
    stops = [words["stops.no_trace"]] if content.shape is None else []
    stops += content.stops
    if stops:
        white = Style(12 * scale, bold=True, ink=1.0)
        blocks += _boxed("stop", (words["stops.heading"], *stops), white, width, fill=0.0)
    if content.asks:
        blocks += _boxed("asks", (words["stops.asks"], *content.asks), Style(10 * scale), width, fill=None)
    return blocks


def _boxed(name: str, lines: tuple[str, ...], style: Style, width: float, fill: float | None) -> list[Block]:
    marks: list[Mark] = []
    top = 5.0
    for at, text in enumerate(lines):
        words, height = paragraph(text, 8, top, width - 16, style if at else replace(style, bold=True))
        marks += words
        top += height + 2
    return [gap(name, 3), Block(name, top + 3, (Box(0, 0, width, top + 3, line=1.6, fill=fill), *marks)), gap(name, 3)]


def goods_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set frame, lenses and what goes with them, label and value side by side."""
    made_for = words.word("goods", content.use)
    lens = words.fill("goods.lens_words", lens=content.lens, material=content.material)
    strong, plain = Style(13.5 * scale, bold=True), Style(11.5 * scale)
    rows = [
        (words["goods.frame"], content.frame, strong),
        (words["goods.lens"], f"{lens}, {made_for}", strong),
        (words["goods.extras"], ", ".join(content.extras), plain),
        (words["goods.note"], content.note, plain),
    ]
    return [labelled("goods", rows, width, scale)]


def labelled(name: str, rows: Sequence[tuple[str, str, Style]], width: float, scale: float) -> Block:
    """Set label and value side by side, each value in its own type; what has no value is left out."""
    label_style, label_width = Style(11 * scale), 60 * scale
    marks: list[Mark] = []
    top = 2.0
    for label, value, style in rows:
        if not value:
            continue
        set_value, height = paragraph(value, label_width, top, width - label_width, style)
        marks += [line(label, 0, top + style.drop - label_style.drop, label_style), *set_value]
        top += height + 1
    return Block(name, top + 3, tuple(marks))
