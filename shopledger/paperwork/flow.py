"""Blocks find their places: page after page, groups kept together, column heads repeated, nothing past the margin."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from typing import Final, NamedTuple, TypeAlias

from shopledger.paperwork.blocks import Block
from shopledger.paperwork.refusals import DoesNotFitError, UnknownPaperError
from shopledger.paperwork.typeset import MM

SIZES: Final = {"letter": (612.0, 792.0), "a4": (210 * MM, 297 * MM)}
"""Width and height of the sizes of paper in points, upright."""


@dataclass(frozen=True, slots=True)
class PageLayout:
    """A page's size and margins: blocks stand between the margins, which hold stamps and the foot; in points."""

    width: float
    height: float
    side: float = 43.0
    top: float = 42.0
    bottom: float = 52.0

    @property
    def frame_width(self) -> float:
        """Width between the side margins."""
        return self.width - 2 * self.side

    @property
    def frame_bottom(self) -> float:
        """Lowest place for a block, from the top of the paper."""
        return self.height - self.bottom


def page_layout(size: str, *, landscape: bool = False) -> PageLayout:
    """Give the layout of a page of letter or a4."""
    found = SIZES.get(size.strip().casefold())
    if found is None:
        raise UnknownPaperError(size, tuple(SIZES))
    width, height = found
    return PageLayout(height, width) if landscape else PageLayout(width, height)


@dataclass(frozen=True, slots=True)
class Placed:
    """A block and where its top left corner stands on the paper, in points."""

    x: float
    y: float
    block: Block
    aside: bool = False
    """Whether it is only seen and not read out, such as column heads that stand again on a later page."""


Page: TypeAlias = tuple[Placed, ...]
"""What stands on a page, in the order in which it is read."""


class Margins(NamedTuple):
    """What stands in a page's margins."""

    above: Page
    below: Page


def flow(blocks: Sequence[Block], layout: PageLayout, continued: Block | None = None) -> tuple[Page, ...]:
    """Place blocks down the frame, on as many pages as they need; `continued` heads every page but the first.

    Raises DoesNotFitError when one block is taller than an empty page.
    """
    pages: list[list[Placed]] = [[]]
    at = layout.top
    for group in _groups(blocks):
        needed = sum(block.height for block in group)
        if pages[-1] and at + needed > layout.frame_bottom:
            at = _next_page(pages, layout, continued)
        for block in group:
            at = _place(block, pages, at, layout, continued)
    return tuple(tuple(page) for page in pages)


def _groups(blocks: Sequence[Block]) -> Iterator[list[Block]]:
    """Gather each block that may not end a page with those it leads to."""
    group: list[Block] = []
    for block in blocks:
        group.append(block)
        if not block.with_next:
            yield group
            group = []
    if group:
        yield group


def _place(block: Block, pages: list[list[Placed]], at: float, layout: PageLayout, continued: Block | None) -> float:
    """Put one block down at the height reached so far, or on a new page; give the height reached then."""
    if at + block.height > layout.frame_bottom and not _is_fresh(pages, continued):
        at = _next_page(pages, layout, continued)
    if _is_fresh(pages, continued):
        if not block.marks:
            return at
        at = _open(block, pages, at, layout)
    if at + block.height > layout.frame_bottom:
        height = layout.frame_bottom - layout.top
        raise DoesNotFitError(
            f"the part '{block.name}'",
            f"{block.height / MM:.0f} mm",
            f"{height / MM:.0f} mm on a page",
            "Shorten its text.",
        )
    pages[-1].append(Placed(layout.side, at, block))
    return at + block.height


def _open(block: Block, pages: list[list[Placed]], at: float, layout: PageLayout) -> float:
    """Repeat above a page's first block what runs along with it; nothing is left empty at the top of a page."""
    if block.running is None or len(pages) == 1:
        return at
    pages[-1].append(Placed(layout.side, at, block.running, aside=True))
    return at + block.running.height


def _is_fresh(pages: list[list[Placed]], continued: Block | None) -> bool:
    heads = 1 if continued is not None and len(pages) > 1 else 0
    return len(pages[-1]) == heads


def _next_page(pages: list[list[Placed]], layout: PageLayout, continued: Block | None) -> float:
    pages.append([])
    if continued is None:
        return layout.top
    pages[-1].append(Placed(layout.side, layout.top, continued, aside=True))
    return layout.top + continued.height


def furnished(pages: Sequence[Page], margins: Callable[[int, int], Margins]) -> tuple[Page, ...]:
    """Add to each page what depends on its number and on how many there are, such as the foot."""
    return tuple(
        (*around.above, *page, *around.below)
        for page, around in ((page, margins(number, len(pages))) for number, page in enumerate(pages, start=1))
    )
