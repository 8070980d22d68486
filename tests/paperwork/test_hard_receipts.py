"""Hard receipts on paper: few pages, well filled, each saying where it goes on, what is paid and what each line is."""

from __future__ import annotations

import pytest

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.paperwork.flow import Page, page_layout
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from tests.paperwork.hard_receipts import HARD, hard
from tests.paperwork.reading import crossing_blocks, crossing_texts, outside, read, text_of, texts_of

every = pytest.mark.parametrize("name", HARD)
FOR_A_WEARER = [name for name, content in HARD.items() if content.wearer]
LARGE = {"nine pairs", "refunded in part", "forty lines", "many payments"}
"""Those that no page holds."""


def papers(name: str, size: str = "letter") -> list[Document]:
    """Give the receipt, and where it is for a wearer the statement and the worksheet made from it."""
    content = HARD[name]
    made = [document_of(RECEIPT, content, size=size)]
    if name in FOR_A_WEARER:
        made.append(document_of(STATEMENT, account_statement(content), size=size))
        made.append(document_of(WORKSHEET, claim_worksheet(content), size=size))
    return made


def filled(page: Page, size: str) -> float:
    """Give how much of the space for blocks a page takes, from its top to its lowest block."""
    layout = page_layout(size)
    lowest = max(each.y + each.block.height for each in page if each.y < layout.frame_bottom)
    return (lowest - layout.top) / (layout.frame_bottom - layout.top)


@every
@pytest.mark.parametrize("size", ["letter", "a4"])
def test_nothing_crosses_or_leaves_the_paper(name: str, size: str) -> None:
    """On every page no two texts or blocks touch, and all stay within the margins."""
    for document in papers(name, size):
        assert outside(document, 43) == []
        for page in document.pages:
            assert crossing_texts(page) == []
            assert crossing_blocks(page) == []


@pytest.mark.parametrize("name", sorted(set(HARD) - LARGE))
def test_a_receipt_of_a_pair_or_two_is_one_page(name: str) -> None:
    """Lines, payments, outcome and notices stand together, closer to one another where they must."""
    assert len(document_of(RECEIPT, HARD[name]).pages) == 1


@pytest.mark.parametrize("name", sorted(LARGE))
@pytest.mark.parametrize("size", ["letter", "a4"])
def test_no_page_is_left_a_third_empty_before_the_last(name: str, size: str) -> None:
    """Payments and outcome begin where there is room for them."""
    pages = document_of(RECEIPT, HARD[name], size=size).pages
    assert len(pages) > 1
    assert all(filled(page, size) >= 2 / 3 for page in pages[:-1])


@every
@pytest.mark.parametrize("size", ["letter", "a4"])
def test_no_notice_has_a_page_of_its_own(name: str, size: str) -> None:
    """The last page of a receipt has its outcome too."""
    last = document_of(RECEIPT, HARD[name], size=size).pages[-1]
    assert "outcome" in {each.block.name for each in last}


def test_a_table_that_goes_on_names_its_pair_and_the_wearer_again() -> None:
    """Above the heads of the table, on the page on which a pair's rows go on, and only there."""
    pages = [" ".join(page.extract_text().split()) for page in read(document_of(RECEIPT, HARD["nine pairs"])).pages]
    again = (
        "Pair 8 – Clear single vision in Vessamund Pellow, moss green, 52-18-140, continued – Robin Sample Description"
    )
    assert again in pages[2]
    assert "52-18-140, continued" not in pages[0] + pages[1]


def test_a_statement_that_goes_on_says_of_what_and_of_whom() -> None:
    """Above the heads of its table on the second page."""
    document = document_of(STATEMENT, account_statement(HARD["nine pairs"]))
    second = " ".join(read(document).pages[1].extract_text().split())
    assert "Prescription eyewear, continued – Robin Sample Description of what was supplied" in second


def test_other_items_that_go_on_are_called_so_again() -> None:
    """They are not taken for a part of the pair before them."""
    lines = HARD["forty lines"].lines
    pages = read(document_of(RECEIPT, hard(*lines, *(line for line in lines if line.pair is None)))).pages
    assert "Other items, continued – Robin Sample Description" in " ".join(pages[-1].extract_text().split())


TITLES = {
    "one lens": "PAID IN FULL",
    "refunded in part": "PAID IN FULL REFUNDED IN PART",
    "refunded whole": "FULLY REFUNDED",
    "written off": "NOT PAID IN FULL",
}


@pytest.mark.parametrize("name", TITLES)
def test_the_head_says_whether_it_is_paid_and_what_was_given_back(name: str) -> None:
    """Below the title of the first page, whatever else stands on it."""
    first = " ".join(read(document_of(RECEIPT, HARD[name])).pages[0].extract_text().split())
    assert f"Itemized receipt {TITLES[name]} No. 1042" in first


@every
def test_no_paper_judges_what_a_plan_or_account_will_do(name: str) -> None:
    """Nor does one print how a rule of the shop is known."""
    said = " ".join(text_of(document) for document in papers(name)).casefold()
    for word in ("eligib", "reimburs", "no source", "from memory", "common practice", "approved"):
        assert word not in said


def test_an_offer_stands_with_its_reduction() -> None:
    """Its name and what it took off stand below the line's own words and amounts, for each lens."""
    text = text_of(document_of(RECEIPT, HARD["one of seven"]))
    for side, mark in (("right", "RT"), ("left", "LT")):
        line = f"Single vision prescription lens, {side} – Clear single vision V2103 {mark} 1 40.00 40.00 0.00"
        assert f"{line} Clear single vision lenses included with any frame: -40.00" in text


def test_the_side_stands_with_the_item_where_there_is_no_code() -> None:
    """And in the column of modifiers beside a code."""
    text = text_of(document_of(RECEIPT, HARD["own frame"]))
    assert "Blue filter, right lens (RT) 1 12.00" in text
    assert "Clear single vision V2103 RT 1 40.00" in text


@pytest.mark.parametrize("name", ["no prescription", "other items only"])
def test_what_is_not_made_to_a_prescription_is_never_called_so(name: str) -> None:
    """Lines of it stand without that word; where a pair has none, its heading says so."""
    text = text_of(document_of(RECEIPT, HARD[name])).casefold()
    assert text.count("prescription") == 1 + text.count("without prescription")


def test_the_prescription_says_until_when_it_may_be_used() -> None:
    """Beside its own day, where that is written; another without an end has its day alone."""
    text = text_of(document_of(RECEIPT, HARD["long names"]))
    assert "Jan 15, 2026 expires Jan 15, 2028 Dec 11, 2025" in text


def lines_of_first_page(name: str) -> list[str]:
    """Give the lines of a hard receipt's first page as they were broken."""
    return [text.text for text in texts_of(document_of(RECEIPT, HARD[name]).pages[0])]


def test_a_long_name_of_goods_begins_a_line_of_its_own() -> None:
    """What it is stands on the first line, whole."""
    lines = lines_of_first_page("long names")
    assert lines[lines.index("Prescription frame –") + 1].startswith("Brindlecote and Daughters")


def test_a_power_and_what_was_prescribed_are_never_broken_amid_their_figures() -> None:
    """Where both do not fit beside each other, the second has a line of its own."""
    lines = lines_of_first_page("remade")
    assert lines[lines.index("-2.75 -1.25 x 090") + 1] == "(prescribed -2.75 -1.25 x 092)"
