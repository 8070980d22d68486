"""Reading finished papers back: their text, their boxes, their drawn paths."""

from __future__ import annotations

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path
from typing import Any, TypeVar

from pypdf import PageObject, PdfReader
from pypdf.generic import ContentStream, DictionaryObject

from shopledger.paperwork.flow import Page
from shopledger.paperwork.marks import Circle, Leaf, Text, leaves
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import Paper, document_of
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.wording import read_wording

Content = TypeVar("Content")
Extent = tuple[float, float, float, float]


def read(document: Document) -> PdfReader:
    """Paint a paper and open the PDF."""
    return PdfReader(BytesIO(painted(document)))


def printed(paper: Paper[Content], content: Content, target: Path, **options: Any) -> Path:  # noqa: ANN401 - those of `document_of`
    """Write a paper as a PDF; give back where it lies."""
    target.write_bytes(painted(document_of(paper, content, **options)))
    return target


def sample_files(folder: Path, owner_folder: Path | None = None, size: str = "letter") -> dict[str, Path]:
    """Print every paper's sample in the owner's wording; give the files by the papers' keys."""
    return {
        key: printed(paper, paper.sample(), folder / f"{key}.pdf", size=size, wording=read_wording(key, owner_folder))
        for key, paper in PAPERS.items()
    }


def text_of(document: Document) -> str:
    """Give the text of all pages as a PDF reader sees it, white space joined."""
    return " ".join(" ".join(page.extract_text() for page in read(document).pages).split())


def marks_of(page: Page) -> Iterator[Leaf]:
    """Give every mark of a page where it stands on the paper."""
    for placed in page:
        for mark in leaves(placed.block.marks):
            yield mark.moved(placed.x, placed.y)


def texts_of(page: Page) -> list[Text]:
    """Give every text of a page where it stands on the paper."""
    return [mark for mark in marks_of(page) if isinstance(mark, Text)]


def crossing_texts(page: Page) -> list[tuple[str, str]]:
    """Give the pairs of texts whose letters touch."""
    texts = texts_of(page)
    return [
        (one.text, other.text)
        for at, one in enumerate(texts)
        for other in texts[at + 1 :]
        if overlap(one.extent, other.extent)
    ]


def crossing_blocks(page: Page) -> list[tuple[str, str]]:
    """Give the pairs of blocks that stand in each other's way."""
    boxes = [(placed.block.name, placed.y, placed.y + placed.block.height) for placed in page]
    return [
        (one, other)
        for at, (one, top, bottom) in enumerate(boxes)
        for other, other_top, other_bottom in boxes[at + 1 :]
        if top < other_bottom - 0.01 and other_top < bottom - 0.01
    ]


def overlap(one: Extent, other: Extent) -> bool:
    """Whether two boxes share more than a hair."""
    hair = 0.05
    return (
        one[0] < other[2] - hair and other[0] < one[2] - hair and one[1] < other[3] - hair and other[1] < one[3] - hair
    )


def outside(document: Document, margin: float) -> list[Leaf]:
    """Give the marks that come nearer to the paper's edge than the margin; blanks' circles may not either."""
    return [
        mark
        for page in document.pages
        for mark in marks_of(page)
        if (box := mark.extent)[0] < margin - 0.01
        or box[2] > document.width - margin + 0.01
        or box[1] < 14
        or box[3] > document.height - 14
    ]


def paths(page: PageObject) -> Iterator[list[tuple[float, float]]]:
    """Give each straight-lined path that a page draws, as points in PDF units."""
    points: list[tuple[float, float]] = []
    for operands, operator in ContentStream(page.get_contents(), page.pdf).operations:
        if operator == b"m":
            points = [(float(operands[0]), float(operands[1]))]
        elif operator == b"l":
            points.append((float(operands[0]), float(operands[1])))
        elif operator in {b"S", b"s", b"n", b"f", b"f*", b"B", b"b"}:
            yield points
            points = []


def circles_of(page: Page) -> list[Circle]:
    """Give the circles of a page."""
    return [mark for mark in marks_of(page) if isinstance(mark, Circle)]


def fonts_of(page: PageObject) -> list[DictionaryObject]:
    """Give the descriptor of each font that a page names; one that is not embedded has none or an empty one."""
    fonts = _dictionary(_dictionary(page, "/Resources"), "/Font")
    return [_dictionary(_dictionary(fonts, name), "/FontDescriptor") for name in fonts]


def _dictionary(within: DictionaryObject, name: str) -> DictionaryObject:
    found = within[name].get_object() if name in within else None
    return found if isinstance(found, DictionaryObject) else DictionaryObject()
