"""The lower half of the job sheet: how to cut, boxes to tick, cautions, boxes for initials."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.papers.job_sheet import JobSheet
from shopledger.paperwork.blocks import Block, line, paragraph
from shopledger.paperwork.job_head import fitted_style
from shopledger.paperwork.marks import Box, Mark
from shopledger.paperwork.typeset import Style, width_of
from shopledger.paperwork.wording import Wording

_CHOICES: Final = (
    ("bevel", ("bevel_front", "bevel_middle", "bevel_curve", "bevel_groove"), ""),
    ("polish", ("polish_yes", "polish_no"), "polish_note"),
    ("safety", ("safety_back", "safety_front"), ""),
)
_BOXES: Final = ("demo", "lenses", "blocked", "cut", "mounted", "inspected")
_CUTTING_SHARE: Final = 0.25
_LARGEST: Final = 1.1
"""The choices grow no further: each stands on one line."""


def bench_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the cutting mode white on black, and beside it the choices with a box to tick for each."""
    scale, left = min(scale, _LARGEST), width * _CUTTING_SHARE
    top, marks = 0.0, list[Mark]()
    for label, options, note in _CHOICES:
        set_choice, height = _choice(label, options, note, words, left + 10, top, width, scale)
        marks += set_choice
        top += height
    mode = words[f"bench.{content.cutting}"]
    white = Style(fitted_style(mode, 22 * scale, left - 12).size, bold=True, ink=1.0)
    middle = top / 2 - 0.64 * white.size
    ground = Box(0, 0, left, top, line=0, fill=0.0)
    return [Block("bench", top + 7, (ground, line(mode, 0, middle, white, "centre", left), *marks))]


def _choice(
    label: str, options: tuple[str, ...], note: str, words: Wording, x: float, top: float, width: float, scale: float
) -> tuple[list[Mark], float]:
    """Set one question with its boxes; options that find no room go to the next line."""
    strong, plain, tick = Style(12 * scale, bold=True), Style(11 * scale), 13 * scale
    start = x + max(width_of(words[f"bench.{each}"], strong) for each, _, _ in _CHOICES) + 10
    marks: list[Mark] = [line(words[f"bench.{label}"], x, top + 3, strong)]
    at, leading, first = start, 21 * scale, top
    for option in options:
        text = words[f"bench.{option}"]
        needed = tick + 4 + width_of(text, plain)
        if at > start and at + needed > width:
            at, top = start, top + leading
        marks += [Box(at, top + 2, tick, tick, line=1.6), line(text, at + tick + 4, top + 3.5, plain)]
        at += needed + 8
    if note:
        at += 4
        marks.append(line(words[f"bench.{note}"], at, top + 4, Style(9.5 * scale)))
    return marks, top + leading - first


def cautions_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the cautions in a strong box; that of the dust is in strong type where this material is cut dry."""
    dust = f"dust_{content.cutting}"
    style, strong = Style(9.5 * scale), Style(9.5 * scale, bold=True)
    marks: list[Mark] = []
    top = 5.0
    for key in ("eyes", dust, "impact", "demo"):
        bold = key in {"dust_dry", "demo"}
        sentence, height = paragraph(words[f"cautions.{key}"], 18, top, width - 26, strong if bold else style)
        marks += [Box(7, top + 3 * scale, 4.5, 4.5, line=0, fill=0.0), *sentence]
        top += height + 1
    return [Block("cautions", top + 10, (Box(0, 0, width, top + 4, line=1.6), *marks))]


def initials_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:  # noqa: ARG001 - as every part
    """Set a row of boxes, one for each step, with room to sign below its name."""
    label, share = Style(9.5 * scale, bold=True), width / len(_BOXES)
    heading = line(words["initials.heading"], 0, 0, Style(10.5 * scale, bold=True))
    top = 14 * scale
    named = [
        paragraph(words[f"initials.{box}"], at * share + 4, top + 3, share - 6, label) for at, box in enumerate(_BOXES)
    ]
    height = max(taken for _, taken in named) + 26
    boxes = [Box(at * share, top, share, height, line=1.6) for at in range(len(_BOXES))]
    return [
        Block("initials", top + height + 2, (heading, *boxes, *(mark for words_of, _ in named for mark in words_of)))
    ]
