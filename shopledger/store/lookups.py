"""Finding people by number or name: exact name first, then part of a name, then what was perhaps meant."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any

from sqlalchemy import ColumnElement, Row, Select, column, literal_column, or_, select, table

from shopledger.errors import UnknownNameError, nearest
from shopledger.store.folding import beginning, containing, folded
from shopledger.store.refusals import AmbiguousError
from shopledger.store.transaction import Transaction

_SHOWN = 8
"""How many of several are listed in a refusal."""
_CANDIDATES = 200
"""Among how many names the nearest is sought."""
_FOLDED: ColumnElement[str] = column("folded")


def pick(transaction: Transaction, kind: str, given: str, hint: str = "", **within: int) -> Row[Any]:
    """Give the one row that a number or a name means, or say why it is none or several."""
    found = _by_number(transaction, kind, given, within) or _by_name(transaction, kind, given, within)
    if len(found) > 1:
        raise AmbiguousError(kind, given, tuple((row.number, row.name) for row in found))
    if not found:
        raise UnknownNameError(kind, given, near(transaction, kind, given, **within), hint)
    return found[0]


def find(transaction: Transaction, kind: str, given: str, limit: int) -> Sequence[Row[Any]]:
    """Give the row with that number first, then all whose names contain the text, by name."""
    named = _matching(transaction, kind, _FOLDED.like(containing(given), escape="\\"), {}, limit)
    numbered = _by_number(transaction, kind, given, {})
    known = {row.number for row in numbered}
    return [*numbered, *(row for row in named if row.number not in known)][:limit]


def near(transaction: Transaction, kind: str, given: str, **within: int) -> tuple[str, ...]:
    """Give the names most like what was typed, from those that begin a word as one of its words does."""
    starts = [word[:2] for word in folded(given).split()]
    like = [_FOLDED.like(beginning(start), escape="\\") for start in starts]
    like += [_FOLDED.like(f"% {beginning(start)}", escape="\\") for start in starts]
    rows = _matching(transaction, kind, or_(*like), within, _CANDIDATES) if like else ()
    by_part = {part: row.name for row in rows for part in (*row.folded.split(), row.folded)}
    return tuple(dict.fromkeys(by_part[part] for part in nearest(folded(given), by_part)))


def _by_number(transaction: Transaction, kind: str, given: str, within: dict[str, int]) -> Sequence[Row[Any]]:
    typed = given.strip()
    # No counter reaches ten digits; a longer one is a phone number, and too long for the column.
    if not (typed.isascii() and typed.isdigit() and len(typed) < 10):
        return ()
    return transaction.rows(kind, {"number": int(typed), **within})


def _by_name(transaction: Transaction, kind: str, given: str, within: dict[str, int]) -> Sequence[Row[Any]]:
    if not folded(given):
        return ()
    exact = transaction.rows(kind, {"folded": folded(given), **within}, order=("number",), limit=_SHOWN)
    return exact or _matching(transaction, kind, _FOLDED.like(containing(given), escape="\\"), within, _SHOWN)


def _matching(
    transaction: Transaction, kind: str, condition: ColumnElement[bool], within: dict[str, int], limit: int
) -> Sequence[Row[Any]]:
    statement: Select[Any] = select(literal_column("*")).select_from(table(kind)).where(condition)
    for key, value in within.items():
        statement = statement.where(column(key) == value)
    return transaction.chosen(statement.order_by(_FOLDED, column("number")).limit(limit))
