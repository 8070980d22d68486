"""The chain over every record worked out again: that no seal was changed, and that the rows are those it sealed.

Seals are gone through in their order, a stretch at a time. A row stands under the seal that wrote it last; so what a
seal added and no row has now must be removed by a later seal, or it was changed or deleted from outside.
"""

from __future__ import annotations

from collections import Counter, defaultdict
from collections.abc import Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Final

from sqlalchemy import Table, select

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.ledger.books.proofs import Difference
from shopledger.ledger.seals import DIGEST_DIGITS, chain_hash, digests_in, digests_listed, digests_of, read_bodies
from shopledger.store.books.chain import quick_turns
from shopledger.store.digests import form_of, in_stretches
from shopledger.store.resealing import ALTHOUGH
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.sealing import SEALS, last_head
from shopledger.store.tables.base import SEAL
from shopledger.store.tables.seals import seal
from shopledger.store.transaction import Area

_LINKS: Final = f"""
SELECT number, json_object('note', note, 'number', number, 'operator', operator, 'recorded_at', recorded_at),
    body, hash, note LIKE '%{ALTHOUGH}%'
FROM seal WHERE number BETWEEN {{first}} AND {{last}} ORDER BY number
"""  # noqa: S608 - the word above

Link = tuple[int, str, str, str, bool]
"""Number, heading, body and hash of a seal, and whether it was set on rows that were not as sealed."""


@dataclass(slots=True)
class Standing:
    """What going through the chain has come to: what each table should still hold, and what it holds besides."""

    head: Head
    links: list[Difference] = field(default_factory=list)
    """Seals that do not follow on the one before."""
    gone: dict[str, set[str]] = field(default_factory=lambda: defaultdict(set))
    """Digests that no row has, by table."""
    strange: dict[str, dict[str, tuple[int, int]]] = field(default_factory=lambda: defaultdict(dict))
    """Digests of rows that no seal knows, with the seals of the stretch in which they stand, by table."""
    again: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    """How many rows stand that a seal removed, by table."""
    growth: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    """By how many rows each table grew."""
    rows: int = 0

    def compare(self, table: str, rows: set[str], stretch: tuple[int, int]) -> None:
        """Take off what stands as it was sealed, and keep what no seal knows."""
        expected = self.gone[table]
        self.rows += len(rows)
        self.strange[table].update(dict.fromkeys(rows - expected, stretch))
        expected -= rows

    def remove(self, table: str, removed: set[str], *, whole: bool) -> None:
        """Take off what later seals removed; what is not there to be removed stands although it should not."""
        expected = self.gone[table]
        if whole:
            self.again[table] += len(removed - expected)
        expected -= removed

    def match_late(self) -> None:
        """Match rows that a later seal took over as they were: an upgrade writes no row anew for that."""
        for table, rows in self.strange.items():
            late = self.gone[table] & rows.keys()
            self.gone[table] -= late
            for digest in late:
                del rows[digest]


_NOTES: Final = frozenset({"audit_note", "changed_value", "audit_pruning"})
"""The tables of notes."""


