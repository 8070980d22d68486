"""The job sheet: one page for the bench in large type; number as bars, both eyes, boxes to tick and to sign."""

from __future__ import annotations

import math
from dataclasses import replace
from typing import Final

from reportlab.graphics.barcode.code128 import Code128

from shopledger.ledger.pair_words import names_in_a_row
from shopledger.ledger.papers.job_sheet import EyeJob, JobShape, JobSheet, Point
from shopledger.ledger.papers.shop_lines import ShopLines
from shopledger.ledger.papers.strips import ON_JOB_SHEET, StripFacts, strips_of
from shopledger.optics.sides import Side
from shopledger.paperwork.bench_parts import drawing_width, fitted_style, labelled, sizes
from shopledger.paperwork.blocks import Block, gap, line, paragraph
from shopledger.paperwork.cutting import JOB_KEY
from shopledger.paperwork.job_parts import (
    bench_blocks,
    cautions_blocks,
    eyes_blocks,
    initials_blocks,
    left_out_blocks,
    shapes_blocks,
)
from shopledger.paperwork.marks import Box, Element, Kind, Mark, Marks, Picture, Rule, paragraph_of
from shopledger.paperwork.paper import OnePage, Paper
from shopledger.paperwork.samples import FRAME, SHOP
from shopledger.paperwork.strips import strips_blocks
from shopledger.paperwork.typeset import MM, Style
from shopledger.paperwork.wording import Wording

_CODE_WIDTH: Final = 190.0
_CODE_HEIGHT: Final = 44.0
QUIET: Final = 10
"""Modules that stay white on either side of the bars (value from memory, as the standard asks)."""


def _head(content: JobSheet, words: Wording, width: float, scale: float) -> Block:
    """Set the number as large as there is room, the initials, and the number as bars for a scanner."""
    number = str(content.job_number)
    number_style = replace(fitted_style(number, 50 * scale, 150), ink=words.look.accent)
    small = Style(11 * scale)
    code_x, middle = width - _CODE_WIDTH, 160.0
    marks: list[Mark] = [
        Element(
            Kind.TITLE,
            (
                line(words["titles.job"], 0, 0, Style(12 * scale, bold=True)),
                line(number, 0, 13 * scale, number_style),
            ),
        ),
        *(
            paragraph_of((said,))
            for said in (
                line(content.initials, middle, 0, fitted_style(content.initials, 30 * scale, code_x - middle)),
                line(words.fill("titles.order", number=content.order_number), middle, 38 * scale, small),
                line(words.fill("titles.day", day=words.day(content.order_day)), middle, 52 * scale, small),
            )
        ),
        Element(Kind.FIGURE, _bars(number, code_x), words.fill("titles.bars", number=number)),
    ]
    bottom = max(68 * scale, _CODE_HEIGHT + 17)
    look = words.look
    if look.logo is not None:
        logo = Picture(middle, bottom, look.logo_width * MM, look.logo_height * MM, look.logo)
        marks.append(Element(Kind.FIGURE, (logo,), content.shop_name))
        bottom += look.logo_height * MM + 4
    return Block("head", bottom + 6, (*marks, Rule(0, bottom, width, bottom, 2.4)))


def _bars(number: str, x: float) -> Marks:
    """Draw the number as bars, and write it below them."""
    below = line(number, x, _CODE_HEIGHT + 2, Style(11, bold=True), "centre", _CODE_WIDTH)
    return (*bar_code(number, x, 0, _CODE_WIDTH, _CODE_HEIGHT), below)


