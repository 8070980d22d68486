"""Parts that take less room where that saves a page, and last pages that never hold a lone sentence."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from functools import partial
from typing import Final, TypeVar

from shopledger.paperwork.blocks import Block
from shopledger.paperwork.flow import PageLayout, flow
from shopledger.paperwork.furniture import continued_block
from shopledger.paperwork.paper import Flowing, Part, SizedPart
from shopledger.paperwork.wording import Wording

Content = TypeVar("Content")
ROOMY: Final = 1.0
TIGHT: Final = 0.4
"""What is left of the space around words where a page is saved by it; no letter becomes smaller."""
_LONE: Final = 110.0
"""A last page with less on it than this takes along what stands before, in points."""


@dataclass(frozen=True, slots=True)
class Snug(Flowing[Content]):
    """Parts under one another, set closer where they then take fewer pages."""

    tight: Mapping[str, Part[Content]]

    def blocks(self, content: Content, words: Wording, layout: PageLayout, head: Block) -> list[Block]:
        """Give the head and the parts in the order of the wording, on as few pages as both ways of setting take."""
        roomy = Flowing(self.parts).blocks(content, words, layout, head)
        if _pages(roomy, layout) == 1:
            return roomy
        tight = Flowing(self.tight).blocks(content, words, layout, head)
        fewest = tight if _pages(tight, layout) < _pages(roomy, layout) else roomy
        return _accompanied(fewest, layout)


def snug(parts: Mapping[str, SizedPart[Content]]) -> Snug[Content]:
    """Give the body of parts that are told how much room to leave."""
    return Snug(
        {name: partial(_set, part, ROOMY) for name, part in parts.items()},
        {name: partial(_set, part, TIGHT) for name, part in parts.items()},
    )


def _set(part: SizedPart[Content], room: float, content: Content, words: Wording, width: float) -> list[Block]:
    return part(content, words, width, room)


def _pages(blocks: Sequence[Block], layout: PageLayout) -> int:
    return len(_placed(blocks, layout))


def _placed(blocks: Sequence[Block], layout: PageLayout) -> tuple[tuple[Block, ...], ...]:
    """Give the blocks of each page, without the line that heads every page but the first."""
    pages = flow(blocks, layout, continued_block("", layout.frame_width))
    return tuple(tuple(each.block for each in page[min(at, 1) :]) for at, page in enumerate(pages))


def _accompanied(blocks: list[Block], layout: PageLayout) -> list[Block]:
    """Let what stands before a nearly empty last page go along with it, as long as that takes no page more."""
    pages = _placed(blocks, layout)
    while len(pages) > 1 and sum(block.height for block in pages[-1]) < _LONE:
        end = _end_before(blocks, pages[-1])
        if end is None:
            break
        tried = [*blocks[:end], replace(blocks[end], with_next=True), *blocks[end + 1 :]]
        after = _placed(tried, layout)
        if len(after) > len(pages) or len(after[-1]) <= len(pages[-1]):
            break
        blocks, pages = tried, after
    return blocks


def _end_before(blocks: Sequence[Block], last: Sequence[Block]) -> int | None:
    """Give where the block stands that ends the page before the last; None where it may not be held any longer."""
    at = len(blocks) - len(last)
    if blocks[at] is not last[0]:
        at += 1
    while at > 0 and blocks[at - 1].with_next:
        at -= 1
    return at - 1 if at > 0 else None
