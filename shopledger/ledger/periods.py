"""Months that are closed: what was closed or reopened, when, why, and on which state of the books."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum

from shopledger.ledger.journal import Head
from shopledger.ledger.month import Month


class PeriodDeed(Enum):
    """What was done to a month."""

    CLOSED = "closed"
    REOPENED = "reopened"


@dataclass(frozen=True, slots=True)
class PeriodEvent:
    """That a month was closed or reopened; `head` is the state of the books it happened on."""

    month: Month
    deed: PeriodDeed
    reason: str
    accepted: tuple[str, ...]
    """Codes of what was pointed out and accepted."""
    head: Head
    operator: str = ""
    recorded_at: str = ""
    number: int | None = None
