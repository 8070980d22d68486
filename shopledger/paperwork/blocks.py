"""Blocks: marks that stay together, built from words before anybody knows on which page they will stand."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import Literal, TypeAlias

from shopledger.paperwork.marks import Box, Element, Kind, Mark, Marks, Rule, Text, labelled_item, moved, table_row
from shopledger.paperwork.typeset import (
    BODY,
    COLUMN,
    HEADING,
    LABEL,
    OUTCOME,
    OUTCOME_WHITE,
    STRONG,
    Ink,
    Style,
    lines_of,
    width_of,
)
from shopledger.paperwork.wording import Wording

Align: TypeAlias = Literal["left", "right", "centre"]


@dataclass(frozen=True, slots=True)
class Block:
    """Marks measured from the block's own top left corner, and how the block behaves between pages."""

    name: str
    height: float
    marks: Marks
    with_next: bool = False
    """Whether it may not be the last on a page."""
    running: Block | None = None
    """What is repeated above it where it opens a page, such as a table's column heads."""
    within: tuple[Kind, ...] = ()
    """In what its marks stand to a reader, the outermost first, where that goes on from block to block."""
    goes_on: int = 0
    """How many of these are those of the block before; the others begin here."""


@dataclass(frozen=True, slots=True)
class Panel:
    """What a framed panel says: a title, and labels with their values."""

    title: str
    entries: tuple[tuple[str, str], ...]


def panel_of(words: Wording, section: str, values: Mapping[str, str | None]) -> Panel:
    """Give a panel by a section of the wording, which has the title and a label for each value; None is left out."""
    known = [(words[f"{section}.{key}"], value) for key, value in values.items() if value is not None]
    return Panel(words[f"{section}.heading"], tuple(known))


@dataclass(frozen=True, slots=True)
class Column:
    """One column of a table, measured in points."""

    x: float
    width: float
    align: Align = "left"


def line(text: str, x: float, top: float, style: Style, align: Align = "left", width: float = 0.0) -> Text:
    """Set one line whose top is at `top`; with a width it can stand at the right or in the middle of it."""
    spare = 0.0 if align == "left" else width - width_of(text, style)
    return Text(x + (spare / 2 if align == "centre" else spare), top + style.drop, text, style)


def paragraph(
    text: str, x: float, top: float, width: float, style: Style = BODY, align: Align = "left"
) -> tuple[Marks, float]:
    """Set a text in lines from `top` on; give the marks and the height they take."""
    lines = lines_of(text, width, style)
    marks = tuple(
        line(words, x, top + at * style.leading, style, align, width) for at, words in enumerate(lines) if words
    )
    return marks, len(lines) * style.leading


def row(
    name: str,
    cells: Sequence[str],
    columns: Sequence[Column],
    style: Style = BODY,
    *,
    pad: float = 2.0,
    headed: bool = False,
) -> Block:
    """Set one row of a table; each cell wraps in its own column, and the first may name what the others tell."""
    set_cells: list[tuple[Kind, Marks]] = []
    tallest = style.leading
    for text, column in zip(cells, columns, strict=True):
        set_text, height = paragraph(text, column.x, pad, column.width, style, column.align)
        set_cells.append((Kind.ROW_HEAD if headed and not set_cells else Kind.CELL, set_text))
        tallest = max(tallest, height)
    return Block(name, tallest + 2 * pad, (table_row(set_cells),), within=(Kind.TABLE,), goes_on=1)


def column_heads(name: str, heads: Sequence[str], columns: Sequence[Column], width: float, ink: Ink) -> Block:
    """Set a table's column heads on a grey strip, all resting on the lowest line; the table begins with them."""
    most = max(len(lines_of(head, column.width, COLUMN)) for head, column in zip(heads, columns, strict=True))
    height = most * COLUMN.leading + 6
    cells: list[tuple[Kind, Marks]] = []
    for head, column in zip(heads, columns, strict=True):
        lines = lines_of(head, column.width, COLUMN)
        top = 3 + (most - len(lines)) * COLUMN.leading
        cells.append((Kind.COLUMN_HEAD, paragraph(head, column.x, top, column.width, COLUMN, column.align)[0]))
    strip = Box(0, 0, width, height, line=0, fill=ink)
    return Block(name, height, (strip, table_row(cells)), with_next=True, within=(Kind.TABLE,))


def heading(name: str, text: str, width: float, *, space_before: float = 6.0) -> Block:
    """Set a heading over a thin rule; it never ends a page."""
    marks, height = paragraph(text, 0, space_before, width, HEADING)
    bottom = space_before + height + 1.5
    title = Element(Kind.HEADING, marks)
    return Block(name, bottom + 3, (title, Rule(0, bottom, width, bottom, 0.6)), with_next=True)


def text_block(name: str, text: str, width: float, style: Style = BODY, *, space_before: float = 3.0) -> list[Block]:
    """Set running text, one block a line so that it can cross pages, but never with a lone line on either side."""
    lines = lines_of(text, width, style)
    last = len(lines) - 1
    blocks = [
        Block(
            name,
            style.leading,
            (line(words, 0, 0, style),),
            with_next=at < last and at in {0, last - 1},
            within=(Kind.PARAGRAPH,),
            goes_on=min(at, 1),
        )
        for at, words in enumerate(lines)
    ]
    return [gap(name, space_before), *blocks]


