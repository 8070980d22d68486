"""Which records are not as they were sealed: named by their tables and numbers, with the day and hand of their seal."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any, Final

from sqlalchemy import Table, select, type_coerce

from shopledger.ledger.books.proofs import MOST_NAMED, Difference
from shopledger.ledger.seals import Seal
from shopledger.store.digests import form_of, plain_types
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.sealing import SEALS
from shopledger.store.tables.base import SEAL
from shopledger.store.tables.seals import seal
from shopledger.store.transaction import Transaction

_CHANGED: Final = "it was changed"

Stretch = tuple[int, int]


def named(
    transaction: Transaction,
    gone: Mapping[str, set[str]],
    strange: Mapping[str, Mapping[str, Stretch]],
    again: Mapping[str, int],
) -> list[Difference]:
    """Name what differs, table by table: rows that no seal knows by their keys, rows that are gone by their seal."""
    found: list[Difference] = []
    for name in sorted({*gone, *strange, *again}):
        lost, new = gone.get(name, set()), strange.get(name, {})
        if name == SCHEMA:
            found += _parts(transaction, lost, new)
        elif lost or new:
            found += _rows(transaction, name, lost, new)
        if again.get(name):
            found.append(Difference(_words(name), "without what was removed", f"{again[name]} rows stand again"))
    return found


def _rows(transaction: Transaction, name: str, gone: set[str], strange: Mapping[str, Stretch]) -> Iterator[Difference]:
    from shopledger.store.tables.schema import METADATA  # noqa: PLC0415 - all tables

    left = sorted((_seal_of(transaction, digest) for digest in sorted(gone)[:MOST_NAMED]), key=lambda each: each.number)
    for where, number in _strange_rows(transaction, METADATA.tables[name], strange):
        was = next((each for each in left if each.number == number), None)
        if was is None:
            yield Difference(where, "in a seal", "no seal holds it as it is: it was added or changed")
        else:
            left.remove(was)
            yield Difference(where, f"as it was sealed{_of(was)}", _CHANGED)
    for each in left:
        yield Difference(f"a row of {_words(name)}", f"there, as sealed{_of(each)}", "it is missing or was changed")


def _strange_rows(
    transaction: Transaction, table: Table[Any], strange: Mapping[str, Stretch]
) -> Iterator[tuple[str, int]]:
    """Give the rows that no seal knows, each by its words and with the seal that it claims."""
    some = dict(list(strange.items())[:MOST_NAMED])
    digest, kinds = form_of(table).digest, plain_types(table)
    columns = [type_coerce(table.c[name], kind).label(name) for name, kind in kinds]
    for first, last in sorted(set(some.values())):
        asked = select(*columns).where(table.c[SEAL].between(first, last))
        for row in transaction.connection.execute(asked).mappings():
            if digest(dict(row)) in some:
                key = " ".join(str(row[column.name]) for column in table.primary_key.columns)
                yield f"{_words(table.name)} {key}", row[SEAL]


def _parts(transaction: Transaction, gone: set[str], strange: Mapping[str, Stretch]) -> Iterator[Difference]:
    """Name the tables, indexes and guards that are not as this revision of the ledger made them."""
    objects = schema_digests(transaction.connection)
    for digest in strange:
        yield Difference(objects[digest], "as the program made it", "it was changed or added")
    if len(gone) > len(strange):
        missing = f"{len(gone) - len(strange)} are missing"
        yield Difference("tables, indexes and guards", "as the program made them", missing)


def _seal_of(transaction: Transaction, digest: str) -> Seal:
    """Find the seal that added a row."""
    (found,) = transaction.matching(SEALS, seal.c.body.contains(digest), order=(seal.c.number,), limit=1)
    return found


def _of(each: Seal) -> str:
    """Say of when and whose a seal is."""
    when = f" on {each.recorded_at[:10]}" if each.recorded_at else ""
    return f"{when} by {each.operator}" if each.operator else when or f" ({each.note})"


def _words(table: str) -> str:
    return table.replace("_", " ")
