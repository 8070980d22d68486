"""The fields of a form, each declared once: its words, how it is shown, how what was typed is read.

    NAME = line("name", "Name", longest=60)
    BORN = day("birth_date", "Birth date", needed=False)

A field that is not needed gives None where it was left empty.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from datetime import date
from enum import Enum
from pathlib import Path
from typing import Any, Final, Generic, Literal, NamedTuple, TypeVar, overload

from shopledger.counter.desks import station
from shopledger.ledger.text import clean_text
from shopledger.money.amount import Cents
from shopledger.typed.amounts import read_typed_amount
from shopledger.typed.days import Wanted, read_day
from shopledger.typed.numbers import read_decimal, read_whole
from shopledger.typed.words import read_word, typed_word

DAY_HINT: Final = "Month first, as in 3/2/2026."

T = TypeVar("T")
E = TypeVar("E", bound=Enum)


class Kind(Enum):
    """How a field is shown."""

    LINE = "line"
    SECRET = "secret"  # noqa: S105 - the name of a kind
    TEXT = "text"
    NUMBER = "number"
    DAY = "day"
    CHOICE = "choice"
    SELECT = "select"
    PICK = "pick"
    TICK = "tick"
    TICKS = "ticks"
    FILE = "file"
    HIDDEN = "hidden"


class Choice(NamedTuple):
    """One answer that can be chosen: what is sent, and the words it is shown with."""

    value: str
    words: str
    more: str = ""
    """What is said under the words."""


Choices = Sequence[Choice] | Callable[[], Sequence[Choice]]


@dataclass(frozen=True, slots=True)
class Field(Generic[T]):
    """One thing that a form asks for."""

    name: str
    label: str
    read: Callable[[str, str], Any]
    """Takes what was typed and the field's name in words; raises what the page says beside it."""
    kind: Kind = Kind.LINE
    needed: bool = True
    hint: str = ""
    unit: str = ""
    choices: Choices = ()
    width: str = "wide"
    """How much room it has: `narrow`, `middle` or `wide`."""
    purpose: str = "off"
    """What a browser may fill in by itself, by its standard word."""
    about: tuple[str, ...] = ()
    """By which other names an error or a finding may mean this field."""
    several: bool = False
    """Whether it has a list of values."""
    shared: str = ""
    """The id of a list on the page that it picks from together with other fields; its own where none is named."""

    @property
    def said(self) -> str:
        """Its name within a sentence."""
        return self.label[:1].lower() + self.label[1:] if self.label[1:2].islower() else self.label

    def listed(self) -> Sequence[Choice]:
        """Give what can be chosen, as it is by now."""
        return self.choices() if callable(self.choices) else self.choices

    def meant_by(self, name: str) -> bool:
        """Tell whether an error or a finding means this field; `count of CASE` means the count."""
        wanted = name.casefold().replace("_", " ")
        known = {each.casefold().replace("_", " ") for each in (self.name, self.label, *self.about)}
        return wanted in known or (wanted.startswith("count of ") and "count" in known)


Group = tuple[str, tuple[Field[Any], ...]]
"""Fields under a heading; the heading may be empty."""


@dataclass(frozen=True, slots=True)
class Form:
    """What is asked for together, under headings."""

    groups: tuple[Group, ...]

    @property
    def fields(self) -> tuple[Field[Any], ...]:
        """All its fields, from the first to the last."""
        return tuple(each for _, fields in self.groups for each in fields)

    def named(self, name: str) -> Field[Any]:
        """Give one field."""
        return next(each for each in self.fields if each.name == name)


def form(*fields: Field[Any]) -> Form:
    """Make a form without headings."""
    return Form((("", fields),))


@overload
def line(
    name: str, label: str, *, needed: Literal[True] = True, longest: int = ..., numbers: bool = ..., **shown: Any
) -> Field[str]: ...
@overload
def line(
    name: str, label: str, *, needed: bool, longest: int = ..., numbers: bool = ..., **shown: Any
) -> Field[str | None]: ...
def line(
    name: str, label: str, *, needed: bool = True, longest: int = 120, numbers: bool = False, **shown: Any
) -> Field[Any]:
    """Ask for a line of text."""

    def read(typed: str, field: str) -> str:
        return clean_text(field, typed, longest, numbers=numbers)

    return Field(name, label, read, needed=needed, **shown)


def secret(name: str, label: str, *, purpose: str = "new-password", **shown: Any) -> Field[str]:
    """Ask for a passphrase, which is never shown again; password managers and pasting are welcome."""
    read = lambda typed, _: typed  # noqa: E731 - as the readers beside it
    return Field(name, label, read, Kind.SECRET, purpose=purpose, **{"width": "middle", **shown})


