"""The papers beside the receipt, as they are typed: the right file in the right place, and the form of the JSON."""

from __future__ import annotations

import builtins
from collections.abc import Callable
from pathlib import Path
from typing import Any

import page
import pytest
from pypdf import PdfReader

from shopledger.paperwork.papers import PAPERS
from shopledger.places import templates_folder
from tests.cli.conftest import PAIR, Typed, done, read_json

QUOTE = ("paper", "quote", "--valid-until", "2026-04-01")


@pytest.fixture
def papers(tmp_path: Path) -> Path:
    """Give the folder that papers go into; it is not there yet."""
    return tmp_path / "papers" / "2026"


@pytest.fixture
def sold(typed: Typed, tmp_path: Path) -> Typed:
    """Give the ledger after a pair was sold at 186.50 and paid, and its receipt issued."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    done(typed("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(tmp_path)))
    return typed


@pytest.mark.parametrize(
    ("words", "name", "says"),
    [
        (("statement", "1"), "statement-00001.pdf", {"paper": "statement", "receipt": 1}),
        (("worksheet", "1"), "worksheet-00001.pdf", {"paper": "worksheet", "receipt": 1}),
        (("slip", "1"), "slip-00001.pdf", {"paper": "packing", "order": 1}),
        (("confirmation", "1"), "confirmation-00001.pdf", {"paper": "confirmation", "order": 1}),
        (("year", "fernhollow", "2026"), "year-00001-2026.pdf", {"paper": "year", "year": 2026}),
    ],
)
def test_each_paper_is_written_and_its_json_kept(
    words: tuple[str, ...], name: str, says: dict[str, object], sold: Typed, papers: Path
) -> None:
    """The path alone on stdout for reading, the same in JSON; the archive file is PDF/A-2A under the same name."""
    file = papers / name
    assert done(sold("paper", *words, "--into", str(papers))).stdout == f"{file}\n"
    assert "Odalys Fernhollow" in PdfReader(file).pages[0].extract_text()
    file.unlink()
    assert read_json(sold("paper", *words, "--into", str(papers), "--archive", "--json")) == {
        **says,
        "file": str(file),
    }
    assert page.validate_pdf_bytes(file.read_bytes(), profile="2a").failures == []


def test_a_quote_by_options_stores_nothing(typed: Typed, papers: Path, everything: Callable[[], bytes]) -> None:
    """The options are those of a sale of one pair; what was found on it comes along."""
    before = everything()
    result = typed(*QUOTE, "--customer", "1", *PAIR, "--into", str(papers), "--json")
    data = read_json(result)
    assert {finding["code"] for finding in data.pop("findings")} == {"TRACE-MISSING", "TAX-NOT-SET"}
    assert data == {
        "paper": "quote",
        "customer": 1,
        "day": "2026-03-02",
        "valid_until": "2026-04-01",
        "total": "186.50",
        "file": str(papers / "quote-00001-2026-03-02.pdf"),
    }
    assert "Nothing was stored" in result.stderr
    assert everything() == before
    assert "186.50" in PdfReader(data["file"]).pages[0].extract_text()


def test_a_quote_from_a_file(typed: Typed, papers: Path, tmp_path: Path) -> None:
    """The file is that of a sale; other options beside it are refused."""
    file = tmp_path / "order.toml"
    file.write_text('customer = "1"\n[[accessory]]\ncode = "CASE"\nquantity = 2\n', encoding="utf-8")
    words = (*QUOTE, "--from", str(file), "--into", str(papers))
    shown = done(typed(*words)).stdout
    assert shown.replace("\n", "").startswith(str(papers / "quote-00001-2026-03-02.pdf"))
    # Two cases at 12.00 with 7 % tax, and 6.50 for shipping.
    assert read_json(typed(*words, "--json"))["total"] == "32.18"
    both = typed(*words, "--accessory", "CASE")
    assert both.exit_code == 2
    assert "with other options" in both.stderr


def test_a_quote_needs_its_last_day_and_an_order(typed: Typed, papers: Path) -> None:
    """What is missing is named by its option; nothing is written."""
    into = ("--into", str(papers))
    assert "--valid-until" in typed("paper", "quote", "--customer", "1", *PAIR, *into).stderr
    assert "--customer is missing" in typed(*QUOTE, *PAIR, *into).stderr
    assert "--wearer is missing" in typed(*QUOTE, "--customer", "1", *into).stderr
    early = typed("paper", "quote", "--valid-until", "2026-02-01", "--customer", "1", *PAIR, *into)
    assert early.exit_code == 30
    assert "lies before the quote's day" in early.stderr
    assert not list(papers.glob("*.pdf"))


def test_codes_for_a_worksheet_are_held_to_the_list(sold: Typed, papers: Path) -> None:
    """A code that is none is refused in one line; one that is stands in box 21."""
    words = ("paper", "worksheet", "1", "--into", str(papers), "--diagnosis")
    refused = sold(*words, "H99.99")
    assert refused.exit_code == 30
    assert refused.stderr.count("\n") == 1
    file = Path(done(sold(*words, "H52.4")).stdout.strip())
    assert "H524" in PdfReader(file).pages[0].extract_text()


def test_all_papers_are_checked(typed: Typed, papers: Path) -> None:
    """One file of each, listed in the order of the program's own table."""
    data = read_json(typed("paper", "check", "--into", str(papers), "--json"))
    assert data == {
        "papers": [{"paper": paper, "file": str(papers / f"sample-{paper}.pdf")} for paper in PAPERS],
    }
    assert {file.name for file in papers.iterdir()} == {f"sample-{paper}.pdf" for paper in PAPERS}
    assert "sample-reorder.pdf" in done(typed("paper", "check", "--into", str(papers), "--archive")).stdout


