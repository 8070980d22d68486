"""What endangers a ledger where it lies is said with what to do, and nothing is said of a good place."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from shopledger.store.surroundings import SYNCED_MARKS, SYNCED_NAMES, dangers


def a_ledger(folder: Path) -> Path:
    """Put a file for its owner alone into a folder for its owner alone."""
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    file = folder / "shop.db"
    file.touch(0o600)
    return file


def said(file: Path) -> str:
    """Give all sentences in one."""
    return " ".join(danger.sentence for danger in dangers(file))


def test_a_good_place_is_not_spoken_of(tmp_path: Path) -> None:
    """A private file in a private folder, with copies of the program's own beside it."""
    file = a_ledger(tmp_path / "shop")
    for name in ("shop-at-12-entries.db", "shop files", "shop.db-wal", "conflict of laws.txt"):
        (file.parent / name).touch(0o600)
    assert dangers(file) == ()
    assert dangers(tmp_path / "nowhere" / "shop.db") == ()


@pytest.mark.parametrize("name", [*SYNCED_NAMES, "OneDrive - Personal"])
def test_a_synced_folder_is_known_by_its_name(tmp_path: Path, name: str) -> None:
    """Any folder on the way to the ledger counts."""
    file = a_ledger(tmp_path / name.title() / "books" / "2026")
    assert str(tmp_path / name.title()) in said(file)
    assert "'shopledger backup place add'" in said(file)


@pytest.mark.parametrize("mark", SYNCED_MARKS)
def test_a_synced_folder_is_known_by_its_mark(tmp_path: Path, mark: str) -> None:
    """What the other program leaves in its topmost folder gives it away."""
    file = a_ledger(tmp_path / "shared" / "books")
    (tmp_path / "shared" / mark).touch()
    assert str(tmp_path / "shared") in said(file)


@pytest.mark.parametrize(
    "name",
    [
        "shop (conflicted copy 2026-03-02).db",
        "shop (Case Conflict).db",
        "shop.sync-conflict-20260302-101500-ABCDEF.db",
        "shop-conflict-20260302.db",
    ],
)
def test_a_conflict_beside_it_is_named(tmp_path: Path, name: str) -> None:
    """Two computers wrote: both files are to be compared."""
    file = a_ledger(tmp_path / "shop")
    (file.parent / name).touch()
    assert name in said(file)
    assert "verify" in said(file)


@pytest.mark.skipif(os.name != "posix", reason="elsewhere the user's folder keeps others out")
@pytest.mark.parametrize(("mode", "folder_mode", "words"), [(0o640, 0o700, "chmod 600"), (0o600, 0o755, "chmod 700")])
def test_looser_rights_are_said_with_what_to_type(tmp_path: Path, mode: int, folder_mode: int, words: str) -> None:
    """Of the file and of its folder alike."""
    file = a_ledger(tmp_path / "shop")
    file.chmod(mode)
    file.parent.chmod(folder_mode)
    (danger,) = dangers(file)
    assert words in danger.sentence


@pytest.mark.skipif(os.name != "posix", reason="as above")
def test_a_folder_for_everybodys_files_is_left_alone(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Nobody is told to close his home, or a folder where everybody may put files, for one ledger in it."""
    file = a_ledger(tmp_path / "shop")
    file.parent.chmod(0o1777)
    assert dangers(file) == ()
    file.parent.chmod(0o755)
    monkeypatch.setenv("HOME", str(file.parent))
    assert dangers(file) == ()
