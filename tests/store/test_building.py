"""A ledger is built beside its place: until it is whole nothing stands there, and a kill leaves nothing in the way."""

from __future__ import annotations

import os
import shutil
import signal
import sqlite3
import subprocess
import sys
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.desk.shop import lacks_shop, refuse_existing, set_up_shop
from shopledger.files import drafts
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.settings import Settings
from shopledger.store.opening import build_beside, create_ledger, ledger_url, open_ledger
from shopledger.store.refusals import LedgerBusyError, LedgerExistsError, LedgerNotMadeError
from tests.shelf import SHOP
from tests.store.samples import NOW, OPERATOR, furnish

pytestmark = pytest.mark.slow

BREAKS_OFF = """
import os, signal, sys
from datetime import UTC, datetime
from shopledger.store import migrate
from shopledger.store.opening import FirstRows, create_ledger

at, url = sys.argv[1:]
killed = lambda *_: os.kill(os.getpid(), signal.SIGKILL)
if at == "tables":
    migrate.set_guards = killed
if at == "rename":
    os.fsync = killed
create_ledger(url, FirstRows("tester", datetime(2026, 3, 2, tzinfo=UTC), killed if at == "rows" else lambda work: None))
"""


@pytest.mark.long
@pytest.mark.skipif(os.name != "posix", reason="signals of this kind are POSIX's")
@pytest.mark.parametrize("at", ["tables", "rows", "rename"])
def test_a_set_up_that_was_killed_can_be_done_again(vacant_address: str, at: str) -> None:
    """Killed while the tables, the rows or the name are made: nothing stands there, and the next set-up is whole."""
    ended = subprocess.run([sys.executable, "-c", BREAKS_OFF, at, vacant_address], check=False, capture_output=True)
    # A server's ledger has no name to take, so there it is whole by then.
    if ended.returncode != -signal.SIGKILL:
        pytest.skip("this database has no such step")
    refuse_existing(vacant_address)
    assert not lacks_shop(vacant_address)
    set_up_shop(vacant_address, SHOP, Settings(), OPERATOR, NOW)
    with closing(open_ledger(vacant_address)) as ledger, ledger.reading() as work:
        assert work.shop.profile() == SHOP


