"""The papers as they are declared: each has its wording, its sample and its command, and prints on both sizes."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click
import pytest
from pypdf import PdfReader

from shopledger.cli.main import shop
from shopledger.paperwork.order_papers import PACKING
from shopledger.paperwork.paper import Paper, document_of
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.wording import read_wording
from shopledger.places import templates_folder
from tests.paperwork.reading import sample_files, text_of


def lacks(paper: Paper[Any]) -> list[str]:
    """Say in sentences what a paper was declared with and does not have."""
    file = templates_folder() / "papers" / f"{paper.key}.toml"
    found = [] if has_command(paper.command) else [f"the paper {paper.key} lacks its command, '{paper.command}'"]
    if not file.is_file():
        return [*found, f"the paper {paper.key} lacks its wording, templates/papers/{paper.key}.toml"]
    if sorted(read_wording(paper.key).listed("order")) != sorted(paper.body.parts):
        found.append(f"the parts of the paper {paper.key} are not those that its wording's order names")
    try:
        document_of(paper, paper.sample())
    except Exception as error:  # noqa: BLE001 - whatever a sample lacks is told with the paper's name
        found.append(f"the sample of the paper {paper.key} does not print: {error!r}")
    return found


def has_command(words: str) -> bool:
    """Tell whether the program has a command of these words."""
    command: click.Command | None = shop
    for word in words.split():
        if not isinstance(command, click.Group):
            return False
        command = command.get_command(click.Context(command), word)
    return command is not None


@pytest.mark.parametrize("paper", PAPERS.values(), ids=list(PAPERS))
def test_every_paper_has_all_it_was_declared_with(paper: Paper[Any]) -> None:
    """A paper has a wording with its parts, a sample that prints, and a command; what lacks is said by name."""
    assert lacks(paper) == []


def test_every_wording_belongs_to_a_paper() -> None:
    """No wording lies there that no paper takes."""
    assert {file.stem for file in (templates_folder() / "papers").glob("*.toml")} == set(PAPERS)


def test_what_a_paper_lacks_is_said() -> None:
    """The sentence names the paper and what it has not: command, wording, parts, sample."""
    assert lacks(replace(PACKING, command="paper parcel")) == ["the paper packing lacks its command, 'paper parcel'"]
    assert lacks(replace(PACKING, key="leaflet")) == [
        "the paper leaflet lacks its wording, templates/papers/leaflet.toml"
    ]
    (parts, sample) = lacks(replace(PACKING, key="year"))
    assert parts == "the parts of the paper year are not those that its wording's order names"
    assert sample.startswith("the sample of the paper year does not print: KeyError")


@pytest.mark.parametrize(("size", "width"), [("letter", 612.0), ("a4", 595.28)])
def test_every_paper_prints_on_letter_and_a4(size: str, width: float, tmp_path: Path) -> None:
    """Each is a PDF of the asked size with text on it."""
    files = sample_files(tmp_path, size=size)
    assert list(files) == list(PAPERS)
    for file in files.values():
        first = PdfReader(file).pages[0]
        assert float(first.mediabox.width) == pytest.approx(width, abs=0.01)
        assert len(first.extract_text()) > 200


def test_a_paper_with_a_stamp_that_it_does_not_have_bears_none() -> None:
    """Only a receipt can be a copy."""
    assert "COPY" in text_of(document_of(RECEIPT, RECEIPT.sample(), stamps={"copy": 2}))
    assert "COPY" not in text_of(document_of(PACKING, PACKING.sample(), stamps={"copy": 2}))


def test_files_are_named_by_numbers_alone() -> None:
    """The name of a paper, five digits, and what sets a print apart."""
    assert PACKING.file_name(7) == "slip-00007.pdf"
    assert PAPERS["lens_order"].file_name(12) == "lens-order-00012.pdf"
    assert RECEIPT.file_name(1042, "copy", "replaced") == "receipt-01042-copy-replaced.pdf"


def test_samples_name_nobody_real() -> None:
    """Phone and mail address are of the kinds kept for examples (555-01xx; RFC 2606)."""
    content = RECEIPT.sample()
    assert content.shop_phone.startswith("555-01")
    assert content.shop_email.endswith(".example.com")
