"""What to make for each eye, right and left side by side as they are seen from the front, in large figures."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from typing import Final, NamedTuple

from shopledger.ledger.papers.job_sheet import EyeJob, JobSheet
from shopledger.paperwork.blocks import Block, line, paragraph
from shopledger.paperwork.job_head import fitted_style
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Box, Mark, Rule
from shopledger.paperwork.typeset import Style, width_of
from shopledger.paperwork.wording import Wording

_PAD: Final = 7.0
_LABEL_SHARE: Final = 0.25


class Cell(NamedTuple):
    """What stands in one field: large, and small after it."""

    large: str
    small: str = ""


class Row(NamedTuple):
    """One quantity with its label for both eyes."""

    label: str
    right: Cell
    left: Cell


def eyes_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the table of both eyes as one block."""
    heads = words["eyes.right"], words["eyes.left"]
    return [eyes_table(tuple(rows_of(content, words)), heads, words.look, width, scale)]


def eyes_table(rows: Sequence[Row], heads: tuple[str, str], look: Look, width: float, scale: float) -> Block:
    """Set quantities row by row, right and left in a column each under its head."""
    label_width = width * _LABEL_SHARE
    column = (width - label_width) / 2
    head = 20 * scale
    marks: list[Mark] = [Box(0, 0, width, head, line=0, fill=0.0)]
    white = Style(14 * scale, bold=True, ink=1.0)
    for at, name in enumerate(heads):
        x = label_width + at * column
        marks.append(line(name, x, (head - white.size) / 2 - 1, white, "centre", column))
    top = head
    lines: list[Mark] = []
    for row in rows:
        height, set_row = _row(row, top, label_width, column, scale)
        marks += set_row
        top += height
        lines.append(Rule(0, top, width, top, 0.8, look.rule))
    ground = Box(0, head, label_width, top - head, line=0, fill=look.strip)
    upright = [Rule(x, 0, x, top, 1.4) for x in (label_width, label_width + column)]
    frame = Box(0, 0, width, top, line=1.8)
    return Block("eyes", top + 7, (ground, *lines[:-1], *marks, *upright, frame))


def _row(row: Row, top: float, label_width: float, column: float, scale: float) -> tuple[float, list[Mark]]:
    small = Style(10.5 * scale)
    label, label_height = paragraph(row.label, 5, 0, label_width - 8, Style(10.5 * scale))
    height = max(label_height + 6, 22 * scale)
    marks: list[Mark] = [mark.moved(0, top + (height - label_height) / 2) for mark in label]
    for at, cell in enumerate((row.right, row.left)):
        x = label_width + at * column + _PAD
        room = column - 2 * _PAD
        after = width_of(f"  {cell.small}", small) if cell.small else 0.0
        style = fitted_style(cell.large, 17 * scale, room - after)
        baseline = top + height / 2 + 0.36 * style.size
        marks.append(line(cell.large, x, baseline - style.drop, style))
        if cell.small:
            start = x + width_of(cell.large, style) + (width_of("  ", small) if cell.large else 0.0)
            marks.append(line(cell.small, start, baseline - small.drop, small))
    return height, marks


def rows_of(content: JobSheet, words: Wording) -> Iterator[Row]:
    """Give the rows that this job needs: layout only with a trace, add and least height only for multifocals."""

    def row(label: str, cell: Callable[[EyeJob], Cell]) -> Row:
        return Row(words[f"eyes.{label}"], cell(content.right), cell(content.left))

    yield row("power", lambda eye: Cell(eye.power or words["eyes.no_prescription"]))
    if content.multifocal or content.right.add or content.left.add:
        yield row("add", lambda eye: Cell(eye.add or words["eyes.none"]))
    yield row("prism", lambda eye: Cell(eye.prism or words["eyes.none"]))
    yield row("pd", lambda eye: _pd(eye, words))
    yield row("height", lambda eye: Cell(_mm(eye.height) or words["eyes.unknown"]))
    if content.multifocal:
        checked = (_check(eye, content, words) for eye in (content.right, content.left))
        yield Row(_least_height(content, words), *checked)
    if content.laid_out:
        yield row("decentration", lambda eye: _decentration(eye, words))
        yield row("blank", lambda eye: _blank(eye, content, words))
        yield row("edge", lambda eye: _edge(eye, words))


def _mm(length: float | None) -> str:
    return "" if length is None else f"{length:.1f}"


def _pd(eye: EyeJob, words: Wording) -> Cell:
    if eye.pd is None:
        return Cell(words["eyes.unknown"])
    return Cell(_mm(eye.pd), words["eyes.pd_near"] if eye.near else "")


def _toward(length: float | None, forward: str, backward: str, words: Wording) -> str:
    if not length:
        return words["eyes.centred"]
    return words.fill(f"eyes.{forward if length > 0 else backward}", mm=f"{abs(length):.1f}")


def _decentration(eye: EyeJob, words: Wording) -> Cell:
    across = _toward(eye.decentration_in, "inward", "outward", words)
    up = _toward(eye.offset_up, "upward", "downward", words)
    return Cell(f"{across}  ·  {up}")


def _blank(eye: EyeJob, content: JobSheet, words: Wording) -> Cell:
    needed = _mm(eye.blank_needed)
    if eye.blank is not None:
        return Cell(f"{eye.blank:g}", words.fill("eyes.to_spare", spare=_mm(eye.to_spare), needed=needed))
    if content.largest_blank is None:
        return Cell("", words.fill("eyes.no_blanks", needed=needed))
    return Cell(words["eyes.none"].upper(), words.fill("eyes.too_small", needed=needed))


def _least_height(content: JobSheet, words: Wording) -> str:
    """Name what the height is held to: the corridor and the least height, as far as the catalogue has them."""
    facts = [] if content.corridor is None else [words.fill("eyes.corridor", corridor=f"{content.corridor:g}")]
    if content.minimum_height is not None:
        facts.append(words.fill("eyes.minimum", minimum=f"{content.minimum_height:g}"))
    return ", ".join(facts) or words["eyes.check"]


def _check(eye: EyeJob, content: JobSheet, words: Wording) -> Cell:
    if content.minimum_height is None:
        return Cell(words["eyes.no_minimum"])
    above = eye.above(content.minimum_height)
    if above is None:
        return Cell(words["eyes.unknown"])
    if above < 0:
        return Cell(words.fill("eyes.too_low", short=_mm(-above)))
    return Cell(words.fill("eyes.enough", spare=_mm(above)))


def _edge(eye: EyeJob, words: Wording) -> Cell:
    if eye.edge is None:
        return Cell(words["eyes.impossible"])
    thin, thick = eye.edge
    return Cell(f"{thin:.1f} – {thick:.1f}", words.fill("eyes.centre", mm=_mm(eye.centre_thickness)))
