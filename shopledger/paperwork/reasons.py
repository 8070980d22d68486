"""Numbered reasons below a table: a small raised number stands in the row, the reason once below."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import replace
from typing import Final

from shopledger.paperwork.blocks import Block, gap, line
from shopledger.paperwork.typeset import NOTE, lines_of

_RAISED: Final = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_INDENT: Final = 14.0


def raised(number: int) -> str:
    """Write a number small and high."""
    return str(number).translate(_RAISED)


def reason_blocks(first: str, title: str, reasons: Sequence[str], width: float) -> list[Block]:
    """Give a first sentence, a title and the numbered reasons, one block a line so that they can cross pages."""
    blocks = [_note_line("", words, 0) for words in lines_of(first, width, NOTE)]
    if reasons:
        blocks.append(replace(_note_line("", title, 0), with_next=True))
    for number, reason in enumerate(reasons, start=1):
        lines = lines_of(reason, width - _INDENT, NOTE)
        blocks += [_note_line(str(number) if at == 0 else "", words, _INDENT) for at, words in enumerate(lines)]
    return [gap("notes", 5), *blocks]


def _note_line(number: str, words: str, indent: float) -> Block:
    label = (line(number, 0, 0, NOTE),) if number else ()
    return Block("note", NOTE.leading, (*label, line(words, indent, 0, NOTE)))
