"""The order of lenses for an outside lab: one page in large type, from the frozen order and from nothing else."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from pathlib import Path
from types import MappingProxyType
from typing import Final, TypeAlias

from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake, lens_order_shape
from shopledger.paperwork.blocks import Block, gap, line, paragraph, text_block
from shopledger.paperwork.flow import PageLayout, page_layout
from shopledger.paperwork.fonts import respelled
from shopledger.paperwork.furniture import head_block, shop_head
from shopledger.paperwork.job_eyes import Cell, Row, eyes_table
from shopledger.paperwork.job_head import fitted_style, labelled
from shopledger.paperwork.job_shapes import drawing_width, drawn_shapes
from shopledger.paperwork.marks import Box, Mark
from shopledger.paperwork.page import Document, save
from shopledger.paperwork.paper import NO_SPELLINGS, Labels, assembled
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import MM, Style
from shopledger.paperwork.wording import Wording, read_wording

_Part: TypeAlias = Callable[[LensOrderContent, Wording, float, float], list[Block]]
_SIZES: Final = (
    *((scale, True) for scale in (1.2, 1.15, 1.1, 1.05, 1.0, 0.95, 0.9)),
    *((scale, False) for scale in (1.0, 0.9, 0.8, 0.65, 0.5)),
)
"""How large the type is and whether the shapes are drawn: what is tried in turn until the sheet is one page."""


def lens_order_pdf(
    content: LensOrderContent,
    target: Path,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Path:
    """Write the sheet to `target`, whole or not at all; give back where it lies."""
    return save(lens_order_document(content, paper=paper, wording=wording, spellings=spellings), target)


def lens_order_document(
    content: LensOrderContent,
    *,
    paper: str = "letter",
    wording: Wording | None = None,
    spellings: Mapping[str, str] = NO_SPELLINGS,
) -> Document:
    """Give the sheet as placed boxes on its one page, not yet painted; the options are those of `lens_order_pdf`."""
    words = wording or read_wording("lens_order")
    said = respelled(content, spellings)
    sheet = page_layout(paper)
    number = words.fill("titles.number", number=said.number)
    labels = Labels(
        title=f"{words['titles.paper']}, {number}",
        author=said.shop.name,
        subject=number,
        continued=words.fill("titles.continued", number=said.number),
        foot=words.fill("marks.foot", number=said.number, job=said.job_number),
    )
    return assembled(_one_page(said, words, sheet), labels, words, sheet)


def _one_page(content: LensOrderContent, words: Wording, sheet: PageLayout) -> list[Block]:
    """Give the blocks in the largest type with which they fill one page at most, without the shapes if need be."""
    room = sheet.frame_bottom - sheet.top
    shape = lens_order_shape(content)
    for scale, drawn in _SIZES:
        if drawn and shape is not None and drawing_width(shape) > sheet.frame_width:
            continue
        blocks = _blocks(content, words, sheet.frame_width, scale, drawn=drawn)
        needed = sum(block.height for block in blocks)
        if needed <= room:
            return blocks
    raise DoesNotFitError(
        f"the lens order for job {content.job_number}",
        f"{needed / MM:.0f} mm",
        f"{room / MM:.0f} mm on its one page",
        "Shorten the note or the names of lens, frame or extras.",
    )


def _blocks(content: LensOrderContent, words: Wording, width: float, scale: float, *, drawn: bool) -> list[Block]:
    blocks = [_head(content, words, width), _job(content, words, width, scale)]
    for part in words.listed("order"):
        place = _left_out if part == "shapes" and not drawn else _PARTS[part]
        blocks += place(content, words, width, scale)
    return blocks


def _head(content: LensOrderContent, words: Wording, width: float) -> Block:
    facts = (
        words.fill("titles.day", day=words.day(content.day)),
        words.fill("titles.repeat", number=content.follows) if content.follows is not None else "",
    )
    number = words.fill("titles.number", number=content.number)
    return head_block(shop_head(content.shop, words, words["titles.paper"], number, facts), words.look, width)


def _job(content: LensOrderContent, words: Wording, width: float, scale: float) -> Block:
    """Set whose lenses they are, by when they are needed and who makes them, in large type."""
    due = words.day(content.expected_on) if content.expected_on else words["job.no_day"]
    facts = (("job", str(content.job_number), 0.2), ("wearer", content.initials, 0.25), ("expected", due, 0.55))
    marks: list[Mark] = []
    label, x = Style(10 * scale), 0.0
    for name, value, share in facts:
        room = share * width
        marks += [
            line(words[f"job.{name}"], x, 0, label),
            line(value, x, 12 * scale, fitted_style(value, 24 * scale, room - 8)),
        ]
        x += room
    to = content.supplier
    if content.account:
        to = words.fill("job.account", supplier=content.supplier, account=content.account)
    rows = [(words["job.supplier"], to, Style(12 * scale, bold=True))]
    below = labelled("job", rows, width, scale)
    top = 42 * scale
    return Block("job", top + below.height, (*marks, *(mark.moved(0, top) for mark in below.marks)))


def _edging(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    """Say what nobody may miss: whether to edge, and which lens where only one is ordered."""
    said = [words[f"edging.{content.edging}"]]
    if not content.right.asked or not content.left.asked:
        said.insert(0, words["edging.right" if content.right.asked else "edging.left"])
    white = Style(15 * scale, bold=True, ink=1.0)
    set_words, height = paragraph(" · ".join(said), 10, 5, width - 20, white, "centre")
    return [
        Block("edging", height + 11, (Box(0, 0, width, height + 11, line=0, fill=0.0), *set_words)),
        gap("edging", 4),
    ]


def _lenses(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    strong = Style(13.5 * scale, bold=True)
    made = [words.fill("lenses.material_words", material=content.material, index=f"{content.index:g}")]
    if content.corridor is not None:
        made.append(words.fill("lenses.corridor", corridor=f"{content.corridor:g}"))
    if content.base_curve is not None:
        made.append(words.fill("lenses.base_curve", curve=f"{content.base_curve:.2f}"))
    design = words.fill("lenses.design_words", design=content.design, use=words.word("lenses", content.use))
    rows = [
        (words["lenses.lens"], content.lens, strong),
        (words["lenses.design"], design, strong),
        (words["lenses.material"], ", ".join(made), strong),
        (words["lenses.extras"], ", ".join(content.extras) or words["lenses.no_extras"], strong),
    ]
    return [labelled("lenses", rows, width, scale)]


def _eyes(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    right, left = (
        words[f"eyes.{side}"] if lens.asked else words.fill("eyes.reference", side=words[f"eyes.{side}"])
        for side, lens in zip(("right", "left"), content.lenses, strict=True)
    )
    return [eyes_table(tuple(_rows(content, words)), (right, left), words.look, width, scale)]


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
    if content.multifocal and (content.right.near_pd or content.left.near_pd):
        yield row("near_pd", lambda lens: _length(lens.near_pd, words))
    yield row("height", lambda lens: _length(lens.height, words))
    if not content.edged:
        yield row("blank", lambda lens: _blank(lens, words))
    yield row("box", lambda lens: _box(lens, words))
    if content.measured:
        yield row("around", lambda lens: _around(lens, words))


def _length(length: float | None, words: Wording, small: str = "") -> Cell:
    return Cell(words["eyes.unknown"]) if length is None else Cell(f"{length:.1f}", small)


def _blank(lens: LensToMake, words: Wording) -> Cell:
    if lens.blank_needed is None:
        return Cell(words["eyes.no_diameter"])
    needed = f"{lens.blank_needed:.1f}"
    if lens.blank is None:
        return Cell(words.fill("eyes.at_least", needed=needed))
    return Cell(f"{lens.blank:g}", words.fill("eyes.covers", needed=needed))


def _box(lens: LensToMake, words: Wording) -> Cell:
    a, b = ("" if size is None else f"{size:.1f}" for size in (lens.a, lens.b))
    if lens.a is None:
        return Cell("")
    return Cell(words.fill("eyes.width_words", a=a) if lens.b is None else words.fill("eyes.box_words", a=a, b=b))


def _around(lens: LensToMake, words: Wording) -> Cell:
    if lens.ed is None or lens.circumference is None:
        return Cell(words["eyes.unknown"])
    return Cell(f"{lens.ed:.1f}", words.fill("eyes.around_words", circumference=f"{lens.circumference:.1f}"))


def _frame(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    sizes = words.fill("frame.measured", trace=content.trace) if content.measured else words["frame.stamped"]
    frame = words.fill("frame.frame_words", frame=content.frame, dbl=f"{content.dbl:.1f}")
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
    return [drawn_shapes(shape, legend, width, scale)]


def _left_out(content: LensOrderContent, words: Wording, width: float, scale: float) -> list[Block]:
    if content.shape is None:
        return []
    return text_block("shapes", words["shapes.left_out"], width, Style(9 * scale))


_PARTS: Final[Mapping[str, _Part]] = MappingProxyType(
    {
        "edging": _edging,
        "lenses": _lenses,
        "eyes": _eyes,
        "frame": _frame,
        "remarks": _remarks,
        "shapes": _shapes,
    }
)
