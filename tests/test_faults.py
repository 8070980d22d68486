"""Every command that writes, while the disk or the database fails: all is stored or nothing, and a sentence says which.

`SHOPLEDGER_FAULTS` says how many touches of the disk fail for each line, each in one way; with `all` every one fails in
every way, and of SQLite's own some. As it stands a few lines are taken.
"""

from __future__ import annotations

import errno
import os
import random
import signal
import time
from collections.abc import Callable, Iterator
from concurrent.futures import ThreadPoolExecutor
from contextlib import closing
from pathlib import Path
from typing import Final

import psycopg
import pytest

from tests.broken_off import Figures, Tally, Whole, furnished, goes_on, run_whole, settled
from tests.every_command import LINES, Line
from tests.faults import ERRORS, Faults, failing
from tests.kills import Ended, Stand, going_wrong

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(os.name != "posix", reason="ordinary users of this kind are POSIX's"),
]

ASKED: Final = os.environ.get("SHOPLEDGER_FAULTS", "")
ALL: Final = ASKED == "all"
SOME: Final = int(ASKED) if ASKED.isdigit() else 3
IN_DATABASE: Final = 6 if ALL else 1
"""How many of the database's own touches fail for each line."""
SOME_LINES: Final = 12
SHOWN: Final = ("is stored", "Stored before that", "stored by then", "was stored")
"""By which a sentence says that something is stored although the line failed."""


def lines(chance: random.Random) -> list[Line]:
    """Give every line, or some."""
    found = [line for line in LINES if line.words[0] != "demo"]
    return found if ASKED else chance.sample(found, SOME_LINES)


@pytest.fixture
def stand(tmp_path: Path) -> Iterator[Stand]:
    """Give a shop on SQLite in which everything happened once."""
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        patch.setenv("SHOPLEDGER_STATE", str(tmp_path / "seen"))
        with furnished(tmp_path) as found:
            yield found


def judged(stand: Stand, whole: Whole, ended: Ended, tally: Tally) -> str:
    """Say what is wrong with how a line ended under a fault; nothing where all is well."""
    if ended.broke or ended.code is None:
        return f"traceback: {ended.broke or ended.said}"
    tally.found["done all the same" if ended.acknowledged else "sentence" if ended.sentence else "silent"] += 1
    if not ended.acknowledged and not ended.sentence and "Traceback" in ended.said:
        return f"traceback: {ended.said}"
    outcome = settled(stand, whole, ended)
    tally.found[outcome.partition(":")[0]] += 1
    if ":" in outcome:
        return outcome
    told = whole.notes_alone or any(words in ended.said for words in SHOWN)
    if not ended.acknowledged and outcome != "before" and not told:
        return f"unsaid: stored ({outcome}), and said: {ended.said}"
    return goes_on(stand, whole) if stand.left() else ""


def fail_once(stand: Stand, whole: Whole, around: Callable[[], Faults], how: str, tally: Tally) -> None:
    """Let one touch fail, and note what is wrong then."""
    stand.lay(whole.moment)
    ended = stand.run(whole.line.words, whole.line.on, around)
    tally.found[how] += 1
    wrong = judged(stand, whole, ended, tally)
    if wrong:
        tally.wrong.append(f"{whole.line.words} {how}: {wrong}")


def fail(stand: Stand, whole: Whole, chance: random.Random) -> Tally:
    """Let each touch of the disk fail in each way, then some of SQLite's own."""
    tally = Tally(whole.line.name, "sqlite")
    stand.lay(whole.moment)
    own = stand.run(whole.line.words, whole.line.on, going_wrong(0, lambda: None)).touches
    places = range(1, own + 1) if ALL else chance.sample(range(1, own + 1), min(own, SOME))
    for at in places:
        for number in ERRORS if ALL else chance.sample(ERRORS, 1):
            fail_once(stand, whole, going_wrong(at, failing(number)), f"disk {errno.errorcode[number]}", tally)
    stand.lay(whole.moment)
    around = going_wrong(0, lambda: None, disk=False, database="sqlite")
    inside = stand.run(whole.line.words, whole.line.on, around).touches
    for at in chance.sample(range(1, inside + 1), min(inside, IN_DATABASE)):
        number = ERRORS[at % len(ERRORS)]
        around = going_wrong(at, failing(number), disk=False, database="sqlite")
        fail_once(stand, whole, around, f"SQLite {errno.errorcode[number]}", tally)
    return tally


def test_a_fault_at_any_touch_ends_in_a_sentence(stand: Stand) -> None:
    """Nothing is half done, nothing is said that is not so, and the next lines go on."""
    chance = random.Random(20260302)
    figures = Figures()
    for line in lines(chance):
        with run_whole(stand, line) as whole:
            figures.add(fail(stand, whole, chance))
    assert figures.wrong == []
    assert figures.count("sentence") >= SOME_LINES // 2, "of three faults in each line some must be met"


