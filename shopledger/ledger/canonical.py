"""Records as JSON and back by their fields, and the text that never changes of what is frozen.

A record's JSON is its fields in their order: nested records are objects, tuples are lists, days ISO text, members of an
enum their value. What differs outside on purpose is said once, by a `Form`: how amounts and rates are written, and the
`Shape` of each kind of record whose keys are others than its fields.
"""

from __future__ import annotations

import hashlib
import json
from collections.abc import Callable, Collection, Iterator, Mapping
from dataclasses import dataclass, field, fields, is_dataclass
from datetime import date
from enum import Enum
from functools import cache
from types import MappingProxyType, NoneType, UnionType
from typing import (
    Annotated,
    Any,
    Final,
    NamedTuple,
    Protocol,
    TypeAlias,
    TypeVar,
    Union,
    cast,
    get_args,
    get_origin,
    get_type_hints,
)

from shopledger.errors import LedgerError, NewerFormError
from shopledger.ledger.text import as_kept

Json: TypeAlias = "bool | int | float | str | list[Json] | dict[str, Json] | None"
"""What JSON can hold."""

Record = TypeVar("Record")
_Step: TypeAlias = Callable[[Any], Any]
_AMOUNT: Final = "whole cents"
_RATE: Final = "whole millionths"
AMOUNT: Final[Any] = Annotated[int, _AMOUNT]
RATE: Final[Any] = Annotated[int, _RATE]
"""Amounts and rates are whole numbers to Python; only what their annotation is called tells them apart."""
_MARKED: Final = {"Cents": AMOUNT, "Rate": RATE}


class Shape(NamedTuple):
    """How a kind of record looks outside where that is not its fields in their order."""

    keys: tuple[str, ...] = ()
    """Names of fields, of properties and of what is `made`, in order; none stands for all fields, then what is made."""
    first: tuple[str, ...] = ()
    """Without `keys`: names that stand before all others, whatever their place in the record."""
    last: tuple[str, ...] = ()
    """Without `keys`: names that stand behind all others."""
    renamed: Mapping[str, str] = MappingProxyType({})
    """The key of a name that is called otherwise outside."""
    left_out: Collection[str] = ()
    made: Mapping[str, Callable[[Any], object]] = MappingProxyType({})
    """What is worked out from the record, by the name it has outside; it is then written as any other value."""


@dataclass(frozen=True, slots=True, eq=False)
class Form:
    """One way to write records: how amounts and rates look, and which records have other keys than their fields."""

    amount: Callable[[int], Json] = int
    rate: Callable[[int], Json] = int
    shapes: Mapping[type, Shape] = field(default_factory=dict)
    renamed: Mapping[str, str] = field(default_factory=dict)
    """The key of a name that every record calls otherwise outside."""

    def names(self, kind: type[Any]) -> tuple[str, ...]:
        """Give the names of what is written of a kind of record, in order."""
        shape = self.shapes.get(kind, Shape())
        inner = (name for name in (*_declared(kind), *shape.made) if name not in shape.last)
        ordered = dict.fromkeys(shape.keys or (*shape.first, *inner, *shape.last))
        return tuple(name for name in ordered if name not in shape.left_out)


FROZEN: Final = Form()
"""The form of what is frozen: every field as it is, amounts in whole cents."""


def data_of(value: object, form: Form = FROZEN) -> Json:
    """Give a record, or a value that a record can hold, as JSON."""
    kind: Any = type(value)
    written: Json = _writer(kind, form)(value)
    return written


def object_of(record: object, form: Form = FROZEN) -> dict[str, Json]:
    """Give a record as a JSON object, to which more keys can be added."""
    return dict(cast("dict[str, Json]", data_of(record, form)))


def keys_of(kind: type[Any], form: Form = FROZEN) -> tuple[str, ...]:
    """Give the keys under which a kind of record is written; a name that it does not have is refused."""
    return tuple(part.key for part in _parts(kind, form))