def test_the_ledger_has_its_shop_from_its_first_moment(vacant_address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What fails on the way into its place leaves no ledger without a shop."""

    def fail(*_: object) -> None:
        raise KeyboardInterrupt

    monkeypatch.setattr("shopledger.store.migrate._check", fail)
    with pytest.raises(KeyboardInterrupt):
        set_up_shop(vacant_address, SHOP, Settings(), OPERATOR, NOW)
    monkeypatch.undo()
    refuse_existing(vacant_address)
    assert not lacks_shop(vacant_address)


def test_nothing_stands_there_while_a_ledger_is_built(tmp_path: Path) -> None:
    """The place is empty until the end, and then holds one file that is a ledger."""
    place = tmp_path / "shop" / "ledger.db"
    with build_beside(place) as draft:
        create_ledger_in(draft)
        assert not place.exists()
    assert [each.name for each in place.parent.iterdir()] == ["ledger.db"]
    with closing(open_ledger(ledger_url(str(place)))) as ledger, ledger.reading() as work:
        assert work.customers.get(1).number == 1


def create_ledger_in(draft: Path) -> None:
    """Build a furnished ledger under the draft's name."""
    draft.unlink()
    with closing(create_ledger(ledger_url(str(draft)))) as ledger:
        furnish(ledger)


def build_too_late(place: Path) -> None:
    """Build a ledger while somebody else puts a file in its place."""
    with build_beside(place) as draft:
        create_ledger_in(draft)
        place.write_bytes(b"somebody else's")


def test_a_place_taken_meanwhile_is_left_alone(tmp_path: Path) -> None:
    """Of two who build at once the second is refused, and the first one's ledger stays."""
    place = tmp_path / "ledger.db"
    with pytest.raises(LedgerExistsError, match="was not touched"):
        build_too_late(place)
    assert place.read_bytes() == b"somebody else's"
    assert [each.name for each in tmp_path.iterdir()] == ["ledger.db"]


def test_a_disk_without_second_names_is_no_hindrance(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A stick knows no hard links; the ledger takes its place there too, and never somebody else's."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(1, "Operation not permitted")

    monkeypatch.setattr("os.link", refuse)
    with build_beside(tmp_path / "ledger.db") as draft:
        create_ledger_in(draft)
    assert [each.name for each in tmp_path.iterdir()] == ["ledger.db"]
    taken = tmp_path / "other.db"
    with pytest.raises(LedgerExistsError):
        build_too_late(taken)
    assert taken.read_bytes() == b"somebody else's"


@pytest.mark.parametrize("ending", ["-wal", "-journal"])
def test_the_log_of_a_lost_ledger_is_not_played_into_a_new_one(tmp_path: Path, ending: str) -> None:
    """Where only a log lies, nothing is made: SQLite would take it for the new ledger's own."""
    log = tmp_path / f"ledger.db{ending}"
    log.write_bytes(b"rows of another ledger")
    with pytest.raises(LedgerExistsError, match=f"ledger.db{ending} exists already"):
        create_ledger(ledger_url(str(tmp_path / "ledger.db")))
    assert [each.name for each in tmp_path.iterdir()] == [log.name]


@pytest.mark.usefixtures("sqlite_address")
def test_the_present_ledger_is_kept_when_another_takes_its_place(tmp_path: Path) -> None:
    """Both are whole ledgers afterwards, each in one file under its own name."""
    place, kept = tmp_path / "ledger.db", tmp_path / "before.db"
    with build_beside(place, keeping=kept) as draft:
        create_ledger_in(draft)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["before.db", "ledger.db"]
    with closing(open_ledger(ledger_url(str(place)))) as ledger, ledger.reading() as work:
        assert work.customers.get(1).number == 1
    with closing(open_ledger(ledger_url(str(kept)))) as ledger, ledger.reading() as work:
        assert work.customers.find("") == ()


def test_a_ledger_that_is_in_use_keeps_its_place(sqlite_address: str, tmp_path: Path) -> None:
    """While somebody has it open no other takes its place, nor is an earlier copy written over."""
    place, kept = tmp_path / "ledger.db", tmp_path / "before.db"
    before = place.read_bytes()
    with closing(open_ledger(sqlite_address)), pytest.raises(LedgerBusyError), build_beside(place, keeping=kept) as new:
        create_ledger_in(new)
    kept.write_bytes(b"an earlier copy")
    with pytest.raises(LedgerExistsError, match=r"before\.db exists already"), build_beside(place, keeping=kept) as new:
        create_ledger_in(new)
    assert kept.read_bytes() == b"an earlier copy"
    with closing(open_ledger(sqlite_address)) as ledger, ledger.reading() as work:
        assert work.customers.find("") == ()
    assert len(place.read_bytes()) == len(before)


def test_a_folder_without_rights_is_told(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Neither a folder that cannot be made nor one that takes no file ends in a traceback."""

    def refuse(*_: object, **__: object) -> None:
        raise PermissionError(13, "Permission denied")

    monkeypatch.setattr(Path, "mkdir", refuse)
    with pytest.raises(LedgerNotMadeError, match=r"permission denied\. Name a folder that you may write to"):
        create_ledger(ledger_url(str(tmp_path / "none" / "ledger.db")))
    monkeypatch.setattr("shopledger.files.drafts.tempfile.mkstemp", refuse)
    with pytest.raises(LedgerNotMadeError, match="permission denied"):
        create_ledger(ledger_url(str(tmp_path / "ledger.db")))


def test_a_full_disk_leaves_no_ledger_behind(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Where the disk does not take the whole ledger, its place stays free."""

    def full(_handle: int) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.fsync", full)
    with pytest.raises(LedgerNotMadeError, match="the disk is full"):
        create_ledger(ledger_url(str(tmp_path / "ledger.db")))
    assert list(tmp_path.iterdir()) == []


def left_by(folder: Path, process: int, age: float) -> Path:
    """Lay down a draft as a killed run of that process leaves it, untouched for so many seconds."""
    draft = folder / f".ledger.db.{process}-abcdefgh.draft"
    draft.write_bytes(b"half")
    os.utime(draft, (1_000_000 - age, 1_000_000 - age))
    return draft


@pytest.mark.skipif(os.name != "posix", reason="whether a process runs is asked of POSIX")
def test_what_a_killed_run_left_is_swept(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Only drafts of ended processes, untouched for some minutes, or lying for days, are removed."""
    alive, ended = os.getpid(), 4_000_000
    gone = [left_by(tmp_path, ended, 700)]
    gone[0].with_name(gone[0].name + "-wal").write_bytes(b"")
    os.utime(gone[0].with_name(gone[0].name + "-wal"), (0, 0))
    stays = [left_by(tmp_path, alive, 90_000), left_by(tmp_path, ended - 1, 60)]
    old = left_by(tmp_path, alive + 1, 200_000)
    for name in (".my.draft", "letter.draft", ".ledger.db.4000000-abcdefgh.draft.bak", "ledger.db"):
        stays.append(tmp_path / name)
        stays[-1].write_bytes(b"the owner's")
        os.utime(stays[-1], (0, 0))
    monkeypatch.setattr(drafts, "_runs", lambda process: process == alive or process == alive + 1)
    drafts.sweep(tmp_path, now=1_000_000)
    assert not old.exists()
    assert sorted(tmp_path.iterdir()) == sorted(stays)


def test_what_a_killed_export_left_is_swept_by_the_next_write(
    sqlite_address: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Half a workbook among the temporary files holds names; a run that is at it keeps its own."""
    temporary = tmp_path / "temporary"
    left = temporary / ".workbook.4000000-abcdefgh.draft"
    left.mkdir(parents=True)
    (left / "openpyxl.x").write_text("Odalys Fernhollow")
    os.utime(left, (0, 0))
    monkeypatch.setattr("tempfile.tempdir", str(temporary))
    with drafts.draft_folder("workbook") as mine:
        (mine / "openpyxl.y").write_text("Odalys Fernhollow")
        left.mkdir(exist_ok=True)
        os.utime(left, (0, 0))
        with closing(open_ledger(sqlite_address)) as ledger, ledger.writing(OPERATOR, NOW) as work:
            work.audit.note(Deed.LOOKED_AT_PRESCRIPTIONS, Subject.CUSTOMER, 1)
        assert list(temporary.iterdir()) == [mine]
    assert list(temporary.iterdir()) == []


def test_a_folder_that_cannot_be_looked_into_stops_no_command(tmp_path: Path) -> None:
    """Sweeping is a service and never an error."""
    assert drafts.sweep(tmp_path / "none") == ()


def test_a_ledger_once_built_is_a_whole_file(tmp_path: Path) -> None:
    """Copied without what lies beside it, the new ledger is complete."""
    place, copy = tmp_path / "ledger.db", tmp_path / "copy.db"
    create_ledger(ledger_url(str(place))).close()
    shutil.copy(place, copy)
    with closing(sqlite3.connect(copy)) as opened:
        assert opened.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert opened.execute("SELECT COUNT(*) FROM shopledger_revision").fetchone() == (1,)
