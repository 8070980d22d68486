"""Strips: what nobody may miss, white on black across the page, one fact each."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from shopledger.ledger.papers.strips import LensSaid, Strip, StripKind
from shopledger.optics.sides import Side
from shopledger.paperwork.blocks import Block, gap, line, paragraph
from shopledger.paperwork.marks import Box
from shopledger.paperwork.typeset import Style, width_of
from shopledger.paperwork.wording import Wording

_PAD: Final = 8.0
_APART: Final = 2.0
"""White between two strips, so that each is seen as one."""


def strips_blocks(
    strips: Sequence[Strip], kinds: Sequence[StripKind], words: Wording, width: float, scale: float
) -> list[Block]:
    """Set each strip under the one before; a paper that lacks the words of a kind it shows fails at once."""
    called = {kind: words[f"strips.{kind.value}"] for kind in kinds}
    blocks = [_strip(called[strip.kind], _detail(strip, words), width, scale) for strip in strips]
    return [gap("strips", 3), *blocks, gap("strips", 3)] if blocks else []


def strip_words(strip: Strip, words: Wording) -> tuple[str, str]:
    """Give what a strip is called and what is said behind it."""
    return words[f"strips.{strip.kind.value}"], _detail(strip, words)


def _strip(called: str, detail: str, width: float, scale: float) -> Block:
    """Set the name of a strip large and what is said behind it, in as many lines as that needs."""
    large, small = Style(13 * scale, bold=True, ink=1.0), Style(11 * scale, bold=True, ink=1.0)
    start = _PAD + width_of(called, large) + 10
    said, height = paragraph(detail, start, 3 + large.drop - small.drop, width - start - _PAD, small)
    tall = max(large.leading, large.drop - small.drop + height) + 5
    marks = (Box(0, 0, width, tall, line=0, fill=0.0), line(called, _PAD, 3, large), *(said if detail else ()))
    return Block("strip", tall + _APART, marks)


def _detail(strip: Strip, words: Wording) -> str:
    """Say which lenses, what of each, and what else."""
    lenses = strip.lenses
    if any(lens.said for lens in lenses):
        parts = [f"{_lens(lens, words)} {lens.said}" for lens in lenses]
    elif {lens.side for lens in lenses} == set(Side):
        parts = [words["strips.both"]]
    else:
        parts = [_lens(lens, words) for lens in lenses]
    return " · ".join((*parts, *strip.said))


def _lens(lens: LensSaid, words: Wording) -> str:
    return words[f"strips.{lens.side.value}"]
