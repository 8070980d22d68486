"""The kinds of column that the ledger's tables are made of: what each holds, how it is kept, and what it is held to.

Every quantity is kept as a whole number of a small unit, every day as ISO text, every flag as 0 or 1 and every word of
an enumeration as that word, so that SQLite (whose STRICT tables know only integers and text) and PostgreSQL hold
exactly the same. Whoever asks a table gets the values themselves. What only the database minds (CHECKs, references,
indexes) is stated here and made in `tables/schema.py`, where tables are made or compared: no look-up waits for it.

Modules import this one as `kept`, so that a table reads `price = kept.cents(kept.NOT_NEGATIVE)`.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from datetime import date
from enum import Enum
from functools import lru_cache
from typing import Any, Final, TypeAlias, TypeVar, cast

from sqlalchemy import BigInteger, Column, Computed, Integer, LargeBinary, Text, TypeDecorator
from sqlalchemy.engine import Dialect
from sqlalchemy.types import TypeEngine

from shopledger.store import scales

T = TypeVar("T")
E = TypeVar("E", bound=Enum)

RULES: Final = "rules"
"""Under which a column's or table's `info` lists what it is held to."""
REFERENCES, INDEX, UNIQUE, PARTS = "references", "index", "unique", "parts"
"""Under which `info` says what a column points at, whether it has an index, and what else a table has."""
PERSONAL: Final = "personal"
"""Under which the `info` of a column that tells of a person says what stands there once the person is erased."""

_WIDE: Final = BigInteger().with_variant(Integer(), "sqlite")
# A 64-bit integer on both; SQLite's own INTEGER is that wide already, and STRICT tables know no BIGINT.


class Reference:
    """A column of another table, such as `customer.number`."""

    __slots__ = ("target",)

    def __init__(self, target: str) -> None:
        self.target = target


class Rule:
    """A CHECK on one column, which stands for the braces in its name and its condition."""

    # A plain class, since each look-up waits for these, and a named tuple costs ten times as much to make.
    __slots__ = ("condition", "name")

    def __init__(self, name: str, condition: str) -> None:
        self.name = name
        self.condition = condition


Part: TypeAlias = Rule | Reference | Computed
"""What a column may be given beside its kind."""

NOT_NEGATIVE: Final = Rule("{}_not_negative", "{} >= 0")
POSITIVE: Final = Rule("{}_positive", "{} > 0")
COUNTS: Final = Rule("{}_counts", "{} >= 1")
FILLED: Final = Rule("{}_filled", "{} <> ''")
SHA256: Final = Rule("{}_whole", "length({}) = 64")
_IS_DAY: Final = Rule("{}_is_day", "{} LIKE '____-__-__'")
_IS_FLAG: Final = Rule("{}_flag", "{} IN (0, 1)")


class Blank(Enum):
    """What is written over a personal column where that hangs on the erasure or on what stood there."""

    MARK = "erased and the day"
    AREA = "the first three digits of a ZIP code"
    TOMBSTONE = "what is left of a frozen paper"
    HASH = "the hash of what is left"


def between(low: int, high: int) -> Rule:
    """Hold a column to a range of the units it is kept in, both ends included."""
    return Rule("{}_range", f"{{}} BETWEEN {low} AND {high}")


def above(low: int, high: int) -> Rule:
    """Hold a column to a range of the units it is kept in, without its lower end."""
    return Rule("{}_range", f"{{0}} > {low} AND {{0}} <= {high}")


def known(allowed: Iterable[str]) -> Rule:
    """Hold a column to some words."""
    listed = ", ".join(f"'{word}'" for word in allowed)
    return Rule("{}_known", f"{{}} IN ({listed})")


class Kept(TypeDecorator[T]):
    """A value that a database keeps as something else: how it is written, and how it is read back."""

    cache_ok = True
    impl: TypeEngine[Any] | type[TypeEngine[Any]] = Text

    def __init__(self, impl: TypeEngine[Any], write: Callable[[Any], object], read: Callable[[Any], Any]) -> None:
        super().__init__()
        self.impl = impl
        self.write = write
        self.read = read

    def bind_processor(self, dialect: Dialect) -> Callable[[Any], object]:  # noqa: ARG002 - the same for each
        """Give what writes a value."""
        return self.write

    def result_processor(self, dialect: Dialect, coltype: object) -> Callable[[Any], Any]:  # noqa: ARG002 - as above
        """Give what reads a value."""
        return self.read


class OneOf(Kept[E]):
    """A member of an enumeration, kept as its word."""

    cache_ok = True

    def __init__(self, kind: type[E], word: str = "value", only: tuple[E, ...] = ()) -> None:
        write, read = _words_of(kind, word)
        super().__init__(Text(), write.__getitem__, read.__getitem__)
        self.kind = kind
        self.word = word
        self.only = only

    @property
    def words(self) -> tuple[str, ...]:
        """The words that the column takes."""
        return tuple(str(getattr(member, self.word)) for member in self.only or self.kind)


class Exact(Kept[float]):
    """A figure kept with so many decimals; one that has more is refused and not rounded."""

    cache_ok = True

    def __init__(self, places: int, said: str = "") -> None:
        super().__init__(Integer(), *_SCALED[places])
        self.places = places
        self.said = said

    def refuse_finer(self, name: str, value: float | None) -> None:
        """Refuse a value that has more decimals than are kept."""
        scales.whole(name, value, self.places)


class Power(Exact):
    """A power as it is written, in hundredths: an odd eighth is cut as the trade writes it, 2.375 as 2.37."""

    cache_ok = True

    def __init__(self, said: str = "") -> None:
        super().__init__(scales.HUNDREDTHS, said)
        self.write = scales.written_power
        self.read = scales.parted_power

    def refuse_finer(self, name: str, value: float | None) -> None:
        """Refuse a power that is neither in hundredths nor an eighth."""
        scales.whole_power(name, value)


@lru_cache
def _words_of(kind: type[Enum], word: str) -> tuple[dict[Any, object], dict[Any, Any]]:
    """Give each member's word and each word's member; nothing is kept as nothing."""
    write: dict[Any, object] = {member: getattr(member, word) for member in kind}
    return write | {None: None}, {kept: member for member, kept in write.items()} | {None: None}


def _scaled(places: int) -> tuple[Callable[[Any], object], Callable[[Any], Any]]:
    unit = 10**places

    def write(value: float | None) -> int | None:
        return None if value is None else round(value * unit)

    def read(stored: int | None) -> float | None:
        return None if stored is None else stored / unit

    return write, read


_SCALED: Final[Mapping[int, tuple[Callable[[Any], object], Callable[[Any], Any]]]] = {
    places: _scaled(places)
    for places in (scales.HUNDREDTHS, scales.THOUSANDTHS, scales.TEN_THOUSANDTHS, scales.MILLIONTHS)
}
_DAY: Final[Kept[date]] = Kept(Text(), scales.day_text, scales.read_day)
_FLAG: Final[Kept[bool]] = Kept(
    Integer(), {False: 0, True: 1, None: None}.__getitem__, {0: False, 1: True, None: None}.__getitem__
)
_ROUNDED: Final[Mapping[int, Kept[float]]] = {
    places: Kept(Integer(), write, read) for places, (write, read) in _SCALED.items()
}


def to(target: str) -> Reference:
    """Point at a column of another table, whose row then cannot be deleted."""
    return Reference(target)


def number(*parts: Part, **options: bool) -> Column[int]:
    """Keep a number that the ledger gives, a count or a position."""
    return _column(Integer(), parts, options)


def key(*parts: Part) -> Column[int]:
    """Keep a number that tells rows apart: from a counter, the same on both databases and without gaps."""
    return _column(Integer(), parts, {"primary_key": True, "autoincrement": False})


def code(*parts: Part) -> Column[str]:
    """Keep a word that tells rows apart."""
    return _column(Text(), parts, {"primary_key": True})


def words(*parts: Part, **options: bool) -> Column[str]:
    """Keep text; empty where there is none."""
    return _column(Text(), parts, options)


def cents(*parts: Rule) -> Column[int]:
    """Keep an amount in whole cents."""
    return _column(_WIDE, parts, {})


def size() -> Column[int]:
    """Keep how many bytes a file has."""
    return _column(_WIDE, (NOT_NEGATIVE,), {})


def rate(*parts: Rule) -> Column[int]:
    """Keep a rate or share, in millionths as the program holds it."""
    return _column(Integer(), parts, {})


def exact(places: int, *parts: Rule, said: str = "", **options: bool) -> Column[float]:
    """Keep a figure as written; `said` is its name in a refusal, where that is not the column's."""
    return _column(Exact(places, said), parts, options)


