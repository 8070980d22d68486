"""The demo runs the whole job through the same commands that an owner types."""

from __future__ import annotations

from pathlib import Path

import pytest
from click.testing import CliRunner

from shopledger.cli.demo import LEDGER, SCRIPT, DemoFailedError, Step, demo, read_script, run_step
from shopledger.errors import SetupError
from shopledger.places import demo_folder

pytestmark = pytest.mark.slow


def test_the_demo_runs_from_the_checkout(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Its script and what that reads are found, and the first steps hold; tests/test_packaging.py runs all of them."""
    steps = read_script(demo_folder() / SCRIPT)[:6]
    assert any("{demo}" in step.run for step in steps)
    monkeypatch.setattr("shopledger.cli.demo.read_script", lambda _: steps)
    ended = CliRunner().invoke(demo, ["--into", str(tmp_path / "out")], catch_exceptions=False)
    assert ended.exit_code == 0, ended.output
    assert "all held" in ended.output


def test_a_second_run_makes_the_folder_anew(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What an earlier demo made is known by its mark and replaced; nobody has to clean up by hand."""
    out = tmp_path / "out"

    def make(_step: Step, folder: Path) -> int:
        (folder / "papers").mkdir()
        (folder / "papers" / "old.pdf").write_text("made by the demo")
        (folder / f"{LEDGER}-wal").write_text("comes and goes")
        return 1

    monkeypatch.setattr("shopledger.cli.demo.read_script", lambda _: (Step("Look", "2026-03-02", "where"),))
    monkeypatch.setattr("shopledger.cli.demo.run_step", make)
    for _ in range(2):
        ended = CliRunner().invoke(demo, ["--into", str(out)], catch_exceptions=False)
        assert ended.exit_code == 0, ended.output
    monkeypatch.setattr("shopledger.cli.demo.read_script", lambda _: ())
    CliRunner().invoke(demo, ["--into", str(out)], catch_exceptions=False)
    assert [each.name for each in out.iterdir()] == [".made-by-shopledger-demo"]


def test_the_owner_s_file_among_a_demo_s_stops_the_next_one(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever lies there that no demo made, in a folder below too, is named, and nothing at all is removed."""
    monkeypatch.setattr("shopledger.cli.demo.read_script", lambda _: ())
    out = tmp_path / "out"
    CliRunner().invoke(demo, ["--into", str(out)], catch_exceptions=False)
    (out / "letters").mkdir()
    (out / "letters" / "odalys.txt").write_text("mine")
    (out / "link").symlink_to(tmp_path)
    ended = CliRunner().invoke(demo, ["--into", str(out)])
    assert isinstance(ended.exception, SetupError)
    assert "(letters/odalys.txt, link)" in str(ended.exception)
    assert (out / "letters" / "odalys.txt").read_text() == "mine"
    assert (out / ".made-by-shopledger-demo").is_file()


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
