"""What is written over: this program's own files of the same kind and name, and others only with a yes."""

from __future__ import annotations

import os
import sqlite3
from contextlib import closing
from pathlib import Path

import pytest
from openpyxl import Workbook

from shopledger.files.refusals import LedgerInTheWayError, NotWrittenError, TakenError
from shopledger.files.replacing import (
    COPY,
    DRAWING,
    LENS_ORDER,
    PAPER,
    WORKBOOK,
    Kind,
    begun,
    headed,
    records_of,
    replacing,
)
from shopledger.files.writing import made_folder, sheaf, write_whole, written_whole

TRACE = b"JOB=WREN-52\r\nTRCFMT=1;400;E;R;F\r\nR=2600;2601\r\n"
OWN: tuple[tuple[Kind, bytes], ...] = (
    (PAPER, b"%PDF-1.4\n1 0 obj << /Creator (shopledger) /Title (x) >> endobj"),
    (DRAWING, b"<?xml?>\n<svg>\n<desc>As seen when facing the wearer; one unit is one millimetre.</desc></svg>"),
    (LENS_ORDER, b'{\n  "form": "lens order 1"\n}'),
    (records_of("trace file", TRACE), TRACE + b"DBL=18.00\r\n"),
    (begun("list of what is held", "All that"), b"All that is held on wearer 1.\n"),
    (headed("sheet", "Day,Order"), b"\xef\xbb\xbfDay,Order\r\n2026-03-02,1\r\n"),
)
"""Each kind, and what an earlier file of it holds, as the writers of the other rooms write them."""


@pytest.fixture
def ledger(tmp_path: Path) -> Path:
    """Give a database with what SQLite keeps beside it while it is open, and a folder of kept files."""
    place = tmp_path / "shop.db"
    with closing(sqlite3.connect(place)) as made:
        made.execute("CREATE TABLE shop (name TEXT)")
    (tmp_path / "shop files").mkdir()
    return place


@pytest.mark.parametrize(("kind", "earlier"), OWN, ids=[kind.noun for kind, _ in OWN])
def test_an_earlier_file_of_the_same_kind_is_replaced(tmp_path: Path, kind: Kind, earlier: bytes) -> None:
    """Whoever prints a paper again gets it in the place of the one before, unasked."""
    target = tmp_path / "file"
    target.write_bytes(earlier)
    assert write_whole(b"new", target, kind).read_bytes() == b"new"


@pytest.mark.parametrize(("kind", "earlier"), OWN, ids=[kind.noun for kind, _ in OWN])
def test_a_file_of_another_kind_is_not_touched(tmp_path: Path, kind: Kind, earlier: bytes) -> None:
    """No kind is taken for another, nor a stranger's letter, picture or empty file for any."""
    target = tmp_path / "file"
    others = [each for _, each in OWN if each != earlier]
    for foreign in (*others, b"", b"Dear Odalys,\n", b"%PDF-1.7\n/Creator (Another)", b"PK\x03\x04 no workbook"):
        target.write_bytes(foreign)
        with pytest.raises(TakenError, match=f"is no {kind.noun} that shopledger wrote under this name"):
            write_whole(b"new", target, kind)
        assert target.read_bytes() == foreign
    assert [each.name for each in tmp_path.iterdir()] == ["file"]


def test_a_trace_of_another_job_is_not_replaced(tmp_path: Path) -> None:
    """A tracer's own file looks alike; the first record tells them apart."""
    target = tmp_path / "wren.txt"
    target.write_bytes(b"REQ=FIL\r\n" + TRACE)
    with pytest.raises(TakenError):
        write_whole(TRACE, target, records_of("trace file", TRACE))


def test_a_workbook_is_known_by_who_made_it(tmp_path: Path) -> None:
    """The month's workbook may be written again; one of the owner's own may not be written over."""
    target = tmp_path / "month.xlsx"
    book = Workbook()
    book.properties.creator = "shopledger"
    book.save(target)
    write_whole(b"new", target, WORKBOOK)
    Workbook().save(target)
    with pytest.raises(TakenError, match="is no workbook"):
        write_whole(b"new", target, WORKBOOK)


def test_the_very_same_bytes_may_be_written_again(tmp_path: Path) -> None:
    """A kept file handed out twice is no question."""
    target = tmp_path / "scan.png"
    target.write_bytes(b"scan")
    write_whole(b"scan", target, COPY)
    with pytest.raises(TakenError):
        write_whole(b"another", target, COPY)