def test_a_slip_in_changed_words_is_said_with_its_line(typed: Typed, ledger: Path, papers: Path) -> None:
    """The owner's folder lies beside the ledger; a text that lost its number is found before any paper is written."""
    own = ledger.parent / "templates" / "papers" / "statement.toml"
    own.parent.mkdir(parents=True)
    shipped = (templates_folder() / "papers" / "statement.toml").read_text(encoding="utf-8").splitlines()
    at = next(place for place, line in enumerate(shipped) if line.startswith("number = ") and "{number}" in line)
    shipped[at] = 'number = "For a receipt"'
    own.write_text("\n".join(shipped), encoding="utf-8")
    result = typed("paper", "check", "--into", str(papers))
    assert result.exit_code == 50
    assert f"statement.toml, line {at + 1}: " in result.stderr
    assert result.stderr.count("\n") == 1
    assert not list(papers.glob("*"))


def test_receipts_are_written_for_the_archive_too(typed: Typed, papers: Path) -> None:
    """Issued, all at once, printed again and replaced: each under its usual name, as PDF/A-2A."""
    for accepted in ((), ("--accept", "ORDER-TWICE")):
        done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash", *accepted))
    into = ("--into", str(papers), "--archive")
    done(typed("receipt", "issue", "1", "--wearer", "Odalys", *into))
    done(typed("receipt", "issue", "--all-open", *into))
    done(typed("receipt", "print", "1", *into))
    done(typed("receipt", "replace", "1", "--reason", "a slip of the pen", *into))
    names = {"receipt-00001.pdf", "receipt-00002.pdf", "receipt-00001-copy.pdf", "receipt-00003.pdf"}
    assert {file.name for file in papers.iterdir()} == names
    for file in papers.iterdir():
        assert page.validate_pdf_bytes(file.read_bytes(), profile="2a").failures == [], file.name


def test_a_missing_extra_is_said(
    typed: Typed, papers: Path, everything: Callable[[], bytes], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Without the extra, --archive says in one line how to install it; nothing is written and no number taken."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    before = everything()
    real = builtins.__import__

    def without(name: str, *rest: Any) -> Any:  # noqa: ANN401 - what any import gives
        if name == "pikepdf":
            raise ImportError(name)
        return real(name, *rest)

    monkeypatch.setattr(builtins, "__import__", without)
    into = ("--into", str(papers), "--archive")
    for words in (("paper", "slip", "1"), ("receipt", "issue", "1", "--wearer", "Odalys"), ("paper", "check")):
        result = typed(*words, *into)
        assert result.exit_code == 50
        assert "-m pip install 'pikepdf" in result.stderr
    assert everything() == before
    assert not list(papers.glob("*"))


@pytest.mark.parametrize(
    ("words", "code", "says"),
    [
        (("statement", "9"), 40, "no receipt 9"),
        (("worksheet", "9"), 40, "no receipt 9"),
        (("slip", "9"), 40, "no order 9"),
        (("confirmation", "9"), 40, "no order 9"),
        (("year", "Nobody", "2026"), 40, "Nobody"),
        (("year", "1", "2031"), 30, "year that has begun"),
        (("year", "1", "last"), 2, "last"),
    ],
)
def test_what_is_not_there_is_refused_in_one_line(
    words: tuple[str, ...], code: int, says: str, sold: Typed, papers: Path
) -> None:
    """A sentence, an exit code, no file."""
    result = sold("paper", *words, "--into", str(papers))
    assert result.exit_code == code
    assert says in result.stderr
    assert result.stderr.count("\n") == 1
    assert not list(papers.glob("*"))
