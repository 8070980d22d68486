"""What job sheet and lens order share: large type, labelled values, the table of both eyes, shapes at 1:1."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import replace
from typing import Final, NamedTuple

from shopledger.ledger.papers.fitting_points import FittingPoint
from shopledger.ledger.papers.job_sheet import JobShape, Point
from shopledger.optics.lengths import as_given, as_listed
from shopledger.optics.sides import Side
from shopledger.paperwork.blocks import Block, line, paragraph
from shopledger.paperwork.fitting_marks import fitting_marks
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import (
    Box,
    Circle,
    Element,
    Kind,
    Mark,
    Marks,
    Outline,
    Rule,
    labelled_item,
    moved,
    paragraph_of,
    table_row,
)
from shopledger.paperwork.true_size import Standing, bar_to_measure, told, told_apart
from shopledger.paperwork.typeset import MM, Style, width_of
from shopledger.paperwork.wording import Wording

_PAD: Final = 7.0
_LABEL_SHARE: Final = 0.25
_OUTLINE: Final = 1.6
_CROSS: Final = 9.0
_STEP: Final = 0.025
_LEAST_LABEL: Final = 7.0
"""A label becomes no smaller to stand on one line, in points."""
_STRUCK: Final = 0.6
"""Grey of what crosses out the column of a lens that is not made: its words stay black over it."""


def sizes(largest: float, smallest: float) -> tuple[float, ...]:
    """Give how large the type is tried, in steps so small that little of the page stays empty."""
    return tuple(round(largest - at * _STEP, 3) for at in range(round((largest - smallest) / _STEP) + 1))


def fitted_style(text: str, size: float, width: float, *, least: float = 8.0) -> Style:
    """Give bold type of that size, or smaller where the text would be wider than it may be."""
    style = Style(size, bold=True)
    while style.size > least and width_of(text, style) > width:
        style = replace(style, size=style.size - 0.5)
    return style


def labelled(name: str, rows: Sequence[tuple[str, str, Style]], width: float, scale: float) -> Block:
    """Set label and value side by side, each value in its own type; what has no value is left out."""
    label_style, label_width = Style(11 * scale), 60 * scale
    items: list[Mark] = []
    top = 2.0
    for label, value, style in rows:
        if not value:
            continue
        set_value, height = paragraph(value, label_width, top, width - label_width, style)
        items.append(labelled_item((line(label, 0, top + style.drop - label_style.drop, label_style),), set_value))
        top += height + 1
    return Block(name, top + 3, (Element(Kind.LIST, tuple(items)),) if items else ())


class Cell(NamedTuple):
    """What stands in one field: large, and small after it."""

    large: str
    small: str = ""


class Row(NamedTuple):
    """One quantity with its label for both eyes."""

    label: str
    right: Cell
    left: Cell


def eyes_table(
    rows: Sequence[Row], heads: tuple[str, str], made: tuple[bool, bool], look: Look, width: float, scale: float
) -> Block:
    """Set quantities row by row, right and left in a column each; that of a lens that is not made is crossed out."""
    label_width = width * _LABEL_SHARE
    column = (width - label_width) / 2
    head = 20 * scale
    cells: list[tuple[Kind, Marks]] = [(Kind.COLUMN_HEAD, ())]
    for at, name in enumerate(heads):
        x = label_width + at * column
        white = replace(fitted_style(name, 14 * scale, column - 6), ink=1.0)
        cells.append((Kind.COLUMN_HEAD, (line(name, x, (head - white.size) / 2 - 1, white, "centre", column),)))
    said = [table_row(cells)]
    top = head
    lines: list[Mark] = []
    for row in rows:
        height, set_row = _row(row, top, label_width, column, scale)
        said.append(set_row)
        top += height
        lines.append(Rule(0, top, width, top, 0.8, look.rule))
    ground = Box(0, head, label_width, top - head, line=0, fill=look.strip)
    upright = [Rule(x, 0, x, top, 1.4) for x in (label_width, label_width + column)]
    frame = Box(0, 0, width, top, line=1.8)
    struck = [
        mark
        for at, is_made in enumerate(made)
        if not is_made
        for mark in _crossed_out(label_width + at * column, head, column, top)
    ]
    table = Element(Kind.TABLE, tuple(said))
    strip = Box(0, 0, width, head, line=0, fill=0.0)
    return Block("eyes", top + 7, (ground, *lines[:-1], strip, table, *upright, *struck, frame))


def _crossed_out(x: float, top: float, width: float, bottom: float) -> tuple[Mark, Mark]:
    """Cross out a column from corner to corner."""
    return (
        Rule(x, top, x + width, bottom, 2.4, _STRUCK),
        Rule(x, bottom, x + width, top, 2.4, _STRUCK),
    )


def _row(row: Row, top: float, label_width: float, column: float, scale: float) -> tuple[float, Element]:
    """Set one quantity; give the height that it takes, and its cells."""
    small = Style(10.5 * scale)
    label_style = Style(10.5 * scale)
    while label_style.size > max(8.5 * scale, _LEAST_LABEL) and width_of(row.label, label_style) > label_width - 8:
        label_style = replace(label_style, size=label_style.size - 0.25)
    label, label_height = paragraph(row.label, 5, 0, label_width - 8, label_style)
    height = max(label_height + 6, 22 * scale)
    available = column - 2 * _PAD
    texts = {at: paragraph(cell.small, 0, 0, available, small) for at, cell in enumerate(row[1:]) if not cell.large}
    height = max(height, *(high + 6 for _, high in texts.values()), 0)
    cells: list[tuple[Kind, Marks]] = [(Kind.ROW_HEAD, moved(label, 0, top + (height - label_height) / 2))]
    for at, cell in enumerate((row.right, row.left)):
        x = label_width + at * column + _PAD
        if at in texts:
            text, high = texts[at]
            cells.append((Kind.CELL, moved(text, x, top + (height - high) / 2)))
        else:
            cells.append((Kind.CELL, tuple(_large(cell, x, top + height / 2, available, scale))))
    return height, table_row(cells)


def _large(cell: Cell, x: float, middle: float, available: float, scale: float) -> Iterator[Mark]:
    """Set a value as large as it fits, and what is said beside it small behind it."""
    small = Style(10.5 * scale)
    after = width_of(f"  {cell.small}", small) if cell.small else 0.0
    style = fitted_style(cell.large, 17 * scale, available - after)
    baseline = middle + 0.36 * style.size
    yield line(cell.large, x, baseline - style.drop, style)
    if cell.small:
        start = x + width_of(cell.large, style) + width_of("  ", small)
        yield line(cell.small, start, baseline - small.drop, small)


def near_pd_cell(fitting: FittingPoint | None, words: Wording) -> Cell:
    """Say by which near PD a segment is placed, and its inset; one that was not measured is called so."""
    if fitting is None or not fitting.lined:
        return Cell("")
    if fitting.near_pd is None or fitting.inset is None:
        return Cell(words["eyes.unknown"])
    inset = words.fill("eyes.inset" if fitting.near_measured else "eyes.usual_inset", mm=as_given(fitting.inset))
    return Cell(as_given(fitting.near_pd) if fitting.near_measured else words["eyes.unknown"], inset)


def segment_words(fitting: FittingPoint, words: Wording) -> str:
    """Say a segment's shape and sizes as far as they are known."""
    width = "" if fitting.width is None else as_listed(fitting.width)
    strip = fitting.intermediate_depth
    deep = "" if strip is None else words.fill("eyes.intermediate", mm=as_listed(strip))
    return " ".join(each for each in (fitting.shape, width, deep) if each)


