"""What this computer remembers of a ledger helps where it can, and stands in nobody's way where it cannot."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.store.outside import FOLDER_NAMED_BY, recall, remember, state_folder
from shopledger.store.places import ledger_url


@pytest.fixture
def state(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """Give a folder of the test's own, where nothing is remembered yet."""
    monkeypatch.setenv(FOLDER_NAMED_BY, str(tmp_path / "state"))
    return tmp_path / "state"


def test_each_subject_of_each_ledger_is_remembered_apart(state: Path, tmp_path: Path) -> None:
    """Two subjects, and two ledgers, know nothing of one another; a second writing replaces the first."""
    one, other = (ledger_url(str(tmp_path / name)) for name in ("one.db", "other.db"))
    assert recall(one, "head") == {}
    assert remember(one, "head", {"count": 3})
    assert remember(one, "said", {"day": "2026-03-02"})
    assert remember(one, "head", {"count": 4})
    assert recall(one, "head") == {"ledger": str(tmp_path / "one.db"), "count": 4}
    assert recall(one, "said")["day"] == "2026-03-02"
    assert recall(other, "head") == {}
    assert {file.stat().st_mode & 0o777 for file in state.rglob("*.json")} == {0o600}


def test_a_ledger_is_known_by_where_it_lies(state: Path, tmp_path: Path) -> None:
    """A link, or a way round, leads to what is remembered of the same file; a password is no part of it."""
    assert not state.exists()
    (tmp_path / "link").symlink_to(tmp_path)
    remember(ledger_url(str(tmp_path / "ledger.db")), "head", {"count": 1})
    assert recall(ledger_url(str(tmp_path / "link" / "." / "ledger.db")), "head")["count"] == 1
    server = "postgresql+psycopg://ines:{}@db.example.com/shop"
    remember(server.format("first"), "head", {"count": 2})
    found = recall(server.format("second"), "head")
    assert found["count"] == 2
    assert "first" not in found["ledger"]


@pytest.mark.parametrize("body", [b"", b"{", b"\xff\xfe", b"[1]", b"[" * 100_000])
def test_what_cannot_be_read_is_nothing(state: Path, tmp_path: Path, body: bytes) -> None:
    """A file that was cut off, or is none of ours, is taken for a ledger of which nothing is known yet."""
    url = ledger_url(str(tmp_path / "ledger.db"))
    remember(url, "head", {"count": 1})
    next(state.rglob("head.json")).write_bytes(body)
    assert recall(url, "head") == {}
    assert remember(url, "head", {"count": 2})
    assert recall(url, "head")["count"] == 2


def test_a_folder_that_cannot_be_written_stops_nothing(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where a file stands in the folder's place, nothing is remembered and nothing is raised."""
    (tmp_path / "file").write_text("", encoding="ascii")
    monkeypatch.setenv(FOLDER_NAMED_BY, str(tmp_path / "file"))
    url = ledger_url(str(tmp_path / "ledger.db"))
    assert not remember(url, "head", {"count": 1})
    assert recall(url, "head") == {}


def test_tests_never_touch_the_users_own_folder(tmp_path_factory: pytest.TempPathFactory) -> None:
    """The folder is one of the tests' own unless a test says otherwise."""
    assert tmp_path_factory.getbasetemp() in state_folder().parents
