"""The program's entry: one command imported, one line for a mistake, nobody else's files."""

from __future__ import annotations

import os
import stat
import subprocess
import sys
from pathlib import Path

import click
import pytest
from click.testing import CliRunner

from shopledger.cli.group import Place, ShopGroup
from shopledger.cli.main import shop
from tests.cli.conftest import SHOP_OPTIONS, Typed, done, type_in


def program(*words: str, cwd: Path, **env: str) -> subprocess.CompletedProcess[bytes]:
    """Run the program as the owner does, with output into a pipe."""
    around = {name: value for name, value in os.environ.items() if not name.startswith("SHOPLEDGER")}
    return subprocess.run(
        [sys.executable, "-m", "shopledger", *words],
        cwd=cwd,
        env={**around, "PYTHONPATH": str(Path(__file__).parents[2]), **env},
        stdin=subprocess.DEVNULL,
        capture_output=True,
        check=False,
        timeout=60,
    )


def test_a_command_that_is_no_command_is_not_run() -> None:
    """A slip in the table is found at once."""
    group = ShopGroup(name="one", sections={"Part": {"odd": Place("shopledger.errors:nearest", "Odd.")}})
    assert group.get_command(click.Context(group), "odd") is None


def test_called_from_python_errors_are_raised() -> None:
    """Only the program turns errors into lines; a caller gets them as they are."""
    with pytest.raises(click.UsageError):
        shop.main(["custmer"], standalone_mode=False)


def test_no_words_at_all_show_the_help() -> None:
    """Somebody who types the bare name learns what there is."""
    result = CliRunner().invoke(shop, [], prog_name="shopledger")
    assert result.exit_code == 2
    assert "Setting up" in result.output


def test_ctrl_c_while_something_is_looked_up_says_that_nothing_was_stored(
    typed: Typed, monkeypatch: pytest.MonkeyPatch
) -> None:
    """The program knows what it stored, and says so."""

    def interrupted(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("shopledger.desk.known_people.find_customers", interrupted)
    result = typed("customer", "find")
    assert result.exit_code == 1
    assert "Stopped. Nothing was stored." in result.stderr


@pytest.mark.slow
def test_new_files_are_the_owner_s_alone(tmp_path: Path) -> None:
    """Prescriptions are private: neither the ledger nor a paper may be read by others on the computer."""
    ledger = tmp_path / "books" / "ledger.db"
    result = program("--ledger", str(ledger), "--operator", "Ilse", "setup", *SHOP_OPTIONS, cwd=tmp_path)
    assert result.returncode == 0, result.stderr
    assert stat.S_IMODE(ledger.stat().st_mode) == 0o600
    assert stat.S_IMODE(ledger.parent.stat().st_mode) == 0o700


@pytest.mark.slow
def test_a_pipe_in_another_alphabet_gets_every_letter(tmp_path: Path) -> None:
    """Output into a file is UTF-8, whatever the terminal's own alphabet is."""
    ledger = str(tmp_path / "ledger.db")
    latin = {
        "PYTHONIOENCODING": "cp1252",
        "PYTHONUTF8": "0",
        # The words that are typed are read by the locale, whatever that of the machine is.
        "LC_ALL": "C.UTF-8",
        "SHOPLEDGER_LEDGER": ledger,
        "SHOPLEDGER_OPERATOR": "Ilse",
    }
    words = ["--name" if word == "--name" else word for word in SHOP_OPTIONS]
    words[1] = "Łukasz 李 Optical"
    result = program("setup", *words, cwd=tmp_path, **latin)
    assert result.returncode == 0, result.stderr
    assert "Łukasz 李 Optical" in result.stdout.decode("utf-8")


def test_the_operator_is_the_account_unless_named(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Every entry carries a name; a computer that knows none asks for one."""
    monkeypatch.delenv("SHOPLEDGER_OPERATOR")
    monkeypatch.setattr("getpass.getuser", lambda: "marigold")
    ledger = tmp_path / "ledger.db"
    done(type_in("setup", *SHOP_OPTIONS, ledger=ledger))
    assert b"marigold" in b"".join(file.read_bytes() for file in tmp_path.glob("ledger.db*"))

    def nobody() -> str:
        raise OSError

    monkeypatch.setattr("getpass.getuser", nobody)
    result = type_in("customer", "find", ledger=ledger)
    assert result.exit_code == 2
    assert "--operator" in result.stderr


def test_today_can_be_another_day(typed: Typed) -> None:
    """Late entries are made as if on their own day."""
    assert typed("--today", "2020-01-01", "sale", "record", "--customer", "1", "--accessory", "CASE").exit_code == 0
    assert "2020-01-01" in done(typed("sale", "list")).stdout


def test_the_version_is_the_package_s() -> None:
    """As it was installed."""
    from importlib.metadata import version

    assert done(type_in("--version")).stdout.splitlines()[0] == f"shopledger {version('shopledger')}"
