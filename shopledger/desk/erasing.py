"""Whose data: what is held on somebody, from which day it may be erased, erasing it, and doing so again later.

An erasure blanks what tells of the person and keeps numbers, days, money and stock. What lies outside the ledger
(paper, sent files, old copies) is named, since nobody but the owner can see to it.
"""

from __future__ import annotations

import json
from base64 import b64encode
from collections import Counter
from collections.abc import Mapping, Sequence
from contextlib import suppress
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Any, Final

from shopledger.desk.books.payee_forms import erase_w9s_again
from shopledger.desk.context import Desk
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.files.replacing import begun
from shopledger.files.writing import write_whole
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.canonical import Json, data_of, record_of
from shopledger.ledger.erasing import (
    AskedBy,
    ErasedPart,
    Erasure,
    HoldDeed,
    LegalHold,
    PersonErasedError,
    refuse_named,
)
from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Customer, Relationship, Wearer
from shopledger.ledger.retention import Keeping, KeptStillError, Retention, retention, together
from shopledger.optics.findings import Finding, Severity
from shopledger.store.erasures import Whose
from shopledger.store.outside import recall, remember
from shopledger.store.work import UnitOfWork

REMEMBERED: Final = "erasures"
"""Under which this computer keeps the list of erasures outside the ledger."""
_READ_AT_MOST: Final = 10_000
"""Longer values are left to the file for programs."""
_PAPERS: Final[Mapping[str, str]] = {
    "receipt": "receipt",
    "certificate": "inspection record",
    "lens_order": "lens order",
}

_FIRST_WORDS: Final = "All that is held on "
HELD_AS_JSON: Final = begun("list of what is held", '{\n "made_on": ')
HELD_TO_READ: Final = begun("list of what is held", _FIRST_WORDS)


@dataclass(frozen=True, slots=True)
class Person:
    """Somebody whose data is held: a customer with all wearers, or one wearer alone."""

    customer: Customer
    wearer: Wearer | None = None
    joined: tuple[int, ...] = ()
    """Numbers that were joined to the customer's: what is held under them is held on the same person."""
    came: tuple[Whose, ...] = ()
    """Wearers who were another customer's before: their part of that one's orders is held on them too."""

    @property
    def whose(self) -> Whose:
        """Whose rows they are."""
        if self.wearer is not None:
            return Whose(self.wearer.customer_number, number_of(self.wearer))
        return Whose(number_of(self.customer))

    @property
    def every(self) -> tuple[Whose, ...]:
        """Whose rows they are under each of the numbers."""
        return (self.whose, *(() if self.wearer else (*map(Whose, self.joined), *self.came)))

    @property
    def subject(self) -> tuple[Subject, int]:
        """What a note names."""
        return (Subject.CUSTOMER if self.wearer is None else Subject.WEARER), self.whose.person

    @property
    def said(self) -> str:
        """The person in words."""
        one = self.customer if self.wearer is None else self.wearer
        return f"{self.subject[0].value} {one.number}, {one.name},"


@dataclass(frozen=True, slots=True)
class HeldTable:
    """The rows that one table holds on somebody, as the ledger writes them out."""

    name: str
    rows: tuple[Mapping[str, Json], ...]


@dataclass(frozen=True, slots=True)
class Held:
    """All that the ledger holds on somebody, table by table, and from which day it may be erased."""

    person: Person
    tables: tuple[HeldTable, ...]
    retention: Retention

    @property
    def records(self) -> int:
        """How many rows there are."""
        return sum(len(table.rows) for table in self.tables)

    @property
    def papers(self) -> tuple[str, ...]:
        """What was printed or sent and lies outside the ledger, such as `receipt 2`."""
        return tuple(
            f"{_PAPERS[table.name]} {row['number']}"
            for table in self.tables
            if table.name in _PAPERS
            for row in table.rows
        )