class Seals(Area):
    """The chain over every record of the ledger."""

    def head(self) -> Head:
        """Give how many seals there are, and the hash of the last."""
        return last_head(self.transaction.connection)

    def hash_of(self, number: int) -> str:
        """Give the hash that a seal carries; empty where there is none of that number."""
        found = self.transaction.chosen(select(seal.c.hash).where(seal.c.number == number))
        return found[0].hash if found else ""

    def of_customers(self, numbers: Sequence[int]) -> Head:
        """Give the head under which anything that tells of some customers, or of the shop itself, was written last.

        A paper made of nothing else is the same however often it is made, also where only looks were noted between.
        """
        from shopledger.store.subjects import CUSTOMER, paths, rows_of  # noqa: PLC0415 - as below

        asked = ["SELECT MAX(seal) AS newest FROM shop"]
        asked += [
            f"SELECT MAX(seal) AS newest FROM {name} WHERE {rows_of(name, CUSTOMER)}"  # noqa: S608 - as below
            for name, _ in sealed()
            if paths(name, CUSTOMER)
        ]
        # One by one, since a database joins only so many.
        found = [self.transaction.asked(each, person=number)[0].newest for each in asked for number in numbers]
        newest = max((each for each in found if each is not None), default=0)
        return Head(newest, self.hash_of(newest))

    def of_records(self) -> Head:
        """Give the head under which anything but notes of who did what was written last.

        What is handed over says the same when it is written again, though writing it is noted.
        """
        asked = [f"SELECT MAX(seal) AS newest FROM {name}" for name, _ in sealed() if name not in _NOTES]  # noqa: S608 - the tables' own names
        found = [self.transaction.asked(each)[0].newest for each in asked]
        newest = max((each for each in found if each is not None), default=0)
        return Head(newest, self.hash_of(newest))

    def standing(self, since: Head = EMPTY_HEAD) -> Standing:
        """Go through the chain after a head that was proven before, and through the rows written since."""
        last, connection = self.head(), self.transaction.connection
        found, whole = Standing(since), since == EMPTY_HEAD
        # The database reads while what was read before is hashed.
        with quick_turns(), ThreadPoolExecutor(1) as reader:
            for stretch in in_stretches(last.count, since.count + 1):
                links = reader.submit(self._links, *stretch)
                rows = {name: reader.submit(form_of(table).rows, connection, *stretch) for name, table in sealed()}
                removed = _follow(found, links.result(), max(stretch[0], 1))
                for name, texts in rows.items():
                    found.compare(name, digests_of(texts.result()), stretch)
                for name, digests in removed.items():
                    found.remove(name, digests, whole=whole)
        if whole:
            found.compare(SCHEMA, set(schema_digests(connection)), (1, last.count))
        found.match_late()
        return found

    def counts(self) -> dict[str, int]:
        """Count the rows of every table that the chain covers."""
        asked = " UNION ALL ".join(f"SELECT '{name}' AS name, COUNT(*) AS many FROM {name}" for name, _ in sealed())  # noqa: S608 - the tables' own names
        return {row.name: int(row.many) for row in self.transaction.asked(asked)}

    def differences(self, found: Standing) -> tuple[list[Difference], int]:
        """Name the rows that are not as they were sealed, as far as they are few, and count them all."""
        count = sum(
            max(len(found.gone[name]), len(found.strange[name])) + found.again[name]
            for name in {*found.gone, *found.strange, *found.again}
        )
        if not count:
            return [], 0
        from shopledger.store.differing import named  # noqa: PLC0415 - only a ledger that was changed needs it

        return named(self.transaction, found.gone, found.strange, found.again), count

    def _links(self, first: int, last: int) -> list[Link]:
        connection = self.transaction.connection
        if connection.dialect.name == "sqlite":
            rows = connection.exec_driver_sql(_LINKS.format(first=first, last=last))
            return [(*row[:4], bool(row[4])) for row in rows]
        every = self.transaction.matching(SEALS, seal.c.number.between(first, last), order=(seal.c.number,))
        return [(each.number, each.heading, each.body, each.hash, ALTHOUGH in each.note) for each in every]


def sealed() -> tuple[tuple[str, Table[Any]], ...]:
    """Give every table that the chain covers, by name."""
    from shopledger.store.tables.schema import METADATA  # noqa: PLC0415 - all tables, which only proofs need

    return tuple((name, table) for name, table in sorted(METADATA.tables.items()) if SEAL in table.c)


def _follow(found: Standing, links: Sequence[Link], wanted: int) -> dict[str, set[str]]:
    """Follow a stretch of seals, note each that does not fit, and take up what they added; gives what they removed."""
    last = found.head.hash
    for number, heading, body, hashed, although in links:
        if number != wanted:
            found.links.append(Difference(f"seal {wanted}", "in the chain", "it is missing"))
        elif chain_hash(last, heading, body) != hashed:
            found.links.append(Difference(f"seal {number}", f"as it was set: {heading}", "it was changed"))
        if although:
            found.links.append(Difference(f"seal {number}", "set on rows as sealed before", heading))
        last, wanted = hashed, number + 1
    if links:
        found.head = Head(wanted - 1, last)
    return _taken_up(found, links)


def _taken_up(found: Standing, links: Sequence[Link]) -> dict[str, set[str]]:
    added: dict[str, list[str]] = defaultdict(list)
    removed: dict[str, list[str]] = defaultdict(list)
    for said in _said(found, links):
        _take_up_schema(found, *said.pop(SCHEMA, ()))
        for name, parts in said.items():
            added[name].append(parts[0])
            removed[name] += parts[1:]
    taken = {name: digests_in("".join(parts)) for name, parts in removed.items() if parts}
    for name, parts in added.items():
        joined = "".join(parts)
        digests = digests_in(joined)
        if name in taken and len(joined) > DIGEST_DIGITS * len(digests):
            taken[name] -= _back(joined, "".join(removed[name]))
        found.gone[name] |= digests
        found.growth[name] += len(digests)
    for name, digests in taken.items():
        found.growth[name] -= len(digests)
    return taken


def _back(added: str, removed: str) -> set[str]:
    """Give the rows that came back as they had been: tables that were taken down a form, and up again."""
    came, went = (Counter(digests_listed(joined)) for joined in (added, removed))
    return {digest for digest, times in came.items() if times > went[digest]}


def _take_up_schema(found: Standing, added: str = "", removed: str = "") -> None:
    """Take up what a seal says of the schema, one seal after another: a part that went may come back as it was."""
    found.gone[SCHEMA] -= digests_in(removed)
    found.gone[SCHEMA] |= digests_in(added)


def _said(found: Standing, links: Sequence[Link]) -> list[dict[str, list[str]]]:
    """Read what seals say of tables, all at once; where that fails each by itself, and note which cannot be read."""
    try:
        return read_bodies([body for _, _, body, *_ in links])
    except ValueError:
        said = []
        for number, _, body, *_ in links:
            try:
                said += read_bodies([body])
            except ValueError as error:
                found.links.append(Difference(f"seal {number}", "readable", str(error)))
        return said
