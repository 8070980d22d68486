"""Between a form and a record whose fields it asks for by their own names."""

from __future__ import annotations

from datetime import date
from enum import Enum
from typing import Any, Final

from shopledger.counter.forms.fields import Field, Form, Kind
from shopledger.counter.forms.filled import Values
from shopledger.ledger.forms import Typed
from shopledger.money.amount import write_amount
from shopledger.typed.amounts import read_typed_amount
from shopledger.typed.words import typed_word

TEXTS: Final = (Kind.LINE, Kind.TEXT)


def as_typed(form: Form, record: object) -> Typed:
    """Give what stands in a form that shows a record as it is: each field's value as a person would type it."""
    known = (each for each in form.fields if hasattr(record, each.name))
    return {each.name: _written(each, getattr(record, each.name)) for each in known}


def taken(form: Form, values: Values) -> dict[str, Any]:
    """Give what was read from a form by the names of its fields; a text that was left empty is empty."""
    return {each.name: _taken(each, values) for each in form.fields}


def _taken(each: Field[Any], values: Values) -> Any:
    found = values.of(each)
    return "" if found is None and each.kind in TEXTS else found


def _written(each: Field[Any], value: object) -> list[str]:
    if isinstance(value, bool):
        return _answered(each, yes=value)
    if isinstance(value, tuple):
        return [" ".join(f"{part:g}" for part in value)]
    return ["" if value is None else _as_text(each, value)]


def _answered(each: Field[Any], *, yes: bool) -> list[str]:
    if each.kind is Kind.TICK:
        return ["yes"] if yes else []
    return ["yes" if yes else "no"]


def _as_text(each: Field[Any], value: object) -> str:
    if isinstance(value, Enum):
        return typed_word(value)
    if isinstance(value, date):
        return value.isoformat()
    if isinstance(value, int) and each.read is read_typed_amount:
        return write_amount(value)
    return f"{value:g}" if isinstance(value, float) else str(value)