def rounded(places: int, *parts: Rule) -> Column[float]:
    """Keep a figure that was worked out or measured finer than is kept."""
    return _column(_ROUNDED[places], parts, {})


def power(*parts: Rule, said: str = "") -> Column[float]:
    """Keep a power as it is written."""
    return _column(Power(said), parts, {})


def day(*, checked: bool = True, **options: bool) -> Column[date]:
    """Keep a day as YYYY-MM-DD, which the database checks."""
    return _column(_DAY, (_IS_DAY,) if checked else (), options)


def flag() -> Column[bool]:
    """Keep yes or no."""
    return _column(_FLAG, (_IS_FLAG,), {})


def one_of(kind: type[E], *only: E, word: str = "value", **options: bool) -> Column[E]:
    """Keep a member of an enumeration, or of some of its members, by its word."""
    return _column(OneOf(kind, word, only), (), options)


def among(*allowed: str, **options: bool) -> Column[Any]:
    """Keep one of a few words."""
    return _column(Text(), (known(allowed),), options)


def as_text(write: Callable[[T], str], read: Callable[[str], T], *parts: Rule, **options: bool) -> Column[T]:
    """Keep a value as the text that its own functions make of it."""
    return _column(Kept(Text(), write, read), parts, options)


def binary() -> Column[bytes]:
    """Keep bytes as they are."""
    return _column(LargeBinary(), (), {})


