"""Awkward data on every paper: what customers are called and how much they buy never breaks a page."""

from __future__ import annotations

import unicodedata
from collections.abc import Callable
from dataclasses import replace

import pytest

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.ledger.receipt import ReceiptContent
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from tests.paperwork.awkward import LONG_ADDRESS, LONG_ITEM, LONG_NAME, PAPERS, Awkward, receipt_of
from tests.paperwork.reading import crossing_blocks, crossing_texts, outside, read, text_of, texts_of

pytestmark = pytest.mark.slow

every_paper = pytest.mark.parametrize("paper", PAPERS)


@every_paper
@pytest.mark.parametrize(
    "name", ["<b>Bob", "Tom & Jerry <x@y.com>", "a</para>b", "<img src='/etc/passwd'>", "%s {0} {name}"]
)
def test_markup_is_printed_as_typed(paper: str, name: str) -> None:
    """Markup, ampersands and braces in a name or an item come out as they were typed, and nothing is opened."""
    document = PAPERS[paper](Awkward(name=name, item=name))
    assert text_of(document).count(name) >= 2
    assert len(read(document).pages[0].images) == 0


@every_paper
def test_control_characters_leave_nothing_behind(paper: str) -> None:
    """Characters without a look are left out, and a tab is a space."""
    text = text_of(PAPERS[paper](Awkward(name="Il\x07se\tMarrow\u200b\u202edene")))
    assert "Ilse Marrowdene" in text


@every_paper
def test_combining_characters_are_composed(paper: str) -> None:
    """A name typed in parts prints as one and can be searched for."""
    name = unicodedata.normalize("NFD", "Nguyễn Jiří Łukasz")
    assert "Nguyễn Jiří Łukasz" in text_of(PAPERS[paper](Awkward(name=name)))


@every_paper
@pytest.mark.parametrize("name", ["محمد", "דוד", "李小龍"])
def test_what_cannot_be_set_is_refused_with_what_to_do(paper: str, name: str) -> None:
    """Writing from right to left or without a glyph is refused, and the owner is told to give a spelling."""
    with pytest.raises(MissingGlyphError, match="give a spelling"):
        PAPERS[paper](Awkward(name=name))


@pytest.mark.parametrize(
    "document",
    [
        lambda content: document_of(STATEMENT, account_statement(content)),
        lambda content: document_of(WORKSHEET, claim_worksheet(content)),
    ],
    ids=["statement", "worksheet"],
)
def test_a_spelling_frozen_with_the_receipt_is_used(document: Callable[[ReceiptContent], Document]) -> None:
    """Papers made from a receipt spell its names as the receipt does."""
    content = replace(receipt_of(Awkward(name="李小龍")), spellings=(("李小龍", "Li Xiaolong"),))
    assert "Li Xiaolong" in text_of(document(content))


@every_paper
@pytest.mark.parametrize("size", ["letter", "a4"])
@pytest.mark.parametrize(
    "case",
    [
        Awkward(),
        Awkward(name=LONG_NAME, address=LONG_ADDRESS, item=LONG_ITEM),
        Awkward(name="W" * 120, address=("M" * 120, "x" * 120), item="W" * 120),
        Awkward(count=60),
        Awkward(name=LONG_NAME, address=LONG_ADDRESS, item=LONG_ITEM, count=60),
    ],
    ids=["usual", "long words", "one long word", "60 lines", "60 long lines"],
)
def test_nothing_crosses_or_leaves_the_paper(paper: str, size: str, case: Awkward) -> None:
    """No two texts or blocks touch, and all stay within the margins."""
    document = PAPERS[paper](Awkward(case.name, case.address, case.item, case.count, size))
    assert outside(document, 43) == []
    for page in document.pages:
        assert crossing_texts(page) == []
        assert crossing_blocks(page) == []


@every_paper
def test_sixty_lines_are_all_there_on_numbered_pages(paper: str) -> None:
    """Each line is printed once, each page says which of how many it is, and later pages name the paper."""
    document = PAPERS[paper](Awkward(item="Frame Finch", count=60))
    pages = [" ".join(page.extract_text().split()) for page in read(document).pages]
    assert len(pages) > 1
    assert all(f"Page {number} of {len(pages)}" in text for number, text in enumerate(pages, start=1))
    assert all("continued" in text for text in pages[1:])
    counted = " ".join(pages).count("frame, lenses" if paper == "year" else "Frame Finch")
    assert counted >= 60


@every_paper
def test_everything_can_be_read_at_arms_length(paper: str) -> None:
    """Names and items are set in 9.5 points at least, and nothing smaller than 7."""
    document = PAPERS[paper](Awkward(item="Finch frame"))
    sizes = [(mark.text, mark.style.size) for page in document.pages for mark in texts_of(page)]
    assert min(size for _, size in sizes) >= 7
    named = [size for text, size in sizes if text.startswith(("Finch frame", "Ilse Marrowdene"))]
    assert min(named) >= 9.5


@every_paper
def test_printing_again_gives_the_same_placing(paper: str) -> None:
    """The same content is placed the same."""
    case = Awkward(count=20)
    assert PAPERS[paper](case) == PAPERS[paper](case)
