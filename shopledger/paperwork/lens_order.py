"""The order of lenses for an outside lab: one page in large type, from the frozen order and from nothing else."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Final

from shopledger.ledger.pair_words import names_in_a_row
from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake, lens_order_shape
from shopledger.ledger.papers.strips import ON_LENS_ORDER
from shopledger.optics.lengths import as_given, as_listed, worked_out
from shopledger.paperwork.bench_parts import (
    Cell,
    Row,
    drawing_width,
    drawn_shapes,
    eyes_table,
    fitted_style,
    labelled,
    near_pd_cell,
    segment_words,
    sizes,
)
from shopledger.paperwork.blocks import Block, gap, line, paragraph, text_block
from shopledger.paperwork.marks import Box, Element, Kind, Mark, labelled_item, moved
from shopledger.paperwork.paper import OnePage, Paper
from shopledger.paperwork.samples import FRAME, SHOP
from shopledger.paperwork.strips import strips_blocks
from shopledger.paperwork.typeset import Style
from shopledger.paperwork.wording import Wording

_LEAST_EDGING: Final = 13.0
"""Whether to edge is read at arm's length, however full the order is, in points."""


def _job(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    """Set the strips, then whose lenses they are, by when they are needed and who makes them, in large type."""
    strips = strips_blocks(content.strips, ON_LENS_ORDER, words, width, scale)
    due = words.day(content.expected_on) if content.expected_on else words["job.no_day"]
    facts = (("job", str(content.job_number), 0.2), ("wearer", content.initials, 0.25), ("expected", due, 0.55))
    items: list[Mark] = []
    label, x = Style(10 * scale), 0.0
    for name, value, share in facts:
        wide = share * width
        set_value = line(value, x, 12 * scale, fitted_style(value, 24 * scale, wide - 8))
        items.append(labelled_item((line(words[f"job.{name}"], x, 0, label),), (set_value,)))
        x += wide
    to = content.supplier
    if content.account:
        to = words.fill("job.account", supplier=content.supplier, account=content.account)
    rows = [(words["job.supplier"], to, Style(12 * scale, bold=True))]
    below = labelled("job", rows, width, scale)
    top = 42 * scale
    return [*strips, Block("job", top + below.height, (Element(Kind.LIST, tuple(items)), *moved(below.marks, 0, top)))]


def _edging(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    """Say what nobody may miss: whether to edge."""
    white = Style(max(15 * scale, _LEAST_EDGING), bold=True, ink=1.0)
    set_words, height = paragraph(words[f"edging.{content.edging}"], 10, 5, width - 20, white, "centre")
    return [
        Block("edging", height + 11, (Box(0, 0, width, height + 11, line=0, fill=0.0), *set_words)),
        gap("edging", 4),
    ]


def _lenses(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    strong = Style(13.5 * scale, bold=True)
    made = [words.fill("lenses.material_words", material=content.material, index=f"{content.index:g}")]
    if content.corridor is not None:
        made.append(words.fill("lenses.corridor", corridor=as_listed(content.corridor)))
    if content.base_curve is not None:
        made.append(words.fill("lenses.base_curve", curve=f"{content.base_curve:.2f}"))
    design = words.fill("lenses.design_words", design=content.design, use=words.word("lenses", content.use))
    segment = next((segment_words(lens.fitting, words) for lens in content.lenses if lens.asked and lens.fitting), "")
    if segment:
        design = words.fill("lenses.segment", segment=segment, design=design)
    if any(lens.thinning for lens in content.lenses if lens.asked):
        design = words.fill("lenses.thinning", design=design)
    rows = [
        (words["lenses.lens"], content.lens, strong),
        (words["lenses.design"], design, strong),
        (words["lenses.material"], " · ".join(made), strong),
        (words["lenses.extras"], names_in_a_row(content.extras) or words["lenses.no_extras"], strong),
    ]
    return [labelled("lenses", rows, width, scale)]


def _eyes(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    right, left = (
        words[f"eyes.{side}"] if lens.asked else words.fill("eyes.reference", side=words[f"eyes.{side}"])
        for side, lens in zip(("right", "left"), content.lenses, strict=True)
    )
    asked = content.right.asked, content.left.asked
    return [eyes_table(tuple(_rows(content, words)), (right, left), asked, words.look, width, scale)]


def _rows(content: LensOrderContent, words: Wording) -> Iterator[Row]:
    """Give the rows that this order needs: add and near PD only for multifocals, diameters only for uncut lenses."""

    def row(label: str, cell: Callable[[LensToMake], Cell]) -> Row:
        return Row(words[f"eyes.{label}"], cell(content.right), cell(content.left))

    near = words["eyes.pd_near"] if content.near else ""
    yield row("power", lambda lens: Cell(lens.power))
    if content.multifocal:
        yield row("add", lambda lens: Cell(lens.add_written or words["eyes.none"]))
    yield row("prism", lambda lens: Cell(lens.prism or words["eyes.none"]))
    yield row("pd", lambda lens: _length(lens.pd, words, near))
    lined = any(lens.fitting and lens.fitting.lined for lens in content.lenses)
    if lined:
        yield row("near_pd", lambda lens: near_pd_cell(lens.fitting, words))
    elif content.multifocal and (content.right.near_pd or content.left.near_pd):
        yield row("near_pd", lambda lens: _length(lens.near_pd, words))
    yield row("height", lambda lens: _length(lens.height, words))
    if lined and content.measured:
        yield row("segment", lambda lens: _segment(lens, words))
    if not content.edged:
        yield row("blank", lambda lens: _blank(lens, words))
    yield row("box", lambda lens: _box(lens, words))
    if content.measured:
        yield row("around", lambda lens: _around(lens, words))


def _length(length: float | None, words: Wording, small: str = "") -> Cell:
    return Cell(words["eyes.unknown"]) if length is None else Cell(as_given(length), small)


def _segment(lens: LensToMake, words: Wording) -> Cell:
    """Say where a segment's top stands in the box."""
    fitting = lens.fitting
    if fitting is None or fitting.inward is None or fitting.upward is None:
        return Cell("")
    across = words.fill("eyes.inward" if fitting.inward >= 0 else "eyes.outward", mm=worked_out(abs(fitting.inward)))
    up = words.fill("eyes.upward" if fitting.upward >= 0 else "eyes.downward", mm=worked_out(abs(fitting.upward)))
    return Cell(f"{across} · {up}")


def _blank(lens: LensToMake, words: Wording) -> Cell:
    if lens.blank_needed is None:
        return Cell(words["eyes.no_diameter"])
    needed = worked_out(lens.blank_needed)
    if lens.blank is None:
        return Cell(words.fill("eyes.at_least", needed=needed))
    return Cell(as_listed(lens.blank), words.fill("eyes.covers", needed=needed))


def _box(lens: LensToMake, words: Wording) -> Cell:
    """Say the box as it was traced, or the width that is stamped on the frame."""
    if lens.a is None:
        return Cell("")
    if lens.b is None:
        return Cell(words.fill("eyes.width_words", a=as_given(lens.a)))
    return Cell(words.fill("eyes.box_words", a=worked_out(lens.a), b=worked_out(lens.b)))


def _around(lens: LensToMake, words: Wording) -> Cell:
    if lens.ed is None or lens.circumference is None:
        return Cell(words["eyes.unknown"])
    return Cell(worked_out(lens.ed), words.fill("eyes.around_words", circumference=worked_out(lens.circumference)))


def _frame(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    sizes = words.fill("frame.measured", trace=content.trace) if content.measured else words["frame.stamped"]
    frame = words.fill("frame.frame_words", frame=content.frame, dbl=as_given(content.dbl))
    rows = [
        (words["frame.frame"], frame, Style(12 * scale, bold=True)),
        (words["frame.sizes"], sizes, Style(10.5 * scale)),
    ]
    return [labelled("frame", rows, width, scale)]


def _remarks(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    if not content.note:
        return []
    return [labelled("remarks", [(words["remarks.label"], content.note, Style(12 * scale))], width, scale)]


def _shapes(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    shape = lens_order_shape(content)
    if shape is None:
        return []
    legend = words["shapes.edged" if content.edged else "shapes.uncut"]
    return [drawn_shapes(shape, legend, words, width, scale)]


def _left_out(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    if content.shape is None:
        return []
    return text_block("shapes", words["shapes.left_out"], width, Style(9 * scale))


_A: Final = 50.0
_B: Final = 38.0


def _radii(count: int = 400) -> tuple[int, ...]:
    """Give an oval lens as whole hundredths of a mm."""
    turns = (2 * math.pi * at / count for at in range(count))
    half, tall = _A / 2, _B / 2
    return tuple(round(100 * half * tall / math.hypot(tall * math.cos(t), half * math.sin(t))) for t in turns)


def _sample() -> LensOrderContent:
    """Give the order of both progressive lenses with prism on one side and a remark."""
    right = LensToMake(
        asked=True, sphere=-3.25, cylinder=-1.25, axis=90, add=2.0, prism_in=0.0, prism_up=1.0, balance=False,
        pd=31.5, near_pd=29.5, height=21.0, a=_A, b=_B, ed=_A, circumference=138.9, blank=None, blank_needed=59.3,
        centre=(3.0, 2.0), radii=_radii(),
    )  # fmt: skip
    return LensOrderContent(
        number=24,
        day="2026-02-27",
        expected_on="2026-03-06",
        job_number=57,
        follows=21,
        reason="the left lens was scratched",
        remake=3,
        shop=SHOP,
        supplier="Brightwater Lens Laboratory",
        account="A-77",
        initials="I.M.",
        lens="Even progressive",
        design="progressive",
        material="hard resin 1.50",
        index=1.498,
        corridor=13.0,
        extras=("Anti-reflective coating",),
        use="multifocal",
        multifocal=True,
        near=False,
        base_curve=4.25,
        edging="edged",
        frame=FRAME,
        dbl=19.0,
        measured=True,
        trace="12 of 2026-02-20",
        right=right,
        left=replace(right, sphere=-2.5, cylinder=-1.0, axis=85, prism_up=0.0),
        note="Please pack each lens by itself: the last ones came in scratched.",
    )


def _facts(content: LensOrderContent, words: Wording) -> tuple[str, ...]:
    return (
        words.fill("titles.day", day=words.day(content.day)),
        words.fill("titles.repeat", number=content.follows) if content.follows is not None else "",
    )


def _shapes_width(content: LensOrderContent) -> float:
    shape = lens_order_shape(content)
    return 0.0 if shape is None else drawing_width(shape)


LENS_ORDER: Final = Paper(
    key="lens_order",
    command="job order-lenses",
    sample=_sample,
    body=OnePage(
        called=lambda order: f"the lens order for job {order.job_number}",
        top=_job,
        parts={
            "edging": _edging,
            "lenses": _lenses,
            "eyes": _eyes,
            "frame": _frame,
            "remarks": _remarks,
            "shapes": _shapes,
        },
        left_out=_left_out,
        shapes_width=_shapes_width,
        drawn_at=sizes(1.2, 0.725),
        undrawn_at=sizes(1.0, 0.5),
    ),
    shop=lambda order: order.shop,
    day=lambda order: order.day,
    names=lambda order, _: {"number": order.number, "job": order.job_number},
    facts=_facts,
)
