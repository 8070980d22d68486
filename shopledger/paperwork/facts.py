"""Small parts that several papers share: a band of labelled facts, and a strong box with one sentence."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.paperwork.blocks import Block, gap, paragraph
from shopledger.paperwork.marks import Box, Mark
from shopledger.paperwork.typeset import LABEL, OUTCOME, OUTCOME_WHITE, STRONG


def fact_band(name: str, facts: Sequence[tuple[str, str, float]], width: float) -> list[Block]:
    """Set labels over strong values in one band; each fact names the share of the width that it takes."""
    room = width - 6
    marks: list[Mark] = []
    x, tallest = 6.0, 0.0
    for label, value, share in facts:
        words, height = paragraph(value, x, LABEL.leading, share * room - 10, STRONG)
        marks += [*paragraph(label, x, 0, share * room - 4, LABEL)[0], *words]
        tallest = max(tallest, height)
        x += share * room
    return [gap(name, 9), Block(name, LABEL.leading + tallest, tuple(marks))]


def strong_box(name: str, text: str, width: float, *, inverse: bool = False) -> list[Block]:
    """Set a sentence that nobody may miss in a strong box; white on black where it warns."""
    words, height = paragraph(text, 10, 7, width - 20, OUTCOME_WHITE if inverse else OUTCOME, "centre")
    box = Box(0, 0, width, height + 14, line=1.6, fill=0.0 if inverse else None)
    return [gap(name, 9), Block(name, height + 14, (box, *words))]