def gap(name: str, height: float) -> Block:
    """Leave space; it stays with what follows, and is left out at the top of a page."""
    return Block(f"{name}, gap", height, (), with_next=True)


def pairs_of_words(
    entries: Iterable[tuple[str, str]], x: float, top: float, width: float, label_width: float
) -> tuple[Marks, float]:
    """Set label and value side by side, line under line; give the marks and the height."""
    items: list[Mark] = []
    at = top
    for label, value in entries:
        label_marks, label_height = paragraph(label, x, at + (BODY.drop - LABEL.drop), label_width - 6, LABEL)
        value_marks, value_height = paragraph(value, x + label_width, at, width - label_width, BODY)
        items.append(labelled_item(label_marks, value_marks))
        at += max(label_height, value_height) + 1.5
    return (Element(Kind.LIST, tuple(items)),), at - top


def panel(
    name: str,
    title: str,
    entries: Iterable[tuple[str, str]],
    width: float,
    label_width: float,
    ink: Ink,
    least: float = 0.0,
) -> Block:
    """Set a framed panel, at least so high: a grey strip with its title, then labels and values."""
    title_marks, title_height = paragraph(title, 6, 3, width - 12, COLUMN)
    strip = title_height + 6
    words, height = pairs_of_words(entries, 6, strip + 4, width - 12, label_width)
    total = max(strip + height + 7, least)
    frame = (Box(0, 0, width, strip, line=0, fill=ink), Box(0, 0, width, total, line=0.6, ink=0.35))
    return Block(name, total, (*frame, Element(Kind.HEADING, title_marks), *words))


def twin_panels(name: str, left: Panel, right: Panel, width: float, label_width: float, ink: Ink) -> Block:
    """Set two panels of one height side by side over the whole width."""
    half = (width - 12) / 2
    sides = [panel(name, side.title, side.entries, half, label_width, ink) for side in (left, right)]
    tallest = max(side.height for side in sides)
    sides = [panel(name, side.title, side.entries, half, label_width, ink, tallest) for side in (left, right)]
    return side_by_side(name, sides[0], sides[1], half + 12)


def side_by_side(name: str, left: Block, right: Block, offset: float) -> Block:
    """Put two blocks next to each other, their tops level."""
    beside = moved(nested([right]), offset, 0)
    return Block(name, max(left.height, right.height), (*nested([left]), *beside))


def stacked(name: str, blocks: Sequence[Block]) -> Block:
    """Put blocks under one another for good, as one block that is not broken."""
    placed: list[Block] = []
    at = 0.0
    for block in blocks:
        placed.append(replace(block, marks=moved(block.marks, 0, at)))
        at += block.height
    return Block(name, at, nested(placed))


def nested(blocks: Iterable[Block]) -> Marks:
    """Give the marks of blocks in the elements that go on from block to block, each of them whole."""
    whole: list[Mark] = []
    begun: list[tuple[Kind, list[Mark]]] = []
    for block in blocks:
        kept = shared_depth(block, [kind for kind, _ in begun])
        _end(begun, kept, whole)
        begun += [(kind, []) for kind in block.within[kept:]]
        (begun[-1][1] if begun else whole).extend(block.marks)
    _end(begun, 0, whole)
    return tuple(whole)


def _end(begun: list[tuple[Kind, list[Mark]]], kept: int, whole: list[Mark]) -> None:
    """Put each element that does not go on into the one around it."""
    while len(begun) > kept:
        kind, marks = begun.pop()
        (begun[-1][1] if begun else whole).append(Element(kind, tuple(marks)))


def shared_depth(block: Block, begun: Sequence[Kind]) -> int:
    """Give how many of the elements that were begun go on in a block."""
    depth = 0
    for mine, theirs in zip(block.within[: block.goes_on], begun, strict=False):
        if mine is not theirs:
            break
        depth += 1
    return depth


def fact_band(name: str, facts: Sequence[tuple[str, str, float]], width: float) -> list[Block]:
    """Set labels over strong values in one band; each fact names the share of the width that it takes."""
    inner = width - 6
    items: list[Mark] = []
    x, tallest = 6.0, 0.0
    for label, value, share in facts:
        words, height = paragraph(value, x, LABEL.leading, share * inner - 10, STRONG)
        items.append(labelled_item(paragraph(label, x, 0, share * inner - 4, LABEL)[0], words))
        tallest = max(tallest, height)
        x += share * inner
    return [gap(name, 9), Block(name, LABEL.leading + tallest, (Element(Kind.LIST, tuple(items)),))]


def strong_box(name: str, text: str, width: float, *, inverse: bool = False, pad: float = 7.0) -> list[Block]:
    """Set a sentence that nobody may miss in a strong box; white on black where it warns."""
    words, height = paragraph(text, 10, pad, width - 20, OUTCOME_WHITE if inverse else OUTCOME, "centre")
    box = Box(0, 0, width, height + 2 * pad, line=1.6, fill=0.0 if inverse else None)
    return [gap(name, 9), Block(name, height + 2 * pad, (box, *words))]