def test_a_yes_replaces_any_plain_file_and_no_ledger(tmp_path: Path, ledger: Path) -> None:
    """For one file or for all; what belongs to a ledger is never written over."""
    letter = tmp_path / "letter.txt"
    for said in (replacing(letter), replacing(every=True)):
        letter.write_bytes(b"Dear Odalys")
        with said:
            write_whole(b"new", letter, PAPER)
        assert letter.read_bytes() == b"new"
        with pytest.raises(TakenError):
            write_whole(b"newer", letter, PAPER)
    with replacing(every=True), pytest.raises(LedgerInTheWayError, match="is a ledger or another database, which is"):
        write_whole(b"new", ledger, PAPER)


@pytest.mark.parametrize("name", ["shop.db", "shop.db-wal", "shop.db-shm", "shop.db-journal"])
@pytest.mark.parametrize("kind", [PAPER, None])
def test_what_belongs_to_a_ledger_is_never_written(ledger: Path, name: str, kind: Kind | None) -> None:
    """Neither the file nor its log, even where there is none now."""
    target, before = ledger.with_name(name), ledger.read_bytes()
    with pytest.raises(LedgerInTheWayError), replacing(every=True):
        write_whole(TRACE, target, kind)
    with pytest.raises(LedgerInTheWayError), replacing(every=True), written_whole(target, kind):
        pass
    assert ledger.read_bytes() == before
    assert target == ledger or not target.exists()


def test_nothing_is_written_among_a_ledger_s_kept_files(ledger: Path) -> None:
    """What is kept as proof lies in a folder beside the ledger, called after it; no other folder is."""
    kept = ledger.parent / "shop files" / "ab"
    kept.mkdir()
    with pytest.raises(LedgerInTheWayError, match="among a ledger's kept files"), replacing(every=True):
        write_whole(TRACE, kept / "paper.pdf", PAPER)
    free = ledger.parent / "my files"
    free.mkdir()
    write_whole(TRACE, free / "paper.pdf", PAPER)


@pytest.mark.skipif(os.name != "posix", reason="pipes, devices and links of this kind are POSIX's")
def test_what_is_no_plain_file_gets_a_sentence(tmp_path: Path) -> None:
    """A folder, a pipe, a device, a link to nowhere or to somewhere: none is written to, none is replaced."""
    pipe, link, dangling = (tmp_path / name for name in ("pipe", "link", "dangling"))
    os.mkfifo(pipe)
    plain = tmp_path / "plain.txt"
    plain.write_bytes(b"the owner's")
    link.symlink_to(plain)
    dangling.symlink_to(tmp_path / "none")
    for target, said in (
        (tmp_path, "a folder"), (pipe, "a pipe"), (link, "a link"), (dangling, "a link"),
        (Path("/dev/null"), "a device"), (Path("/dev/zero"), "a device"),
    ):  # fmt: skip
        with pytest.raises(NotWrittenError, match=f"it is {said}"), replacing(every=True):
            write_whole(b"new", target, PAPER)
    assert plain.read_bytes() == b"the owner's"
    assert not (tmp_path / "none").exists()


@pytest.mark.parametrize("name", ["a" * 6_000, "a\0b", "a/" * 3_000 + "b"])
def test_a_name_that_no_file_can_have_gets_a_sentence(tmp_path: Path, name: str) -> None:
    """A path of thousands of letters and one with a letter that no name may hold, as file and as folder."""
    with pytest.raises(NotWrittenError, match=r"cannot be written: .*(too long|no file name may hold|does not exist)"):
        write_whole(b"new", tmp_path / name, PAPER)
    with pytest.raises(NotWrittenError, match=r"too long|no name may hold"):
        made_folder(tmp_path / name.replace("a/", "aa/"))


def test_files_of_a_sheaf_take_their_places_together(tmp_path: Path) -> None:
    """Until it is delivered nothing stands there; what was not delivered is taken away."""
    with sheaf() as files:
        files.add(b"one", tmp_path / "one.pdf", PAPER)
        files.add(b"two", tmp_path / "two.pdf", PAPER)
        assert not [each for each in tmp_path.iterdir() if each.suffix == ".pdf"]
        files.deliver()
    assert sorted(each.name for each in tmp_path.iterdir()) == ["one.pdf", "two.pdf"]
    with sheaf() as files:
        files.add(b"three", tmp_path / "three.pdf", PAPER)
    assert sorted(each.name for each in tmp_path.iterdir()) == ["one.pdf", "two.pdf"]
