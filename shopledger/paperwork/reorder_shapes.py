"""Both shapes of a frame at 1:1, seen from the front with every measure, and from behind as the wearer has them.

Each drawing tells its lenses apart and has its own bar to measure, since a page may be laid aside by itself.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shopledger.ledger.papers.reorder_record import EyeShape, ReorderRecord
from shopledger.optics.lengths import as_given
from shopledger.paperwork.blocks import Block, heading, line, paragraph
from shopledger.paperwork.marks import Box, Circle, Element, Kind, Mark, Outline, Rule, paragraph_of
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.true_size import Standing, bar_to_measure, told, told_apart
from shopledger.paperwork.typeset import COLUMN, MM, NOTE, Style
from shopledger.paperwork.wording import Wording

_ROOM_FOR_LABEL: Final = 16.0
_SIZE: Final = Style(7.5)
_OUTLINE: Final = 0.9
_THIN: Final = 0.4
_PALE: Final = 0.55
_DASHES: Final = (3.0, 2.0)
_DOTS: Final = (0.6, 1.6)
_ARM: Final = 6.0
_DOT: Final = 1.6


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
    x, y = shape.blank_centre
    radius = max(shape.blank or 0.0, shape.least_blank or 0.0) / 2
    return Reach(-min(*across, x - radius), max(*across, x + radius), max(*up, y + radius), -min(*up, y - radius))


def centre_distance(record: ReorderRecord) -> float:
    """Give the distance of the boxed centres: half of each box and the DBL between them, in millimetres."""
    return max(x for x, _ in record.right_shape.outline) - min(x for x, _ in record.left_shape.outline) + record.dbl


def drawing_width(record: ReorderRecord) -> float:
    """Give the width that the two shapes with their blanks need at 1:1, in millimetres."""
    left, right = _side_reach(record)
    return left + right


def _side_reach(record: ReorderRecord) -> tuple[float, float]:
    """Give how far the drawing goes left and right of the right lens's boxed centre, in millimetres."""
    right, left, apart = reach_of(record.right_shape), reach_of(record.left_shape), centre_distance(record)
    return max(right.left, left.left - apart), max(right.right, apart + left.right)