def test_a_folder_that_may_not_be_written_is_said(stand: Stand) -> None:
    """The ledger's own folder, as an ordinary user has it: one sentence, and all is as it was."""
    tally = Tally("a folder without rights", "sqlite")
    for line in (
        each for each in LINES if each.words[:2] in {("money", "bank"), ("receipt", "issue"), ("setup", "--name")}
    ):
        with run_whole(stand, line) as whole:
            stand.lay(whole.moment)
            ended = stand.run(line.words, line.on, lambda: without_rights(stand.own))
            assert ended.code not in {0, None}, ended
            assert judged(stand, whole, ended, tally) == ""
    assert tally.found["sentence"] >= 3


def without_rights(folder: Path) -> Faults:
    """Take the rights to write away from everything in a folder, in the process that is to run into that."""
    for each in (*folder.rglob("*"), folder):
        each.chmod(0o500 if each.is_dir() else 0o400)
    return Faults(0, lambda: None)


@pytest.mark.postgres
def test_a_connection_that_is_cut_ends_in_a_sentence(tmp_path: Path, postgres_server: str) -> None:
    """The server ends the session before any statement, or at the commit: it is said whether all is stored."""
    chance = random.Random(20260303)
    figures = Figures()
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        patch.setenv("SHOPLEDGER_STATE", str(tmp_path / "seen"))
        with furnished(tmp_path, postgres_server) as stand:
            for line in lines(chance):
                with run_whole(stand, line) as whole:
                    figures.add(cut(stand, whole, chance))
    assert figures.wrong == []


def cut(stand: Stand, whole: Whole, chance: random.Random) -> Tally:
    """End a line's session on the server before one of its statements; the last ones are the commit."""
    tally = Tally(whole.line.name, "server")
    stand.lay(whole.moment)
    around = going_wrong(0, lambda: None, disk=False, database="server")
    asked = stand.run(whole.line.words, whole.line.on, around).touches
    some = chance.sample(range(1, asked + 1), min(asked, 4 if ALL else 1))
    for at in sorted({*some, asked} if ALL else some):
        around = going_wrong(at, lambda: end_sessions(stand), disk=False, database="server")
        fail_once(stand, whole, around, "session ended", tally)
    return tally


@pytest.fixture
def waiting_server(postgres_server: str) -> Iterator[str]:
    """Give a server that acknowledges what stands in its log, as servers do; for other tests it need not wait."""

    def set_to(word: str) -> None:
        with closing(psycopg.connect(postgres_server, autocommit=True)) as connection:
            connection.execute(f"ALTER SYSTEM SET synchronous_commit = {word}".encode())
            connection.execute("SELECT pg_reload_conf()")

    set_to("on")
    yield postgres_server
    set_to("off")


@pytest.mark.postgres
def test_a_server_that_falls_over_loses_nothing(tmp_path: Path, waiting_server: str) -> None:
    """One of its processes is killed, which ends them all: after its recovery the ledger is as before or as after."""
    chance = random.Random(20260304)
    with pytest.MonkeyPatch.context() as patch:
        patch.chdir(tmp_path)
        patch.setenv("SHOPLEDGER_STATE", str(tmp_path / "seen"))
        with furnished(tmp_path, waiting_server) as stand:
            for words in (("sale", "record"), ("customer", "erase")):
                line = next(line for line in LINES if line.words[:2] == words)
                with run_whole(stand, line) as whole:
                    tally = Tally(line.name, "server")
                    for _ in range(3):
                        stand.lay(whole.moment)
                        after = chance.uniform(0.2, 0.9) * whole.ended.seconds
                        with ThreadPoolExecutor(1) as other:
                            fallen = other.submit(fell, stand, after)
                            ended = stand.run(line.words, line.on)
                            tally.found["fell"] += fallen.result()
                        stand.come_up()
                        assert judged(stand, whole, ended, tally) == ""


def fell(stand: Stand, after: float) -> bool:
    """Kill one of the server's processes in the ledger, after some time; tells whether there was one."""
    time.sleep(after)
    asked = f"SELECT pid FROM pg_stat_activity WHERE datname = '{stand.name}'"  # noqa: S608 - a name made here
    with closing(psycopg.connect(stand.server, autocommit=True)) as connection:
        found = connection.execute(asked.encode()).fetchall()
    for (process,) in found[:1]:
        os.kill(process, signal.SIGKILL)
    return bool(found)


def end_sessions(stand: Stand) -> None:
    """Let the server end every session in the ledger, as when it is shut down."""
    asked = f"SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = '{stand.name}'"  # noqa: S608 - a name made here
    with closing(psycopg.connect(stand.server, autocommit=True)) as connection:
        connection.execute(asked.encode())
