"""Copies are made where the owner wants them, checked there, thinned out, and put back; no number is given twice."""

from __future__ import annotations

import errno
import hashlib
import json
import os
import shutil
import sqlite3
from collections.abc import Mapping
from contextlib import closing
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from operator import attrgetter
from pathlib import Path
from typing import Any

import pytest

from shopledger.desk import backing_up, restoring
from shopledger.desk.backing_up import add_place, make_backup, remove_place, same_disk
from shopledger.desk.backup_keys import add_key, print_new_key, remove_key
from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.desk.copies import check_copy, check_places, copies_in
from shopledger.desk.erasing import ErasureRequest, erase, plan_erasure
from shopledger.desk.people import add_customer
from shopledger.desk.restoring import Restored, looked_at, restore
from shopledger.desk.sales import record_sale
from shopledger.desk.thinning import PlaceOutcome
from shopledger.errors import RefusedError, StoreError
from shopledger.ledger.books.journal import Head
from shopledger.ledger.erasing import AskedBy
from shopledger.store.backups.beside import PAGE_NAME, READER_NAME
from shopledger.store.backups.lists import LIST_NAME, list_file
from shopledger.store.backups.online import copy_beside
from shopledger.store.backups.sealing import new_pair
from shopledger.store.migrate import bring_to
from shopledger.store.opening import open_ledger
from shopledger.store.places import ledger_path
from shopledger.store.refusals import (
    BackupFailedError,
    KeyUnknownError,
    NoPlaceError,
    NoPlacesError,
    SchemaAheadError,
    UnsettledCopyError,
)
from shopledger.store.revision import HEAD_REVISION, WRITTEN_BY
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, ordered
from tests.forging import forge
from tests.rows import rows
from tests.shelf import HOME

pytestmark = pytest.mark.slow

NOW = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)


