"""What all tables share: names for constraints, how a table is made of its columns, and who recorded a row."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final, TypeVar, cast

from sqlalchemy import Column, MetaData, Table, TypedColumns
from sqlalchemy.schema import SchemaItem

from shopledger.store import columns as kept

METADATA: Final = MetaData(
    naming_convention={
        "ix": "ix_%(table_name)s_%(column_0_N_name)s",
        "uq": "uq_%(table_name)s_%(column_0_N_name)s",
        "ck": "ck_%(table_name)s_%(constraint_name)s",
        "fk": "fk_%(table_name)s_%(column_0_N_name)s_%(referred_table_name)s",
        "pk": "pk_%(table_name)s",
    }
)
"""The tables of whatever areas were imported; `tables/schema.py` imports them all."""

WHOSE: Final = "whose"
"""Under which a table's `info` lists the columns that name a row in a refusal, such as `right`."""

SEAL: Final = "seal"
"""The column that names the seal under which a row was last written."""
SALT: Final = "salt"
"""The column of random bytes that each table with personal data has."""

C = TypeVar("C", bound="Unsealed")


class Unsealed(TypedColumns):
    """The columns of a table, and none that is not among them; only what proves itself or others stands unsealed."""

    if TYPE_CHECKING:
        # SQLAlchemy says that a collection may have any column; a misspelt one is an error here, as at run time.
        __getattr__: None  # type: ignore[assignment, misc]


class Columns(Unsealed):
    """The columns of a table whose rows the chain covers; the transaction fills the number of the seal."""

    seal = kept.number(index=True)


class Recorded(Columns):
    """Who made the row, and when, in UTC; the transaction fills both."""

    operator = kept.words()
    recorded_at = kept.words()


def table(name: str, columns: type[C], *parts: SchemaItem, whose: tuple[str, ...] = (), **rules: str) -> Table[C]:
    """Make a table of the columns that a class states; each of the rules is a CHECK on several columns, by its name.

    The columns of the class itself become the table's; SQLAlchemy would copy each, and a look-up would wait for it.
    """
    stated = {
        key: column if owner is columns else column._copy()  # noqa: SLF001 - what several tables share is copied
        for owner in reversed(columns.__mro__)
        for key, column in vars(owner).items()
        if isinstance(column, Column)
    }
    if any(map(kept.is_personal, stated.values())):
        # Random bytes that keep the digest of such a row from being guessed; they are blanked with the rest.
        stated[SALT] = kept.words()
    for key, column in stated.items():
        column.name = column.key = key
    checks = [kept.Rule(rule, condition) for rule, condition in rules.items()]
    info = {kept.RULES: checks, kept.PARTS: parts, WHOSE: whose}
    return cast("Table[C]", Table(name, METADATA, *stated.values(), info=info))