def record_of(kind: type[Record], data: object) -> Record:
    """Give a record back from what `data_of` made of it in the frozen form.

    A field that is not there takes its default, as it does in what an earlier version of the program wrote.
    """
    of: Any = kind
    try:
        read: Record = _reader(of)(data)
    except LedgerError:
        # It was frozen under the rules of its day.
        with as_kept():
            read = _reader(of)(data)
    return read


def canonical_text(data: object) -> str:
    """Write JSON as text that never changes: sorted keys, no spare space, letters as they are."""
    return json.dumps(data, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


def content_hash(canonical: str) -> str:
    """SHA-256 of a canonical text."""
    return hashlib.sha256(canonical.encode()).hexdigest()


NO_ROWS: Final[Mapping[str, Collection[str]]] = MappingProxyType({})


def frozen(record: object, *, without: Collection[str] = (), of_rows: Mapping[str, Collection[str]] = NO_ROWS) -> str:
    """Give a record as canonical text, `without` the fields that its form did not have yet, nor those `of_rows`."""
    body: dict[str, Any] = {key: value for key, value in object_of(record).items() if key not in without}
    for name, gone in of_rows.items():
        body[name] = [{key: value for key, value in row.items() if key not in gone} for row in body[name]]
    return canonical_text(body)


class Issued(Protocol):
    """What is frozen when it is issued: it has a drawing, and may be erased; whole content knows of no erasure."""

    @property
    def drawing(self) -> int:
        """In which version papers were drawn when it was issued."""

    @property
    def erased_on(self) -> str:
        """The day on which it was erased, as ISO text; empty while it is whole."""

    @property
    def erasure(self) -> int | None:
        """By which erasure."""


FIRST_DRAWING: Final = 1
"""The version in which papers were drawn before anybody counted."""


def left_unsaid(content: Issued) -> tuple[str, ...]:
    """Give the fields that are not written while they tell nothing, as in what was frozen before they were known."""
    whole = () if content.erased_on else ("erased_on", "erasure")
    return (*whole, "drawing") if content.drawing == FIRST_DRAWING else whole


def thawed(kind: type[Record], canonical: str, what: str) -> Record:
    """Give a record with a field `form` back from its canonical text; `what` names one whose form is too new."""
    return record_of(kind, opened(kind, canonical, what))


def opened(kind: Any, canonical: str, what: str) -> dict[str, Any]:  # noqa: ANN401 - as in `_writer`
    """Give the JSON of such a record as it stands, for who needs little of it."""
    body: dict[str, Any] = json.loads(canonical)
    newest = _defaults(kind)["form"]
    if body["form"] > newest:
        raise NewerFormError(what, body["form"])
    return body


@cache
def _defaults(kind: type[Any]) -> Mapping[str, Any]:
    return {each.name: each.default for each in fields(kind)}


class _Part(NamedTuple):
    """One value of a record: how it is read, its key, and how it is written."""

    read: _Step
    key: str
    write: _Step


@cache
def _writer(kind: Any, form: Form) -> _Step:  # noqa: ANN401 - a type, or what stands for one in an annotation
    """Give the function that writes values of a type; where the type says too little, the value's own is asked."""
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return form.amount if _AMOUNT in inside else form.rate
    if origin in {Union, UnionType} and len(inside) == 2 and NoneType in inside:
        write = _writer(next(each for each in inside if each is not NoneType), form)
        return lambda value: None if value is None else write(value)
    if origin in {tuple, list}:
        return _list_writer(inside, form)
    if origin in {dict, Mapping}:
        return lambda value: {str(data_of(key)): _writer(inside[1], form)(part) for key, part in value.items()}
    return _plain_writer(kind, form) if isinstance(kind, type) else (lambda value: data_of(value, form))


def _list_writer(inside: tuple[Any, ...], form: Form) -> _Step:
    if inside[1:] in {(), (Ellipsis,)}:
        write = _writer(inside[0], form)
        return lambda value: [write(part) for part in value]
    writes = [_writer(each, form) for each in inside]
    return lambda value: [write(part) for write, part in zip(writes, value, strict=True)]


def _plain_writer(kind: type[Any], form: Form) -> _Step:
    if is_dataclass(kind):
        return _record_writer(kind, form)
    ways: tuple[tuple[type[Any] | UnionType, _Step], ...] = (
        (Enum, lambda value: data_of(value.value, form)),
        (bool | int | float | str | NoneType, _as_it_is),
        (date, lambda value: value.isoformat()),
        (frozenset | set, lambda value: sorted(data_of(part, form) for part in value)),
        (tuple | list, lambda value: [data_of(part, form) for part in value]),
        (Mapping, lambda value: {str(data_of(key)): data_of(part, form) for key, part in value.items()}),
    )
    for kinds, write in ways:
        if issubclass(kind, kinds):
            return write
    if kind is object:
        return lambda value: data_of(value, form)
    message = f"{kind.__name__} has no form in JSON"
    raise TypeError(message)


def _record_writer(kind: type[Any], form: Form) -> _Step:
    parts = tuple(_parts(kind, form))
    return lambda record: {part.key: part.write(part.read(record)) for part in parts}


def _parts(kind: type[Any], form: Form) -> Iterator[_Part]:
    """Give what is written of a kind of record, in order; a key that it does not have is refused at once."""
    shape, types = form.shapes.get(kind, Shape()), types_of(kind)
    for name in form.names(kind):
        key, made = shape.renamed.get(name, form.renamed.get(name, name)), shape.made.get(name)
        if made is not None:
            yield _Part(made, key, lambda value: data_of(value, form))
        elif name in types:
            yield _Part(_getter(name), key, _late(types[name], form))
        else:
            message = f"{kind.__name__} has neither a field nor a property {name}"
            raise TypeError(message)


def _getter(name: str) -> _Step:
    return lambda record: getattr(record, name)


def _late(kind: Any, form: Form) -> _Step:  # noqa: ANN401 - as in `_writer`
    """Give the writer of a type; a record inside is written as the kind that it is, which may be a narrower one."""
    if isinstance(kind, type) and is_dataclass(kind):
        return lambda value: data_of(value, form)
    return _writer(kind, form)


def _declared(kind: type[Any]) -> tuple[str, ...]:
    return tuple(each.name for each in fields(kind) if each.init)


def types_of(kind: type[Any]) -> Mapping[str, Any]:
    """Give the types of a record's fields and properties, amounts and rates marked."""
    found = get_type_hints(kind, localns=_MARKED, include_extras=True)
    for base in reversed(kind.__mro__):
        for name, each in vars(base).items():
            if isinstance(each, property) and each.fget is not None:
                found[name] = get_type_hints(each.fget, localns=_MARKED, include_extras=True)["return"]
    return found


def _as_it_is(value: object) -> object:
    return value


@cache
def _reader(kind: Any) -> _Step:  # noqa: ANN401 - as in `_writer`
    """Give the function that reads values of a type back."""
    origin, inside = get_origin(kind), get_args(kind)
    if origin is Annotated:
        return _as_it_is
    if origin in {Union, UnionType} and len(inside) == 2 and NoneType in inside:
        read = _reader(next(each for each in inside if each is not NoneType))
        return lambda data: None if data is None else read(data)
    if origin is tuple and inside[1:] == (Ellipsis,):
        read = _reader(inside[0])
        return lambda data: tuple(read(part) for part in data)
    if origin is tuple:
        reads = [_reader(each) for each in inside]
        return lambda data: tuple(read(part) for read, part in zip(reads, data, strict=True))
    if origin is frozenset:
        read = _reader(inside[0])
        return lambda data: frozenset(read(part) for part in data)
    return _plain_reader(kind)


def _plain_reader(kind: type[Any]) -> _Step:
    if kind in {bool, int, float, str, NoneType}:
        return _as_it_is
    if isinstance(kind, type) and issubclass(kind, Enum):
        return kind
    if isinstance(kind, type) and issubclass(kind, date):
        return kind.fromisoformat
    if is_dataclass(kind):
        types = types_of(kind)
        reads = {name: _reader(types[name]) for name in _declared(kind)}
        return lambda data: kind(**{name: reads[name](part) for name, part in data.items()})
    message = f"{kind} cannot be read back from JSON"
    raise TypeError(message)
