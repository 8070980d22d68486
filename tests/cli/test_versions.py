"""What the program says of versions: its own, the ledger's, what is new, and that a ledger is brought up to date."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

from shopledger.desk.versions import TEXT, chosen, read_changes
from shopledger.errors import RefusedError
from shopledger.store.backups.lists import listed
from shopledger.store.places import copies_of
from shopledger.store.revision import BROUGHT, HEAD_REVISION, PROGRAM
from tests.cli.conftest import Typed, done, read_json, type_in
from tests.installed import CHECKOUT
from tests.store.older import put_back

BEFORE = "20261128_entries_of_their_own"


def test_the_version_is_that_of_program_tables_and_ledger(typed: Typed, ledger: Path) -> None:
    """The first line is for scripts; the ledger may be named before or after."""
    for words in (("--version",), ("--version", "--ledger", str(ledger))):
        program, tables, said = done(typed(*words)).stdout.splitlines()
        assert program == f"shopledger {PROGRAM}"
        assert tables.split() == ["tables", HEAD_REVISION]
        assert str(ledger) in said
        assert said.endswith(f"tables {HEAD_REVISION} of shopledger {PROGRAM}; written last by shopledger {PROGRAM}")


def test_the_version_is_said_without_a_ledger(typed: Typed, tmp_path: Path) -> None:
    """Where there is none, and where something else lies, the program's version is said all the same."""
    assert done(typed("--ledger", str(tmp_path / "none.db"), "--version")).stdout.endswith("none.db: there is none\n")
    letter = tmp_path / "letter.db"
    letter.write_text("no ledger")
    assert "is no shopledger ledger" in done(typed("--ledger", str(letter), "--version")).stdout
    assert letter.read_text() == "no ledger"


def test_the_version_is_said_without_what_speaks_to_servers(monkeypatch: pytest.MonkeyPatch) -> None:
    """What is missing stands in the place of the ledger's own version."""

    def missing(*_: object, **__: object) -> None:
        raise ImportError

    monkeypatch.setattr("shopledger.store.engine.create_engine", missing)
    said = done(type_in("--ledger", "postgresql+psycopg://nobody@localhost/none", "--version")).stdout
    assert said.startswith(f"shopledger {PROGRAM}\n")
    assert "needs the extra 'postgres'" in said


def test_an_upgrade_is_said_before_and_after_and_its_copy_is_listed(typed: Typed, ledger: Path) -> None:
    """On stderr, so that what was asked for stands alone; `--version` alone changes nothing."""
    url = f"sqlite:///{ledger}"
    put_back(url, BEFORE)
    assert "of shopledger 0.1.0; written last by" in done(typed("--version")).stdout
    assert not copies_of(url).exists()
    said = done(typed("stock", "list", "--json"))
    read_json(said)
    assert f"is of shopledger 0.1.0. It is copied and the copy checked, then it is brought to {PROGRAM}" in said.stderr
    assert f"The ledger is at shopledger {PROGRAM} now; 'shopledger changes --since 0.1.0'" in said.stderr
    (copy,) = read_json(typed("backup", "list", "--json"))["copies"]
    assert f"Copied to {copies_of(url) / copy['file']}, checked." in said.stderr
    (checked,) = read_json(typed("backup", "check", "--all", "--json"))["copies"]
    assert (checked["holds"], checked["listed"]) == (True, True)
    assert "shopledger 0.1.0" not in done(typed("stock", "list")).stderr


def test_two_programs_bring_a_ledger_up_to_date_once(ledger: Path) -> None:
    """One waits for the other, unless that takes too long, and there is one copy."""
    url = f"sqlite:///{ledger}"
    put_back(url, BEFORE)
    words = (sys.executable, "-m", "shopledger", "--ledger", str(ledger), "stock", "list")
    begun = [subprocess.Popen(words, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True) for _ in range(2)]
    said = [each.communicate(timeout=300)[1] for each in begun]
    assert sum("Copied to" in each for each in said) == 1
    assert all(each.returncode == 0 or "is busy" in told for each, told in zip(begun, said, strict=True)), said
    assert len(listed(copies_of(url))) == 1


def test_what_is_new_is_that_of_the_newest_version(typed: Typed) -> None:
    """It is headed by the program's own version; since an earlier one, all after it."""
    said = done(typed("changes")).stdout
    assert said.startswith(f"shopledger {PROGRAM}\n- ")
    assert "shopledger 0.1.0" not in said
    told = read_json(typed("changes", "--since", "0.1.0", "--json"))["versions"]
    assert [each["version"] for each in told] == list(reversed(BROUGHT.values()))
    assert done(typed("changes", "--since", PROGRAM)).stdout == "Nothing changed since then.\n"


def test_an_unknown_version_is_told_which_there_are(typed: Typed) -> None:
    """The answer names what may be typed."""
    result = typed("changes", "--since", "7.0")
    assert result.exit_code != 0
    assert f"'7.0'; the versions are {', '.join(reversed(BROUGHT.values()))}, 0.1.0" in result.stderr


def test_each_version_that_changed_tables_has_its_words() -> None:
    """And the newest words are of the version in the project file, so that none is released without."""
    versions = read_changes(TEXT.read_text(encoding="utf-8"))
    numbers = [each.number for each in versions]
    assert set(BROUGHT.values()) <= set(numbers)
    assert all(each.changes for each in versions)
    project = re.search(r'(?m)^version = "(.+)"$', (CHECKOUT / "pyproject.toml").read_text(encoding="utf-8"))
    assert project is not None
    assert numbers[0] == PROGRAM == project[1]


def test_points_are_read_whole_over_their_lines() -> None:
    """A point goes on over several lines; versions come newest first."""
    newest, oldest = read_changes("### 2.0\n\n- one\n  goes on\n- two\n\n### 1.0\n\n- first - and only\n")
    assert (newest.number, newest.changes) == ("2.0", ("one goes on", "two"))
    assert oldest.changes == ("first - and only",)
    assert chosen((newest, oldest), "1.0") == (newest,)
    with pytest.raises(RefusedError, match=r"the versions are 2\.0, 1\.0"):
        chosen((newest, oldest), "3")
