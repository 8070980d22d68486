"""How one value of a TOML file is read: each reader takes the key and what stands there, or refuses the wrong kind."""

from __future__ import annotations

from collections.abc import Callable, Collection, Mapping, Sequence
from dataclasses import MISSING, fields, is_dataclass
from dataclasses import Field as DataclassField
from datetime import date, datetime
from enum import Enum
from types import NoneType, UnionType
from typing import Any, Final, TypeVar, Union, get_args, get_origin

from shopledger.errors import RefusedError, listed, nearest
from shopledger.exchange.refusals import RowsRefusedError
from shopledger.exchange.rows import REQUIRED, Field, Place, Problems, Reader, TomlFile, read_row
from shopledger.ledger.canonical import AMOUNT, RATE, types_of
from shopledger.ledger.catalogue import EACH, read_pair_price
from shopledger.ledger.limits import LARGEST_NUMBER, hold_day
from shopledger.ledger.text import refuse_private, refuse_unseen
from shopledger.money.amount import Cents, read_amount
from shopledger.money.rate import Rate, read_rate
from shopledger.optics.notation import read_power
from shopledger.optics.power import SphereCylinder

E = TypeVar("E", bound=Enum)


def as_text(key: str, value: object) -> str:
    """Read text in quotes."""
    if not isinstance(value, str):
        raise RefusedError(
            f"'{key}'", _shown(value), "it must be text", f'Put it in quotes: {key} = "{_plain(value)}".'
        )
    return _held(key, value)


def as_texts(key: str, value: object) -> tuple[str, ...]:
    """Read a list of texts; a single text is a list of one."""
    if isinstance(value, str):
        return (_held(key, value),)
    if not isinstance(value, list) or not all(isinstance(each, str) for each in value):
        raise RefusedError(
            f"'{key}'", _shown(value), "it must be a list of texts", f'Write it like {key} = ["A", "B"].'
        )
    return tuple(_held(key, each) for each in value)


def as_set(key: str, value: object) -> frozenset[str]:
    """Read a list of texts whose order means nothing."""
    return frozenset(as_texts(key, value))


def as_amount(key: str, value: object) -> Cents:
    """Read money as text or whole dollars; a number with a point is refused, since it is not exact."""
    if isinstance(value, int) and not isinstance(value, bool):
        return read_amount(str(value), f"'{key}'")
    if isinstance(value, str):
        return read_amount(value, f"'{key}'")
    example = f"{value:.2f}" if isinstance(value, float) else "129.95"
    hint = f'Put it in quotes: {key} = "{example}".'
    raise RefusedError(f"'{key}'", _shown(value), "money is text in quotes or whole dollars", hint)


def as_pair_price(key: str, value: object) -> Cents:
    """Read what a pair costs, written for the pair or, with `each` behind it, for one lens."""
    if isinstance(value, str) and value.strip().casefold().endswith(EACH):
        return read_pair_price(value, f"'{key}'")
    return as_amount(key, value)


def as_rate(key: str, value: object) -> Rate:
    """Read a percentage as text or a whole number; a number with a point is refused, since it is not exact."""
    if isinstance(value, int) and not isinstance(value, bool):
        return read_rate(str(value), f"'{key}'")
    if isinstance(value, str):
        return read_rate(value, f"'{key}'")
    example = f"{value:g} %" if isinstance(value, float) else "8.875 %"
    hint = f'Put it in quotes: {key} = "{example}".'
    raise RefusedError(f"'{key}'", _shown(value), "a percentage is text in quotes or a whole number", hint)


def as_number(key: str, value: object) -> float:
    """Read a number without quotes."""
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise RefusedError(
            f"'{key}'", _shown(value), "it must be a number", f"Write it without quotes, like {key} = 52."
        )
    if not abs(value) <= LARGEST_NUMBER:
        raise RefusedError(f"'{key}'", _shown(value), "no figure is that large", f"Write it like {key} = 52.")
    return float(value)


def as_numbers(key: str, value: object) -> tuple[float, ...]:
    """Read a list of numbers; a single number is a list of one."""
    if isinstance(value, list):
        return tuple(as_number(key, each) for each in value)
    return (as_number(key, value),)


def as_both_eyes(key: str, value: object) -> float | tuple[float | None, float | None]:
    """Read one number for both eyes together, or two for right and left; empty text in a list says not measured."""
    if not isinstance(value, list):
        return as_number(key, value)
    if len(value) != 2:
        hint = f"Write {key} = 31.5 or {key} = [31.5, 31.0]."
        raise RefusedError(f"'{key}'", _shown(value), "it is one number, or two for right and left", hint)
    right, left = (None if each == "" else as_number(key, each) for each in value)
    return right, left


def as_power(key: str, value: object) -> SphereCylinder:
    """Read a power as it is written on paper."""
    return read_power(as_text(key, value))


def as_count(key: str, value: object) -> int:
    """Read a whole number from 0."""
    if isinstance(value, bool) or not isinstance(value, int) or not 0 <= value <= 1_000_000:
        allowed = "it must be a whole number from 0 to 1,000,000"
        raise RefusedError(f"'{key}'", _shown(value), allowed, f"Write it without quotes, like {key} = 3.")
    return value


