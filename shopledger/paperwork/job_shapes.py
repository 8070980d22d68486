"""Both shapes at 1:1 on the job sheet, as seen from the front, with boxed centres and optical centres."""

from __future__ import annotations

from shopledger.ledger.papers.job_sheet import JobShape, JobSheet, Point
from shopledger.paperwork.blocks import Block, gap, paragraph, text_block
from shopledger.paperwork.marks import Circle, Mark, Outline, Rule
from shopledger.paperwork.typeset import MM, Style
from shopledger.paperwork.wording import Wording

_OUTLINE = 1.6
_CROSS = 9.0


def shapes_fit(content: JobSheet, width: float) -> bool:
    """Tell whether the shapes at full size are no wider than the paper; where there are none, nothing is too wide."""
    return content.shape is None or drawing_width(content.shape) <= width


def drawing_width(shape: JobShape) -> float:
    """Give the width of both shapes with the distance between them, in points."""
    return sum(_span(outline, 0) for outline in (shape.right, shape.left)) + shape.dbl * MM


def shapes_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set both shapes with a line of legend; nothing where the frame was never traced."""
    shape = content.shape
    if shape is None:
        return []
    legend = f"{words['shapes.legend']} {words.fill('goods.trace', trace=content.trace)}."
    return [drawn_shapes(shape, legend, width, scale)]


def drawn_shapes(shape: JobShape, legend: str, width: float, scale: float) -> Block:
    """Draw both shapes side by side with their distance between, and the legend below."""
    start = (width - drawing_width(shape)) / 2
    right_x = start - min(x for x, _ in shape.right) * MM
    apart = (max(x for x, _ in shape.right) - min(x for x, _ in shape.left) + shape.dbl) * MM
    level = max(y for outline in (shape.right, shape.left) for _, y in outline) * MM + 2
    depth = -min(y for outline in (shape.right, shape.left) for _, y in outline) * MM
    bottom = level + depth + 3
    set_legend, height = paragraph(legend, 0, bottom, width, Style(9 * scale), "centre")
    marks: list[Mark] = [
        *_lens(shape.right, shape.right_centre, right_x, level),
        *_lens(shape.left, shape.left_centre, right_x + apart, level),
        *set_legend,
    ]
    return Block("shapes", bottom + height + 5, tuple(marks))


def left_out_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Say that the shapes found no room; nothing where there are none."""
    if content.shape is None:
        return []
    return [*text_block("shapes", words["shapes.left_out"], width, Style(9 * scale)), gap("cautions", 4)]


def _span(outline: tuple[Point, ...], axis: int) -> float:
    values = [point[axis] for point in outline]
    return (max(values) - min(values)) * MM


def _lens(outline: tuple[Point, ...], centre: Point | None, x: float, y: float) -> list[Mark]:
    """Draw one lens around its boxed centre at (x, y) on the paper."""
    marks: list[Mark] = [
        Outline(tuple((x + right * MM, y - up * MM) for right, up in outline), _OUTLINE),
        Rule(x - _CROSS, y, x + _CROSS, y, 0.8),
        Rule(x, y - _CROSS, x, y + _CROSS, 0.8),
    ]
    if centre is not None:
        marks.append(Circle(x + centre[0] * MM, y - centre[1] * MM, 2.6, width=0, fill=0.0))
    return marks
