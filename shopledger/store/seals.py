"""The chain over every record worked out again: that no seal was changed, and that the rows are those it sealed.

Seals are gone through in their order, a stretch at a time. A row stands under the seal that wrote it last; so what a
seal added and no row has now must be removed by a later seal, or it was changed or deleted from outside.
"""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator, Mapping, Sequence
from concurrent.futures import ThreadPoolExecutor
from dataclasses import dataclass, field
from typing import Any, Final

from sqlalchemy import Table, select, type_coerce

from shopledger.ledger.books.journal import EMPTY_HEAD, Head
from shopledger.ledger.books.proofs import Difference
from shopledger.ledger.seals import Seal, Sealed, digests_in, read_body
from shopledger.store.digests import RowForm, form_of, in_stretches, plain_types
from shopledger.store.resealing import ALTHOUGH
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.sealing import SEALS, last_head
from shopledger.store.tables.base import SEAL
from shopledger.store.tables.seals import seal
from shopledger.store.transaction import Area

MOST_LOOKED_FOR: Final = 100
"""How many rows that no seal knows are looked up by their keys; all are counted."""


@dataclass(slots=True)
class Standing:
    """What going through the chain has come to: what each table should still hold, and what it holds besides."""

    head: Head
    links: list[Difference] = field(default_factory=list)
    """Seals that do not follow on the one before."""
    gone: dict[str, dict[str, int]] = field(default_factory=lambda: defaultdict(dict))
    """Digests that no row has, with the seal that added each, by table."""
    strange: dict[str, list[tuple[str, int, int]]] = field(default_factory=lambda: defaultdict(list))
    """Digests of rows that no seal knows, with the seals of the stretch in which they stand, by table."""
    again: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    """How many rows stand that a seal removed, by table."""
    growth: dict[str, int] = field(default_factory=lambda: defaultdict(int))
    """By how many rows each table grew."""
    rows: int = 0


