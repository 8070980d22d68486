"""How long a backup takes, and how much memory, beside copying the pages alone and locking the file alone.

Run it as `python tests/bench/backup_bench.py [ORDERS | LEDGER]`, which makes an invented ledger or copies one. Each
way is a process of its own on the same large ledger, run in turns; processor seconds are the steadier figure where
other programs run. The floors are

- the pages of the ledger through SQLite's own backup, and nothing else
- that, and looked through by SQLite itself: pages and references
- that, and the bytes once more into the place, waited for until the disk has them (a plain backup's floor)
- that, and the file locked by the library alone instead (an encrypted backup's floor)
"""

from __future__ import annotations

import os
import shutil
import sys
import tempfile
import time
from pathlib import Path
from typing import NamedTuple

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))

from shopledger.store.backups.sealing import new_pair
from tests.bench.large_ledger import make_ledger

ROUNDS = 3
PLAIN_GOAL, SEALED_GOAL, MEMORY_GOAL = 2.0, 2.0, 150.0
"""At most so many times the processor time of the floor, and so many MB."""

PAGES = """
import sqlite3, sys
source, target = sqlite3.connect(sys.argv[1]), sqlite3.connect(sys.argv[2] + "/floor.db")
source.backup(target)
"""
CHECKED = f"""{PAGES}
target.close()
looked = sqlite3.connect("file:" + sys.argv[2] + "/floor.db?mode=ro&immutable=1", uri=True)
looked.execute("PRAGMA integrity_check(1)").fetchall()
looked.execute("PRAGMA foreign_key_check").fetchall()
"""
BYTES = f"""{CHECKED}
import os, shutil
shutil.copyfile(sys.argv[2] + "/floor.db", sys.argv[2] + "/floor-2.db")
handle = os.open(sys.argv[2] + "/floor-2.db", os.O_RDWR)
os.fsync(handle)
"""
LOCKED = f"""{CHECKED}
import pyrage
pyrage.encrypt_file(sys.argv[2] + "/floor.db", sys.argv[2] + "/floor.age",
    [pyrage.x25519.Recipient.from_str(sys.argv[3])])
"""
PROGRAM = """
import sys
from shopledger.cli.main import main
sys.argv = ["shopledger", *sys.argv[1:]]
main()
"""


class Cost(NamedTuple):
    """What a process took."""

    wall: float
    processor: float
    memory: float


def run(*words: str) -> Cost:
    """Run a process to its end; seconds and megabytes."""
    began = time.perf_counter()
    silent = [(os.POSIX_SPAWN_OPEN, 1, os.devnull, os.O_WRONLY, 0)]
    process = os.posix_spawn(sys.executable, [sys.executable, *words], os.environ, file_actions=silent)
    _, status, used = os.wait4(process, 0)
    if status:
        message = f"{words[:3]} ended with {status}"
        raise RuntimeError(message)
    return Cost(time.perf_counter() - began, used.ru_utime + used.ru_stime, used.ru_maxrss / 1000)


def main(given: str) -> None:
    """Measure, and print what came of it."""
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        ledger, place, sealed = folder / "ledger.db", folder / "place", folder / "sealed"
        os.environ |= {"SHOPLEDGER_STATE": str(folder / "state"), "SHOPLEDGER_OPERATOR": "Ines"}
        if given.isdigit():
            make_ledger(ledger, int(given))
        else:
            shutil.copyfile(given, ledger)
        pair = new_pair()
        (folder / "key.txt").write_text(pair.secret, encoding="ascii")
        for each in (place, sealed):
            each.mkdir()
        program = ("-c", PROGRAM, "--ledger", str(ledger), "backup")
        run(*program, "key", "add", pair.public)
        ways = {
            "the pages alone": ("-c", PAGES, str(ledger), name),
            "and looked through": ("-c", CHECKED, str(ledger), name),
            "and the bytes once more": ("-c", BYTES, str(ledger), name),
            "and locked by the library": ("-c", LOCKED, str(ledger), name, pair.public),
            "backup make --plain": (*program, "make", "--plain", "--into", str(place)),
            "backup make, encrypted": (*program, "make", "--into", str(sealed)),
        }
        best = {way: measured(words, folder) for way, words in ways.items()}
        for way, folder_of in (("backup check, plain", place), ("backup check, encrypted", sealed)):
            copy = max(folder_of.glob("*.db*"))
            best[way] = run(*program, "check", str(copy), "--key-file", str(folder / "key.txt"))
        print(f"{ledger.stat().st_size / 1e6:.0f} MB")
        for way, cost in best.items():
            print(f"{way:28} {cost.wall:6.1f} s  {cost.processor:6.1f} s of a processor  {cost.memory:5.0f} MB")
        judged(best)


def measured(words: tuple[str, ...], folder: Path) -> Cost:
    """Run a way a few times; the least of each figure."""
    costs = []
    for _ in range(ROUNDS):
        for left in folder.glob("floor*"):
            left.unlink()
        costs.append(run(*words))
    return Cost(*(min(figures) for figures in zip(*costs, strict=True)))


def judged(best: dict[str, Cost]) -> None:
    """Print the ratios beside their goals."""
    for way, floor, goal in (
        ("backup make --plain", "and the bytes once more", PLAIN_GOAL),
        ("backup make, encrypted", "and locked by the library", SEALED_GOAL),
    ):
        ratio = best[way].processor / best[floor].processor
        print(f"{way}: {ratio:.1f} x its floor (goal: at most {goal})")
        print(f"{way}: {best[way].memory:.0f} MB (goal: at most {MEMORY_GOAL:.0f})")


if __name__ == "__main__":
    main(sys.argv[1] if len(sys.argv) > 1 else "20000")
