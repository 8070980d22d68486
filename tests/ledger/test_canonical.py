"""Records as JSON by their fields: out, in, frozen, and in an outside form."""

from __future__ import annotations

import json
from dataclasses import dataclass, replace
from datetime import date
from enum import Enum

import pytest

from shopledger.errors import LedgerError
from shopledger.ledger.canonical import (
    FROZEN,
    Form,
    Shape,
    canonical_text,
    data_of,
    frozen,
    object_of,
    record_of,
    thawed,
)
from shopledger.money.amount import Cents, to_decimal
from shopledger.money.rate import Rate, write_rate


class Colour(Enum):
    """A word with a value of its own."""

    MOSS = "moss green"


@dataclass(frozen=True, slots=True)
class Part:
    """A record inside another."""

    what: str
    cost: Cents | None = None


@dataclass(frozen=True, slots=True)
class Whole:
    """One of each kind of field."""

    number: int
    colour: Colour
    on: date | None
    price: Cents
    costs: tuple[Cents, ...]
    share: Rate
    parts: tuple[Part, ...]
    pair: tuple[str, bool]
    turned: float | None = None
    codes: frozenset[str] = frozenset()
    form: int = 1

    @property
    def doubled(self) -> Cents:
        """Twice the price."""
        return 2 * self.price


WHOLE = Whole(
    7, Colour.MOSS, date(2026, 3, 14), 12995, (1, 250), 88_750, (Part("hinge", 50), Part("screw")), ("a", True), 90,
    frozenset({"b", "a"}),
)  # fmt: skip
DATA = {
    "number": 7,
    "colour": "moss green",
    "on": "2026-03-14",
    "price": 12995,
    "costs": [1, 250],
    "share": 88750,
    "parts": [{"what": "hinge", "cost": 50}, {"what": "screw", "cost": None}],
    "pair": ["a", True],
    "turned": 90,
    "codes": ["a", "b"],
    "form": 1,
}


def test_a_record_is_its_fields_in_their_order() -> None:
    """Enums give their value, days ISO text, tuples lists, nested records objects; no number changes its kind."""
    assert data_of(WHOLE) == DATA
    assert list(object_of(WHOLE)) == list(DATA)
    assert json.dumps(data_of(replace(WHOLE, turned=90.0))).count("90.0") == 1


@pytest.mark.parametrize("record", [WHOLE, replace(WHOLE, on=None, parts=(), turned=None)])
def test_what_is_written_is_read_back_the_same(record: Whole) -> None:
    """The record that comes back equals the one that went out, and is written the same again."""
    assert record_of(Whole, data_of(record)) == record
    assert frozen(thawed(Whole, frozen(record), "thing")) == frozen(record)


def test_a_field_of_a_later_version_takes_its_default() -> None:
    """What an earlier version of the program wrote can be read."""
    assert record_of(Part, {"what": "hinge"}) == Part("hinge")


def test_what_is_frozen_has_sorted_keys_and_no_spare_space() -> None:
    """The text is the same on every machine, letters are left as they are, and older forms lack later fields."""
    assert frozen(Part("Łódź")) == '{"cost":null,"what":"Łódź"}'
    assert frozen(Part("Łódź"), without={"cost"}) == '{"what":"Łódź"}'
    assert canonical_text([2, "é"]) == '[2,"é"]'


def test_a_form_that_is_too_new_is_refused_by_its_name() -> None:
    """An older program says that it is too old, whatever else the text holds."""
    with pytest.raises(LedgerError, match="the thing is of form 2, which only a newer shopledger can read"):
        thawed(Whole, '{"form":2}', "thing")


def test_an_outside_form_writes_amounts_and_rates_where_their_type_says_so() -> None:
    """Alone, in a tuple, where there may be none, in nested records, and as a property; other numbers stay numbers."""
    form = Form(
        amount=lambda cents: str(to_decimal(cents)),
        rate=write_rate,
        shapes={
            Whole: Shape(
                keys=("colour", "number", "price", "costs", "share", "parts", "doubled", "first"),
                renamed={"price": "list"},
                made={"first": lambda whole: whole.parts[0]},
            ),
        },
    )
    assert data_of(WHOLE, form) == {
        "colour": "moss green",
        "number": 7,
        "list": "129.95",
        "costs": ["0.01", "2.50"],
        "share": "8.875 %",
        "parts": [{"what": "hinge", "cost": "0.50"}, {"what": "screw", "cost": None}],
        "doubled": "259.90",
        "first": {"what": "hinge", "cost": "0.50"},
    }


def test_a_shape_may_leave_out_and_add() -> None:
    """Without a list of keys the fields stand in their order, and what is made follows them."""
    form = Form(shapes={Part: Shape(left_out={"cost"}, made={"long": lambda part: len(part.what) > 5})})
    assert data_of(Part("hinge"), form) == {"what": "hinge", "long": False}


def test_a_key_that_a_record_does_not_have_is_refused() -> None:
    """A misspelt name in a shape is an error, not an empty value."""
    with pytest.raises(TypeError, match="Part has neither a field nor a property cots"):
        data_of(Part("hinge"), Form(shapes={Part: Shape(keys=("cots",))}))


def test_what_json_cannot_hold_is_refused() -> None:
    """Nothing is written in a form that could not be read back."""
    with pytest.raises(TypeError, match="complex has no form in JSON"):
        data_of(1j, FROZEN)
