"""Papers that are sent nowhere: where they lie, what they are called, and how they are opened and printed."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest

from shopledger.desk.paper_place import all_papers, papers_of
from shopledger.files.handing import Hands
from tests.cli.conftest import NOW, PAIR, Typed, done, read_json, type_in


@pytest.fixture
def papers(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Name a folder for papers that is not there yet, and give that of this month."""
    monkeypatch.setenv("SHOPLEDGER_PAPERS", str(tmp_path / "On paper"))
    return tmp_path / "On paper" / "2026-03"


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Give the shop with one pair sold in it and paid."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    return typed


class Handed:
    """The files that were shown and printed."""

    def __init__(self, answer: str = "") -> None:
        self.shown: list[str] = []
        self.queued: list[str] = []
        self.answer = answer

    def show(self, command: Sequence[str]) -> str:
        """Note a file that is to be shown."""
        self.shown.append(Path(command[1]).name)
        return self.answer

    def queue(self, command: Sequence[str]) -> str:
        """Note a file that is to be printed."""
        self.queued.append(Path(command[1]).name)
        return self.answer

    @property
    def hands(self) -> Hands:
        """Give hands that only note."""
        return Hands("linux", lambda name: name, self.show, self.queue)


def test_a_paper_goes_to_the_months_folder(sold: Typed, papers: Path) -> None:
    """Under what it is and its number; the whole path is said, and the folder is made for its owner alone."""
    done(sold("job", "sheet", "1"))
    issued = done(sold("receipt", "issue", "1", "--wearer", "Odalys"))
    assert sorted(file.name for file in papers.iterdir()) == ["job-00001.pdf", "receipt-00001.pdf"]
    assert str(papers / "receipt-00001.pdf") in " ".join(issued.stdout.split())
    assert papers.stat().st_mode & 0o777 == 0o700


def test_a_folder_that_is_named_wins(sold: Typed, papers: Path, tmp_path: Path) -> None:
    """As before."""
    shown = read_json(sold("job", "sheet", "1", "--into", str(tmp_path / "here"), "--json"))
    assert shown["file"] == str(tmp_path / "here" / "job-00001.pdf")
    assert not papers.exists()


def test_a_preview_makes_no_folder(sold: Typed, papers: Path) -> None:
    """Nor does a command that is refused."""
    done(sold("supplier", "add", "--name", "Brightwater"))
    done(sold("job", "order-lenses", "1", "--from", "Brightwater", "--dry-run"))
    assert sold("job", "sheet", "77").exit_code
    assert not papers.exists() or not list(papers.iterdir())


def test_the_usual_folder_lies_among_the_documents(monkeypatch: pytest.MonkeyPatch, tmp_path: Path) -> None:
    """Wherever the program was started."""
    monkeypatch.delenv("SHOPLEDGER_PAPERS")
    monkeypatch.chdir(tmp_path)
    documents = tmp_path / "Documents"
    monkeypatch.setattr("shopledger.desk.paper_place.user_documents_path", lambda: documents)
    assert all_papers() == documents / "Shop papers"
    assert papers_of(NOW.date()) == documents / "Shop papers" / "2026-03"
    monkeypatch.setenv("SHOPLEDGER_PAPERS", "here")
    assert all_papers() == tmp_path / "here"


def test_a_paper_is_opened_and_printed_at_once(sold: Typed, ledger: Path, papers: Path) -> None:
    """Both may be asked for; of a lens order the sheet is, and not the file for the lab."""
    handed = Handed()
    done(sold("supplier", "add", "--name", "Brightwater"))
    done(type_in("job", "sheet", "1", "--open", "--print", ledger=ledger, hands=handed.hands))
    assert (handed.shown, handed.queued) == (["job-00001.pdf"], ["job-00001.pdf"])
    words = ("job", "order-lenses", "1", "--from", "Brightwater", "--print")
    done(type_in(*words, ledger=ledger, hands=handed.hands))
    assert handed.queued[1:] == ["lens-order-00001.pdf"]
    assert len(list(papers.iterdir())) == 3


def test_what_fails_is_said_and_the_paper_is_there(sold: Typed, ledger: Path, papers: Path) -> None:
    """In one sentence after the path, with an exit code; nothing is opened of a command that was refused."""
    handed = Handed("lp: no default destination")
    assert done(sold("sale", "list")).stdout
    result = type_in("receipt", "issue", "1", "--wearer", "Odalys", "--print", ledger=ledger, hands=handed.hands)
    assert result.exit_code == 1
    assert "receipt-00001.pdf is written, but could not be printed: lp: no default destination." in result.stderr
    assert (papers / "receipt-00001.pdf").exists()
    assert type_in("job", "sheet", "77", "--open", ledger=ledger, hands=handed.hands).exit_code == 40
    assert handed.shown == []


def test_what_is_no_paper_is_opened_and_not_printed(sold: Typed, ledger: Path, papers: Path) -> None:
    """A workbook has a program of its own."""
    handed = Handed()
    done(type_in("month", "export", "2026-03", "--open", ledger=ledger, hands=handed.hands))
    assert [Path(name).suffix for name in handed.shown] == [".xlsx"]
    assert "--print" not in done(sold("month", "export", "--help")).stdout
    assert papers.exists()


@pytest.mark.parametrize("words", [("manual",), ("payee", "hand-out", "Alder Row"), ("backup", "key", "new")])
def test_what_is_secret_or_no_paper_of_the_shops_names_its_folder(sold: Typed, words: tuple[str, ...]) -> None:
    """A secret key or a tax number does not lie about among other papers."""
    result = sold(*words)
    assert result.exit_code == 2
    assert "--into" in result.stderr