def as_day(key: str, value: object) -> date:
    """Read a day, with or without quotes."""
    if isinstance(value, date) and not isinstance(value, datetime):
        return hold_day(f"'{key}'", value)
    if isinstance(value, str):
        try:
            found = date.fromisoformat(value.strip())
        except ValueError:
            pass
        else:
            return hold_day(f"'{key}'", found)
    raise RefusedError(f"'{key}'", _shown(value), "a day is YYYY-MM-DD", f"Write it like {key} = 2026-03-02.")


def as_flag(key: str, value: object) -> bool:
    """Read true or false."""
    if not isinstance(value, bool):
        raise RefusedError(f"'{key}'", _shown(value), "it is true or false", f"Write {key} = true, without quotes.")
    return value


def choice_of(kind: type[E]) -> Callable[[str, object], E]:
    """Make the reader of one of an enumeration's own words."""

    def read(key: str, value: object) -> E:
        words: dict[str, E] = {str(each.value): each for each in kind}
        typed = as_text(key, value).strip().casefold()
        if typed not in words:
            near = nearest(typed, words, most=1)
            hint = f"Did you mean '{near[0]}'?" if near else f"Choose {listed(tuple(words))}."
            raise RefusedError(f"'{key}'", _shown(value), f"it is {listed(tuple(words))}", hint)
        return words[typed]

    return read


def fields_of(
    kind: type[Any],
    *added: Field,
    first: Sequence[str] = (),
    left_out: Collection[str] = (),
    renamed: Mapping[str, str] | None = None,
    **usual: Any,  # noqa: ANN401 - whatever the record's fields hold
) -> tuple[Field, ...]:
    """Give the keys of a kind of record, each read by the type of its field, and what is `added`; some come `first`.

    What a key is where it is left out is as in the record, unless it is `usual` here.
    """
    types, called = types_of(kind), renamed or {}
    own = [each for each in fields(kind) if each.init and each.name not in left_out]
    found = [
        Field(called.get(each.name, each.name), reader_of(types[each.name]), usual.get(each.name, _default(each)))
        for each in own
    ]
    by_key = {field.key: field for field in (*found, *added)}
    return tuple(by_key[key] for key in dict.fromkeys((*first, *by_key)))


def reader_of(kind: Any) -> Reader:  # noqa: ANN401 - a type, or what stands for one in an annotation
    """Give the reader of values of a type, as a record's field is annotated."""
    inside = [each for each in get_args(kind) if each is not NoneType]
    if get_origin(kind) in {Union, UnionType}:
        (kind,) = inside
        inside = list(get_args(kind))
    if get_origin(kind) is tuple and is_dataclass(inside[0]):
        record: Any = inside[0]
        return rows_of(fields_of(record), record)
    if isinstance(kind, type) and issubclass(kind, Enum):
        return choice_of(kind)
    return _READERS[kind]


def _default(field: DataclassField[Any]) -> object:
    if field.default_factory is not MISSING:
        return field.default_factory()
    return REQUIRED if field.default is MISSING else field.default


def rows_of(fields: Sequence[Field], make: Callable[..., object]) -> Reader:
    """Make the reader of a list of inline tables with these keys; a single one is a list of one."""

    def read_all(key: str, value: object) -> tuple[object, ...]:
        rows = value if isinstance(value, list) else [value]
        if not rows or not all(isinstance(row, dict) for row in rows):
            example = f"{key} = [{{ {fields[0].key} = ... }}]"
            raise RefusedError(
                f"'{key}'", _shown(value), "it is a list of tables in braces", f"Write it like {example}."
            )
        problems: Problems = []
        inline = TomlFile("", "", {})
        made = [read_row(Place(inline, key, nth), row, fields, make, problems) for nth, row in enumerate(rows)]
        if problems:
            raise RowsRefusedError(tuple(problems))
        return tuple(made)

    return read_all


_READERS: Final[Mapping[Any, Reader]] = {
    str: as_text,
    int: as_count,
    float: as_number,
    bool: as_flag,
    date: as_day,
    AMOUNT: as_amount,
    RATE: as_rate,
    tuple[str, ...]: as_texts,
    tuple[float, ...]: as_numbers,
    frozenset[str]: as_set,
    SphereCylinder: as_power,
}
"""How each type of value is read."""


def _held(key: str, text: str) -> str:
    """Refuse what no text may hold; line ends count as blanks."""
    refuse_unseen(f"'{key}'", " ".join(text.split()))
    refuse_private(f"'{key}'", text)
    return text


def _shown(value: object) -> str:
    """Show what was given as it would be typed."""
    if isinstance(value, bool):
        return str(value).lower()
    if isinstance(value, str):
        return f"'{value}'"
    return "a table" if isinstance(value, dict) else str(value)


def _plain(value: object) -> str:
    return "..." if isinstance(value, list | dict) else _shown(value)
