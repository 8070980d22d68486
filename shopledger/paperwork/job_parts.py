"""What the job sheet says for the bench: both eyes, how to cut, shapes, cautions, boxes to tick and for initials."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from typing import Final

from shopledger.ledger.papers.job_sheet import EyeJob, JobSheet
from shopledger.optics.lengths import as_given, as_listed, worked_out
from shopledger.paperwork.bench_parts import (
    Cell,
    Row,
    drawn_shapes,
    eyes_table,
    fitted_style,
    near_pd_cell,
    segment_words,
)
from shopledger.paperwork.blocks import Block, gap, line, paragraph, text_block
from shopledger.paperwork.marks import Box, Mark, paragraph_of
from shopledger.paperwork.typeset import Style, width_of
from shopledger.paperwork.wording import Wording

_CHOICES: Final = (
    ("bevel", ("bevel_front", "bevel_middle", "bevel_curve", "bevel_groove"), ""),
    ("polish", ("polish_yes", "polish_no"), "polish_note"),
    ("safety", ("safety_back", "safety_front"), ""),
)
_BOXES: Final = ("demo", "lenses", "blocked", "cut", "mounted", "inspected")
_CUTTING_SHARE: Final = 0.25
_LEAST_CAUTION: Final = 9.0
"""Cautions are read at arm's length, however full the sheet is, in points."""
_LARGEST: Final = 1.1
"""The choices grow no further: each stands on one line."""


def eyes_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the table of both eyes as one block."""
    heads = words["eyes.right"], words["eyes.left"]
    made = not content.right.not_made, not content.left.not_made
    return [eyes_table(tuple(rows_of(content, words)), heads, made, words.look, width, scale)]


def rows_of(content: JobSheet, words: Wording) -> Iterator[Row]:
    """Give the rows that this job needs: layout only with a trace, add and least height only for multifocals."""

    def row(label: str, cell: Callable[[EyeJob], Cell]) -> Row:
        right, left = (Cell("") if eye.not_made else cell(eye) for eye in (content.right, content.left))
        return Row(words[f"eyes.{label}"], right, left)

    if content.right.own or content.left.own:
        yield row("own", lambda eye: Cell("", eye.own))
    powers = (_power(eye, words) for eye in (content.right, content.left))
    yield Row(words["eyes.power"], *powers)
    if content.right.written or content.left.written:
        yield row("written", lambda eye: Cell("", eye.written))
    if content.multifocal or content.right.add or content.left.add:
        yield row("add", lambda eye: Cell(eye.add or words["eyes.none"]))
    yield row("prism", lambda eye: Cell(eye.prism or words["eyes.none"]))
    yield row("pd", lambda eye: _pd(eye, words))
    lined = any(eye.fitting and eye.fitting.lined for eye in (content.right, content.left))
    if lined:
        yield row("near_pd", lambda eye: near_pd_cell(eye.fitting, words))
    yield row("height", lambda eye: _height(eye, words))
    if content.multifocal:
        yield row("check", lambda eye: _check(eye, words))._replace(label=_least_height(content, words))
    if content.laid_out:
        if lined:
            yield row("segment", lambda eye: _segment(eye, words))
        yield row("distance_centre" if lined else "decentration", lambda eye: _decentration(eye, words))
        yield row("blank", lambda eye: _blank(eye, words))
        yield row("edge", lambda eye: _edge(eye, words))


def _power(eye: EyeJob, words: Wording) -> Cell:
    return Cell(eye.not_made) if eye.not_made else Cell(eye.power or words["eyes.no_prescription"])


def _pd(eye: EyeJob, words: Wording) -> Cell:
    if eye.pd is None:
        return Cell(words["eyes.unknown"])
    return Cell(as_given(eye.pd), words["eyes.pd_near"] if eye.near else "")


def _height(eye: EyeJob, words: Wording) -> Cell:
    """Say a height, and of what it is: which segment."""
    kind = segment_words(eye.fitting, words) if eye.fitting else ""
    return Cell(words["eyes.unknown"] if eye.height is None else as_given(eye.height), kind)


def _toward(length: float | None, forward: str, backward: str, words: Wording) -> str:
    if not length:
        return words["eyes.centred"]
    return words.fill(f"eyes.{forward if length > 0 else backward}", mm=worked_out(abs(length)))


def _decentration(eye: EyeJob, words: Wording) -> Cell:
    return Cell(_place(eye.decentration_in, eye.offset_up, words))


def _segment(eye: EyeJob, words: Wording) -> Cell:
    """Say where a segment's top stands."""
    fitting = eye.fitting
    if fitting is None or not fitting.lined:
        return Cell("")
    return Cell(_place(fitting.inward, fitting.upward, words))


def _place(inward: float | None, upward: float | None, words: Wording) -> str:
    across = _toward(inward, "inward", "outward", words)
    return f"{across}  ·  {_toward(upward, 'upward', 'downward', words)}"


def _blank(eye: EyeJob, words: Wording) -> Cell:
    needed = "" if eye.blank_needed is None else worked_out(eye.blank_needed)
    if eye.blank is not None:
        known = eye.fitting is None or eye.fitting.blank_known
        if not known:
            return Cell(as_listed(eye.blank), words.fill("eyes.assumed", needed=needed))
        spare = worked_out(eye.to_spare or 0.0)
        return Cell(as_listed(eye.blank), words.fill("eyes.to_spare", spare=spare, needed=needed))
    if eye.largest_blank is None:
        return Cell("", words.fill("eyes.no_blanks", needed=needed))
    return Cell(words["eyes.none"].upper(), words.fill("eyes.too_small", needed=needed))