def text(name: str, label: str, *, longest: int = 2000, needed: bool = False, **shown: Any) -> Field[str | None]:
    """Ask for several lines of text."""
    return Field(name, label, lambda typed, field: clean_text(field, typed, longest), Kind.TEXT, needed, **shown)


@overload
def amount(name: str, label: str, *, needed: Literal[True] = True, **shown: Any) -> Field[Cents]: ...
@overload
def amount(name: str, label: str, *, needed: bool, **shown: Any) -> Field[Cents | None]: ...
def amount(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[Any]:
    """Ask for an amount of money."""
    return Field(name, label, read_typed_amount, Kind.NUMBER, needed, **{"unit": "$", "width": "narrow", **shown})


@overload
def day(name: str, label: str, *, needed: Literal[True], wanted: Wanted = ..., **shown: Any) -> Field[date]: ...
@overload
def day(name: str, label: str, *, needed: bool = False, wanted: Wanted = ..., **shown: Any) -> Field[date | None]: ...
def day(name: str, label: str, *, needed: bool = False, wanted: Wanted = Wanted.DEED, **shown: Any) -> Field[Any]:
    """Ask for a day; left empty, most deeds take today."""

    def read(typed: str, field: str) -> date:
        return read_day(typed, field, today=station().today(), wanted=wanted)

    hint = DAY_HINT if needed else f"Left empty: today. {DAY_HINT}"
    return Field(name, label, read, Kind.DAY, needed, **{"hint": hint, "width": "narrow", **shown})


@overload
def length(name: str, label: str, *, needed: Literal[True] = True, **shown: Any) -> Field[float]: ...
@overload
def length(name: str, label: str, *, needed: bool, **shown: Any) -> Field[float | None]: ...
def length(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[Any]:
    """Ask for a length."""
    return Field(name, label, read_decimal, Kind.NUMBER, needed, **{"unit": "mm", "width": "narrow", **shown})


@overload
def whole(name: str, label: str, *, needed: Literal[True] = True, **shown: Any) -> Field[int]: ...
@overload
def whole(name: str, label: str, *, needed: bool, **shown: Any) -> Field[int | None]: ...
def whole(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[Any]:
    """Ask for a whole number."""
    return Field(name, label, read_whole, Kind.NUMBER, needed, **{"width": "narrow", **shown})


@overload
def word(
    name: str, label: str, words: type[E], *, only: Iterable[E] = ..., needed: Literal[True] = True, **shown: Any
) -> Field[E]: ...
@overload
def word(
    name: str, label: str, words: type[E], *, only: Iterable[E] = ..., needed: bool, **shown: Any
) -> Field[E | None]: ...
def word(
    name: str, label: str, words: type[E], *, only: Iterable[E] = (), needed: bool = True, **shown: Any
) -> Field[Any]:
    """Ask for one of the words of an enumeration: few are shown beside one another, many as a list."""
    known = tuple(only) or tuple(words)
    choices = tuple(Choice(typed_word(each), str(each.value).capitalize()) for each in known)
    kind = Kind.CHOICE if len(known) <= 5 else Kind.SELECT
    read = lambda typed, field: read_word(typed, field, known)  # noqa: E731 - as the readers beside it
    return Field(name, label, read, kind, needed, **{"choices": choices, **shown})


def pick(
    name: str, label: str, read: Callable[[str, str], T], choices: Choices, *, needed: bool = True, **shown: Any
) -> Field[T]:
    """Ask for one of many, found by typing part of it; without scripts the browser's own list does it."""
    return Field(name, label, read, Kind.PICK, needed, choices=choices, **shown)


def chosen(name: str, label: str, choices: Choices, *, needed: bool = True, **shown: Any) -> Field[str]:
    """Ask for one of a few things that the ledger knows."""
    return Field(name, label, lambda typed, _: typed, Kind.CHOICE, needed, choices=choices, **shown)


def tick(name: str, label: str, **shown: Any) -> Field[bool]:
    """Ask for a yes; without a tick it is no."""
    return Field(name, label, lambda typed, _: typed == "yes", Kind.TICK, needed=False, **shown)


def ticks(name: str, label: str, choices: Choices, **shown: Any) -> Field[tuple[str, ...]]:
    """Ask which of several things are meant."""
    return Field(name, label, lambda typed, _: typed, Kind.TICKS, needed=False, choices=choices, several=True, **shown)


def file(name: str, label: str, *, needed: bool = False, **shown: Any) -> Field[Path | None]:
    """Ask for a file; what is read is where it lies while the request lasts."""
    return Field(name, label, lambda typed, _: Path(typed), Kind.FILE, needed, **shown)


def hidden(name: str, read: Callable[[str, str], T] = lambda typed, _: typed) -> Field[T]:  # type: ignore[assignment,return-value]  # text by default
    """Carry a value along that nobody types."""
    return Field(name, name, read, Kind.HIDDEN, needed=False)
