"""A backup or a restore that is killed at any moment leaves a whole ledger, and no copy that only looks like one."""

from __future__ import annotations

import random
import subprocess
import sys
import time
from collections.abc import Sequence
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.ledger.backups import BackupPlace
from shopledger.ledger.books.journal import Head
from shopledger.store.backups.checking import look_into
from shopledger.store.backups.heads import holds, prove_chain
from shopledger.store.backups.lists import begin_list, listed
from shopledger.store.opening import open_ledger
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_backup import the_file
from tests.store.test_books import an_entry

pytestmark = pytest.mark.long

PROGRAM = """
import sys
from shopledger.cli.main import main
sys.argv = ["shopledger", *sys.argv[1:]]
print("begun", flush=True)
main()
"""
KILLS = 8


def sell(address: str, *numbers: int) -> None:
    """Record an order with its entry under each number."""
    with closing(open_ledger(address)) as ledger:
        for number in numbers:
            with ledger.writing(OPERATOR, NOW) as work:
                work.orders.add(an_order())
                work.journal.post(an_entry(number))


def head_of(address: str) -> Head:
    """Prove a ledger's chain, and give its head."""
    with closing(open_ledger(address)) as ledger, ledger.reading() as work:
        return prove_chain(work)[0]


def contains(address: str, head: Head) -> bool:
    """Tell whether a ledger goes on from a head."""
    with closing(open_ledger(address)) as ledger, ledger.reading() as work:
        return holds(work, head)


def orders_in(address: str) -> int:
    """Count the orders of a ledger."""
    with closing(open_ledger(address)) as ledger, ledger.reading() as work:
        return len(work.orders.recent(100))


def run(words: Sequence[str], killed_after: float | None = None) -> float:
    """Run the program, to its end or until it is killed; gives for how long."""
    program = subprocess.Popen(
        [sys.executable, "-c", PROGRAM, *words], stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True
    )
    assert program.stdout is not None
    assert program.stdout.readline() == "begun\n"
    began = time.monotonic()
    if killed_after is not None:
        time.sleep(killed_after)
        program.kill()
    said = program.communicate()
    assert killed_after is not None or program.returncode == 0, said
    return time.monotonic() - began


def grown(address: str) -> Head:
    """Have 30 orders in a ledger; gives its head."""
    sell(address, *range(orders_in(address) + 1, 31))
    return head_of(address)


def replace(ledger: Path, copy: Path, present: Head, killed_after: float | None = None) -> float:
    """Put a copy in the place of a ledger, to the end or until the program is killed."""
    return run(("--ledger", str(ledger), "backup", "restore", str(copy), "--yes-replace", str(present)), killed_after)


def whole_copies(place: Path) -> set[str]:
    """Look into everything in a place that is called like a copy; gives the names, all of whole ones."""
    found = {file.name for file in place.glob("shopledger-*.db")}
    for name in found:
        assert look_into(place / name, chain=True).head is not None
    return found


def test_a_killed_backup_leaves_only_whole_copies(sqlite_address: str, tmp_path: Path) -> None:
    """What is called a copy is one, what is listed lies there, the ledger is as it was, and the next backup runs."""
    chance, place = random.Random(20260302), tmp_path / "place"
    place.mkdir()
    begin_list(place)
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            work.backups.add_place(BackupPlace(str(place), away=False))
    sell(sqlite_address, 1, 2, 3)
    words = ("--ledger", str(the_file(sqlite_address)), "backup", "make")
    whole, head = run(words), head_of(sqlite_address)
    for _ in range(KILLS):
        run(words, chance.uniform(0, whole))
        assert {copy.file for copy in listed(place)} <= whole_copies(place)
        assert head_of(sqlite_address).count >= head.count
        assert contains(sqlite_address, head)
    run(words)
    assert len(whole_copies(place)) > 1


def test_a_killed_restore_leaves_the_one_ledger_or_the_other(sqlite_address: str, tmp_path: Path) -> None:
    """Never a mixture of both, never without the present one kept; run again, it ends well."""
    chance, file = random.Random(20260303), the_file(sqlite_address)
    place = tmp_path / "place"
    place.mkdir()
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
    sell(sqlite_address, 1, 2)
    run(("--ledger", str(file), "backup", "make", "--into", str(place)))
    (copy,) = place.glob("*.db")
    copied = look_into(copy).head
    assert copied is not None
    whole = replace(file, copy, grown(sqlite_address))
    for _ in range(KILLS):
        present = grown(sqlite_address)
        before = set(file.parent.glob("ledger-at-*"))
        replace(file, copy, present, chance.uniform(0.4, 1) * whole)
        found = head_of(sqlite_address)
        assert contains(sqlite_address, copied)
        if orders_in(sqlite_address) == 2:
            assert found.count - copied.count in {0, 1}
            (kept,) = set(file.parent.glob("ledger-at-*")) - before
            assert look_into(kept, chain=True).head == present
        else:
            assert found == present
    replace(file, copy, grown(sqlite_address))
    assert orders_in(sqlite_address) == 2