def _least_height(content: JobSheet, words: Wording) -> str:
    """Name what the height is held to: the corridor and the least height, as far as the catalogue has them."""
    facts = [] if content.corridor is None else [words.fill("eyes.corridor", corridor=as_listed(content.corridor))]
    if content.minimum_height is not None:
        facts.append(words.fill("eyes.minimum", minimum=as_listed(content.minimum_height)))
    return " · ".join(facts) or words["eyes.check"]


def _check(eye: EyeJob, words: Wording) -> Cell:
    if eye.minimum_height is None:
        return Cell(words["eyes.no_minimum"] if eye.fitting or eye.add else "")
    above = eye.above_minimum
    if above is None:
        return Cell(words["eyes.unknown"])
    if above < 0:
        return Cell(words.fill("eyes.too_low", short=as_given(-above)))
    return Cell(words.fill("eyes.enough", spare=as_given(above)))


def _edge(eye: EyeJob, words: Wording) -> Cell:
    if eye.edge is None:
        return Cell(words["eyes.impossible"])
    thin, thick = eye.edge
    centre = words.fill("eyes.centre", mm=worked_out(eye.centre_thickness or 0.0))
    return Cell(f"{worked_out(thin)} – {worked_out(thick)}", centre)


def _mode(content: JobSheet, words: Wording) -> str:
    """Say how the lenses are cut: both alike, or each."""
    ways = [words[f"bench.{way}"] for way in (content.cutting, content.cutting_left) if way]
    return ways[0] if len(ways) == 1 else words.fill("bench.each", right=ways[0], left=ways[1])


def bench_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the cutting mode white on black, and beside it the choices with a box to tick for each."""
    scale, left = min(scale, _LARGEST), width * _CUTTING_SHARE
    top, marks = 0.0, list[Mark]()
    for label, options, note in _CHOICES:
        set_choice, height = _choice(label, options, note, words, left + 10, top, width, scale)
        marks += set_choice
        top += height
    mode = _mode(content, words)
    white = Style(fitted_style(mode, 22 * scale, left - 12).size, bold=True, ink=1.0)
    middle = top / 2 - 0.64 * white.size
    ground = Box(0, 0, left, top, line=0, fill=0.0)
    return [Block("bench", top + 7, (ground, paragraph_of((line(mode, 0, middle, white, "centre", left),)), *marks))]


def _choice(
    label: str, options: tuple[str, ...], note: str, words: Wording, x: float, top: float, width: float, scale: float
) -> tuple[list[Mark], float]:
    """Set one question with its boxes; options that find no room go to the next line."""
    strong, plain, tick = Style(12 * scale, bold=True), Style(11 * scale), 13 * scale
    start = x + max(width_of(words[f"bench.{each}"], strong) for each, _, _ in _CHOICES) + 10
    boxes: list[Mark] = []
    said: list[Mark] = [line(words[f"bench.{label}"], x, top + 3, strong)]
    at, leading, first = start, 21 * scale, top
    for option in options:
        text = words[f"bench.{option}"]
        needed = tick + 4 + width_of(text, plain)
        if at > start and at + needed > width:
            at, top = start, top + leading
        boxes.append(Box(at, top + 2, tick, tick, line=1.6))
        said.append(line(text, at + tick + 4, top + 3.5, plain))
        at += needed + 8
    if note:
        at += 4
        said.append(line(words[f"bench.{note}"], at, top + 4, Style(9.5 * scale)))
    return [*boxes, paragraph_of(tuple(said))], top + leading - first


def cautions_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the cautions in a strong box; that of the dust is in strong type where this material is cut dry."""
    dust = "dust_dry" if "dry" in {content.cutting, content.cutting_left} else "dust_wet"
    size = max(9.5 * scale, _LEAST_CAUTION)
    style, strong = Style(size), Style(size, bold=True)
    marks: list[Mark] = []
    top = 5.0
    for key in ("eyes", dust, "impact", "demo"):
        bold = key in {"dust_dry", "demo"}
        sentence, height = paragraph(words[f"cautions.{key}"], 18, top, width - 26, strong if bold else style)
        marks += [Box(7, top + 3 * scale, 4.5, 4.5, line=0, fill=0.0), paragraph_of(sentence)]
        top += height + 1
    return [Block("cautions", top + 10, (Box(0, 0, width, top + 4, line=1.6), *marks))]


def initials_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:  # noqa: ARG001 - as every part
    """Set a row of boxes, one for each step, with room to sign below its name."""
    label, share = Style(9.5 * scale, bold=True), width / len(_BOXES)
    heading = line(words["initials.heading"], 0, 0, Style(10.5 * scale, bold=True))
    top = 14 * scale
    named = [
        paragraph(words[f"initials.{box}"], at * share + 4, top + 3, share - 6, label) for at, box in enumerate(_BOXES)
    ]
    height = max(taken for _, taken in named) + 26
    boxes = [Box(at * share, top, share, height, line=1.6) for at in range(len(_BOXES))]
    steps = (paragraph_of(words_of) for words_of, _ in named)
    return [Block("initials", top + height + 2, (paragraph_of((heading,)), *boxes, *steps))]


def shapes_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Set both shapes with a line of legend; nothing where the frame was never traced."""
    shape = content.shape
    if shape is None:
        return []
    legend = f"{words['shapes.legend']} {words.fill('goods.trace', trace=content.trace)}."
    return [drawn_shapes(shape, legend, words, width, scale)]


def left_out_blocks(content: JobSheet, words: Wording, width: float, scale: float) -> list[Block]:
    """Say that the shapes found no room; nothing where there are none."""
    if content.shape is None:
        return []
    return [*text_block("shapes", words["shapes.left_out"], width, Style(9 * scale)), gap("cautions", 4)]
