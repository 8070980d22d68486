"""Papers that are stored and not there yet: listed, printed by one command, said at the next writing command."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.files.writing import Sheaf
from tests.cli.conftest import ADDRESS, PAIR, Typed, done, read_json


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Sell a pair and take the money for it."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--pay", "186.50", "--method", "cash"))
    return typed


def issue(folder: Path) -> tuple[str, ...]:
    """Give the words that issue the receipt of what was sold."""
    return ("receipt", "issue", "1", "--wearer", "Odalys", "--into", str(folder))


def refuse(*_: object) -> None:
    """Let no file take its place."""
    raise OSError(28, "No space left on device")


def interrupt(*_: object) -> None:
    """Be stopped with Ctrl-C."""
    raise KeyboardInterrupt


def test_a_paper_that_waits_is_told_listed_and_printed(
    sold: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What to type is said at once, stands in the list, and works; afterwards every paper is in its place."""
    folder = tmp_path / "papers"
    monkeypatch.setattr(Path, "replace", refuse)
    failed = sold(*issue(folder))
    monkeypatch.undo()
    assert failed.exit_code == 50
    assert "receipt 1 is stored, its paper is not yet" in failed.stderr
    assert failed.stderr.count("\n") == 1
    listed = done(sold("paper", "again"))
    assert "shopledger paper again receipt 1" in " ".join(listed.stdout.split())
    assert read_json(sold("paper", "again", "--json")) == {"waiting": [{"paper": "receipt", "number": 1}]}
    (file,) = read_json(sold("paper", "again", "receipt", "1", "--into", str(folder), "--json"))["files"]
    assert Path(file).name == "receipt-00001.pdf"
    assert "Every paper is in its place" in done(sold("paper", "again")).stderr


def test_the_next_writing_command_says_what_waits(sold: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """One line beside the data; commands that only look say nothing."""
    monkeypatch.setattr(Path, "replace", refuse)
    sold(*issue(tmp_path / "papers"))
    monkeypatch.undo()
    monkeypatch.setattr("shopledger.desk.outbox._stamp", lambda _desk: "2026-03-03T08:00:00+00:00")
    assert "not on paper yet" not in done(sold("customer", "find", "Odalys")).stderr
    said = done(sold("customer", "add", "--name", "Ines Alder", *ADDRESS)).stderr
    assert "Stored, but not on paper yet: receipt 1. See 'shopledger paper again'." in said


def test_ctrl_c_after_the_ledger_stored_it_says_so(
    sold: Typed, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Nobody issues a second receipt because the first one seems not to have been stored."""
    monkeypatch.setattr(Sheaf, "deliver", interrupt)
    result = sold(*issue(tmp_path / "papers"))
    assert result.exit_code == 1
    assert "Stopped, but stored by then: receipt 1." in result.stderr


def test_ctrl_c_while_the_ledger_stores_waits_for_it(sold: Typed, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whoever presses it at that very moment is told truly what became of it."""
    import signal

    from shopledger.store.committing import commit

    def slow(*given: object) -> None:
        signal.raise_signal(signal.SIGINT)
        commit(*given)  # type: ignore[arg-type]

    monkeypatch.setattr("shopledger.store.ledger.commit", slow)
    result = sold("customer", "add", "--name", "Ines Alder", *ADDRESS)
    monkeypatch.undo()
    assert "Stopped, but stored by then: customer 2, wearer 3." in result.stderr
    assert "Ines Alder" in done(sold("customer", "find", "Ines")).stdout
