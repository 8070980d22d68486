"""One lens of a reorder record at 1:1: outline, box, centres, its letter, PD and height, and the blanks about it."""

from __future__ import annotations

from typing import Final

from shopledger.ledger.papers.reorder_record import EyeShape
from shopledger.paperwork.blocks import line
from shopledger.paperwork.marks import Box, Circle, Mark, Outline, Rule
from shopledger.paperwork.typeset import MM, Style

LETTER: Final = Style(17, bold=True, ink=0.25)
"""How the letter of a lens looks, R or L."""
SIZE: Final = Style(7.5)

_OUTLINE: Final = 0.9
_THIN: Final = 0.4
_PALE: Final = 0.55
_DASHES: Final = (3.0, 2.0)
_DOTS: Final = (0.6, 1.6)
_ARM: Final = 6.0
_DOT: Final = 1.6


def lens_marks(shape: EyeShape, x: float, y: float, letter: str, temple: int) -> list[Mark]:
    """Draw one lens around its boxed centre at (x, y) on the paper; `temple` is +1 where that is to the right."""
    points = tuple((x + right * MM, y - up * MM) for right, up in shape.outline)
    outline = Outline(points, _OUTLINE)
    left, top, right, bottom = outline.extent
    centre_x, centre_y = x + shape.optical_centre[0] * MM, y - shape.optical_centre[1] * MM
    beside = x + temple * 0.27 * (right - left)
    return [
        Box(left, top, right - left, bottom - top, line=_THIN, ink=_PALE),
        Rule(x - _ARM, y, x + _ARM, y, _THIN),
        Rule(x, y - _ARM, x, y + _ARM, _THIN),
        outline,
        Circle(centre_x, centre_y, _DOT, width=0, fill=0.0),
        line(letter, beside - 20, y - 0.16 * (bottom - top) - LETTER.leading / 2, LETTER, "centre", 40),
    ]


def blank_marks(shape: EyeShape, x: float, y: float) -> list[Mark]:
    """Draw the chosen blank as a broken circle and the smallest that would do as a dotted one."""
    centre_x, centre_y = x + shape.optical_centre[0] * MM, y - shape.optical_centre[1] * MM
    circles = ((shape.blank, _THIN, 0.35, _DASHES), (shape.least_blank, 0.7, 0.35, _DOTS))
    return [
        Circle(centre_x, centre_y, diameter / 2 * MM, thick, ink, dashes=dashes)
        for diameter, thick, ink, dashes in circles
        if diameter is not None
    ]


def measure_marks(shape: EyeShape, x: float, y: float, middle: float, pd: str, height: str) -> list[Mark]:
    """Draw the way from the middle of the bridge to the optical centre, and that from the lowest point up to it."""
    centre_x, centre_y = x + shape.optical_centre[0] * MM, y - shape.optical_centre[1] * MM
    toward = 1 if middle > centre_x else -1
    label_x = centre_x + 5 if toward > 0 else centre_x - 5 - 60
    marks: list[Mark] = [
        Rule(centre_x, centre_y, middle, centre_y, _THIN, _PALE, _DOTS),
        Rule(middle, centre_y - 3, middle, centre_y + 3, _THIN),
        line(pd, label_x, centre_y - SIZE.leading - 2, SIZE, "left" if toward > 0 else "right", 60),
    ]
    if shape.height is None:
        return marks
    low = y - min(up for _, up in shape.outline) * MM
    half = (centre_y + low) / 2
    beside = centre_x - toward * 4 if toward < 0 else centre_x - 4 - 60
    marks += [
        Rule(centre_x, centre_y, centre_x, low, _THIN, _PALE, _DOTS),
        Rule(centre_x - 3, low, centre_x + 3, low, _THIN),
        line(height, beside, half, SIZE, "left" if toward < 0 else "right", 60),
    ]
    return marks
