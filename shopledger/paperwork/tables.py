"""Tables: columns as wide as their cells need, heads repeated on each page, sums below, numbered reasons under them."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from typing import Final

from shopledger.money.amount import Cents, write_amount
from shopledger.paperwork.blocks import Align, Block, Column, column_heads, line, paragraph, row, stacked, text_block
from shopledger.paperwork.look import Look
from shopledger.paperwork.marks import Kind, Mark, Marks, Rule, spanning_row, table_row
from shopledger.paperwork.refusals import DoesNotFitError
from shopledger.paperwork.typeset import BODY, COLUMN, MM, NOTE, STRONG, Style, lines_of, width_of
from shopledger.paperwork.wording import Wording

BETWEEN: Final = 7.0
"""Space between two columns, in points."""

_INSET: Final = 4.0
_MOST_OF_WIDTH: Final = 0.34
"""What a column of words beside the growing one may take before its cells wrap."""
_RAISED: Final = str.maketrans("0123456789", "⁰¹²³⁴⁵⁶⁷⁸⁹")
_INDENT: Final = 14.0
_LABEL: Final = (Kind.LIST, Kind.ITEM, Kind.LABEL)
_REASON: Final = (Kind.LIST, Kind.ITEM, Kind.BODY)


@dataclass(frozen=True, slots=True)
class TableHead:
    """The heads of a table with the side each column leans to; the column at `grows` takes the width that is left."""

    heads: tuple[str, ...]
    aligns: tuple[Align, ...]
    grows: int = 0
    least: float = 110.0
    """Least width of the growing column, in points."""


def fitted(
    what: str, head: TableHead, cells: Sequence[Sequence[str]], width: float, style: Style = BODY
) -> tuple[Column, ...]:
    """Give each column the width its widest cell needs, and the growing one what is left. Raises DoesNotFitError."""
    widths = [_needed(head, at, [texts[at] for texts in cells], width, style) for at in range(len(head.heads))]
    widths[head.grows] = 0.0
    left = width - sum(widths) - BETWEEN * (len(widths) - 1) - 2 * _INSET
    if left < head.least:
        raise DoesNotFitError(
            what,
            f"{(width - left + head.least) / MM:.0f} mm",
            f"{width / MM:.0f} mm",
            "Shorten the column heads in the paper's wording, or look for an amount or code that is too long.",
        )
    widths[head.grows] = left
    columns, x = [], _INSET
    for each, align in zip(widths, head.aligns, strict=True):
        columns.append(Column(x, each, align))
        x += each + BETWEEN
    return tuple(columns)


def _needed(head: TableHead, at: int, texts: Sequence[str], width: float, style: Style) -> float:
    """Amounts never wrap; words do, once their column is wide enough."""
    words = max(width_of(word, COLUMN) for word in head.heads[at].split(" "))
    lines = dict.fromkeys(part for text in texts for part in text.split("\n"))
    widest = max((width_of(text, style) for text in lines), default=0.0) + 0.5
    if head.aligns[at] == "right":
        return max(words, widest)
    longest_word = max((width_of(word, style) for text in lines for word in text.split(" ")), default=0.0) + 0.5
    return max(words, min(widest, max(longest_word, _MOST_OF_WIDTH * width)))


def table(name: str, head: TableHead, cells: Sequence[Sequence[str]], width: float, look: Look) -> list[Block]:
    """Set a table row by row; heads stand again on each page, and the last row leads to what follows."""
    columns = fitted(f"the table '{name}'", head, cells, width)
    heads = column_heads(name, head.heads, columns, width, look.strip)
    rows = [replace(ruled_row(name, texts, columns, width, look), running=heads) for texts in cells]
    return [heads, *kept_at_ends(rows)]


def ruled_row(name: str, cells: Sequence[str], columns: Sequence[Column], width: float, look: Look) -> Block:
    """Set one row with a thin rule below."""
    return ruled(row(name, cells, columns, pad=2), width, look)


def ruled(block: Block, width: float, look: Look) -> Block:
    """Draw a thin rule below a row."""
    rule = Rule(_INSET, block.height, width - _INSET, block.height, 0.4, look.rule)
    return replace(block, marks=(*block.marks, rule))


def group_heading(name: str, title: str, width: float, columns: int, room: float = 1.0) -> Block:
    """Set what heads some rows of a table of so many columns; it never ends a page."""
    marks, height = paragraph(title, 4, 4 * room, width - 8, STRONG)
    return group_row(name, marks, height + 6 * room, columns)


def gone_on(words: str, strip: Block, width: float, columns: int) -> Block:
    """Give what stands above a row that opens a page: of which group the table goes on, and its column heads."""
    return stacked("continued", [group_heading("continued", words, width, columns), strip])


def group_row(name: str, marks: Marks, height: float, columns: int) -> Block:
    """Set marks as what heads some rows of a table."""
    cell = spanning_row(Kind.COLUMN_HEAD, marks, columns)
    return Block(name, height, (cell,), with_next=True, within=(Kind.TABLE,), goes_on=1)


def kept_at_ends(rows: Sequence[Block]) -> list[Block]:
    """Keep the last row with what follows, so that no sum stands alone on a page."""
    return [replace(block, with_next=block.with_next or at == len(rows) - 1) for at, block in enumerate(rows)]


def amounts(
    words: Wording, section: str, entries: Iterable[tuple[str, Cents]], **names: object
) -> list[tuple[str, str]]:
    """Give amounts with their labels from a section of the wording, filled with names."""
    return [(words.fill(f"{section}.{key}", **names), write_amount(cents)) for key, cents in entries]


def sums(
    name: str, entries: Sequence[tuple[str, str]], width: float, *, strong: Sequence[int] = (-1,), ruled: bool = True
) -> Block:
    """Set labels and amounts at the right, those at `strong` in strong type; a rule marks the last as a sum."""
    bold = {at % len(entries) for at in strong}
    needed = max(190.0, *(width_of(label, STRONG) + width_of(amount, STRONG) + 30 for label, amount in entries))
    left = width - needed
    marks: list[Mark] = []
    top = 5.0
    for at, (label, amount) in enumerate(entries):
        if ruled and at and at == len(entries) - 1:
            marks.append(Rule(left, top + 1, width, top + 1, 0.9))
            top += 4
        style = STRONG if at in bold else BODY
        amount_text = line(amount, left, top, style, "right", needed - _INSET)
        marks.append(table_row(((Kind.ROW_HEAD, (line(label, left, top, style),)), (Kind.CELL, (amount_text,)))))
        top += style.leading + 1.5
    return Block(name, top, tuple(marks), within=(Kind.TABLE,))


def raised(number: int) -> str:
    """Write a number small and high."""
    return str(number).translate(_RAISED)


def reason_blocks(first: str, title: str, reasons: Sequence[str], width: float) -> list[Block]:
    """Give a first sentence, a title and the numbered reasons, one block a line so that they can cross pages."""
    blocks = text_block("notes", first, width, NOTE, space_before=5)
    if reasons:
        blocks += (replace(block, with_next=True) for block in text_block("notes", title, width, NOTE, space_before=0))
    for number, reason in enumerate(reasons, start=1):
        label = line(str(number), 0, 0, NOTE)
        blocks.append(Block("note", 0, (label,), with_next=True, within=_LABEL, goes_on=min(number - 1, 1)))
        for at, words in enumerate(lines_of(reason, width - _INDENT, NOTE)):
            text = line(words, _INDENT, 0, NOTE)
            blocks.append(Block("note", NOTE.leading, (text,), within=_REASON, goes_on=3 if at else 2))
    return blocks
