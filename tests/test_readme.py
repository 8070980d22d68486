"""The README tells the truth: its day at the shop is run line by line, and its pictures exist."""

from __future__ import annotations

import re
import shlex
import shutil
from pathlib import Path

import pytest
from click.testing import CliRunner

from shopledger.cli.main import shop
from shopledger.places import demo_folder

pytestmark = pytest.mark.slow

ROOT = Path(__file__).parents[1]
README = (ROOT / "README.md").read_text(encoding="utf-8")


def typed_lines() -> list[str]:
    """Give every command of the README's console blocks, in order, without the program's name."""
    blocks = re.findall(r"^```console\n(.*?)^```", README, re.MULTILINE | re.DOTALL)
    return [line.removeprefix("$ shopledger ") for block in blocks for line in block.splitlines()]


def test_the_day_at_the_shop_runs_as_written(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every line of the README's day ends well, in order, in a new folder with the demo's files."""
    shutil.copytree(demo_folder(), tmp_path / "demo", ignore=shutil.ignore_patterns("out"))
    monkeypatch.chdir(tmp_path)
    monkeypatch.setenv("SHOPLEDGER_LEDGER", str(tmp_path / "shop.db"))
    monkeypatch.setenv("SHOPLEDGER_OPERATOR", "reader")
    lines = typed_lines()
    assert len(lines) > 20
    for line in lines:
        ended = CliRunner().invoke(shop, shlex.split(line))
        assert ended.exit_code == 0, f"shopledger {line}\n{ended.output}{ended.exception}"


def test_its_pictures_are_there_and_small() -> None:
    """Each picture of the README lies in the repository and weighs little."""
    pictures = re.findall(r"!\[[^\]]+\]\(([^)]+)\)", README)
    assert len(pictures) >= 2
    for picture in pictures:
        assert (ROOT / picture).stat().st_size < 120_000


def test_it_opens_with_the_job() -> None:
    """The first paragraph says what the program is for, before any command."""
    first = README.split("\n\n")[1]
    assert "receipt" in first
    assert "```" not in first