def _stops(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set what must be put right before cutting white on black, and what to look at in a strong box."""
    blocks: list[Block] = []
    stops = list(content.stops)
    if content.shape is None:
        stops.append(words["stops.no_trace"])
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
        marks.append(paragraph_of(words))
        top += height + 2
    return [gap(name, 3), Block(name, top + 3, (Box(0, 0, width, top + 3, line=1.6, fill=fill), *marks)), gap(name, 3)]


def _goods(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set frame, lenses and what goes with them, label and value side by side."""
    made_for = words.word("goods", content.use)
    lens = words.fill("goods.lens_words", lens=content.lens, material=content.material)
    strong, plain = Style(13.5 * scale, bold=True), Style(11.5 * scale)
    rows = [
        (words["goods.frame"], content.frame, strong),
        (words["goods.lens"], f"{lens} · {made_for}", strong),
        (words["goods.extras"], names_in_a_row(content.extras), plain),
        (words["goods.note"], content.note, plain),
    ]
    return [labelled("goods", rows, width, scale)]


def modules_of(text: str) -> tuple[int, ...]:
    """Give the widths of bars and spaces in turn, beginning and ending with a bar, in modules."""
    symbol = Code128(text, quiet=0)
    symbol.validate()  # type: ignore[no-untyped-call]
    symbol.encode()  # type: ignore[no-untyped-call]
    symbol.decompose()  # type: ignore[no-untyped-call]
    # Reportlab writes a bar of n modules as the nth capital letter and a space as the nth small one.
    return tuple(ord(letter.upper()) - ord("A") + 1 for letter in symbol.decomposed)


def bar_code(text: str, x: float, y: float, width: float, height: float, *, widest: float = 2.2) -> Marks:
    """Draw a text as bars in that width, its white margins included and the bars in the middle.

    `widest` is the most that a module becomes, in points.
    """
    widths = modules_of(text)
    module = min(widest, width / (sum(widths) + 2 * QUIET))
    at = x + (width - sum(widths) * module) / 2
    marks: list[Mark] = []
    for place, modules in enumerate(widths):
        if place % 2 == 0:
            marks.append(Box(at, y, modules * module, height, line=0, fill=0.0))
        at += modules * module
    return tuple(marks)


_RIGHT: Final = EyeJob(
    "-3.25 -1.25 x 090", "+2.00", "1.00 BU", 31.5, near=False, height=21.0, decentration_in=3.0, offset_up=2.0,
    blank_needed=59.3, blank=65.0, edge=(1.4, 4.2), centre_thickness=2.0, minimum_height=18.0, largest_blank=75.0,
)  # fmt: skip
_LEFT: Final = replace(_RIGHT, power="-2.50 -1.00 x 085", prism="", edge=(1.4, 3.5))


def _oval() -> tuple[Point, ...]:
    """Give an oval lens of 50 mm by 38 mm as points from its boxed centre."""
    turns = [2 * math.pi * at / 400 for at in range(400)]
    return tuple((50.0 / 2 * math.cos(turn), 38.0 / 2 * math.sin(turn)) for turn in turns)


def _sample() -> JobSheet:
    """Give the sheet of a progressive pair with prism on one side."""
    return JobSheet(
        shop_name=SHOP.name,
        job_number=57,
        order_number=311,
        order_day="2026-02-27",
        initials="I.M.",
        frame=FRAME,
        lens="Even progressive",
        material="hard resin 1.50",
        use="multifocal",
        extras=("Anti-reflective coating",),
        note="Left temple bent once; warm it before mounting.",
        right=_RIGHT,
        left=_LEFT,
        multifocal=True,
        corridor=13.0,
        minimum_height=18.0,
        cutting="wet",
        trace="12 of 2026-02-20",
        shape=JobShape(_oval(), _oval(), 19.0, (3.0, 2.0), (-3.0, 2.0)),
        strips=strips_of(StripFacts(prism={Side.RIGHT: _RIGHT.prism}), ON_JOB_SHEET),
    )


def _top(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    strips = strips_blocks(content.strips, ON_JOB_SHEET, words, width, scale)
    return [_head(content, words, width, scale), *strips, *_stops(content, words, width, scale)]


JOB_SHEET: Final = Paper(
    key=JOB_KEY,
    command="job sheet",
    sample=_sample,
    body=OnePage(
        called=lambda sheet: f"the sheet of job {sheet.job_number}",
        top=_top,
        parts={
            "goods": _goods,
            "eyes": eyes_blocks,
            "bench": bench_blocks,
            "shapes": shapes_blocks,
            "cautions": cautions_blocks,
            "initials": initials_blocks,
        },
        left_out=left_out_blocks,
        shapes_width=lambda sheet: drawing_width(sheet.shape) if sheet.shape else 0.0,
        drawn_at=sizes(1.2, 0.725),
        undrawn_at=sizes(1.0, 0.65),
        headed=False,
    ),
    shop=lambda sheet: ShopLines(sheet.shop_name, (), "", ""),
    day=lambda sheet: sheet.order_day,
    names=lambda sheet, _: {"number": sheet.job_number},
    number="marks.foot",
)
