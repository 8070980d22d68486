"""What a reader program gets of a paper: every word in order, tables with heads, figures in words, nothing twice."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import page as referee
import pikepdf
import pytest
from pikepdf import Array, ContentStreamInstruction, Object
from pypdf import PdfReader

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.job_sheet import job_sheet
from shopledger.paperwork.blocks import Block, Column, column_heads, heading, nested, row, text_block
from shopledger.paperwork.flow import Page, Placed
from shopledger.paperwork.job_sheet import JOB_SHEET
from shopledger.paperwork.marks import Element, Kind, Rule, Text, leaves
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import Paper, document_of
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.structure import Node, Run, structure_of
from shopledger.paperwork.typeset import BODY
from tests.ledger.papers.bench import hard_job, one_lens_job
from tests.paperwork.hard_receipts import HARD
from tests.paperwork.reading import printed, sample_files

EVERY_PAPER = pytest.mark.parametrize("paper", PAPERS.values(), ids=PAPERS)
COLUMNS = (Column(0, 100), Column(100, 100))


def two_rows() -> list[Block]:
    """Give a table of two columns and two rows, each row a block."""
    return [
        column_heads("t", ("thing", "price"), COLUMNS, 200, 0.9),
        row("t", ("cord", "9.00"), COLUMNS),
        row("t", ("case", "4.00"), COLUMNS),
    ]


def page_of(*blocks: Block, aside: bool = False) -> Page:
    """Put blocks on a page, wherever they come to lie."""
    return tuple(Placed(0, 0, block, aside) for block in blocks)


def words_of(run: Run) -> list[str]:
    """Give the texts of a run."""
    return [mark.text for _, _, mark in run.marks if isinstance(mark, Text)]


def outline(node: Node) -> object:
    """Give a tree as nested tuples of names and texts."""
    inner = [outline(each) if isinstance(each, Node) else " ".join(words_of(each)) for each in node.inner]
    return (node.kind.value[0] if node.kind else "Document", *inner)


def test_rows_of_many_blocks_are_one_table() -> None:
    """The heads begin a table, and each row that follows goes on with it, on the next page too."""
    heads, *rows = two_rows()
    grown = structure_of([page_of(heads, rows[0]), page_of(rows[1])])
    assert outline(grown.document) == (
        "Document",
        (
            "Table",
            ("TR", ("TH", "thing"), ("TH", "price")),
            ("TR", ("TD", "cord"), ("TD", "9.00")),
            ("TR", ("TD", "case"), ("TD", "4.00")),
        ),
    )


def test_two_tables_after_one_another_are_two() -> None:
    """New heads begin a new table."""
    grown = structure_of([page_of(*two_rows(), *two_rows())])
    assert [each.kind for each in grown.document.inner if isinstance(each, Node)] == [Kind.TABLE, Kind.TABLE]


def test_lines_of_a_text_are_one_paragraph_and_two_texts_are_two() -> None:
    """A text is read as one, however its lines were broken."""
    grown = structure_of([page_of(*text_block("t", "one\ntwo", 100), *text_block("t", "three", 100))])
    assert outline(grown.document) == ("Document", ("P", "one two"), ("P", "three"))


def test_what_stands_again_is_not_read_again() -> None:
    """Heads that are repeated on a later page are only seen."""
    heads, *rows = two_rows()
    again = page_of(heads, aside=True)
    grown = structure_of([page_of(heads, rows[0]), (*again, *page_of(rows[1]))])
    first = grown.pages[1].texts[0]
    assert (words_of(first), first.node) == (["thing", "price"], None)


def test_loose_text_is_a_paragraph_and_a_rule_is_in_nothing() -> None:
    """Whatever is not in an element is read as a paragraph if it is text, and not at all if it is not."""
    block = Block("b", 10, (Rule(0, 0, 9, 0), Text(0, 9, "loose", BODY)))
    grown = structure_of([page_of(block, heading("h", "Title", 100))])
    assert outline(grown.document) == ("Document", ("P", "loose"), ("H2", "Title"))
    assert [run.node for run in grown.pages[0].shapes] == [None]


def test_a_figure_holds_its_lines_and_labels() -> None:
    """Lines of a figure belong to it, and so do its labels."""
    figure = Element(Kind.FIGURE, (Rule(0, 0, 9, 0), Text(0, 9, "R", BODY)), "a lens")
    grown = structure_of([page_of(Block("b", 10, (figure,)))])
    (node,) = [each for each in grown.document.inner if isinstance(each, Node)]
    assert (node.said, len(node.inner), grown.pages[0].shapes[0].node) == ("a lens", 2, node)


def test_blocks_become_one_without_losing_their_elements() -> None:
    """A table that is put beside something is still one table."""
    (whole,) = nested(two_rows())
    assert isinstance(whole, Element)
    rows = [each.kind for each in whole.marks if isinstance(each, Element)]
    assert (whole.kind, rows) == (Kind.TABLE, [Kind.ROW] * 3)


def children(element: Object) -> Iterator[Object]:
    """Give what stands in an element of a file, in order."""
    kids = element.get("/K")
    if isinstance(kids, Array):
        yield from kids
    elif kids is not None:
        yield kids


def read_aloud(file: Path) -> list[tuple[str, str]]:
    """Give each innermost element of a file with its words, in the order of its structure tree, by a second program."""
    with pikepdf.open(file) as pdf:
        said = [words_by_number(page) for page in pdf.pages]
        pages = {page.obj.objgen: at for at, page in enumerate(pdf.pages)}
        found: list[tuple[str, str]] = []

        def walk(element: Object, page: int) -> None:
            page = pages[element.Pg.objgen] if "/Pg" in element else page
            words: list[str] = []
            for kid in children(element):
                if isinstance(kid, int):
                    words.append(said[page][kid])
                elif kid.get("/Type") == "/MCR":
                    words.append(said[pages[kid.Pg.objgen]][int(kid.MCID)])
                else:
                    walk(kid, page)
            if words:
                found.append((str(element.S)[1:], str(element.get("/Alt", "")) or " ".join("".join(words).split())))

        walk(pdf.Root.StructTreeRoot.K, 0)
        return found


def words_by_number(page: pikepdf.Page) -> dict[int, str]:
    """Give the words of each marked stretch of a page."""
    fonts = {name: letters_of(font) for name, font in page.obj.Resources.Font.items()}
    said: dict[int, str] = {}
    number, font = None, {}
    for instruction in pikepdf.parse_content_stream(page):
        assert isinstance(instruction, ContentStreamInstruction)
        operands = instruction.operands
        match str(instruction.operator):
            case "BDC":
                number = int(operands[1].MCID)
                said.setdefault(number, "")
            case "EMC":
                number = None
            case "Tf":
                font = fonts[str(operands[0])]
            case "Tj" if number is not None:
                said[number] += "".join(font[code] for code in bytes(operands[0]))
    return said


def letters_of(font: Object) -> dict[int, str]:
    """Give the letter of each code of a font, as the file itself says."""
    said = font.ToUnicode.read_bytes().decode("ascii")
    pairs = re.findall(r"^<([0-9A-F]{2})> <([0-9A-F]{4,8})>$", said, re.MULTILINE)
    return {int(code, 16): bytes.fromhex(letter).decode("utf-16-be") for code, letter in pairs}


@EVERY_PAPER
def test_every_paper_is_read_in_order_and_whole(paper: Paper[object], tmp_path: Path) -> None:
    """The tree of each file gives its title first, every word of the blocks in their order, and none twice."""
    document = document_of(paper, paper.sample())
    file = printed(paper, paper.sample(), tmp_path / "paper.pdf")
    found = read_aloud(file)
    assert [kind for kind, _ in found].count("H1") == 1
    headings = [kind for kind, _ in found if kind in {"H1", "H2"}]
    assert headings[0] == "H1"
    shown = [word for text in texts_read(document) for word in text.split()]
    assert [word for kind, words in found if kind != "Figure" for word in words.split()] == shown


def texts_read(document: Document) -> Iterator[str]:
    """Give the texts of a paper that are to be read: those in figures are told in other words."""
    for page in document.pages:
        for placed in page:
            if not placed.aside:
                yield from (mark.text for mark in outside_figures(placed.block.marks) if isinstance(mark, Text))


def outside_figures(marks: tuple[object, ...]) -> Iterator[object]:
    """Give the marks that stand in no figure."""
    for mark in marks:
        if isinstance(mark, Element):
            yield from () if mark.kind is Kind.FIGURE else outside_figures(mark.marks)
        else:
            yield mark


@EVERY_PAPER
def test_every_figure_is_told_in_words(paper: Paper[object]) -> None:
    """A drawing is read out as what it shows; one without words fails here."""
    for page in document_of(paper, paper.sample()).pages:
        for placed in page:
            assert all(figure.said for figure in figures(placed.block.marks))


def figures(marks: tuple[object, ...]) -> Iterator[Element]:
    """Give the figures among marks."""
    for mark in marks:
        if isinstance(mark, Element):
            yield from (mark,) if mark.kind is Kind.FIGURE else figures(mark.marks)


def hard_files(folder: Path) -> Iterator[Path]:
    """Print receipts, statements and job sheets of hard content."""
    folder.mkdir()
    for name, content in HARD.items():
        yield printed(RECEIPT, content, folder / f"receipt, {name}.pdf")
        if content.wearer:
            yield printed(STATEMENT, account_statement(content), folder / f"statement, {name}.pdf")
    for name, job in (("hard", hard_job()), ("one lens", one_lens_job())):
        yield printed(JOB_SHEET, job_sheet(job), folder / f"job, {name}.pdf")


def test_every_paper_follows_pdf_ua_1_as_far_as_a_program_can_tell(tmp_path: Path) -> None:
    """The referee's rules of ISO 14289-1 hold for every paper as it is printed, with hard content too."""
    for file in (*sample_files(tmp_path).values(), *hard_files(tmp_path / "hard")):
        found = referee.validate_pdf_bytes(file.read_bytes(), profile="ua1").failures
        assert [f"{file.name}: {failure.rule_id}: {failure.message}" for failure in found] == []


