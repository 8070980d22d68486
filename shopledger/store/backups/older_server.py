"""A ledger on a server copied into a file before its tables are brought up to date.

The tables that this program declares are those of the end, so what there is to copy is asked of both databases.
"""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

from sqlalchemy import Connection, MetaData, Table

from shopledger.store.backups.tables import one_moment, pour
from shopledger.store.migrate import bring_to
from shopledger.store.places import ledger_url
from shopledger.store.refusals import BackupFailedError
from shopledger.store.revision import REVISION_TABLE


def copy_older_server(url: str, revision: str, target: Path) -> None:
    """Copy a ledger whose tables are at an earlier state into an empty file at the same state, all rows of one moment.

    Raises BackupFailedError where a table or a row of it would be left out.
    """

    def filling(copy: Connection) -> None:
        _refill(source, copy)

    with one_moment(url) as source:
        bring_to(ledger_url(str(target)), str(target), revision, filling=filling)


def _refill(source: Connection, target: Connection) -> None:
    here, there = _tables(target), {each.name: each for each in _tables(source)}
    strange = sorted(there.keys() ^ {each.name for each in here})
    if strange:
        raise BackupFailedError(str(source.engine.url.database), f"its tables are not those of its state: {strange[0]}")
    pour(source, target, [each for each in here if each.name != REVISION_TABLE])


def _tables(connection: Connection) -> Sequence[Table]:
    found = MetaData()
    found.reflect(connection)
    return found.sorted_tables
