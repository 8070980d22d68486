"""Both shapes at 1:1 as the wearer has them: seen from behind, the right lens at the right of the paper."""

from __future__ import annotations

from shopledger.ledger.papers.reorder_record import EyeShape, ReorderRecord
from shopledger.paperwork.blocks import Block, heading, line
from shopledger.paperwork.lens_drawing import SIZE, lens_marks
from shopledger.paperwork.marks import Mark
from shopledger.paperwork.reorder_shapes import centre_distance, sides_in_words
from shopledger.paperwork.typeset import MM
from shopledger.paperwork.wording import Wording


def worn_blocks(sheet: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the heading, which side is which in words, and the drawing, which is never broken."""
    top = heading("worn", wording["worn.heading"], width)
    return [top, *sides_in_words("worn", wording["worn.behind"], width), _drawing(sheet, wording, width)]


def from_behind(shape: EyeShape) -> EyeShape:
    """Turn a lens round, as one who wears it has it before the eye."""
    x, y = shape.optical_centre
    return EyeShape(tuple((-across, up) for across, up in shape.outline), (-x, y), None)


def _drawing(sheet: ReorderRecord, wording: Wording, width: float) -> Block:
    right, left = from_behind(sheet.right_shape), from_behind(sheet.left_shape)
    across = [x for x, _ in left.outline], [x for x, _ in right.outline]
    apart = centre_distance(sheet)
    whole = apart - min(across[0]) + max(across[1])
    start = (width - whole * MM) / 2 - min(across[0]) * MM
    level = max(y for shape in (right, left) for _, y in shape.outline) * MM + 2
    depth = -min(y for shape in (right, left) for _, y in shape.outline) * MM
    nose = start + (max(across[0]) + sheet.dbl / 2) * MM
    marks: list[Mark] = [
        *lens_marks(right, start + apart * MM, level, wording["shapes.right_letter"], 1),
        *lens_marks(left, start, level, wording["shapes.left_letter"], -1),
        line(wording["worn.nose"], nose - 40, level - SIZE.leading / 2, SIZE, "centre", 80),
    ]
    return Block("worn", level + depth + 8, tuple(marks))