def columns_of(cell: Object) -> int:
    """Give how many columns a cell takes."""
    return int(cell.A.ColSpan) if "/A" in cell and "/ColSpan" in cell.A else 1


def rows_of(element: Object) -> Iterator[int]:
    """Give how many columns each row below an element has."""
    if element.get("/S") == "/TR":
        yield sum(columns_of(cell) for cell in children(element))
        return
    for kid in children(element):
        if not isinstance(kid, int) and "/S" in kid:
            yield from rows_of(kid)


def tables_of(element: Object) -> Iterator[Object]:
    """Give the tables below an element."""
    if element.get("/S") == "/Table":
        yield element
        return
    for kid in children(element):
        if not isinstance(kid, int) and "/S" in kid:
            yield from tables_of(kid)


def test_every_row_of_a_table_has_as_many_columns(tmp_path: Path) -> None:
    """A reader program can tell what stands under which head: tables are regular, spans counted."""
    for file in (*sample_files(tmp_path).values(), *hard_files(tmp_path / "hard")):
        with pikepdf.open(file) as pdf:
            for table in tables_of(pdf.Root.StructTreeRoot.K):
                assert len(set(rows_of(table))) == 1, file.name


@EVERY_PAPER
def test_every_file_is_dated_by_its_day_of_issue(paper: Paper[object], tmp_path: Path) -> None:
    """Reader programs show the day of issue, not that of the print."""
    sample = paper.sample()
    made = PdfReader(printed(paper, sample, tmp_path / "paper.pdf")).metadata
    assert made is not None
    assert made.creation_date is not None
    assert made.creation_date.date().isoformat() == paper.day(sample)


