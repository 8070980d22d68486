"""Finding people by number or name: exact name first, then part of a name, then what was perhaps meant.

Names are searched without accents, capitals and spare space, so that `jose` finds `José`.
"""

from __future__ import annotations

from typing import Final, Protocol, TypeVar

from sqlalchemy import Column, ColumnElement, or_

from shopledger.errors import UnknownNameError, nearest
from shopledger.store.folding import folded
from shopledger.store.records import Record
from shopledger.store.refusals import AmbiguousError
from shopledger.store.transaction import Transaction, Where

_SHOWN: Final = 8
"""How many of several are listed in a refusal."""
_CANDIDATES: Final = 200
"""Among how many names the nearest is sought."""
_ESCAPE: Final = str.maketrans({"\\": r"\\", "%": r"\%", "_": r"\_"})


class Named(Protocol):
    """Whoever has a number and a name."""

    @property
    def number(self) -> int | None:
        """The number, once stored."""

    @property
    def name(self) -> str:
        """The name as it is written."""


P = TypeVar("P", bound=Named)


def pick(
    transaction: Transaction,
    people: Record[P],
    given: str,
    hint: str = "",
    within: Where | None = None,
    unmeant: str = "",
) -> P:
    """Give the one that a number or a name means, or say why it is none or several; `unmeant` is never suggested."""
    where = within or {}
    found = _by_number(transaction, people, given, where) or _by_name(transaction, people, given, where)
    kind = people.table.name
    if len(found) > 1:
        raise AmbiguousError(kind, given, tuple((each.number or 0, each.name) for each in found))
    if not found:
        meant = tuple(name for name in near(transaction, people, given, where) if name != unmeant)
        raise UnknownNameError(kind, given, meant, hint)
    return found[0]


def find(transaction: Transaction, people: Record[P], given: str, limit: int) -> tuple[P, ...]:
    """Give the one with that number first, then all whose names contain the text, by name."""
    numbered = _by_number(transaction, people, given, {})
    known = {each.number for each in numbered}
    named = _matching(transaction, people, _like(people, f"%{_escaped(given)}%"), {}, limit)
    return (*numbered, *(each for each in named if each.number not in known))[:limit]


def near(transaction: Transaction, people: Record[P], given: str, within: Where | None = None) -> tuple[str, ...]:
    """Give the names most like what was typed, from those that begin a word as one of its words does."""
    starts = [_escaped(word[:2]) for word in folded(given).split()]
    like = [_like(people, f"{before}{start}%") for before in ("", "% ") for start in starts]
    found = _matching(transaction, people, or_(*like), within or {}, _CANDIDATES) if like else ()
    by_part = {part: each.name for each in found for part in (*folded(each.name).split(), folded(each.name))}
    return tuple(dict.fromkeys(by_part[part] for part in nearest(folded(given), by_part)))


def _by_number(transaction: Transaction, people: Record[P], given: str, within: Where) -> tuple[P, ...]:
    typed = given.strip()
    # No counter reaches ten digits; a longer one is a phone number, and too long for the column.
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        return ()
    return transaction.all(people, {people.table.c.number: int(typed), **within})


def _by_name(transaction: Transaction, people: Record[P], given: str, within: Where) -> tuple[P, ...]:
    if not folded(given):
        return ()
    columns = people.table.c
    exact = transaction.all(people, {columns.folded: folded(given), **within}, (columns.number,), limit=_SHOWN)
    return exact or _matching(transaction, people, _like(people, f"%{_escaped(given)}%"), within, _SHOWN)


def _matching(
    transaction: Transaction, people: Record[P], condition: ColumnElement[bool], within: Where, limit: int
) -> tuple[P, ...]:
    columns = people.table.c
    own = (column.in_(value) if isinstance(value, list) else column == value for column, value in within.items())
    # Whoever was erased has no name to be searched by.
    return transaction.matching(
        people, condition, columns.folded != "", *own, order=(columns.folded, columns.number), limit=limit
    )


def _like(people: Record[P], pattern: str) -> ColumnElement[bool]:
    searched: Column[str] = people.table.c.folded
    return searched.like(pattern, escape="\\")


def _escaped(part: str) -> str:
    """Give text as it stands in a LIKE pattern, escaped with a backslash."""
    return like_part(folded(part))


def like_part(part: str) -> str:
    """Give text that stands for itself in a LIKE pattern, whatever signs it has."""
    return part.translate(_ESCAPE)
