"""Which lines of a bank's file are new: the same file again changes nothing, and no real twin is lost.

A line is the one that is kept already where the bank's number for it, its day and its cents are the same; where the
bank gives no number, where day, cents and text are, each counted as often as the file has it. Banks change the numbers
of lines, and give one number to several: both are pointed out and never decided without the owner.
"""

from __future__ import annotations

import hashlib
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator, Sequence
from dataclasses import dataclass, replace
from datetime import date, timedelta
from typing import Final

from shopledger.ledger.books.statements import BankLine, StatedAccount, StatedLine
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding, Severity

CHANGED, AGAIN, MISSING, TWIN = "LINE-CHANGED", "LINE-AGAIN", "LINE-MISSING", "LINE-TWIN"
NEAR_DAYS: Final = 3
"""Within how many days a line under another number is probably the same. (common practice, no source)"""
_PRACTICE: Final = "common practice, no source"


@dataclass(frozen=True, slots=True)
class NewLine:
    """A line that is to be kept, and the one in whose place it stands if the bank put that right."""

    stated: StatedLine
    key: str
    replaces: int | None = None


@dataclass(frozen=True, slots=True)
class ImportPlan:
    """What a file brings beside what is kept already."""

    new: tuple[NewLine, ...]
    known: int
    changed: tuple[tuple[BankLine, StatedLine], ...] = ()
    """Lines whose day or amount the bank changed under the same number."""
    again: tuple[tuple[BankLine, StatedLine], ...] = ()
    """Lines that are probably kept already under another number of the bank's."""
    missing: tuple[BankLine, ...] = ()
    """Lines kept already that lie within the file's days and are not in it."""
    twins: tuple[StatedLine, ...] = ()
    """Lines that the file says twice, number and all."""

    @property
    def total(self) -> Cents:
        """What the new lines come to."""
        return sum(each.stated.amount for each in self.new)

    @property
    def findings(self) -> tuple[Finding, ...]:
        """What the owner is asked or told."""
        return tuple(_findings(self))


class _Sorting:
    """The lines of a file while they are told apart."""

    def __init__(self, lines: list[StatedLine], kept: Sequence[BankLine]) -> None:
        self.rest = lines
        self.met: set[int | None] = set()
        self.by_id: defaultdict[str, list[BankLine]] = defaultdict(list)
        self.by_amount: defaultdict[Cents, list[BankLine]] = defaultdict(list)
        self.by_content: defaultdict[tuple[date, Cents, str], list[BankLine]] = defaultdict(list)
        for each in kept:
            self.by_id[each.source_id].append(each)
            self.by_amount[each.amount].append(each)
            self.by_content[each.day, each.amount, _folded(each.text)].append(each)

    def take(
        self, near: Callable[[StatedLine], Sequence[BankLine]], fits: Callable[[BankLine, StatedLine], bool]
    ) -> list[tuple[BankLine, StatedLine]]:
        """Give the lines that a kept one fits, each kept one once; the others stay for later."""
        found, rest = [], []
        for line in self.rest:
            same = [each for each in near(line) if each.number not in self.met and fits(each, line)]
            if not same:
                rest.append(line)
                continue
            best = next((each for each in same if _folded(each.text) == _folded(line.text)), same[0])
            self.met.add(best.number)
            found.append((best, line))
        self.rest = rest
        return found


def beside(stated: StatedAccount) -> tuple[tuple[date, date], frozenset[str]]:
    """Give between which days and under which numbers lines lie that a file's lines could be."""
    ids = {each for line in stated.lines for each in (line.source_id, line.corrects) if each}
    first, last = stated.span or (date.max, date.min)
    near = timedelta(NEAR_DAYS)
    return (first - near, last + near) if stated.span else (first, last), frozenset(ids)


def plan_import(stated: StatedAccount, kept: Sequence[BankLine], *, as_new: bool = False) -> ImportPlan:
    """Tell a file's lines apart; `as_new`, what is like a kept line is a line of its own all the same."""
    lines, twins = _without_twins(stated.lines)
    shared = _shared(lines)
    overtaken = {each.replaces for each in kept}
    standing = {each.number for each in kept if each.number not in overtaken}
    sorting = _Sorting(lines, kept)
    take, by_id, by_amount = sorting.take, sorting.by_id, sorting.by_amount
    by_content = sorting.by_content
    known = len(take(lambda line: by_id[line.source_id] if line.source_id else (), _same_number))
    known += len(take(lambda line: by_content[line.day, line.amount, _folded(line.text)], _same_content))
    corrected = _corrected(sorting, standing)
    changed: list[tuple[BankLine, StatedLine]] = []
    again: list[tuple[BankLine, StatedLine]] = []
    if not as_new:
        changed = take(
            lambda line: by_id[line.source_id] if line.source_id else (),
            lambda each, line: each.number in standing and _moved(each, line, shared),
        )
        again = take(
            lambda line: by_amount[line.amount], lambda each, line: _within(each, stated) and _probably(each, line)
        )
    missing = tuple(
        each for each in kept if each.number in standing - sorting.met and each.amount and _within(each, stated)
    )
    new = _keyed([*((line, None) for line in sorting.rest), *((line, each.number) for each, line in corrected)], kept)
    return ImportPlan(new, known, tuple(changed), tuple(again), missing, twins)


