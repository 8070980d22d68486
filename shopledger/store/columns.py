"""The kinds of column the ledger's tables are made of: whole numbers and text, nothing else.

Every quantity is stored as a whole number of a small unit, every day as ISO text, every flag as 0 or 1, so that
SQLite (whose STRICT tables know only integers and text) and PostgreSQL hold exactly the same. `scales.py` converts.
"""

from __future__ import annotations

from collections.abc import Iterable
from enum import Enum
from typing import Annotated, TypeAlias

from sqlalchemy import BigInteger, CheckConstraint, Integer, Text
from sqlalchemy.orm import mapped_column

_WIDE = BigInteger().with_variant(Integer(), "sqlite")
# A 64-bit integer on both; SQLite's own INTEGER is that wide already, and STRICT tables know no BIGINT.

Number: TypeAlias = Annotated[int, mapped_column(Integer)]
"""A number that the ledger gives, a count or a position."""

Key: TypeAlias = Annotated[int, mapped_column(Integer, primary_key=True, autoincrement=False)]
"""A number taken from a counter: the same on both databases, and without gaps."""

CentsColumn: TypeAlias = Annotated[int, mapped_column(_WIDE)]
"""An amount in whole cents."""

Hundredths: TypeAlias = Annotated[int, mapped_column(Integer)]
"""Dioptres, degrees or millimetres as written on paper, in hundredths."""

Thousandths: TypeAlias = Annotated[int, mapped_column(Integer)]
"""Measured millimetres: half of a PD typed to the quarter needs the third decimal."""

TenThousandths: TypeAlias = Annotated[int, mapped_column(Integer)]
"""A refractive index or a density."""

Millionths: TypeAlias = Annotated[int, mapped_column(Integer)]
"""Dioptres that were worked out, or a rate."""

Flag: TypeAlias = Annotated[int, mapped_column(Integer)]
"""0 or 1."""

Words: TypeAlias = Annotated[str, mapped_column(Text)]
"""Text; empty where there is none."""

Day: TypeAlias = Annotated[str, mapped_column(Text)]
"""A day as YYYY-MM-DD."""

Code: TypeAlias = Annotated[str, mapped_column(Text, primary_key=True)]
"""The owner's short code of a catalogue item."""


def one_of(column: str, kind: type[Enum]) -> CheckConstraint:
    """Hold a column to the values of an enumeration."""
    return among(column, (member.value for member in kind))


def among(column: str, words: Iterable[str]) -> CheckConstraint:
    """Hold a column to some words."""
    listed = ", ".join(f"'{word}'" for word in words)
    return CheckConstraint(f"{column} IN ({listed})", name=f"{column}_known")


def flag(column: str) -> CheckConstraint:
    """Hold a column to 0 and 1."""
    return CheckConstraint(f"{column} IN (0, 1)", name=f"{column}_flag")


def not_negative(*columns: str) -> tuple[CheckConstraint, ...]:
    """Hold each column to zero or more."""
    return tuple(CheckConstraint(f"{column} >= 0", name=f"{column}_not_negative") for column in columns)


def between(column: str, low: int, high: int) -> CheckConstraint:
    """Hold a column to a range, both ends included."""
    return CheckConstraint(f"{column} BETWEEN {low} AND {high}", name=f"{column}_range")


def filled(*columns: str) -> tuple[CheckConstraint, ...]:
    """Hold each column to some text."""
    return tuple(CheckConstraint(f"{column} <> ''", name=f"{column}_filled") for column in columns)


def days(*columns: str) -> tuple[CheckConstraint, ...]:
    """Hold each column to the shape of YYYY-MM-DD."""
    return tuple(CheckConstraint(f"{column} LIKE '____-__-__'", name=f"{column}_is_day") for column in columns)