class Seals(Area):
    """The chain over every record of the ledger."""

    def head(self) -> Head:
        """Give how many seals there are, and the hash of the last."""
        return last_head(self.transaction.connection)

    def hash_of(self, number: int) -> str:
        """Give the hash that a seal carries; empty where there is none of that number."""
        found = self.transaction.chosen(select(seal.c.hash).where(seal.c.number == number))
        return found[0].hash if found else ""

    def standing(self, since: Head = EMPTY_HEAD) -> Standing:
        """Go through the chain after a head that was proven before, and through the rows written since."""
        last = self.head()
        found = Standing(since)
        whole = since == EMPTY_HEAD
        with ThreadPoolExecutor(1) as reader:
            for first, end in in_stretches(last.count, since.count + 1):
                coming = {name: reader.submit(self._digests, form_of(table), first, end) for name, table in sealed()}
                removed = self._added(found, first, end)
                for name, digests in coming.items():
                    self._compare(found, name, set(digests.result()), (first, end))
                self._remove(found, removed, whole=whole)
        if whole:
            self._compare_schema(found)
        for name, rows in found.strange.items():
            self._match_late(rows, found.gone[name])
        return found

    @staticmethod
    def _match_late(rows: list[tuple[str, int, int]], gone: dict[str, int]) -> None:
        """Match rows that a later seal took over as they were: an upgrade writes no row anew for that."""
        rows[:] = [row for row in rows if gone.pop(row[0], None) is None]

    def counts(self) -> dict[str, int]:
        """Count the rows of every table that the chain covers."""
        asked = " UNION ALL ".join(f"SELECT '{name}' AS name, COUNT(*) AS many FROM {name}" for name, _ in sealed())  # noqa: S608 - the tables' own names
        return {row.name: int(row.many) for row in self.transaction.asked(asked)}

    def differences(self, found: Standing) -> tuple[list[Difference], int]:
        """Name the rows that are not as they were sealed, and count them all."""
        named: list[Difference] = []
        count = 0
        for name in sorted({*found.gone, *found.strange, *found.again}):
            gone, strange = found.gone[name], found.strange[name]
            count += max(len(gone), len(strange)) + found.again[name]
            named += self._named(name, gone, strange)
        return named, count

    def _digests(self, form: RowForm, first: int, last: int) -> list[str]:
        return form.digests(self.transaction.connection, first, last)

    def _added(self, found: Standing, first: int, last: int) -> dict[str, set[str]]:
        """Take up what a stretch of seals added; gives what it removed."""
        removed: dict[str, set[str]] = defaultdict(set)
        for each in self._links(found, first, last):
            for name, part in _said(each, found.links).items():
                found.gone[name].update(dict.fromkeys(digests_in(part.added), each.number))
                removed[name].update(digests_in(part.removed))
                found.growth[name] += part.growth
        return removed

    def _links(self, found: Standing, first: int, last: int) -> Iterator[Seal]:
        """Give the seals of a stretch, and note each that does not follow on the one before."""
        wanted = max(first, 1)
        for each in self.transaction.matching(SEALS, seal.c.number.between(first, last), order=(seal.c.number,)):
            if each.number != wanted:
                found.links.append(Difference(f"seal {wanted}", "in the chain", "it is missing"))
            elif each.after(found.head.hash) != each.hash:
                found.links.append(Difference(f"seal {each.number}{_of(each)}", "as it was set", "it was changed"))
            if ALTHOUGH in each.note:
                found.links.append(Difference(f"seal {each.number}", "set on rows as sealed before", each.note))
            found.head, wanted = each.head, each.number + 1
            yield each

    def _compare(self, found: Standing, name: str, rows: set[str], stretch: tuple[int, int]) -> None:
        expected = found.gone[name]
        found.rows += len(rows)
        found.strange[name] += [(digest, *stretch) for digest in rows - expected.keys()]
        for digest in rows & expected.keys():
            del expected[digest]

    def _remove(self, found: Standing, removed: Mapping[str, set[str]], *, whole: bool) -> None:
        for name, digests in removed.items():
            expected = found.gone[name]
            known = digests & expected.keys()
            for digest in known:
                del expected[digest]
            if whole:
                found.again[name] += len(digests - known)

    def _compare_schema(self, found: Standing) -> None:
        now = set(schema_digests(self.transaction.connection))
        self._compare(found, SCHEMA, now, (1, found.head.count))

    def _named(self, name: str, gone: Mapping[str, int], strange: Sequence[tuple[str, int, int]]) -> list[Difference]:
        """Name the rows of one table that differ: what stands now by its key, what is gone by its seal."""
        if name == SCHEMA:
            return self._named_objects({digest for digest, *_ in strange}, len(gone))
        table = dict(sealed())[name]
        seals = self._seals(set(gone.values()))
        left = sorted(gone.values())
        named = []
        for where, number in self._rows(table, strange):
            was = number if number in left else None
            if was is not None:
                left.remove(was)
            day = f"as it was sealed{_of(seals[was])}" if was in seals else "in no seal"
            named.append(Difference(where, day, "it was changed" if was is not None else "it was added or changed"))
        named += [
            Difference(f"a row of {_words(name)}", f"there, as sealed{_of(seals[number])}", "it is missing or changed")
            for number in left[: MOST_LOOKED_FOR - len(named)]
            if number in seals
        ]
        return named

    def _rows(self, table: Table[Any], strange: Sequence[tuple[str, int, int]]) -> Iterator[tuple[str, int]]:
        """Give the rows that no seal knows, each by its words and with the seal that it claims."""
        looked_for = dict.fromkeys(digest for digest, *_ in strange[:MOST_LOOKED_FOR])
        stretches = sorted({(first, last) for _, first, last in strange[:MOST_LOOKED_FOR]})
        digest, kinds = form_of(table).digest, dict(plain_types(table))
        columns = [table.c[name] for name in kinds]
        for first, last in stretches:
            asked = select(*(each.label(each.name) for each in _plain(columns, kinds)))
            rows = self.transaction.connection.execute(asked.where(table.c[SEAL].between(first, last)))
            for row in rows.mappings():
                if digest(dict(row)) in looked_for:
                    key = " ".join(str(row[column.name]) for column in table.primary_key.columns)
                    yield f"{_words(table.name)} {key}", row[SEAL]

    def _named_objects(self, strange: set[str], gone: int) -> list[Difference]:
        objects = schema_digests(self.transaction.connection)
        named = [
            Difference(objects[digest], "as this revision made it", "it was changed or added") for digest in strange
        ]
        more = gone - len(named)
        missing = [Difference("the tables", "as this revision made them", f"{more} parts are missing")]
        return named + (missing if more > 0 else [])

    def _seals(self, numbers: set[int]) -> dict[int, Seal]:
        some = sorted(numbers)[:MOST_LOOKED_FOR]
        return {each.number: each for each in self.transaction.all(SEALS, {seal.c.number: some})}


def sealed() -> tuple[tuple[str, Table[Any]], ...]:
    """Give every table that the chain covers, by name."""
    from shopledger.store.tables.schema import METADATA  # noqa: PLC0415 - all tables, which only proofs need

    return tuple((name, table) for name, table in sorted(METADATA.tables.items()) if SEAL in table.c)


def _said(each: Seal, links: list[Difference]) -> Mapping[str, Sealed]:
    try:
        return read_body(each.body)
    except (ValueError, TypeError, AttributeError):
        links.append(Difference(f"seal {each.number}", "readable", "what it says of tables cannot be read"))
        return {}


def _of(each: Seal) -> str:
    """Say of when and whose a seal is."""
    when = f" on {each.recorded_at[:10]}" if each.recorded_at else ""
    return f"{when} by {each.operator}" if each.operator else when or f" ({each.note})"


def _words(table: str) -> str:
    return table.replace("_", " ")


def _plain(columns: Sequence[Any], kinds: Mapping[str, Any]) -> list[Any]:
    return [type_coerce(column, kinds[column.name]).label(column.name) for column in columns]
