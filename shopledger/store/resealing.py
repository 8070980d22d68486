"""Sealing rows as they are after the tables were changed: what an upgrade did to them stands in the chain too."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Mapping
from typing import Final

from sqlalchemy import Connection, inspect, select

from shopledger.ledger.seals import Sealed, digests_in, next_seal, read_bodies
from shopledger.store.digests import GREATEST, LEAST, forms_found
from shopledger.store.schema_objects import SCHEMA, schema_digests
from shopledger.store.sealing import add_seal, last_head
from shopledger.store.tables.seals import seal

ALTHOUGH: Final = "although"
"""Stands in the note of a seal that was set on rows that were not as sealed before; the proof looks for it."""


def unlike_their_seals(connection: Connection) -> Mapping[str, int]:
    """Count the rows that are not as the chain says, table by table; nothing where there is no chain yet."""
    return {name: max(len(new), len(gone)) for name, (new, gone) in _differing(connection).items()}


def seal_as_they_are(connection: Connection, note: str) -> None:
    """Set a seal that takes the rows over as they are now; where there is nothing to take over, none."""
    tables = {name: Sealed.of(new, gone) for name, (new, gone) in _differing(connection).items()}
    if tables:
        add_seal(connection, next_seal(last_head(connection), "", "", note, tables))


def _differing(connection: Connection) -> dict[str, tuple[set[str], set[str]]]:
    """Give for each table the digests that the chain does not know, and those that no row has."""
    if not inspect(connection).has_table(seal.name):
        return {}
    wanted = _standing(connection)
    now = {form.table: form.digests(connection, LEAST, GREATEST) for form in forms_found(connection)}
    now[SCHEMA] = set(schema_digests(connection))
    return {
        name: (now.get(name, set()) - wanted[name], wanted[name] - now.get(name, set()))
        for name in sorted(now.keys() | wanted.keys())
        if now.get(name, set()) != wanted[name]
    }


def _standing(connection: Connection) -> Mapping[str, set[str]]:
    """Give what should stand now according to the chain, table by table."""
    found: dict[str, set[str]] = defaultdict(set)
    for body in connection.execute(select(seal.c.body).order_by(seal.c.number)).scalars():
        for name, (added, *removed) in read_bodies([body])[0].items():
            found[name].update(digests_in(added))
            found[name].difference_update(*map(digests_in, removed))
    return found
