"""Columns that tell of a person: each says beside itself what stands there after an erasure."""

from __future__ import annotations

from typing import Any

import pytest
from sqlalchemy import Column
from sqlalchemy.dialects import sqlite

from shopledger.store import columns as kept
from shopledger.store.tables.schema import METADATA

PERSONAL = [column for table in METADATA.tables.values() for column in table.columns if kept.is_personal(column)]
TELLING = ("name", "phone", "email", "birth", "member", "street", "city", "note", "sphere", "mono_pd")
BUSINESSES = {"supplier", "prescriber", "shop", "frame", "lens", "extra", "accessory", "offer", "maker"}
"""Whoever sells to the shop, prescribes by profession, or is a thing: not erased on a customer's word."""
OF_NOBODY = {
    ("bill", "note"), ("money_move", "note"), ("disposal", "note"), ("trace", "file_name"), ("counter", "name"),
    ("login", "name"),
    ("bank_account", "name"), ("bank_statement", "file_name"), ("processor", "name"), ("processor_report", "file_name"),
    ("seal", "note"),
    ("stock_movement", "note"),
    ("audit_note", "file_name"), ("changed_value", "note_number"), ("erasure_part", "table_name"),
}  # fmt: skip


@pytest.mark.parametrize("column", PERSONAL, ids=str)
def test_a_blank_is_something_that_its_column_can_hold(column: Column[Any]) -> None:
    """Nothing stands only where nothing may, and a value is one that the column's type can write."""
    blank = column.info[kept.PERSONAL]
    if isinstance(blank, kept.Blank):
        assert column.type.python_type is str
    elif blank is None:
        assert column.nullable
    else:
        write = column.type.bind_processor(sqlite.dialect())
        assert (write(blank) if write else blank) is not None


def test_what_sounds_like_a_person_is_marked() -> None:
    """A column with a telling name is personal, or belongs to a business, a thing or nobody."""
    unmarked = {
        (table.name, column.name)
        for table in METADATA.tables.values()
        for column in table.columns
        if any(word in column.name for word in TELLING) and not kept.is_personal(column)
    }
    assert {each for each in unmarked if each[0] not in BUSINESSES} == OF_NOBODY