def derived(expression: str) -> Column[str]:
    """Let the database make a text of other columns of the row, in SQL that both understand."""
    return _column(Text(), (Computed(expression),), {})


def optional(column: Column[T]) -> Column[T | None]:
    """Let a column hold nothing."""
    column.nullable = True
    return cast("Column[T | None]", column)


def personal(column: Column[T], *blank: object) -> Column[T]:
    """Mark a column that tells of a person; what stands there after an erasure is one of `Blank`, or that value.

    Left out, it is nothing where the column may hold nothing, else empty text, `Blank.MARK` where text must be filled,
    and 0 for a number.
    """
    column.info[PERSONAL] = blank[0] if blank else _usual_blank(column)
    return column


def is_personal(column: Column[Any]) -> bool:
    """Tell whether a column tells of a person."""
    return PERSONAL in column.info


def _usual_blank(column: Column[Any]) -> object:
    if column.nullable:
        return None
    if not isinstance(column.type, Text):
        return 0
    return Blank.MARK if FILLED in column.info[RULES] else ""


def _column(kind: TypeEngine[Any], parts: tuple[Part, ...], options: Mapping[str, Any]) -> Column[Any]:
    """Make a column that is always filled."""
    items = [part for part in parts if not isinstance(part, Rule | Reference)]
    info = {
        RULES: [part for part in parts if isinstance(part, Rule)],
        REFERENCES: [part.target for part in parts if isinstance(part, Reference)],
        **{name: options.get(name, False) for name in (INDEX, UNIQUE)},
    }
    rest = {name: option for name, option in options.items() if name not in info}
    return Column(kind, *items, nullable=False, info=info, **rest)