def shapes_blocks(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the heading, which side is which in words, and the drawing, the latter never broken."""
    needed = drawing_width(record)
    if needed > width / MM:
        raise DoesNotFitError(
            "the pair of shapes at full size",
            f"{needed:.0f} mm",
            f"{width / MM:.0f} mm between the margins",
            "Look for a slip in the DBL or the blank.",
        )
    top = heading("shapes", wording["shapes.heading"], width)
    return [top, *sides_in_words("shapes", wording["shapes.front"], width), _drawing(record, wording, width)]


def sides_in_words(name: str, words: str, width: float) -> list[Block]:
    """Say which side is which; the words stay with the drawing below."""
    marks, height = paragraph(words, 0, 0, width, NOTE)
    return [Block(f"{name}, in words", height + 3, marks, with_next=True)]


def _drawing(record: ReorderRecord, wording: Wording, width: float) -> Block:
    right, left = reach_of(record.right_shape), reach_of(record.left_shape)
    to_left, _ = _side_reach(record)
    start = (width - drawing_width(record) * MM) / 2 + to_left * MM
    level = _ROOM_FOR_LABEL + max(right.up, left.up) * MM
    apart = centre_distance(record) * MM
    middle = start + (max(x for x, _ in record.right_shape.outline) + record.dbl / 2) * MM
    bottom = level + max(right.down, left.down) * MM + 8
    marks: list[Mark] = [
        *_lens(record.right_shape, start, level, middle, wording),
        *_lens(record.left_shape, start + apart, level, middle, wording),
        *told_apart(
            Standing(record.right_shape.outline, start, level),
            Standing(record.left_shape.outline, start + apart, level),
            wording,
        ),
        line(wording["shapes.right"], start - 60, 0, COLUMN, "centre", 120),
        line(wording["shapes.left"], start + apart - 60, 0, COLUMN, "centre", 120),
        *_dbl(record, wording, start, level),
    ]
    bar, height = _bar(record, wording, bottom, width)
    shapes = record.right_shape.outline, record.left_shape.outline
    figure = Element(Kind.FIGURE, tuple(marks), told(*shapes, record.dbl, wording))
    return Block("shapes", bottom + height, (figure, *bar))


def _lens(shape: EyeShape, x: float, y: float, middle: float, wording: Wording) -> list[Mark]:
    """Draw one lens with its blanks, and its PD and its height from the lowest point as numbers on lines."""
    pd = abs(middle - x - shape.optical_centre[0] * MM) / MM
    labels = (
        wording.fill("shapes.pd", pd=as_given(pd)),
        wording.fill("shapes.height", height=as_given(shape.height or 0.0)),
    )
    return [
        *lens_marks(shape, x, y),
        *measure_marks(shape, x, y, middle, *labels),
        *blank_marks(shape, x, y),
    ]


def _dbl(record: ReorderRecord, wording: Wording, start: float, level: float) -> list[Mark]:
    """Draw the distance between the lenses at the height of the boxed centres, with its number below."""
    nose_right = start + max(x for x, _ in record.right_shape.outline) * MM
    nose_left = nose_right + record.dbl * MM
    words = wording.fill("shapes.dbl", dbl=as_given(record.dbl))
    label = line(words, nose_right, level + 4, NOTE, "centre", record.dbl * MM)
    left, top, right, bottom = label.extent
    # The blanks' circles often cross here; the number must stay readable.
    clear = Box(left - 1, top - 1, right - left + 2, bottom - top + 2, line=0, fill=1.0)
    ticks = [Rule(x, level - 4, x, level + 4, 0.6) for x in (nose_right, nose_left)]
    return [clear, Rule(nose_right, level, nose_left, level, 0.6), *ticks, label]


def _bar(record: ReorderRecord, wording: Wording, top: float, width: float) -> tuple[list[Mark], float]:
    """Draw the bar, and below it what the drawing shows and where the shape is from."""
    marks, height = bar_to_measure(wording, top, width)
    below = top + height + 3
    for words in (wording["shapes.legend"], _origin(record, wording)):
        set_words, taken = paragraph(words, 0, below, width, NOTE)
        marks += (paragraph_of(set_words),) if words else ()
        below += taken if words else 0.0
    return marks, below - top + 2


def _origin(record: ReorderRecord, wording: Wording) -> str:
    return wording.fill("shapes.origin", origin=record.trace_origin) if record.trace_origin else ""


def lens_marks(shape: EyeShape, x: float, y: float) -> list[Mark]:
    """Draw one lens around its boxed centre at (x, y) on the paper."""
    points = tuple((x + right * MM, y - up * MM) for right, up in shape.outline)
    outline = Outline(points, _OUTLINE)
    left, top, right, bottom = outline.extent
    centre_x, centre_y = x + shape.optical_centre[0] * MM, y - shape.optical_centre[1] * MM
    return [
        Box(left, top, right - left, bottom - top, line=_THIN, ink=_PALE),
        Rule(x - _ARM, y, x + _ARM, y, _THIN),
        Rule(x, y - _ARM, x, y + _ARM, _THIN),
        outline,
        Circle(centre_x, centre_y, _DOT, width=0, fill=0.0),
    ]


def blank_marks(shape: EyeShape, x: float, y: float) -> list[Mark]:
    """Draw the chosen blank as a broken circle and the smallest that would do as a dotted one."""
    centre_x, centre_y = x + shape.blank_centre[0] * MM, y - shape.blank_centre[1] * MM
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
        line(pd, label_x, centre_y - _SIZE.leading - 2, _SIZE, "left" if toward > 0 else "right", 60),
    ]
    if shape.height is None:
        return marks
    low = y - min(up for _, up in shape.outline) * MM
    half = (centre_y + low) / 2
    beside = centre_x - toward * 4 if toward < 0 else centre_x - 4 - 60
    marks += [
        Rule(centre_x, centre_y, centre_x, low, _THIN, _PALE, _DOTS),
        Rule(centre_x - 3, low, centre_x + 3, low, _THIN),
    ]
    words, tall = paragraph(height, beside, half, 60, _SIZE, "left" if toward < 0 else "right")
    return [*marks, *(word.moved(0, -tall / 2) for word in words)]


def worn_blocks(record: ReorderRecord, wording: Wording, width: float) -> list[Block]:
    """Set the heading, which side is which in words, and the drawing, which is never broken."""
    top = heading("worn", wording["worn.heading"], width)
    return [top, *sides_in_words("worn", wording["worn.behind"], width), _drawn_from_behind(record, wording, width)]


def from_behind(shape: EyeShape) -> EyeShape:
    """Turn a lens round, as one who wears it has it before the eye."""
    x, y = shape.optical_centre
    return EyeShape(tuple((-across, up) for across, up in shape.outline), (-x, y), None)


def _drawn_from_behind(record: ReorderRecord, wording: Wording, width: float) -> Block:
    right, left = from_behind(record.right_shape), from_behind(record.left_shape)
    across = [x for x, _ in left.outline], [x for x, _ in right.outline]
    apart = centre_distance(record)
    whole = apart - min(across[0]) + max(across[1])
    start = (width - whole * MM) / 2 - min(across[0]) * MM
    level = max(y for shape in (right, left) for _, y in shape.outline) * MM + 2
    depth = -min(y for shape in (right, left) for _, y in shape.outline) * MM
    standing = Standing(right.outline, start + apart * MM, level), Standing(left.outline, start, level)
    bottom = level + depth + 6
    bar, height = bar_to_measure(wording, bottom, width)
    marks: list[Mark] = [
        *lens_marks(right, start + apart * MM, level),
        *lens_marks(left, start, level),
        *told_apart(*standing, wording),
    ]
    figure = Element(Kind.FIGURE, tuple(marks), wording["worn.told"])
    return Block("worn", bottom + height + 5, (figure, *bar))
