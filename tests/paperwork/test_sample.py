"""Samples: every paper prints with the shipped and with an owner's wording, and a slip prints none."""

from __future__ import annotations

from pathlib import Path

import pytest
from pypdf import PdfReader

from shopledger.paperwork.refusals import TemplateError
from shopledger.paperwork.sample import PAPERS, print_samples
from shopledger.places import templates_folder


@pytest.mark.parametrize(("paper", "width"), [("letter", 612.0), ("a4", 595.28)])
def test_every_paper_prints_on_letter_and_a4(paper: str, width: float, tmp_path: Path) -> None:
    """Each wording in the templates has its sample, and each is a PDF of the asked size with text on it."""
    files = print_samples(tmp_path, paper=paper)
    assert {file.stem.removeprefix("sample-") for file in files} == set(PAPERS)
    for file in files:
        first = PdfReader(file).pages[0]
        assert float(first.mediabox.width) == pytest.approx(width, abs=0.01)
        assert len(first.extract_text()) > 200


def test_every_wording_has_a_sample() -> None:
    """No paper can be changed without being looked at: a new wording needs a sample of its paper."""
    assert {file.stem for file in (templates_folder() / "papers").glob("*.toml")} == set(PAPERS)


def test_samples_show_the_owners_words(tmp_path: Path) -> None:
    """What the owner changed is what the sample shows."""
    (tmp_path / "papers").mkdir()
    text = (templates_folder() / "papers" / "quote.toml").read_text(encoding="utf-8")
    (tmp_path / "papers" / "quote.toml").write_text(
        text.replace('paper = "Quote"', 'paper = "Our offer"'), encoding="utf-8"
    )
    files = {file.stem: file for file in print_samples(tmp_path, tmp_path)}
    assert "Our offer" in PdfReader(files["sample-quote"]).pages[0].extract_text()


def test_a_slip_in_one_wording_leaves_no_file(tmp_path: Path) -> None:
    """All wordings are read before the first file is written."""
    (tmp_path / "papers").mkdir()
    (tmp_path / "papers" / "year.toml").write_text("language = 7\n", encoding="utf-8")
    with pytest.raises(TemplateError, match=r"year\.toml"):
        print_samples(tmp_path, tmp_path)
    assert list(tmp_path.glob("*.pdf")) == []


def test_samples_name_nobody_real() -> None:
    """Phone and mail address are of the kinds kept for examples (555-01xx; RFC 2606)."""
    from shopledger.paperwork.sample_content import sample_receipt

    content = sample_receipt()
    assert content.shop_phone.startswith("555-01")
    assert content.shop_email.endswith(".example.com")
