"""What has to hold of a shop after a line was broken off in it, by a kill or by a fault: all of it, or nothing."""

from __future__ import annotations

import sys
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path

from shopledger.store.backups.checking import look_into
from shopledger.store.revision import HEAD_REVISION
from tests.every_command import BASE, Line, Words
from tests.kills import Ended, Stand, State, going_wrong

NEXT: tuple[Words, ...] = (
    ("backup", "remind", "--days", "4"),
    ("paper", "confirmation", "1", "--into", "out"),
    ("trace", "write", "WREN-52", "--into", "copies/wren.txt"),
    ("backup", "make", "--into", "older"),
)
"""Lines that write into each folder, and so sweep it first."""
ISSUING = (("receipt", "issue"), ("receipt", "replace"), ("job", "inspection-record"), ("job", "order-lenses"))
"""What takes a number for a paper."""
NOTED = frozenset({"audit_note", "counter"})
"""The tables that know who looked at what, and what was refused."""
OTHER_PAST = "This computer last saw"


@dataclass(slots=True)
class Tally:
    """How often what was found."""

    line: str
    database: str
    found: Counter[str] = field(default_factory=Counter)
    wrong: list[str] = field(default_factory=list)

    def __str__(self) -> str:
        counts = ", ".join(f"{name} {times}" for name, times in sorted(self.found.items()))
        return f"{self.database:8} {self.line:60.60} {counts}"


class Figures:
    """What was found of all lines; said as it is found, for whoever looks on."""

    def __init__(self) -> None:
        self.tallies: list[Tally] = []

    def add(self, tally: Tally) -> None:
        """Take up what was found of a line."""
        self.tallies.append(tally)
        sys.stdout.write("\n".join([f"{tally}", *(f"    {wrong[:1500]}" for wrong in tally.wrong), ""]))
        sys.stdout.flush()

    @property
    def wrong(self) -> list[str]:
        """All that was wrong."""
        return [wrong for tally in self.tallies for wrong in tally.wrong]

    def count(self, name: str) -> int:
        """How often something was found."""
        return sum(tally.found[name] for tally in self.tallies)


@dataclass(frozen=True, slots=True)
class Whole:
    """A line that ran to its end: what was there before it and after it."""

    line: Line
    moment: str
    before: State | None
    after: State
    ended: Ended
    exact: bool
    """Whether a second run left the very same."""
    papers: frozenset[str]

    @property
    def notes_alone(self) -> bool:
        """Whether it leaves but a note in the ledger, of who looked or printed: that stands where the paper fails."""
        if self.before is None:
            return False
        return differing(self.before, self.after) <= NOTED | {"receipt_print"}

    @property
    def between(self) -> frozenset[tuple[int, str]]:
        """The heads that it may stop at: a line that stores in several steps stops after any of them."""
        known = self.before.head if self.before else (0, "")
        seals = self.after.seals
        steps = seals[known[0] - 1 :] if known in seals else seals[-2:]
        return frozenset({known, *steps})


@contextmanager
def furnished(place: Path, server: str = "") -> Iterator[Stand]:
    """Give a shop in which everything happened once."""
    stand = Stand(place, server)
    stand.begin()
    stand.keep("bare")
    stand.tell(*BASE)
    stand.keep("base")
    yield stand
    stand.drop("bare")
    stand.drop("base")


@contextmanager
def run_whole(stand: Stand, line: Line) -> Iterator[Whole]:
    """Run a line to its end, twice."""
    moment = stand.staged(line)
    before = None if line.fresh or line.revision else stand.look()
    stand.lay(moment)
    stand.run(line.words, line.on)
    stand.come_to_rest()
    first = stand.look()
    stand.lay(moment)
    database = "server" if stand.server else "sqlite"
    ended = stand.run(line.words, line.on, going_wrong(0, lambda: None, database=database))
    assert ended.acknowledged, (line, ended)
    stand.come_to_rest()
    after = stand.look()
    assert after is not None
    assert stand.prove().holds, line
    # Which bytes a copy has hangs on every try of SQLite's to write it, and its hash stands in the ledger.
    exact = first is not None and first.head == after.head and line.words[:2] != ("backup", "make")
    yield Whole(line, moment, before, after, ended, exact, papers_of(stand))
    stand.drop(moment)


