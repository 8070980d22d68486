"""All tables together, with their CHECKs and STRICT on SQLite: the metadata that migrations are compared with."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Any, Final

from sqlalchemy import CheckConstraint, Constraint, ForeignKeyConstraint, Index, MetaData, Table, UniqueConstraint

from shopledger.store import columns as kept
from shopledger.store.tables import (
    backups,
    bank,
    base,
    bills,
    catalogue,
    corrections,
    counters,
    earnings,
    erasures,
    forms,
    inspections,
    journal,
    lens_orders,
    logins,
    names,
    orders,
    parcels,
    parties,
    payments,
    periods,
    prescriptions,
    processor,
    receipts,
    seals,
    settings,
    spending,
    stock,
    traces,
    waiting,
    year_lists,
)

AREAS: Final = (
    *(
        counters,
        settings,
        parties,
        catalogue,
        prescriptions,
        traces,
        orders,
        payments,
        corrections,
        parcels,
        earnings,
        receipts,
        journal,
        stock,
        inspections,
    ),
    *(
        bills,
        spending,
        periods,
        lens_orders,
        names,
        erasures,
        seals,
        waiting,
        backups,
        bank,
        processor,
        year_lists,
        forms,
        logins,
    ),
)
"""The modules whose import registers every table."""


def _checks(table: Table[Any]) -> Iterator[CheckConstraint]:
    """Give the CHECKs that a table and its columns state."""
    for column in table.columns:
        rules = list(column.info[kept.RULES])
        if isinstance(column.type, kept.OneOf):
            rules.append(kept.known(column.type.words))
        for rule in rules:
            yield CheckConstraint(rule.condition.format(column.name), name=rule.name.format(column.name))
    for rule in table.info[kept.RULES]:
        yield CheckConstraint(rule.condition, name=rule.name)


def _keys(table: Table[Any]) -> Iterator[Constraint | Index]:
    """Give the references, indexes and unique columns that a table and its columns state."""
    for column in table.columns:
        for target in column.info[kept.REFERENCES]:
            yield ForeignKeyConstraint([column.key], [target], ondelete="RESTRICT")
        if column.info[kept.INDEX]:
            yield Index(None, column.key)
        if column.info[kept.UNIQUE]:
            yield UniqueConstraint(column.key)
    yield from table.info[kept.PARTS]


def _completed() -> MetaData:
    for table in base.METADATA.tables.values():
        for item in (*_keys(table), *_checks(table)):
            item._set_parent_with_dispatch(table)  # noqa: SLF001 - as Table itself does with what it is given
        table.dialect_options["sqlite"]["strict"] = True
    return base.METADATA


METADATA: Final = _completed()
