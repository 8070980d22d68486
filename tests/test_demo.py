"""The demo runs the whole job through the same commands that an owner types."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopledger.cli.demo import LEDGER, DemoFailedError, Step, demo, run_step
from shopledger.errors import SetupError

# What takes long to make is made once, by one process.
pytestmark = [pytest.mark.slow, pytest.mark.xdist_group("demo")]


@pytest.fixture(scope="module")
def made(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Run the demo once for every test of what it made."""
    out = tmp_path_factory.mktemp("demo") / "out"
    ended = CliRunner().invoke(demo, ["--into", str(out)], catch_exceptions=False)
    assert ended.exit_code == 0, ended.output
    assert "all held" in ended.output
    assert "Try next" in ended.output
    return out


def test_every_step_holds_and_every_paper_lies_there(made: Path) -> None:
    """Receipts, a copy, an inspection, the reorder record, the shape and the month's workbook are made."""
    names = {file.name for file in made.iterdir()}
    papers = {"receipt-00001.pdf", "receipt-00001-copy.pdf", "receipt-00002.pdf", "reorder-00001.pdf"}
    papers.add("certificate-00001.pdf")
    assert papers | {"month-2026-03.xlsx", "pellow-52.txt", LEDGER} <= names


def test_what_was_refused_left_nothing(made: Path) -> None:
    """Three orders, three prescriptions and one trace are in the ledger, whatever was typed wrongly in between."""
    with sqlite3.connect(made / LEDGER) as ledger:
        counts = [
            ledger.execute(f"SELECT count(*) FROM {table}").fetchone()[0]  # noqa: S608 - fixed names
            for table in ("shop_order", "prescription", "trace")
        ]
    assert counts == [3, 3, 1]


def test_a_second_run_makes_the_folder_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """An earlier demo is known by its mark and replaced; nobody has to clean up by hand."""
    monkeypatch.setattr("shopledger.cli.demo.read_script", lambda _: ())
    CliRunner().invoke(demo, ["--into", str(tmp_path / "out")], catch_exceptions=False)
    (tmp_path / "out" / "old.pdf").write_text("from last time")
    ended = CliRunner().invoke(demo, ["--into", str(tmp_path / "out")], catch_exceptions=False)
    assert ended.exit_code == 0
    assert not (tmp_path / "out" / "old.pdf").exists()


def test_a_folder_with_other_files_is_left_alone(tmp_path: Path) -> None:
    """The demo never writes among files that it did not make."""
    (tmp_path / "letter.txt").write_text("mine")
    ended = CliRunner().invoke(demo, ["--into", str(tmp_path)])
    assert isinstance(ended.exception, SetupError)
    assert [file.name for file in tmp_path.iterdir()] == ["letter.txt"]


def test_a_step_that_ends_otherwise_stops_the_demo(tmp_path: Path) -> None:
    """A wrong exit code, or words that do not appear, are a failure and not a remark."""
    with pytest.raises(DemoFailedError, match="ended with code 40"):
        run_step(Step("Look", "2026-03-02", "stock list"), tmp_path)
    with pytest.raises(DemoFailedError, match="does not stand"):
        run_step(Step("Look", "2026-03-02", "stock list", exits=40, shows=("a unicorn",)), tmp_path)
