"""Between forms and records: what stands in a form of a record is read back to the record."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

import pytest
from flask import Flask

from shopledger.counter.forms.fields import amount, day, form, length, line, tick, whole, word
from shopledger.counter.forms.filled import Filled, read
from shopledger.counter.forms.records import as_typed, taken
from shopledger.ledger.stock import StockReason


@dataclass(frozen=True)
class Thing:
    """A record of every kind of value."""

    name: str
    note: str
    price: int
    count: int | None
    wide: float | None
    why: StockReason
    since: date | None
    gone: bool


EVERY = form(
    line("name", "Name"),
    line("note", "Note", needed=False),
    amount("price", "Price"),
    whole("count", "Count", needed=False),
    length("wide", "Width", needed=False),
    word("why", "Why", StockReason),
    day("since", "Since"),
    tick("gone", "Gone"),
)


@pytest.mark.parametrize(
    "thing",
    [
        Thing("Wren", "moss", 123_456, 3, 52.5, StockReason.WRITTEN_OFF, date(2026, 3, 2), gone=True),
        Thing("Wren", "", 0, None, None, StockReason.OPENING, None, gone=False),
    ],
)
def test_a_record_comes_back_as_it_was(app: Flask, thing: Thing) -> None:
    """Typed as a person would type it, nothing of it changes on the way."""
    with app.app_context():
        filled = Filled(EVERY, as_typed(EVERY, thing))
        values = read(filled)
        assert not filled.wrong
        assert Thing(**taken(EVERY, values)) == thing


def test_only_fields_of_the_record_stand_in_the_form() -> None:
    """A field that the record does not have is left as it is."""
    shown = as_typed(
        form(line("name", "Name"), day("from_day", "From")), Thing("W", "", 0, 1, 1, StockReason.SOLD, None, gone=False)
    )
    assert shown == {"name": ["W"]}
