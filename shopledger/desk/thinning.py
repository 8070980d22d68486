"""Older copies go once a new one is safe: those that the owner keeps no longer, and no other file of a place."""

from __future__ import annotations

from dataclasses import dataclass, replace
from pathlib import Path

from shopledger.desk.context import Desk
from shopledger.ledger.backups import BackupPlace, BackupTerms, LedgerCopy, superseded
from shopledger.store.backups.heads import holds, read_head
from shopledger.store.backups.lists import listed, take_away


@dataclass(frozen=True, slots=True)
class PlaceOutcome:
    """What came of one place: the copy in it, or why there is none; and which older ones went."""

    place: BackupPlace
    copy: LedgerCopy | None = None
    reason: str = ""
    removed: tuple[str, ...] = ()
    spared: tuple[str, ...] = ()
    """Copies that were to go and stayed, since they are not what was written down."""
    parted: LedgerCopy | None = None
    """The copy before this one, if the ledger does not hold what it holds; no copy went then."""


def thinned_out(desk: Desk, terms: BackupTerms, outcome: PlaceOutcome) -> PlaceOutcome:
    """Remove the copies of a place that are no longer kept, each only while it is what was written down.

    Where the ledger lost what the last copy holds, that copy and all before it may be what is needed: none goes.
    """
    folder = Path(outcome.place.folder)
    every = listed(folder, terms.series)
    parted = _parted(desk, every[:-1])
    if parted is not None:
        return replace(outcome, parted=parted)
    going = {copy: take_away(folder, copy, desk.now.date()) for copy in superseded(every)}
    removed = tuple(copy.file for copy, gone in going.items() if gone)
    return replace(outcome, removed=removed, spared=tuple(copy.file for copy, gone in going.items() if not gone))


def _parted(desk: Desk, earlier: tuple[LedgerCopy, ...]) -> LedgerCopy | None:
    """Give the last of the earlier copies if it ends with what the ledger does not hold."""
    if not earlier:
        return None
    with desk.reading() as work:
        return None if holds(work, read_head(earlier[-1].head)) else earlier[-1]
