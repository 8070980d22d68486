"""Every command that writes, killed anywhere: what was acknowledged is stored, and nothing is there by half.

`SHOPLEDGER_KILLS` says how many kills there are on each database; as it stands a few lines are taken, with more every
line of `every_command.py` is.
"""

from __future__ import annotations

import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator, Sequence
from contextlib import closing
from pathlib import Path

import pytest

from shopledger.cli.demo import _fresh as fresh
from shopledger.desk.books.closing import prove_books
from shopledger.desk.context import Desk
from shopledger.store.opening import ledger_url, open_ledger
from tests.broken_off import Figures, Tally, Whole, furnished, goes_on, run_whole, settled
from tests.cli.commands import leaves
from tests.every_command import LINES, LOOKING, Line
from tests.faults import killed
from tests.kills import NOW, Stand, going_wrong
from tests.ledgers import BOTH

KILLS = int(os.environ.get("SHOPLEDGER_KILLS", "30"))
EACH = 3
"""As many times each line is killed where only some lines are."""
AT_LENGTH = {
    ("backup", "restore"),
    ("backup", "make"),
    ("customer", "erase"),
    ("receipt", "issue"),
    ("setup", "--name"),
}
"""What stores in several steps, and is killed oftener."""

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(os.name != "posix", reason="signals of this kind are POSIX's"),
]


def words_of(path: Sequence[str]) -> str:
    """Give a command as it is typed."""
    return " ".join(path)


def test_each_command_is_known_as_one_that_writes_or_looks() -> None:
    """A new command has a line that is killed, or stands among those that only show what is there."""
    known = {words_of(path) for path, each in leaves() if path[0] not in {"optics", "claim"} and not each.hidden}
    writing = {name for line in LINES for name in known if f"{words_of(line.words)} ".startswith(f"{name} ")}
    assert known >= LOOKING
    assert writing == known - LOOKING


@pytest.fixture(params=BOTH)
def stand(request: pytest.FixtureRequest, tmp_path: Path) -> Iterator[Stand]:
    """Give a shop in which everything happened once, on each database in turn."""
    server = request.getfixturevalue("postgres_server") if request.param == "postgres" else ""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        patch.setenv("SHOPLEDGER_STATE", str(tmp_path / "seen"))
        with furnished(tmp_path, server) as found:
            yield found


def chosen(chance: random.Random) -> list[tuple[Line, int]]:
    """Give each line with how often it is killed; only some where few kills are asked for."""
    lines = [line for line in LINES if line.words[0] != "demo"]
    if len(lines) * EACH > KILLS:
        always = [line for line in lines if line.words[:2] in AT_LENGTH or line.revision]
        others = [line for line in lines if line not in always]
        lines = always + chance.sample(others, max(0, KILLS // EACH - len(always)))
        return [(line, EACH) for line in lines]
    weights = {line: 4 if line.words[:2] in AT_LENGTH or line.revision else 1 for line in lines}
    share = KILLS / sum(weights.values())
    return [(line, max(EACH, -int(-share * weight // 1))) for line, weight in weights.items()]


def kill(stand: Stand, whole: Whole, times: int, chance: random.Random) -> Tally:
    """Kill a line that often: two times of three at a touch of the disk or the database, else at any moment."""
    tally = Tally(whole.line.name, "server" if stand.server else "sqlite")
    for turn in range(times):
        stand.lay(whole.moment)
        at = chance.randint(1, max(whole.ended.touches, 1)) if turn % 3 else 0
        after = None if at else chance.uniform(0, 1.1 * whole.ended.seconds)
        database = "server" if stand.server else "sqlite"
        ended = stand.run(whole.line.words, whole.line.on, going_wrong(at, killed, database=database), after)
        tally.found["killed" if ended.code is None else "ended"] += 1
        if ended.acknowledged:
            tally.found["acknowledged"] += 1
        outcome = settled(stand, whole, ended)
        wrong = outcome if ":" in outcome else goes_on(stand, whole)
        tally.found[outcome.partition(":")[0]] += 1
        if wrong:
            tally.wrong.append(f"{whole.line.words} at {at or after}: {wrong}")
    return tally


def test_nothing_is_lost_and_nothing_is_half_done(stand: Stand) -> None:
    """The ledger opens and proves itself, each paper can be printed, what a kill left is swept by the next lines."""
    chance = random.Random(20260302)
    figures = Figures()
    for line, times in chosen(chance):
        with run_whole(stand, line) as whole:
            figures.add(kill(stand, whole, times, chance))
    assert figures.wrong == []
    assert figures.count("killed") > figures.count("ended")


def test_a_killed_demo_is_made_anew(tmp_path: Path) -> None:
    """Whatever step it was in: its ledger proves itself, and the next demo takes the folder for an earlier one's."""
    chance, made = random.Random(20260305), tmp_path / "demo"
    typed = [sys.executable, "-m", "shopledger", "demo", "--into", str(made)]
    for _ in range(2):
        program = subprocess.Popen(typed, start_new_session=True, stdout=subprocess.PIPE, text=True)
        assert program.stdout is not None
        steps = chance.randint(2, 9)
        while steps:
            steps -= program.stdout.readline().startswith("$ ")
        time.sleep(chance.uniform(0, 0.5))
        os.killpg(program.pid, signal.SIGKILL)
        program.communicate()
        ledger = made / "shop.db"
        if ledger.is_file():
            with closing(open_ledger(ledger_url(str(ledger)))) as opened:
                assert prove_books(Desk(opened, "looker", NOW, NOW.date())).holds
    assert fresh(made) == made
    assert [each.name for each in made.iterdir()] == [".made-by-shopledger-demo"]
