"""Papers that close up: where that saves a page, no closer than it needs, and no lone sentence on the last page."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.paperwork.blocks import Block, gap
from shopledger.paperwork.flow import PageLayout, flow, page_layout
from shopledger.paperwork.furniture import continued_block
from shopledger.paperwork.marks import Rule
from shopledger.paperwork.snug import CLOSE, ROOMY, TIGHT, closer, snug
from shopledger.paperwork.wording import Wording

LAYOUT = page_layout("letter")
ROOM = LAYOUT.frame_bottom - LAYOUT.top
"""Height between the margins of a page, in points."""
WORDS = Wording({"order": ("rows", "notices")})
HEAD = Block("head", 90, (Rule(0, 0, 1, 0),))


def block(name: str, height: float) -> Block:
    """Give a block with something on it."""
    return Block(name, height, (Rule(0, 0, 1, 0),))


def heights(rows: float, notice: float, spare: float) -> list[Block]:
    """Give the blocks of a paper with a part so high, space that may shrink, and a notice."""
    body = snug(
        {
            "rows": lambda _, __, ___, room: [block("rows", rows), block("space", spare * room)],
            "notices": lambda _, __, ___, room: closer([gap("notice", 10), block("notice", notice)], room),
        }
    )
    return body.blocks(None, WORDS, LAYOUT, HEAD)


def room_of(blocks: list[Block], spare: float) -> float:
    """Give how much room was left."""
    return next(each.height for each in blocks if each.name == "space") / spare


def pages_of(blocks: list[Block], layout: PageLayout = LAYOUT) -> list[list[str]]:
    """Give the names of the blocks on each page, but for what heads it."""
    pages = flow(blocks, layout, continued_block("", layout.frame_width))
    return [[each.block.name for each in page if each.block.name != "continued"] for page in pages]


def test_a_paper_that_fits_keeps_its_room() -> None:
    """Nothing moves closer on a single page."""
    assert room_of(heights(300, 50, 60), 60) == ROOMY


@pytest.mark.parametrize(("over", "room"), [(10, CLOSE), (60, TIGHT), (400, ROOMY)])
def test_parts_move_closer_only_where_that_saves_a_page(over: float, room: float) -> None:
    """With 100 points of space, 10 too many are saved at once, 60 only when all is tight, and 400 not at all."""
    rows = ROOM - HEAD.height - 100 - 10 - 50 + over
    blocks = heights(rows, 50, 100) if over < 400 else heights(rows - 400, 400, 100)
    assert room_of(blocks, 100) == pytest.approx(room)


def test_space_alone_shrinks() -> None:
    """A block with something on it keeps its height."""
    assert [each.height for each in closer([gap("gap", 10), block("words", 12)], 0.5)] == [5, 12]


def rows_and_notice(count: int, height: float, notice: float) -> list[Block]:
    """Give the blocks of a paper of rows that cannot shrink, with a notice below."""
    body = snug(
        {
            "rows": lambda *_: [block(f"row {at}", height) for at in range(count)],
            "notices": lambda *_: [block("notice", notice)],
        }
    )
    return body.blocks(None, WORDS, LAYOUT, HEAD)


def test_a_lone_sentence_takes_along_what_stands_before() -> None:
    """The last page has rows above its notice, until it no longer looks forgotten."""
    count = int((ROOM - HEAD.height) // 30)
    assert int((ROOM - HEAD.height) % 30) < 20
    pages = pages_of(rows_and_notice(count, 30, 20))
    assert pages[1] == ["row 17", "row 18", "row 19", "notice"]


def test_what_stands_before_stays_where_too_little_would_be_left() -> None:
    """A block of more than a third of the page is not taken along with a sentence."""
    half = (ROOM - HEAD.height) / 2
    assert pages_of(rows_and_notice(2, half, 20)) == [["head", "row 0", "row 1"], ["notice"]]


@given(
    st.lists(st.floats(8, 300), min_size=1, max_size=40),
    st.floats(8, 200),
    st.lists(st.booleans(), min_size=40, max_size=40),
)
def test_nothing_is_lost_nor_out_of_order(rows: list[float], notice: float, held: list[bool]) -> None:
    """Whatever moves, every block is there once and in its order, on no more pages than without moving."""
    blocks = [replace(block(f"row {at}", height), with_next=held[at]) for at, height in enumerate(rows)]
    body = snug({"rows": lambda *_: blocks, "notices": lambda *_: [block("notice", notice)]})
    after = body.blocks(None, WORDS, LAYOUT, HEAD)
    plain = [HEAD, *blocks, block("notice", notice)]
    assert [each.name for each in after] == [each.name for each in plain]
    assert len(pages_of(after)) <= len(pages_of(plain))
