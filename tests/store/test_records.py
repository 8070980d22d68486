"""Tables and records are declared once: what does not fit fails at once, and says what is missing."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Any

import pytest
from sqlalchemy import Column, inspect

from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.parties import Address
from shopledger.store import columns as kept
from shopledger.store.engine import ledger_engine
from shopledger.store.records import Fields, Record
from shopledger.store.tables.catalogue import frame
from shopledger.store.tables.parties import customer
from shopledger.store.tables.schema import METADATA
from shopledger.store.tables.spending import expense


@dataclass(frozen=True, slots=True)
class Thing:
    """A record for these tests."""

    code: str
    weight: int


def test_a_misspelt_column_is_an_error_to_the_types_and_at_run_time() -> None:
    """A table has the columns that it states and no others; strict mypy refuses an ignore that hides no error."""
    with pytest.raises(AttributeError, match="cod"):
        frame.c.cod.desc()  # type: ignore[attr-defined]


def test_a_field_without_a_column_is_named_with_its_table() -> None:
    """A field that nothing keeps would be lost without a word."""
    with pytest.raises(TypeError, match=r"Thing\.weight has no column in frame: say where it is kept"):
        Record(Thing, frame)


def test_a_column_that_nothing_fills_is_named_with_its_table() -> None:
    """A column that is always filled would make every row be refused."""
    with pytest.raises(TypeError, match=r"customer\.folded is never filled: no field of Address is kept there"):
        Record(Address, customer, also=("number", "name", "phone", "email", "printed_name"))


def test_a_value_in_several_columns_is_read_and_written_with_the_rest() -> None:
    """What a record holds inside goes to its own columns, and comes back from them."""
    home = Address("1 Mill Road", "Dayton", "OH", "45402")
    inner = Fields(Address, customer)
    assert inner.read([getattr(home, name) for name in ("street", "city", "state", "postcode", "second_line")]) == home
    assert inner.written["postcode"] == "postcode"


def words_of(address: str, table: str, column: str) -> set[str]:
    """Give the words that the migrated database takes in a column, from its CHECK."""
    engine = ledger_engine(address)
    checks = inspect(engine).get_check_constraints(table)
    engine.dispose()
    (found,) = (str(check["sqltext"]) for check in checks if check["name"] == f"ck_{table}_{column}_known")
    return set(found.split("'")[1::2])


def missing(address: str) -> list[str]:
    """Say which words of enumerations the migrated database does not take yet, or still takes."""
    sentences = []
    for table in METADATA.sorted_tables:
        for column in table.c:
            if isinstance(column.type, kept.OneOf):
                found, stated = words_of(address, table.name, column.key), set(column.type.words)
                name = f"{table.name}.{column.key}"
                sentences += [f"{name} does not take '{each}' yet: write a migration" for each in stated - found]
                sentences += [f"{name} still takes '{each}': write a migration" for each in found - stated]
    return sentences


def test_every_word_of_an_enumeration_is_taken_by_the_migrated_database(ledger_address: str) -> None:
    """A new word of an enumeration needs a migration; the sentence names the table, the column and the word."""
    assert missing(ledger_address) == []


def test_a_word_without_its_migration_is_named(sqlite_address: str, monkeypatch: pytest.MonkeyPatch) -> None:
    """What the test above says of a category that no migration lets in."""
    category = expense.c.category.type
    assert isinstance(category, kept.OneOf)
    later = Enum("Later", {**{each.name: each.value for each in ExpenseCategory}, "DONATED": "donated"})  # type: ignore[misc]
    monkeypatch.setattr(category, "kind", later)
    assert missing(sqlite_address) == ["expense.category does not take 'donated' yet: write a migration"]


@pytest.mark.parametrize(
    ("column", "value", "stored"),
    [
        (expense.c.day, date(2026, 3, 2), "2026-03-02"),
        (expense.c.category, ExpenseCategory.SUPPLIES, "supplies"),
        (frame.c.eye_size, 52.5, 5250),
    ],
    ids=str,
)
def test_a_column_takes_and_gives_the_value_itself(column: Column[Any], value: object, stored: object) -> None:
    """What stands in the database is a whole number or text; whoever asks the table never sees it."""
    kind = column.type
    if isinstance(kind, kept.Kept):
        assert (kind.write(value), kind.read(stored)) == (stored, value)
        assert (kind.write(None), kind.read(None)) == (None, None)