@dataclass(frozen=True, slots=True)
class ErasureRequest:
    """Whom to erase, and who asked for it why."""

    customer: str
    reason: str
    asked_by: AskedBy = AskedBy.PERSON
    wearer: str | None = None
    accept: frozenset[str] = frozenset()


@dataclass(frozen=True, slots=True)
class ErasurePlan:
    """What would be erased, and what has to be said first."""

    held: Held
    findings: tuple[Finding, ...]


@dataclass(frozen=True, slots=True)
class ErasureDone:
    """An erasure with what it blanked, what lies outside the ledger, and whether the file was packed anew."""

    erasure: Erasure
    parts: tuple[ErasedPart, ...]
    papers: tuple[str, ...]
    packed: bool
    remembered: bool
    """Whether the list outside the ledger knows of it."""


def held_on(desk: Desk, customer: str, wearer: str | None = None) -> Held:
    """Give all that is held on somebody; the look is noted."""
    with desk.reading() as work:
        person = _person(work, customer, wearer)
    with desk.noting(Deed.LOOKED_AT_HELD, *person.subject) as work:
        return _held(work, person)


def export_held(desk: Desk, customer: str, folder: Path, wearer: str | None = None) -> tuple[Held, tuple[Path, Path]]:
    """Write all that is held on somebody for that person: as JSON, and to be read."""
    with desk.reading() as work:
        held = _held(work, _person(work, customer, wearer))
    kind, number = held.person.subject
    stem = f"held-{kind.value}-{number:05d}"
    data = {"made_on": desk.today.isoformat(), **{table.name: list(table.rows) for table in held.tables}}
    body = json.dumps(data, ensure_ascii=False, indent=1)
    files = (
        write_whole(body.encode(), folder / f"{stem}.json", HELD_AS_JSON),
        write_whole("".join(f"{line}\n" for line in held_lines(held)).encode(), folder / f"{stem}.txt", HELD_TO_READ),
    )
    with desk.writing() as work:
        work.audit.note(Deed.EXPORTED_HELD, kind, number, records=held.records, file_name=files[0].name)
    return held, files


def held_lines(held: Held) -> Sequence[str]:
    """Give all that is held on somebody as lines to read: each table, each row, each value that is there."""
    lines = [f"{_FIRST_WORDS}{held.person.said[:-1]}: {held.records} records.", ""]
    for table in held.tables:
        lines.append(table.name.replace("_", " "))
        for row in table.rows:
            told = (f"{name} {_readable(value)}" for name, value in row.items() if value not in (None, ""))
            lines.append(f"  {'; '.join(told)}")
        lines.append("")
    return lines


def plan_erasure(desk: Desk, request: ErasureRequest) -> ErasurePlan:
    """Say what would be erased; where something keeps it, that is refused with its day. That it was asked is noted."""
    with desk.reading() as work:
        person = _person(work, request.customer, request.wearer)
    with desk.noting(Deed.ASKED_TO_ERASE, *person.subject) as work:
        return _planned(work, desk, person, request)


def erase(desk: Desk, request: ErasureRequest) -> ErasureDone:
    """Erase somebody for good: once nothing keeps the records, and with a yes."""
    with desk.reading() as work:
        person = _person(work, request.customer, request.wearer)
    with desk.noting(Deed.ERASED, *person.subject) as work:
        plan = _planned(work, desk, person, request)
        accepted_warnings(plan.findings, request.accept)
        work.forms.drop_naming(_names(work, person))
        rule = plan.held.retention.rule
        done = [
            work.erasures.erase(
                Erasure(whose.customer_number, whose.wearer_number, desk.today, request.asked_by, request.reason, rule)
            )
            for whose in person.every
        ]
        (erasure, _), *_ = done
        counted = Counter[str]()
        for _, blanked in done:
            counted.update({part.table_name: part.row_count for part in blanked})
        parts = tuple(ErasedPart(name, many) for name, many in counted.items())
        listed = work.erasures.all()
    packed = desk.ledger.pack()
    return ErasureDone(erasure, parts, plan.held.papers, packed, _remember(desk, listed))


