"""Both shapes of a frame at 1:1 as seen from the front: centres, boxes, blanks, PD, the true DBL, a bar to measure."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shopledger.ledger.papers.reorder_record import EyeShape, ReorderRecord
from shopledger.paperwork.blocks import Block, heading, line, paragraph
from shopledger.paperwork.lens_drawing import blank_marks, lens_marks, measure_marks
from shopledger.paperwork.marks import Box, Mark, Rule
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import BODY, COLUMN, MM, NOTE
from shopledger.paperwork.wording import Wording

SCALE_BAR: Final = 100.0
"""Length of the bar in millimetres."""

_ROOM_FOR_LABEL: Final = 16.0


@dataclass(frozen=True, slots=True)
class Reach:
    """How far drawing goes from a point: to the left, right, up and down, in millimetres."""

    left: float
    right: float
    up: float
    down: float


def reach_of(shape: EyeShape) -> Reach:
    """Give how far a shape with its blanks goes from its boxed centre, in millimetres."""
    across, up = zip(*shape.outline, strict=True)
    x, y = shape.optical_centre
    radius = max(shape.blank or 0.0, shape.least_blank or 0.0) / 2
    return Reach(-min(*across, x - radius), max(*across, x + radius), max(*up, y + radius), -min(*up, y - radius))


def centre_distance(sheet: ReorderRecord) -> float:
    """Give the distance of the boxed centres: half of each box and the DBL between them, in millimetres."""
    return max(x for x, _ in sheet.right_shape.outline) - min(x for x, _ in sheet.left_shape.outline) + sheet.dbl


def drawing_width(sheet: ReorderRecord) -> float:
    """Give the width that the two shapes with their blanks need at 1:1, in millimetres."""
    left, right = _side_reach(sheet)
    return left + right


def _side_reach(sheet: ReorderRecord) -> tuple[float, float]:
    """Give how far the drawing goes left and right of the right lens's boxed centre, in millimetres."""
    right, left, apart = reach_of(sheet.right_shape), reach_of(sheet.left_shape), centre_distance(sheet)
    return max(right.left, left.left - apart), max(right.right, apart + left.right)


def shapes_blocks(sheet: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the heading, which side is which in words, and the drawing, the latter never broken."""
    needed = drawing_width(sheet)
    if needed > width / MM:
        raise DoesNotFitError(
            "the pair of shapes at full size",
            f"{needed:.0f} mm",
            f"{width / MM:.0f} mm between the margins",
            "Look for a slip in the DBL or the blank.",
        )
    top = heading("shapes", wording["shapes.heading"], width)
    return [top, *sides_in_words("shapes", wording["shapes.front"], width), _drawing(sheet, wording, width)]


def sides_in_words(name: str, words: str, width: float) -> list[Block]:
    """Say which side is which; the words stay with the drawing below."""
    marks, height = paragraph(words, 0, 0, width, NOTE)
    return [Block(f"{name}, in words", height + 3, marks, with_next=True)]


def _drawing(sheet: ReorderRecord, wording: Wording, width: float) -> Block:
    right, left = reach_of(sheet.right_shape), reach_of(sheet.left_shape)
    to_left, _ = _side_reach(sheet)
    start = (width - drawing_width(sheet) * MM) / 2 + to_left * MM
    level = _ROOM_FOR_LABEL + max(right.up, left.up) * MM
    apart = centre_distance(sheet) * MM
    middle = start + (max(x for x, _ in sheet.right_shape.outline) + sheet.dbl / 2) * MM
    bottom = level + max(right.down, left.down) * MM + 8
    marks: list[Mark] = [
        *_lens(sheet.right_shape, start, level, middle, wording, "right"),
        *_lens(sheet.left_shape, start + apart, level, middle, wording, "left"),
        line(wording["shapes.right"], start - 60, 0, COLUMN, "centre", 120),
        line(wording["shapes.left"], start + apart - 60, 0, COLUMN, "centre", 120),
        *_dbl(sheet, wording, start, level),
    ]
    bar, height = _bar(sheet, wording, bottom, width)
    return Block("shapes", bottom + height, (*marks, *bar))


def _lens(shape: EyeShape, x: float, y: float, middle: float, wording: Wording, side: str) -> list[Mark]:
    """Draw one lens with its blanks, and its PD and height as numbers on lines."""
    pd = abs(middle - x - shape.optical_centre[0] * MM) / MM
    labels = (
        wording.fill("shapes.pd", pd=f"{pd:.1f}"),
        wording.fill("shapes.height", height=f"{shape.height or 0:.1f}"),
    )
    return [
        *lens_marks(shape, x, y, wording[f"shapes.{side}_letter"], -1 if side == "right" else 1),
        *measure_marks(shape, x, y, middle, *labels),
        *blank_marks(shape, x, y),
    ]


def _dbl(sheet: ReorderRecord, wording: Wording, start: float, level: float) -> list[Mark]:
    """Draw the distance between the lenses at the height of the boxed centres, with its number below."""
    nose_right = start + max(x for x, _ in sheet.right_shape.outline) * MM
    nose_left = nose_right + sheet.dbl * MM
    words = wording.fill("shapes.dbl", dbl=f"{sheet.dbl:.1f}")
    label = line(words, nose_right, level + 4, NOTE, "centre", sheet.dbl * MM)
    left, top, right, bottom = label.extent
    # The blanks' circles often cross here; the number must stay readable.
    clear = Box(left - 1, top - 1, right - left + 2, bottom - top + 2, line=0, fill=1.0)
    ticks = [Rule(x, level - 4, x, level + 4, 0.6) for x in (nose_right, nose_left)]
    return [clear, Rule(nose_right, level, nose_left, level, 0.6), *ticks, label]


def _bar(sheet: ReorderRecord, wording: Wording, top: float, width: float) -> tuple[list[Mark], float]:
    """Draw the bar with a tick each 10 mm, and beside it what to do with it."""
    length = SCALE_BAR * MM
    level = top + 6
    marks: list[Mark] = [Rule(0, level, length, level, 1.0)]
    for tenth in range(11):
        tall = 6 if tenth % 10 == 0 else 4 if tenth % 5 == 0 else 2.5
        marks.append(Rule(tenth * length / 10, level - tall, tenth * length / 10, level + tall, 0.6))
    note, height = paragraph(wording["shapes.scale"], length + 12, top - 2, width - length - 12, NOTE)
    legend, legend_height = paragraph(wording["shapes.legend"], 0, top + 15, length, NOTE)
    below = max(height, legend_height + 17)
    origin, origin_height = paragraph(
        wording.fill("shapes.origin", origin=sheet.trace_origin), 0, top + below, width, BODY
    )
    shown = origin if sheet.trace_origin else ()
    return [*marks, *note, *legend, *shown], below + (origin_height if shown else 0.0) + 2