def test_only_papers_to_measure_ask_for_their_actual_size(tmp_path: Path) -> None:
    """Job sheet, lens order and reorder record are not to be scaled; the others may be."""
    asked = set()
    for key, file in sample_files(tmp_path).items():
        with pikepdf.open(file) as pdf:
            if pdf.Root.ViewerPreferences.get("/PrintScaling") == "/None":
                asked.add(key)
    assert asked == {"job", "lens_order", "reorder"}


def test_the_environment_does_not_change_a_file(tmp_path: Path) -> None:
    """A variable that other programs date their files by leaves the bytes as they are."""
    script = (
        "import sys; from shopledger.paperwork.page import painted; from shopledger.paperwork.paper import document_of;"
        "from shopledger.paperwork.receipt import RECEIPT;"
        "sys.stdout.buffer.write(painted(document_of(RECEIPT, RECEIPT.sample())))"
    )
    dated = {**os.environ, "SOURCE_DATE_EPOCH": "86400"}
    made = subprocess.run([sys.executable, "-c", script], env=dated, capture_output=True, check=True, cwd=tmp_path)
    assert made.stdout == painted(document_of(RECEIPT, RECEIPT.sample()))


def test_texts_of_every_kind_are_leaves() -> None:
    """Walking a page meets the same ink whether or not it stands in elements."""
    document = document_of(RECEIPT, RECEIPT.sample())
    for page, runs in zip(document.pages, structure_of(document.pages).pages, strict=True):
        ink = sum(1 for placed in page for _ in leaves(placed.block.marks))
        assert sum(len(run.marks) for run in (*runs.shapes, *runs.texts)) == ink