def drawing_width(shape: JobShape) -> float:
    """Give the width of both shapes with the distance between them, in points."""
    return sum(_span(outline, 0) for outline in (shape.right, shape.left)) + shape.dbl * MM


def drawn_shapes(shape: JobShape, legend: str, words: Wording, width: float, scale: float) -> Block:
    """Draw both shapes side by side with their distance between, told apart, with bar and legend below."""
    legend = " ".join((legend, *_fitting_legend(shape, words)))
    start = (width - drawing_width(shape)) / 2
    right_x = start - min(x for x, _ in shape.right) * MM
    apart = (max(x for x, _ in shape.right) - min(x for x, _ in shape.left) + shape.dbl) * MM
    level = max(y for outline in (shape.right, shape.left) for _, y in outline) * MM + 2
    depth = -min(y for outline in (shape.right, shape.left) for _, y in outline) * MM
    bottom = level + depth + 5
    bar, bar_height = bar_to_measure(words, bottom, width)
    set_legend, height = paragraph(legend, 0, bottom + bar_height + 2, width, Style(9 * min(scale, 1.0)))
    standing = Standing(shape.right, right_x, level), Standing(shape.left, right_x + apart, level)
    drawn: list[Mark] = [
        *_lens(shape.right, shape.right_centre, right_x, level),
        *_fitted(shape.right, shape.right_fitting, shape.right_centre, (right_x, level), Side.RIGHT, words),
        *_lens(shape.left, shape.left_centre, right_x + apart, level),
        *_fitted(shape.left, shape.left_fitting, shape.left_centre, (right_x + apart, level), Side.LEFT, words),
        *told_apart(*standing, words),
    ]
    figure = Element(Kind.FIGURE, tuple(drawn), told(shape.right, shape.left, shape.dbl, words))
    return Block("shapes", bottom + bar_height + height + 7, (figure, *bar, paragraph_of(set_legend)))


def _fitting_legend(shape: JobShape, words: Wording) -> Iterator[str]:
    """Say what the drawing of multifocals shows beside."""
    kinds = {fitting.lined for fitting in (shape.right_fitting, shape.left_fitting) if fitting}
    if True in kinds:
        yield words["shapes.segment"]
    if False in kinds:
        yield words["shapes.fitting_cross"]


def _fitted(
    outline: tuple[Point, ...],
    fitting: FittingPoint | None,
    centre: Point | None,
    at: Point,
    side: Side,
    words: Wording,
) -> list[Mark]:
    if fitting is None:
        return []
    width = "" if fitting.width is None else words.fill("shapes.width", mm=as_listed(fitting.width))
    inset = "" if fitting.inset is None else words.fill("shapes.inset", mm=as_given(fitting.inset))
    return fitting_marks(fitting, outline, *at, side.inward, list(filter(None, (width, inset))), centre)


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
