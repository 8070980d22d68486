"""Whose a row is: how each table leads to a customer or a wearer, found in the references between tables.

A table that must point at somebody is followed there; one that may point at several is followed along each. What holds
more than one wearer's data, such as an order's warnings, is named below: it leads to each of them.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from functools import cache
from itertools import pairwise
from typing import Any, Final

from sqlalchemy import Column, Table

from shopledger.store import columns as kept
from shopledger.store.tables.schema import METADATA

CUSTOMER, WEARER = "customer", "wearer"
W9_TABLE: Final = "w9"
"""A payee's W-9, which leads to no customer and is erased by itself."""


@dataclass(frozen=True, slots=True)
class Step:
    """From some columns of one table to the rows of another that hold the same."""

    columns: tuple[str, ...]
    table: str
    keys: tuple[str, ...]


Path = tuple[Step, ...]
"""The steps from a table to the person; none where the table is the person's own."""

_WEARER: Final = Step(("wearer_number",), WEARER, ("number",))
_SHEET: Final = (
    Step(("sha256",), "inspection", ("sheet_sha256",)),
    Step(("job_number",), "order_pair", ("job_number",)),
    _WEARER,
)
_DOCUMENT: Final = (
    Step(("sha256",), "prescription_file", ("sha256",)),
    Step(("prescription_number",), "prescription", ("number",)),
    _WEARER,
)
_PAYER: Final = Step(("customer_number",), CUSTOMER, ("number",))

SHARED: Final[Mapping[str, tuple[Path, ...]]] = {
    "kept_file": (_SHEET, _DOCUMENT),
    "kept_body": (_SHEET, _DOCUMENT),
    "order_warning": ((Step(("order_number",), "order_pair", ("order_number",)), _WEARER),),
    "draft_order": ((Step(("customer_number",), WEARER, ("customer_number",)),),),
}
"""How what no reference binds to a wearer leads to one, or to several: erased with the first of them.

A kept file is the sheet of a lens's maker where an inspection says so, or a prescriber's document where a prescription
does; what else is kept is of suppliers.
"""


def personal_tables() -> tuple[Table[Any], ...]:
    """Give every table with a column that tells of a person, what is pointed at first."""
    return tuple(table for table in METADATA.sorted_tables if personal_columns(table.name))


@cache
def personal_columns(name: str) -> tuple[Column[Any], ...]:
    """Give the columns of a table that tell of a person."""
    return tuple(column for column in METADATA.tables[name].columns if kept.is_personal(column))


@cache
def paths(name: str, root: str) -> tuple[Path, ...]:
    """Give the ways from a table to a customer or a wearer; none where it leads to none."""
    if name == root:
        return ((),)
    if root == W9_TABLE:
        # Nothing that tells of a person hangs on a payee's W-9.
        return ()
    if name in SHARED and (root == WEARER or not _steps_to_people(name)):
        return SHARED[name] if root == WEARER else tuple((*way, _PAYER) for way in SHARED[name])
    ways = [way for step in _steps(name) if (way := _best(name, step, root, frozenset({name}))) is not None]
    firm = [way for way in ways if not _loose(name, way)]
    return (min(firm, key=len),) if firm else tuple(ways)


def rows_of(name: str, root: str) -> str:
    """Give the condition, in SQL, that a row of a table belongs to the person numbered `:person`."""
    return f"({' OR '.join(_leads(way) for way in paths(name, root)) or '1 = 0'})"


def _leads(way: Path) -> str:
    if not way:
        return "number = :person"
    step, rest = way[0], way[1:]
    columns, keys = ", ".join(step.columns), ", ".join(step.keys)
    return f"({columns}) IN (SELECT {keys} FROM {step.table} WHERE {_leads(rest)})"  # noqa: S608 - names of the tables


def reached_by(name: str, root: str, row: str, condition: str, others: str) -> Iterator[str]:
    """Give, for each way to a person, the condition that a row leads to one for whom something holds.

    `condition` names that person's number as `{person}`; `others` are more tables that it speaks of.
    """
    for path in paths(name, root):
        said = condition.format(person=f"{_last(path, row)}.number")
        yield _exists(path, row, said, others)


def _exists(path: Path, row: str, condition: str, others: str = "") -> str:
    tables = [f"{step.table} way_{place}" for place, step in enumerate(path)]
    listed = ", ".join([*tables, *filter(None, [others])])
    joins = [
        f"{after}.{key} = {before}.{column}"
        for (before, after), step in zip(pairwise([row, *_names(path)]), path, strict=True)
        for column, key in zip(step.columns, step.keys, strict=True)
    ]
    met = " AND ".join([*joins, condition])
    return f"EXISTS (SELECT 1 FROM {listed} WHERE {met})" if listed else f"({met})"  # noqa: S608 - names of the tables


def _names(path: Path) -> list[str]:
    return [f"way_{place}" for place, _ in enumerate(path)]


def _last(path: Path, row: str) -> str:
    return _names(path)[-1] if path else row


def _steps_to_people(name: str) -> bool:
    """Tell whether the references of a table lead to anybody by themselves."""
    return any(_best(name, step, CUSTOMER, frozenset({name})) is not None for step in _steps(name))


def _best(name: str, step: Step, root: str, been: frozenset[str]) -> Path | None:
    """Give the best way to a person that begins with a step: with the fewest references that may be empty."""
    if step.table == root:
        return (step,)
    if step.table in been:
        return None
    rests = (_best(step.table, each, root, been | {step.table}) for each in _steps(step.table))
    ways = [(step, *rest) for rest in rests if rest is not None]
    return min(ways, key=lambda way: (_loose(name, way), len(way)), default=None)


@cache
def _steps(name: str) -> tuple[Step, ...]:
    """Give the references of a table."""
    constraints = METADATA.tables[name].foreign_key_constraints
    found = (
        Step(
            tuple(part.parent.name for part in each.elements),
            each.referred_table.name,
            tuple(part.column.name for part in each.elements),
        )
        for each in constraints
    )
    return tuple(sorted(found, key=lambda step: step.columns))


def _loose(name: str, way: Path) -> int:
    """Count the steps of a way whose reference may be empty."""
    tables = [name, *(step.table for step in way)]
    return sum(
        any(METADATA.tables[table].columns[column].nullable for column in step.columns)
        for table, step in zip(tables, way, strict=False)
    )