def papers_of(stand: Stand) -> frozenset[str]:
    """Give what lies in the folder for papers."""
    return frozenset(each.name for each in (stand.own / "out").iterdir() if not each.name.startswith("."))


def differing(one: State, other: State) -> set[str]:
    """Name the tables that do not hold the same twice."""
    return {name for name in other.tables if other.tables[name] != one.tables.get(name)}


def same(one: State | None, other: State | None, *, exact: bool) -> bool:
    """Tell whether a ledger holds the same twice; where chance has its part in it, whether it holds as much."""
    if one is None or other is None:
        return one is other
    if exact:
        return one.head == other.head and one.tables == other.tables
    return one.counts == other.counts and one.head[0] == other.head[0]


def settled(stand: Stand, whole: Whole, ended: Ended) -> str:
    """Hold a shop in which a line was broken off against before and after; gives which of them it is."""
    stand.come_to_rest()
    line = whole.line
    if line.revision and stand.revision() not in {line.revision, HEAD_REVISION}:
        return "half: the tables are in no known state"
    found = stand.look()
    if not ended.acknowledged and not line.revision and same(found, whole.before, exact=True):
        # A line may leave nothing new in the ledger.
        outcome = "before"
    elif same(found, whole.after, exact=whole.exact and not line.revision):
        outcome = "after"
    elif ended.acknowledged:
        return "lost: it was acknowledged and is not there"
    elif line.revision:
        outcome = "before"
    elif found is not None and (found.head in whole.between or not whole.exact):
        outcome = "between"
    elif found is not None and whole.before is not None and differing(whole.before, found) <= NOTED:
        # That it was refused is noted.
        outcome = "noted"
    else:
        return f"half: {found.head if found else None} is none of {sorted(whole.between)}"
    if found is not None and (outcome in {"between", "noted"} or line.revision or not whole.exact):
        verdict = stand.prove()
        if not verdict.holds:
            return f"half: {[proof for proof in verdict.proofs if not proof.holds]}"
    outcome = "before" if outcome == "noted" else outcome
    return _papers(stand, whole, found, outcome) or _copies(stand, whole, outcome) or outcome


def _papers(stand: Stand, whole: Whole, found: State | None, outcome: str) -> str:
    """Print what waits; each number that is stored has its paper then."""
    for paper in found.waiting if found else ():
        again = stand.run(("paper", "again", paper.kind.typed, str(paper.number), "--into", "out"))
        if not again.acknowledged:
            return f"paper: {paper} waits and cannot be printed: {again.said}"
    if outcome != "before" and whole.line.words[:2] in ISSUING and not papers_of(stand) >= whole.papers:
        return f"paper: {sorted(whole.papers - papers_of(stand))} is stored and nowhere"
    return ""


def _copies(stand: Stand, whole: Whole, outcome: str) -> str:
    """Look into every copy, and for the ledger that was there before a restore."""
    words = whole.line.words[:2]
    for copy in stand.own.glob("*/shopledger-*.db") if words[0] == "backup" else ():
        if look_into(copy).head is None:
            return f"copy: {copy.name} is no whole ledger"
    kept = [*stand.own.glob("ledger-at-*"), *stand.own.rglob("server-at-*")]
    return (
        "copy: the ledger of before is gone" if words[1:] == ("restore",) and outcome != "before" and not kept else ""
    )


def goes_on(stand: Stand, whole: Whole) -> str:
    """Let the shop go on: what was left is swept, a set-up can be made again, and the ledger proves itself."""
    line = whole.line
    if line.fresh or line.revision:
        again = stand.run(line.words, line.on)
        if again.broke or not (again.acknowledged or "exists already" in again.said or "is set up" in again.said):
            return f"again: {again.said}{again.broke}"
        stand.come_to_rest()
        if not stand.prove().holds:
            return "again: the ledger does not prove itself"
    stand.grow_old()
    for words in NEXT if stand.left() else NEXT[:1]:
        went = stand.run(words, line.on)
        if went.broke or (not went.acknowledged and not (line.fresh and words[0] != "backup")):
            return f"next: {words}: {went.said}{went.broke}"
        if OTHER_PAST in went.said and line.words[1] != "restore":
            return f"next: {went.said}"
        if not stand.left():
            break
    if stand.left():
        # In a folder that only this line writes into.
        stand.run(line.words, line.on)
    return f"left: {stand.left()}" if stand.left() else ""
