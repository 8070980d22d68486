"""Blocks find their places: kept together, heads repeated, nothing past the margin."""

from __future__ import annotations

import pytest

from shopledger.paperwork.blocks import Block, gap, text_block
from shopledger.paperwork.flow import Margins, PageLayout, flow, furnished, page_layout
from shopledger.paperwork.marks import Rule
from shopledger.paperwork.refusals import DoesNotFitError, UnknownPaperError

SHEET = PageLayout(200, 100, side=10, top=10, bottom=10)
"""Room for 80 points of blocks on a page."""

LINE = Rule(0, 0, 10, 0)


def block(name: str, height: float, *, with_next: bool = False, running: Block | None = None) -> Block:
    """Give a block with something on it."""
    return Block(name, height, (LINE,), with_next, running)


def names(blocks: list[Block], continued: Block | None = None) -> list[list[str]]:
    """Give the names of the blocks page by page."""
    return [[placed.block.name for placed in page] for page in flow(blocks, SHEET, continued)]


def test_blocks_follow_one_another_down_the_page() -> None:
    """Each block begins where the one before ends."""
    (page,) = flow([block("a", 30), block("b", 20)], SHEET)
    assert [(placed.x, placed.y) for placed in page] == [(10, 10), (10, 40)]


def test_a_block_that_does_not_fit_opens_the_next_page() -> None:
    """Nothing is placed past the bottom margin."""
    assert names([block("a", 50), block("b", 40)]) == [["a"], ["b"]]


def test_a_heading_never_ends_a_page() -> None:
    """A block that leads to the next goes with it to the new page."""
    assert names([block("a", 50), block("head", 10, with_next=True), block("b", 40)]) == [["a"], ["head", "b"]]


def test_a_group_taller_than_a_page_is_broken_all_the_same() -> None:
    """Keeping together gives way where no page is tall enough."""
    group = [block(str(at), 30, with_next=at < 3) for at in range(4)]
    assert names(group) == [["0", "1"], ["2", "3"]]


def test_running_heads_are_repeated_on_each_new_page() -> None:
    """The head of a table stands again above the first row of a page, not on the page where it began."""
    head = block("head", 10)
    rows = [block(f"row {at}", 30, running=head) for at in range(4)]
    assert names([head, *rows]) == [["head", "row 0", "row 1"], ["head", "row 2", "row 3"]]


def test_every_page_after_the_first_is_headed() -> None:
    """The line that names the paper heads all pages but the first."""
    assert names([block("a", 60), block("b", 60)], block("continued", 10)) == [["a"], ["continued", "b"]]


def test_a_gap_is_left_out_at_the_top_of_a_page() -> None:
    """Room above a block is not wanted where a page begins."""
    first, second = flow([block("a", 60), gap("b", 20), block("b", 40)], SHEET)
    assert len(first) == 1
    assert [(placed.block.name, placed.y) for placed in second] == [("b", 10)]


def test_a_block_taller_than_a_page_is_refused() -> None:
    """What no page can hold is refused with its name."""
    with pytest.raises(DoesNotFitError, match="the part 'huge' does not fit"):
        flow([block("huge", 81)], SHEET)


def test_running_text_leaves_no_lone_line() -> None:
    """The first two and the last two lines of a text stay together."""
    lines = text_block("text", "\n".join("abcdef"), 100)
    assert [line.with_next for line in lines] == [True, True, False, False, False, True, False]


def test_page_furniture_knows_how_many_pages_there_are() -> None:
    """The margins are filled when all pages are known."""
    seen: list[tuple[int, int]] = []

    def note(number: int, pages: int) -> Margins:
        seen.append((number, pages))
        return Margins((), ())

    furnished(flow([block("a", 50), block("b", 50)], SHEET), note)
    assert seen == [(1, 2), (2, 2)]


def test_papers_have_their_published_sizes() -> None:
    """Letter is 8.5 by 11 inches (ANSI/ASME Y14.1), A4 is 210 by 297 mm (ISO 216)."""
    letter, a4 = page_layout("Letter"), page_layout("a4")
    assert (letter.width, letter.height) == (8.5 * 72, 11 * 72)
    assert (a4.width, a4.height) == pytest.approx((210 / 25.4 * 72, 297 / 25.4 * 72))


def test_an_unknown_paper_is_refused() -> None:
    """Only the kept sizes are printed on."""
    with pytest.raises(UnknownPaperError, match="paper is 'legal'; the papers are printed on letter or a4"):
        page_layout("legal")