def erase_again(desk: Desk) -> tuple[Erasure, ...]:
    """Erase once more whom the list outside the ledger names and an older copy still knows; gives who was.

    What an erasure that broke off left to do is done too: the file is packed, and the list written.
    """
    with desk.writing() as work:
        again = apply_remembered(work, desk.ledger.url)
        forms = erase_w9s_again(work, desk.ledger.url)
        known = work.erasures.all()
    if known or forms:
        desk.ledger.pack()
        _remember(desk, known)
    return again


def apply_remembered(work: UnitOfWork, url: str, also: Sequence[Erasure] = ()) -> tuple[Erasure, ...]:
    """Erase whom the list outside names, in a copy that was put back, and note each; the file is not packed yet.

    `also` are erasures known from elsewhere, such as from the ledger that the copy took the place of.
    """
    again = work.erasures.apply_again((*also, *remembered(url)))
    for each in again:
        kind = Subject.CUSTOMER if each.wearer_number is None else Subject.WEARER
        work.audit.note(Deed.ERASED, kind, Whose(each.customer_number, each.wearer_number).person, detail="again")
    return again


def remembered(url: str) -> tuple[Erasure, ...]:
    """Give the erasures of a ledger that this computer knows of, as they stand outside; what is odd is none."""
    listed = recall(url, REMEMBERED).get("erasures")
    found = []
    for each in listed if isinstance(listed, list) else []:
        with suppress(AttributeError, KeyError, TypeError, ValueError):
            found.append(record_of(Erasure, each))
    return tuple(found)


def erasures(desk: Desk) -> tuple[tuple[Erasure, tuple[ErasedPart, ...]], ...]:
    """Give every erasure with what it blanked, oldest first."""
    with desk.reading() as work:
        return tuple((each, work.erasures.parts(number_of(each))) for each in work.erasures.all())


def place_hold(desk: Desk, customer: str, reason: str, wearer: str | None = None, *, lift: bool = False) -> LegalHold:
    """Keep somebody's records whatever the rules say, as a court or a lawyer asks; or let them go again."""
    with desk.writing() as work:
        person = _person(work, customer, wearer)
        whose = person.whose
        standing = any(each.wearer_number == whose.wearer_number for each in work.erasures.holds(whose))
        if standing is not lift:
            said = "there is none to lift" if lift else "there is one already"
            raise RefusedError("legal hold", f"on {person.said[:-1]}", said, "Nothing is left to do.")
        deed = HoldDeed.LIFTED if lift else HoldDeed.PLACED
        new = LegalHold(whose.customer_number, whose.wearer_number, desk.today, deed, reason)
        work.audit.note(Deed.LET_GO if lift else Deed.HELD, *person.subject)
        return work.erasures.hold(new)


def keeping(desk: Desk) -> Keeping:
    """Give for how many years records are kept."""
    with desk.reading() as work:
        return work.erasures.keeping()


def change_keeping(desk: Desk, years: Mapping[str, int]) -> Keeping:
    """Set for how many years records are kept; what was erased before stays erased."""
    with desk.writing() as work:
        before = work.erasures.keeping()
        new = replace(before, **years)
        work.erasures.save_keeping(new)
        work.audit.changed(Subject.KEEPING, None, before, new)
        return new


def _person(work: UnitOfWork, customer: str, wearer: str | None) -> Person:
    """Give whoever is meant, or say since when nothing is held."""
    payer = work.customers.pick(customer, erased_too=True)
    one = None if wearer is None else work.customers.pick_wearer(number_of(payer), wearer, erased_too=True)
    erased_on = payer.erased_on or (one.erased_on if one else None)
    if erased_on is not None:
        person = Person(payer, one)
        raise PersonErasedError(f"{person.subject[0].value} {person.subject[1]}", erased_on.isoformat())
    leading, *joined = work.joins.group(number_of(payer))
    moves = [move for number in (leading, *joined) for move in work.customers.moved_to(number)]
    came = (work.customers.wearer(number) for number in dict.fromkeys(move.wearer_number for move in moves))
    return Person(payer, one, tuple(joined), tuple(Whose(each.customer_number, number_of(each)) for each in came))


