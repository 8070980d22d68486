"""Inspection records as they were issued, what has changed since one was, and what has overtaken its inspection."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field, fields
from types import MappingProxyType
from typing import Final

from shopledger.ledger.canonical import thawed
from shopledger.ledger.inspections import BenchHistory
from shopledger.ledger.orders import Entered
from shopledger.ledger.papers.certificate import InspectionCertificate

_ISSUE: Final = frozenset({"number", "issued_on", "replaces", "paper", "wording_sha256", "drawing", "form"})
"""What belongs to the issue of a record and not to the facts that it states."""
_SPOKEN: Final[Mapping[str, str]] = MappingProxyType(
    {
        "shop": "the shop's profile",
        "wearer": "the wearer's name",
        "spellings": "the wearer's name",
        "glasses": "the names of frame and lens",
        "impact": "the proof of impact resistance",
        "kept_until": "the day until which its records are kept",
    }
)
_REST: Final = "how its figures are written"
"""What an inspection found is never changed; only a newer version of the program might put it otherwise."""


@dataclass(frozen=True, slots=True)
class Certificate:
    """An inspection record in the ledger: of which inspection, and what it said, frozen with its hash."""

    number: int
    inspection_number: int
    body: str
    sha256: str
    entered: Entered | None = field(default=None, compare=False)

    @property
    def content(self) -> InspectionCertificate:
        """The frozen content."""
        return thawed(InspectionCertificate, self.body, "inspection record")


def changed_since(issued: InspectionCertificate, now: InspectionCertificate) -> tuple[str, ...]:
    """Name in words what a record would state otherwise today; nothing where it would state the same."""
    names = [each.name for each in fields(issued) if each.name not in _ISSUE]
    differing = [name for name in names if getattr(issued, name) != getattr(now, name)]
    return tuple(dict.fromkeys(_SPOKEN.get(name, _REST) for name in differing))


def overtaken(history: BenchHistory, inspection_number: int) -> tuple[str, ...]:
    """Say in words what happened at the bench since an inspection that takes its weight away."""
    return (*_remade(history, inspection_number), *_inspected_anew(history, inspection_number))


def _remade(history: BenchHistory, inspection_number: int) -> Iterator[str]:
    for remake in history.remakes:
        if (remake.follows or 0) >= inspection_number:
            yield f"the job was made again on {remake.day.isoformat()} (remake {remake.number})"


def _inspected_anew(history: BenchHistory, inspection_number: int) -> Iterator[str]:
    newest = history.newest
    if newest is not None and (newest.number or 0) > inspection_number:
        came_to = "passed" if newest.passed else "failed"
        yield f"it was inspected anew on {newest.day.isoformat()} and {came_to} (inspection {newest.number})"
