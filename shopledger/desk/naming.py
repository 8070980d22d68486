"""Giving people and things another name from a day on, which lies in an open month: today unless it is said."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING, Final

from shopledger.errors import RefusedError
from shopledger.ledger.names import NameChange

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import UnitOfWork

_WHAT: Final = "first day of the new name"


def rename(work: UnitOfWork, desk: Desk, change: NameChange, since: date | None = None) -> None:
    """Record that a name changed from a day on; a day without another name is refused, and so is one long closed."""
    if change.before == change.name:
        if since is not None:
            raise RefusedError(
                _WHAT,
                since.isoformat(),
                f"the name stays '{change.name}'",
                "Give the new name with it, or leave the day out.",
            )
        return
    day = desk.day(since, _WHAT)
    work.periods.refuse_closed(day)
    work.names.add(replace(change, day=day))
