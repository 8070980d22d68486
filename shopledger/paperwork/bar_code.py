"""A number as bars that a scanner types like a keyboard: Code 128 (ISO/IEC 15417), drawn as filled boxes."""

from __future__ import annotations

from typing import Final

from reportlab.graphics.barcode.code128 import Code128

from shopledger.paperwork.marks import Box, Mark, Marks

QUIET: Final = 10
"""Modules that stay white on either side of the bars (value from memory, as the standard asks)."""


def modules_of(text: str) -> tuple[int, ...]:
    """Give the widths of bars and spaces in turn, beginning and ending with a bar, in modules."""
    symbol = Code128(text, quiet=0)
    symbol.validate()  # type: ignore[no-untyped-call]
    symbol.encode()  # type: ignore[no-untyped-call]
    symbol.decompose()  # type: ignore[no-untyped-call]
    # Reportlab writes a bar of n modules as the nth capital letter and a space as the nth small one.
    return tuple(ord(letter.upper()) - ord("A") + 1 for letter in symbol.decomposed)


def bar_code(text: str, x: float, y: float, width: float, height: float, *, widest: float = 2.2) -> Marks:
    """Draw a text as bars in a room of that width, its white margins included and the bars in the middle.

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