def _held(work: UnitOfWork, person: Person) -> Held:
    rule = retention(together(map(work.erasures.dealings, person.every)), work.erasures.keeping())
    found: dict[str, dict[str, Mapping[str, Json]]] = {}
    for whose in person.every:
        for name, rows in work.erasures.held(whose):
            for row in rows:
                written = {key: _written(value) for key, value in row._mapping.items()}  # noqa: SLF001 - SQLAlchemy's public name for a row by its columns
                # What leads to two joined numbers, such as their join, is told once.
                found.setdefault(name, {}).setdefault(json.dumps(written, ensure_ascii=False), written)
    return Held(person, tuple(HeldTable(name, tuple(rows.values())) for name, rows in found.items()), rule)


def _planned(work: UnitOfWork, desk: Desk, person: Person, request: ErasureRequest) -> ErasurePlan:
    held = _held(work, person)
    against = held.retention.against(desk.today)
    if against:
        raise KeptStillError(person.said.rstrip(","), against, held.retention.erasable_from)
    names = (person.customer.name, *(each.name for each in work.customers.wearers(number_of(person.customer))))
    refuse_named(request.reason, *names)
    return ErasurePlan(held, tuple(_findings(person, held.retention, desk.now.date())))


def _names(work: UnitOfWork, person: Person) -> tuple[str, ...]:
    """Give the names of all who are erased."""
    if person.wearer is not None:
        return (person.wearer.name,)
    return (person.customer.name, *(each.name for each in work.customers.wearers(number_of(person.customer))))


def _findings(person: Person, kept: Retention, by_clock: date) -> Sequence[Finding]:
    found = [
        _warning(
            "ERASED-FOR-GOOD",
            f"What is held on {person.said} is erased for good: name, address, prescriptions, measurements and what "
            "papers say. Numbers, days, money and stock stay. No backup should be kept that still holds it.",
        )
    ]
    if person.wearer is not None and person.wearer.relationship is Relationship.SELF:
        said = (
            "The wearer is the customer too; name and address of the customer stay. Erase the customer to erase both."
        )
        found.append(_warning("CUSTOMER-STAYS", said))
    if kept.against(by_clock):
        until = kept.erasable_from.isoformat() if kept.erasable_from else "that is settled"
        said = f"By this computer's clock it is {by_clock.isoformat()}, and the records must be kept until {until}."
        found.append(_warning("NOT-YET-BY-CLOCK", f"{said} Go on in a trial alone."))
    return found


def _warning(code: str, sentence: str) -> Finding:
    return Finding(Severity.WARNING, code, "erasure", "", "", "common_practice", sentence)


def _remember(desk: Desk, listed: Sequence[Erasure]) -> bool:
    """Add erasures to the list outside the ledger, which an older copy brought back does not know."""
    known = {
        (each.customer_number, each.wearer_number, each.day): each for each in (*remembered(desk.ledger.url), *listed)
    }
    return remember(desk.ledger.url, REMEMBERED, {"erasures": [data_of(each) for each in known.values()]})


def _written(value: Any) -> Json:  # noqa: ANN401 - whatever a column holds
    """Give a column's value as JSON; a frozen paper as what it says."""
    if isinstance(value, bytes):
        return b64encode(value).decode("ascii")
    if isinstance(value, str) and value.startswith("{"):
        try:
            read: Json = json.loads(value)
        except ValueError:
            return value
        return read
    return data_of(value)


def _readable(value: Json) -> str:
    said = value if isinstance(value, str) else json.dumps(value, ensure_ascii=False)
    return said if len(said) <= _READ_AT_MOST else f"({len(said)} letters, in the other file)"
