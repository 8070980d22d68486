"""The numbers the ledger gives when it stores something."""

from __future__ import annotations

from typing import Protocol

from shopledger.errors import LedgerError


class NotStoredError(LedgerError):
    """Something was asked for its number before it was stored."""

    kind: str
    sentence = "{kind} has no number yet; it must be stored first."


class Numbered(Protocol):
    """Whatever gets a number when stored."""

    @property
    def number(self) -> int | None:
        """The number, or None before storing."""


def number_of(stored: Numbered) -> int:
    """Give the number of something that is stored already."""
    if stored.number is None:
        raise NotStoredError(type(stored).__name__.lower())
    return stored.number
