"""The list in each place: readable without a ledger, added to and never changed, and not led astray."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.ledger.backups import LedgerCopy
from shopledger.store.backups.lists import begin_list, cross_out, list_file, listed, write_down
from shopledger.store.refusals import NoPlaceError

COPY = LedgerCopy(
    date(2026, 3, 2),
    "",
    "shopledger-a1b2c3-1.db",
    False,
    4096,
    "ab" * 32,
    f"3-{'cd' * 32}",
    "first",
    "0.1.0",
    ("age1x",),
)


@pytest.fixture
def place(tmp_path: Path) -> Path:
    """Begin a list in a folder."""
    begin_list(tmp_path)
    return tmp_path


def test_what_is_written_down_is_read_back(place: Path) -> None:
    """In order, each with all that is known of it; the folder is where the list lies, wherever it was carried."""
    second = replace(COPY, file="shopledger-a1b2c3-2.db", locked_with=())
    for copy in (COPY, second):
        write_down(place, copy)
    assert listed(place) == tuple(replace(copy, folder=str(place)) for copy in (COPY, second))
    assert list_file(place).stat().st_mode & 0o777 == 0o600


def test_a_folder_without_a_list_is_no_place(tmp_path: Path) -> None:
    """Where a stick was, an empty folder may be left: it is not taken for the stick."""
    with pytest.raises(NoPlaceError, match="is not there now"):
        listed(tmp_path)


def test_copies_of_several_ledgers_are_told_apart(place: Path) -> None:
    """Each ledger knows its own by the word in their names."""
    write_down(place, COPY)
    write_down(place, replace(COPY, file="shopledger-ffffff-1.db"))
    assert [copy.file for copy in listed(place, "ffffff")] == ["shopledger-ffffff-1.db"]
    assert len(listed(place)) == 2


def test_what_went_is_listed_no_more_and_stands_there_still(place: Path) -> None:
    """A line is added for a copy that was removed; the line of its making stays."""
    write_down(place, COPY)
    before = list_file(place).read_bytes()
    cross_out(place, COPY, date(2026, 3, 9))
    assert listed(place) == ()
    assert list_file(place).read_bytes().startswith(before)


def test_half_a_line_costs_only_itself(place: Path) -> None:
    """A stick that was pulled out left half a line: what was written before and after it is read."""
    write_down(place, COPY)
    with list_file(place).open("ab") as file:
        file.write(b'{"day": "2026-03-0')
    write_down(place, replace(COPY, file="shopledger-a1b2c3-2.db"))
    assert [copy.file for copy in listed(place)] == [COPY.file, "shopledger-a1b2c3-2.db"]


@pytest.mark.parametrize("file", ["../ledger.db", "/etc/hosts", "a/b.db", ""])
def test_no_line_leads_out_of_its_folder(place: Path, file: str) -> None:
    """A list that somebody wrote cannot have a file elsewhere looked at or removed."""
    write_down(place, replace(COPY, file=file))
    assert listed(place) == ()


@pytest.mark.parametrize("line", [b"[]", b"7", b"\xff", b'{"day": 3}', b'{"file": "x.db"}', b"[" * 50_000])
def test_lines_that_say_nothing_are_passed_over(place: Path, line: bytes) -> None:
    """Whatever stands in a line, the others are read."""
    list_file(place).write_bytes(line + b"\n")
    write_down(place, COPY)
    assert [copy.file for copy in listed(place)] == [COPY.file]
