"""Parts that take less room where that saves a page, and last pages that never hold a lone sentence."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Final, TypeVar

from shopledger.paperwork.blocks import Block, column_heads, row
from shopledger.paperwork.flow import PageLayout, flow
from shopledger.paperwork.furniture import continued_block
from shopledger.paperwork.look import Look
from shopledger.paperwork.paper import Flowing, Part, SizedPart
from shopledger.paperwork.tables import TableHead, fitted, kept_at_ends, ruled
from shopledger.paperwork.wording import Wording

Content = TypeVar("Content")
ROOMY: Final = 1.0
CLOSE: Final = 0.6
TIGHT: Final = 0.3
"""What is left of the space around words where a page is saved by it; no letter becomes smaller."""
PAD: Final = 2.0
"""Space above and below a row where there is room, in points."""
_LONE: Final = 110.0
"""A last page with less on it than this takes along what stands before, in points."""
_LEAST_LEFT: Final = 2 / 3
"""So much of the page before it must stay filled."""


@dataclass(frozen=True, slots=True)
class Snug(Flowing[Content]):
    """Parts under one another, set closer where they then take fewer pages, and no closer than that needs."""

    close: Mapping[str, Part[Content]]
    tight: Mapping[str, Part[Content]]

    def blocks(self, content: Content, words: Wording, layout: PageLayout, head: Block) -> list[Block]:
        """Give the head and the parts in the order of the wording, on as few pages as the closest setting takes."""
        roomy = Flowing(self.parts).blocks(content, words, layout, head)
        pages = _pages(roomy, layout)
        if pages == 1:
            return roomy
        tight = Flowing(self.tight).blocks(content, words, layout, head)
        fewest = _pages(tight, layout)
        if fewest == pages:
            return accompanied(roomy, layout)
        close = Flowing(self.close).blocks(content, words, layout, head)
        return accompanied(close if _pages(close, layout) == fewest else tight, layout)


def snug(parts: Mapping[str, SizedPart[Content]]) -> Snug[Content]:
    """Give the body of parts that are told how much room to leave."""
    ways = ({name: partial(_set, part, room) for name, part in parts.items()} for room in (ROOMY, CLOSE, TIGHT))
    return Snug(*ways)


def closer(blocks: Iterable[Block], room: float) -> list[Block]:
    """Give blocks with so much of the space between them."""
    return [block if block.marks else replace(block, height=block.height * room) for block in blocks]


def snug_table(
    name: str, head: TableHead, cells: Sequence[Sequence[str]], width: float, look: Look, room: float
) -> list[Block]:
    """Set a table row by row, its rows closer to one another where there is less room."""
    columns = fitted(f"the table '{name}'", head, cells, width)
    heads = column_heads(name, head.heads, columns, width, look.strip)
    rows = (ruled(row(name, texts, columns, pad=PAD * room), width, look) for texts in cells)
    return [heads, *kept_at_ends([replace(block, running=heads) for block in rows])]


def _set(part: SizedPart[Content], room: float, content: Content, words: Wording, width: float) -> list[Block]:
    return part(content, words, width, room)


def _pages(blocks: Sequence[Block], layout: PageLayout) -> int:
    return len(_placed(blocks, layout))


def _placed(blocks: Sequence[Block], layout: PageLayout) -> tuple[tuple[Block, ...], ...]:
    """Give the blocks of each page, without the line that heads every page but the first."""
    pages = flow(blocks, layout, continued_block("", layout.frame_width))
    return tuple(tuple(each.block for each in page[min(at, 1) :]) for at, page in enumerate(pages))


def accompanied(blocks: list[Block], layout: PageLayout) -> list[Block]:
    """Let what stands before a nearly empty last page go along with it, as long as enough is left where it stood."""
    pages = _placed(blocks, layout)
    while len(pages) > 1 and _height(pages[-1]) < _LONE:
        end = _end_before(blocks, pages[-1])
        if end is None:
            break
        tried = [*blocks[:end], replace(blocks[end], with_next=True), *blocks[end + 1 :]]
        after = _placed(tried, layout)
        if len(after) != len(pages) or len(after[-1]) <= len(pages[-1]) or _filled(after[-2], layout) < _LEAST_LEFT:
            break
        blocks, pages = tried, after
    return blocks


def _height(page: Sequence[Block]) -> float:
    return sum(block.height for block in page)


def _filled(page: Sequence[Block], layout: PageLayout) -> float:
    return _height(page) / (layout.frame_bottom - layout.top)


def _end_before(blocks: Sequence[Block], last: Sequence[Block]) -> int | None:
    """Give where the block stands that ends the page before the last; None where it may not be held any longer."""
    at = len(blocks) - len(last)
    if blocks[at] is not last[0]:
        at += 1
    while at > 0 and blocks[at - 1].with_next:
        at -= 1
    return at - 1 if at > 0 else None
