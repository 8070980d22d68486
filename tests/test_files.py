"""Files are written whole or not at all."""

from __future__ import annotations

import os
import stat
from pathlib import Path

import pytest

from shopledger.files.refusals import NotWrittenError
from shopledger.files.writing import written_whole


def test_a_file_written_well_takes_its_place(tmp_path: Path) -> None:
    """What was written to the draft stands under the asked name, and no draft is left."""
    target = tmp_path / "paper.pdf"
    with written_whole(target) as draft:
        draft.write_bytes(b"whole")
    assert target.read_bytes() == b"whole"
    assert list(tmp_path.iterdir()) == [target]


def test_the_target_does_not_change_before_the_end(tmp_path: Path) -> None:
    """Until the block ends, a reader sees the old file."""
    target = tmp_path / "paper.pdf"
    target.write_bytes(b"old")
    with written_whole(target) as draft:
        draft.write_bytes(b"new")
        assert target.read_bytes() == b"old"
    assert target.read_bytes() == b"new"


def test_a_failure_leaves_the_old_file_and_no_draft(tmp_path: Path) -> None:
    """When writing fails half way, the old file stays and nothing is left beside it."""
    target = tmp_path / "paper.pdf"
    target.write_bytes(b"old")
    with pytest.raises(UnicodeEncodeError), written_whole(target) as draft:
        draft.write_text("half ☐", encoding="ascii")
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


@pytest.mark.skipif(os.name != "posix", reason="permissions of this kind are POSIX's")
def test_only_the_owner_may_read_the_file(tmp_path: Path) -> None:
    """A paper with a customer's data is readable to its owner alone, even where it replaces an open one."""
    target = tmp_path / "paper.pdf"
    target.write_bytes(b"old")
    target.chmod(0o644)
    with written_whole(target) as draft:
        draft.write_bytes(b"new")
    assert stat.S_IMODE(target.stat().st_mode) == 0o600


def test_a_missing_folder_is_named(tmp_path: Path) -> None:
    """A folder that does not exist is refused with its name, not made in silence."""
    missing = tmp_path / "nowhere"
    with pytest.raises(NotWrittenError, match="does not exist") as refused, written_whole(missing / "paper.pdf"):
        pass
    assert str(missing) in str(refused.value)
    assert not missing.exists()


def test_a_folder_in_the_files_place_is_refused(tmp_path: Path) -> None:
    """A folder is never replaced by a file."""
    with pytest.raises(NotWrittenError, match="it is a folder"), written_whole(tmp_path):
        pass


def test_a_failing_rename_is_told_and_leaves_no_draft(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When the system will not rename, the sentence says so and the old file stays."""
    target = tmp_path / "paper.pdf"
    target.write_bytes(b"old")

    def refuse(_self: Path, _to: Path) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "replace", refuse)
    with pytest.raises(NotWrittenError, match="permission denied"), written_whole(target) as draft:
        draft.write_bytes(b"new")
    assert target.read_bytes() == b"old"
    assert list(tmp_path.iterdir()) == [target]


def test_a_folder_that_takes_no_new_file_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """When no draft can be made in the folder, the system's reason is given."""

    def refuse(**_kinds: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr("shopledger.files.drafts.tempfile.mkstemp", refuse)
    with (
        pytest.raises(NotWrittenError, match=r"permission denied\. Choose a folder"),
        written_whole(tmp_path / "paper.pdf"),
    ):
        pass


def test_a_draft_that_cannot_be_removed_takes_nothing_back(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """What has its place by then is not called unwritten; the draft is swept later."""
    target = tmp_path / "paper.pdf"

    def refuse(_self: Path, *, missing_ok: bool = False) -> None:
        raise PermissionError(13, f"Permission denied, missing or not: {missing_ok}")

    monkeypatch.setattr(Path, "unlink", refuse)
    with written_whole(target) as draft:
        draft.write_bytes(b"whole")
    assert target.read_bytes() == b"whole"