@pytest.fixture(autouse=True)
def _own_data(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """Let what belongs to a server's ledger lie in a folder of the test's own, not in the user's."""
    monkeypatch.setattr(restoring, "default_ledger_path", lambda: tmp_path / "data" / "ledger.db")
    monkeypatch.setattr(backing_up, "default_ledger_path", lambda: tmp_path / "data" / "ledger.db")


@pytest.fixture
def stick(desk: Desk, tmp_path: Path) -> Path:
    """Begin a place outside the computer."""
    folder = tmp_path / "stick"
    folder.mkdir()
    add_place(desk, folder, away=True)
    return folder


def on_day(desk: Desk, days: int) -> Desk:
    """Sit down at the desk so many days later."""
    return replace(desk, now=desk.now + timedelta(days=days))


def made(outcomes: tuple[PlaceOutcome, ...]) -> Path:
    """Give the one copy that was made."""
    (outcome,) = outcomes
    assert outcome.copy is not None, outcome.reason
    return Path(outcome.copy.folder) / outcome.copy.file


def head_of(desk: Desk) -> Head:
    """Give the ledger's head."""
    with desk.reading() as work:
        return work.seals.head()


def head_in(file: Path) -> Head:
    """Give the head that a copy ends with: what is noted of the copy itself comes after it."""
    count, _, hashed = check_copy(file).head.partition("-")
    return Head(int(count), hashed)


def assert_goes_on_from(desk: Desk, head: Head) -> None:
    """What was put back, and nothing of what came after, stands before what restoring noted."""
    with desk.reading() as work:
        assert work.seals.hash_of(head.count) == head.hash
        assert work.seals.head().count == head.count + 1


def put_back(
    desk: Desk, file: Path, secret: str = "", replacing: str | None = None, counters: Mapping[str, int] | None = None
) -> Restored:
    """Put a copy in the place of the desk's ledger, as its owner would."""
    with looked_at(file, secret, desk.ledger.url) as plan:
        shown = str(plan.present.head) if plan.present.head else "unreadable"
        return restore(plan, "tester", NOW, shown if replacing is None else replacing, counters)


@on_both
def test_a_copy_lies_in_its_place_with_all_that_opens_it(desk: Desk, stick: Path) -> None:
    """File, list, page and reader lie there, for the owner alone; list and ledger say the same of the copy."""
    record_sale(desk, ordered(DISTANCE))
    file = made(make_backup(desk))
    assert {each.name for each in stick.iterdir()} == {file.name, LIST_NAME, PAGE_NAME, READER_NAME}
    assert {each.stat().st_mode & 0o777 for each in stick.iterdir()} == {0o600}
    (line,) = map(json.loads, list_file(stick).read_text(encoding="utf-8").splitlines())
    count, hashed = line["head"].split("-")
    with desk.reading() as work:
        assert work.seals.hash_of(int(count)) == hashed
    assert line["sha256"] == hashlib.sha256(file.read_bytes()).hexdigest()
    assert line["size"] == file.stat().st_size
    with desk.reading() as work:
        (kept,) = work.backups.copies()
        assert [note.deed for note in rows(work, "audit_note", {"deed": "made a backup"})] == ["made a backup"]
    assert (kept.folder, kept.file, kept.away, kept.sha256) == (str(stick), file.name, True, line["sha256"])
    (checked,) = check_places((stick,))
    assert (checked.holds, checked.opened, checked.listed, checked.head) == (True, True, True, line["head"])


def test_an_encrypted_copy_opens_with_the_owners_key_alone(desk: Desk, stick: Path) -> None:
    """It is checked by its bytes without the key and whole with it; no other key opens it."""
    pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")
    pair, trusted = new_pair(), new_pair()
    for each, holder in ((pair, "Ines"), (trusted, "the notary")):
        add_key(desk, each.public, holder)
    add_key(desk, pair.public, "twice is once")
    file = made(make_backup(desk))
    assert file.suffix == ".age"
    (copy,) = copies_in((stick,))
    assert copy.locked_with == (pair.public, trusted.public)
    assert not check_copy(file).opened
    for each in (pair, trusted):
        assert (check_copy(file, each.secret).holds, check_copy(file, each.secret).opened) == (True, True)
    assert "does not open" in check_copy(file, new_pair().secret).wrong
    remove_key(desk, trusted.public)
    with pytest.raises(KeyUnknownError):
        remove_key(desk, trusted.public)
    assert made(make_backup(on_day(desk, 1), plain=True)).suffix == ".db"


def test_a_new_key_stands_on_its_paper_alone(desk: Desk, tmp_path: Path) -> None:
    """The ledger gets nothing before the owner has read it back, and never the secret half."""
    pytest.importorskip("pyrage", reason="the extra 'encrypt' is not installed")
    new = print_new_key(desk, tmp_path)
    assert new.file.stat().st_mode & 0o777 == 0o600
    assert new.paper.was_read(f" {new.paper.secret[-8:].lower()} ")
    assert not new.paper.was_read(new.paper.secret[-9:-1])
    add_key(desk, new.paper.public, "Ines")
    path = ledger_path(desk.ledger.url)
    assert path is not None
    bodies = b"".join(file.read_bytes() for file in path.parent.glob(f"{path.name}*"))
    assert new.paper.public.encode() in bodies
    assert new.paper.secret.encode() not in bodies


def test_one_place_that_is_missing_stops_no_other(desk: Desk, stick: Path, tmp_path: Path) -> None:
    """The stick is at home: the copy on the disk is made, and the empty folder of the stick gets nothing."""
    here = tmp_path / "here"
    here.mkdir()
    add_place(desk, here, away=False)
    list_file(stick).unlink()
    before = sorted(stick.iterdir())
    done, missing = make_backup(desk)
    assert done.copy is not None
    assert done.place.folder == str(here)
    assert "Plug the stick in" in missing.reason
    assert sorted(stick.iterdir()) == before


def test_copies_go_nowhere_unless_somebody_said_where(desk: Desk, tmp_path: Path) -> None:
    """Without places a folder can be named for once; one that is not there is none."""
    with pytest.raises(NoPlacesError, match="backup place add"):
        make_backup(desk)
    (outcome,) = make_backup(desk, (tmp_path / "nowhere",))
    assert outcome.copy is None
    once = tmp_path / "once"
    once.mkdir()
    assert made(make_backup(desk, (once,))).parent == once
    assert same_disk(desk, once)
    with pytest.raises(NoPlaceError):
        remove_place(desk, once)


@pytest.mark.slow
def test_older_copies_are_thinned_out_and_strange_ones_stay(desk: Desk, stick: Path) -> None:
    """After 40 daily copies a week, five weeks and two months are left, and whatever is not as it was written down."""
    (stick / "holiday.jpg").write_bytes(b"not ours")
    for day in range(40):
        (outcome,) = make_backup(on_day(desk, day))
        if day == 3:
            touched = Path(outcome.place.folder) / (outcome.copy.file if outcome.copy else "")
            touched.write_bytes(touched.read_bytes() + b"x")
    days = [copy.day.isoformat() for copy in copies_in((stick,)) if copy.file != touched.name]
    # Daily copies from Monday 2 March to Friday 10 April 2026.
    assert days == [
        *("2026-03-15", "2026-03-22", "2026-03-29", "2026-03-31"),
        *(f"2026-04-{day:02d}" for day in range(4, 11)),
    ]
    assert {file.name for file in stick.glob("*.db")} == {copy.file for copy in copies_in((stick,))}
    assert touched.exists()
    assert (stick / "holiday.jpg").exists()
    assert outcome.spared == (touched.name,)
    with desk.reading() as work:
        assert len(work.backups.copies()) == 40


def test_a_copy_that_does_not_read_back_is_thrown_away(
    desk: Desk, stick: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """A medium that gives back something else gets no new copy, keeps its old ones, and it is said."""
    old = made(make_backup(desk))

    def worn_out(file: Path) -> None:
        body = bytearray(file.read_bytes())
        body[5000] ^= 1
        file.write_bytes(bytes(body))

    monkeypatch.setattr("shopledger.desk.backing_up.settle", worn_out)
    (outcome,) = make_backup(on_day(desk, 400))
    assert outcome.copy is None
    assert "what was read back is not what was written" in outcome.reason
    assert [file.name for file in stick.glob("*.db*")] == [old.name]
    with desk.reading() as work:
        assert len(work.backups.copies()) == 1


@pytest.mark.parametrize("harm", ["a bit", "cut", "gone"])
def test_a_copy_that_decayed_is_found(desk: Desk, stick: Path, harm: str) -> None:
    """Every byte is compared with what was written down, also of a copy that still opens."""
    file = made(make_backup(desk))
    body = bytearray(file.read_bytes())
    body[-1] ^= 1
    if harm == "gone":
        file.unlink()
    else:
        file.write_bytes(bytes(body) if harm == "a bit" else bytes(body[: len(body) // 2]))
    (checked,) = check_places((stick,))
    assert not checked.holds


@pytest.mark.usefixtures("stick")
@on_both
def test_a_copy_put_back_is_the_ledger(desk: Desk) -> None:
    """Its entries are there and no later ones; the one before lies beside it, whole; both heads are noted."""
    record_sale(desk, ordered(DISTANCE))
    file = made(make_backup(desk))
    then = head_in(file)
    record_sale(desk, ordered(DISTANCE))
    record_sale(desk, ordered(DISTANCE))
    now = head_of(desk)
    with looked_at(file, "", desk.ledger.url) as plan:
        assert (plan.head, plan.present.head, plan.gone, plan.contained) == (then, now, now.count - then.count, True)
        assert plan.printed == {"job": 3, "order": 3}
    restored = put_back(desk, file)
    assert restored.kept is not None
    assert restored.kept.stat().st_mode & 0o777 == 0o600
    assert check_copy(restored.kept).head.startswith(f"{now.count}-")
    with closing(open_ledger(desk.ledger.url)) as ledger, ledger.reading() as work:
        assert work.seals.hash_of(then.count) == then.hash
        assert len(work.orders.recent(100)) == 1
        (note,) = rows(work, "audit_note", {"deed": "restored a backup"})
        assert note.detail == f"{then} in the place of {now}"


@pytest.mark.usefixtures("stick")
@on_both
def test_no_number_that_was_printed_is_given_again(desk: Desk) -> None:
    """Orders go on after those that are gone, receipts after the last one on paper; the books prove all the same."""
    file = made(make_backup(desk))
    for _ in range(3):
        record_sale(desk, ordered(DISTANCE))
    restored = put_back(desk, file, counters={"receipt": 57})
    assert restored.raised == {"job": 3, "order": 3, "receipt": 57}
    there = replace(desk, ledger=open_ledger(desk.ledger.url))
    with closing(there.ledger):
        assert record_sale(there, ordered(DISTANCE)).order.number == 4
        with there.reading() as work:
            assert work.backups.counted(("receipt", "order")) == {"receipt": 57, "order": 4}
        verdict = prove_books(there, None)
        assert [each.code for each in verdict.failed] == []


@pytest.mark.usefixtures("stick")
def test_a_lost_ledger_is_put_back_where_it_was(desk: Desk) -> None:
    """On a new computer nothing lies there: nothing is asked for, and nothing kept."""
    file = made(make_backup(desk))
    then = head_in(file)
    path = ledger_path(desk.ledger.url)
    assert path is not None
    desk.ledger.close()
    for left in path.parent.glob(f"{path.name}*"):
        left.unlink()
    restored = put_back(desk, file, replacing="")
    assert (restored.kept, restored.raised) == (None, {})
    with closing(open_ledger(desk.ledger.url)) as ledger, ledger.reading() as work:
        assert work.seals.hash_of(then.count) == then.hash
    assert path.stat().st_mode & 0o777 == 0o600


@pytest.mark.usefixtures("stick")
def test_a_damaged_ledger_goes_aside(desk: Desk) -> None:
    """It cannot be copied any more: it keeps its bytes under another name, once it was called what it is."""
    file = made(make_backup(desk))
    then = head_in(file)
    path = ledger_path(desk.ledger.url)
    assert path is not None
    desk.ledger.close()
    path.write_bytes(b"no database at all" * 100)
    with pytest.raises(RefusedError, match="cannot be read"):
        put_back(desk, file, replacing=str(then))
    restored = put_back(desk, file)
    assert restored.kept is not None
    assert restored.kept.read_bytes() == b"no database at all" * 100
    assert_goes_on_from(desk, then)


@pytest.mark.usefixtures("stick")
def test_another_head_than_was_shown_replaces_nothing(desk: Desk) -> None:
    """Whoever scripted the head of last week is stopped, and nothing changed."""
    file = made(make_backup(desk))
    record_sale(desk, ordered(DISTANCE))
    now = head_of(desk)
    for wrong in (f"{now.count - 1}-{now.hash[:16]}", f"{now.count}-{'0' * 16}", "unreadable", ""):
        with pytest.raises(RefusedError):
            put_back(desk, file, replacing=wrong)
    assert head_of(desk) == now


@pytest.mark.usefixtures("stick")
def test_one_goes_back_from_a_newer_program(desk: Desk) -> None:
    """Its ledger is put aside whole, once it was called by its word, and the copy takes the place."""
    record_sale(desk, ordered(DISTANCE))
    file, now = made(make_backup(desk)), head_of(desk)
    forge(desk, "UPDATE shopledger_revision SET version_num = '29990101_later'")
    with looked_at(file, "", desk.ledger.url) as plan:
        assert plan.present.trouble == f"{WRITTEN_BY} wrote it, and this program cannot read it"
    with pytest.raises(RefusedError, match="Call it 'unreadable'"):
        put_back(desk, file, replacing=str(now))
    kept = put_back(desk, file).kept
    assert kept is not None
    with closing(sqlite3.connect(kept)) as newer:
        assert newer.execute("SELECT version_num FROM shopledger_revision").fetchall() == [("29990101_later",)]
    with closing(open_ledger(desk.ledger.url)) as ledger, ledger.reading() as work:
        assert work.orders.get(1).number == 1


@pytest.mark.usefixtures("stick")
def test_a_strangers_copy_is_said_to_part(desk: Desk) -> None:
    """Of a copy whose entries are not the ledger's, all of the ledger's would be gone."""
    record_sale(desk, ordered(DISTANCE))
    file = made(make_backup(desk))
    with desk.writing() as work:
        for table in ("journal_entry", "seal"):
            work.transaction.connection.exec_driver_sql(f"DROP TRIGGER keep_{table}_update")
            turned = f"UPDATE {table} SET hash = substr(hash, 2) || substr(hash, 1, 1)"  # noqa: S608 - names above
            work.transaction.connection.exec_driver_sql(turned)
    with looked_at(file, "", desk.ledger.url) as plan:
        assert not plan.contained
        assert plan.present.head is not None
        assert plan.gone == plan.present.head.count


@pytest.mark.usefixtures("stick")
@pytest.mark.parametrize(
    ("harm", "error"),
    [
        ("UPDATE shopledger_revision SET version_num = '29990101_later'", SchemaAheadError),
        ("UPDATE wearer SET customer_number = 99", BackupFailedError),
        ("UPDATE journal_posting SET amount = amount + 1", StoreError),
        ("DROP TABLE journal_entry", StoreError),
    ],
)
def test_what_is_no_whole_copy_is_refused(desk: Desk, tmp_path: Path, harm: str, error: type[Exception]) -> None:
    """Newer, with rows that point at nothing, with another entry than was hashed, or without its books."""
    record_sale(desk, ordered(DISTANCE))
    file, now = made(make_backup(desk)), head_of(desk)
    with closing(sqlite3.connect(file)) as stranger:
        for (name,) in stranger.execute("SELECT name FROM sqlite_schema WHERE type = 'trigger'").fetchall():
            stranger.execute(f"DROP TRIGGER {name}")
        stranger.execute(harm)
        stranger.commit()
    left = sorted(tmp_path.iterdir())
    with pytest.raises(error):
        put_back(desk, file)
    assert not check_copy(file).holds
    assert head_of(desk) == now
    assert sorted(tmp_path.iterdir()) == left


@pytest.mark.usefixtures("stick")
def test_a_copy_with_a_log_beside_it_is_refused(desk: Desk) -> None:
    """Its last entries are not in the file."""
    file = made(make_backup(desk))
    file.with_name(f"{file.name}-wal").write_bytes(b"frames")
    with pytest.raises(UnsettledCopyError):
        put_back(desk, file)


def test_an_older_copy_is_brought_up_to_date(desk: Desk, tmp_path: Path) -> None:
    """In a draft, so that the copy stays what it is; its entries are proved after that."""
    record_sale(desk, ordered(DISTANCE))
    file = tmp_path / "older.db"
    bring_to(f"sqlite:///{file}", str(file), revision="20261127_document_columns")
    before = file.read_bytes()
    assert check_copy(file).revision == "20261127_document_columns"
    restored = put_back(desk, file)
    assert restored.raised == {"job": 1, "order": 1}
    assert file.read_bytes() == before
    with closing(open_ledger(desk.ledger.url)) as ledger:
        assert ledger.revision() == HEAD_REVISION
        with ledger.reading() as work:
            assert work.orders.recent(10) == ()


@pytest.mark.postgres
def test_a_ledger_moves_to_a_server_and_back(desk: Desk, stick: Path, vacant_server: str, tmp_path: Path) -> None:
    """A copy of either goes into the other kind of database; all is proved there, the chain goes on."""
    record_sale(desk, ordered(DISTANCE))
    for many, there in enumerate((vacant_server, f"sqlite:///{tmp_path}/new/ledger.db"), start=1):
        before, file = head_of(desk), made(make_backup(on_day(desk, many), (stick,)))
        with looked_at(file, "", there) as plan:
            restore(plan, "tester", NOW, "")
        desk.ledger.close()
        desk = replace(desk, ledger=open_ledger(there))
        assert [str(each) for each in prove_books(desk, None).failed] == []
        with desk.reading() as work:
            assert work.seals.hash_of(before.count) == before.hash
            assert len(work.orders.recent(100)) == many
        assert record_sale(desk, ordered(DISTANCE)).order.number == many + 1
    desk.ledger.close()


@pytest.mark.usefixtures("stick")
def test_who_was_erased_is_erased_again(desk: Desk, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    """A copy from before an erasure still knows the person; the ledger it becomes does not, anywhere."""
    add_customer(desk, "Leopold Vesperlow", HOME, "555-0188")
    file = made(make_backup(desk))
    asked = ErasureRequest("Leopold Vesperlow", "asked by letter", AskedBy.PERSON)
    (finding,) = (each for each in plan_erasure(desk, asked).findings if not each.stops)
    erase(desk, replace(asked, accept=frozenset({finding.code})))
    monkeypatch.setenv("SHOPLEDGER_STATE", str(tmp_path / "another computer"))
    restored = put_back(desk, file)
    assert len(restored.erased) == 1
    path = ledger_path(desk.ledger.url)
    assert path is not None
    with desk.reading() as work:
        assert work.customers.find("Vesperlow") == ()
        assert len(work.erasures.all()) == 1
    desk.ledger.close()
    assert b"Vesperlow" not in b"".join(left.read_bytes() for left in path.parent.glob(f"{path.name}*"))
    assert b"Vesperlow" in file.read_bytes()


def test_no_copy_goes_while_the_ledger_lacks_what_they_hold(desk: Desk, stick: Path) -> None:
    """Where an older file took the ledger's place, copies with its newest entries stay, and it is said."""
    path = ledger_path(desk.ledger.url)
    assert path is not None
    add_place(desk, stick, away=True)
    made(make_backup(desk))
    older = copy_beside(path, "before")
    for day in range(1, 4):
        record_sale(desk, ordered(DISTANCE))
        newest = made(make_backup(on_day(desk, day)))
    desk.ledger.close()
    for left in path.parent.glob(f"{path.name}-*"):
        left.unlink()
    shutil.copy(older, path)
    (outcome,) = make_backup(on_day(desk, 500))
    assert outcome.parted is not None
    assert outcome.parted.file == newest.name
    assert outcome.removed == ()
    assert len(copies_in((stick,))) == 5
    (outcome,) = make_backup(on_day(desk, 501))
    assert outcome.parted is None


@pytest.mark.parametrize(
    ("number", "said"), [(errno.ENOSPC, "the disk is full"), (errno.EIO, "the disk failed"), (errno.EACCES, "denied")]
)
@pytest.mark.parametrize("step", ["shutil.copyfile", "settle", "write_down", "lay_beside"])
def test_a_fault_in_one_place_is_said_of_that_place(
    desk: Desk, stick: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, step: str, number: int, said: str
) -> None:
    """A full, failing or closed disk costs its own copy; the other place has one, and no half file lies anywhere."""
    here = tmp_path / "here"
    add_place(desk, here, away=False)
    real = attrgetter(step)(backing_up)

    def failing(*given: Any, **named: Any) -> Any:  # noqa: ANN401 - whatever the step takes
        if any(str(stick) in str(each) for each in given):
            raise OSError(number, os.strerror(number))
        return real(*given, **named)

    monkeypatch.setattr(f"shopledger.desk.backing_up.{step}", failing)
    broken, whole = make_backup(desk)
    assert broken.copy is None
    assert said in broken.reason
    assert whole.copy is not None
    assert list(stick.glob(".*.draft*")) == []
    (checked,) = check_places((here,))
    assert checked.holds
    for file in stick.glob("*.db"):
        assert check_copy(file).holds