def with_corrections(plan: ImportPlan, kept: Sequence[BankLine]) -> ImportPlan:
    """Give the plan in which what the bank changed stands in the place of what it was: the owner said yes to it."""
    pairs = [*((each.stated, each.replaces) for each in plan.new), *((line, old.number) for old, line in plan.changed)]
    return replace(plan, new=_keyed(pairs, kept))


def _corrected(sorting: _Sorting, standing: set[int | None]) -> list[tuple[BankLine, StatedLine]]:
    """Take out the bank's own corrections of kept lines; what one corrects of the same file is not new any more."""
    found = []
    corrections = [line for line in sorting.rest if line.corrects]
    for line in corrections:
        old = next((each for each in sorting.by_id[line.corrects] if each.number in standing), None)
        if old is not None:
            sorting.met.add(old.number)
            found.append((old, line))
    taken = [line for _, line in found]
    gone = {line.corrects for line in corrections}
    sorting.rest = [
        line for line in sorting.rest if line not in taken and line.source_id not in gone - {""}
        and (line.amount or not line.corrects)
    ]  # fmt: skip
    return found


def _without_twins(lines: Iterable[StatedLine]) -> tuple[list[StatedLine], tuple[StatedLine, ...]]:
    """Part what a file says twice, number and all, from the rest; without a number two alike are two lines."""
    seen: set[tuple[str, date, Cents, str]] = set()
    once: list[StatedLine] = []
    twins: list[StatedLine] = []
    for line in lines:
        content = (line.source_id, line.day, line.amount, _folded(line.text))
        (twins if line.source_id and content in seen else once).append(line)
        seen.add(content)
    return once, tuple(twins)


def _shared(lines: Iterable[StatedLine]) -> frozenset[str]:
    """Give the numbers that a bank gave to several lines of the file."""
    contents: defaultdict[str, set[tuple[date, Cents]]] = defaultdict(set)
    for line in lines:
        contents[line.source_id].add((line.day, line.amount))
    return frozenset(number for number, found in contents.items() if len(found) > 1)


def _same_number(each: BankLine, line: StatedLine) -> bool:
    return line.source_id != "" and (each.source_id, each.day, each.amount) == (line.source_id, line.day, line.amount)


def _same_content(each: BankLine, line: StatedLine) -> bool:
    either = not line.source_id or not each.source_id
    return either and (each.day, each.amount, _folded(each.text)) == (line.day, line.amount, _folded(line.text))


def _moved(each: BankLine, line: StatedLine, shared: frozenset[str]) -> bool:
    return line.source_id != "" and line.source_id not in shared and each.source_id == line.source_id


def _probably(each: BankLine, line: StatedLine) -> bool:
    near = abs((each.day - line.day).days) <= NEAR_DAYS
    return near and (each.amount, _folded(each.text)) == (line.amount, _folded(line.text))


def _within(each: BankLine, stated: StatedAccount) -> bool:
    span = stated.span
    return span is not None and span[0] <= each.day <= span[1]


def _folded(text: str) -> str:
    return " ".join(text.casefold().split())


def _keyed(lines: Iterable[tuple[StatedLine, int | None]], kept: Iterable[BankLine]) -> tuple[NewLine, ...]:
    """Give each new line what tells it apart in its account: lines alike are counted."""
    many = Counter(_content(each) for each in kept)
    found = []
    for line, replaces in lines:
        content = _content(line)
        many[content] += 1
        key = hashlib.sha256(f"{content}|{many[content]}".encode()).hexdigest()
        found.append(NewLine(line, key, replaces))
    return tuple(found)


def _content(line: BankLine | StatedLine) -> str:
    return "|".join((line.source_id, line.day.isoformat(), str(line.amount), _folded(line.text)))


def _findings(plan: ImportPlan) -> Iterator[Finding]:
    for old, line in plan.changed:
        yield _asked(
            CHANGED,
            old,
            line,
            f"The bank changed {old.words}: it was {_said(old)}, it is {_said(line)}. Say yes to take it as the bank's "
            "correction, or add --as-new if both are there.",
        )
    for old, line in plan.again:
        yield _asked(
            AGAIN,
            old,
            line,
            f"{_said(line)} '{line.text}' is probably {old.words} of {old.day.isoformat()} under another number of the "
            "bank's. Say yes to leave it out, or add --as-new if both are there.",
        )
    for old in plan.missing:
        sentence = f"{old.words.capitalize()}, {_said(old)}, was there before and is not in this file."
        yield Finding(Severity.WARNING, MISSING, "line", _said(old), "", _PRACTICE, sentence)
    for line in plan.twins:
        sentence = f"{_said(line)} '{line.text}' stands twice in the file under one number, and is taken once."
        yield Finding(Severity.NOTE, TWIN, "line", _said(line), "", _PRACTICE, sentence)


def _asked(code: str, old: BankLine, line: StatedLine, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, "line", _said(line), _said(old), _PRACTICE, sentence)


def _said(line: BankLine | StatedLine) -> str:
    return f"{write_amount(line.amount)} on {line.day.isoformat()}"
