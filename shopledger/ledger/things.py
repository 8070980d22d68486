"""The things that a line of a list can be about, as the owner calls them and as they are looked up."""

from __future__ import annotations

from dataclasses import dataclass
from enum import Enum


class Thing(Enum):
    """What something is about."""

    JOB = "job"
    ORDER = "order"
    RECEIPT = "receipt"
    CUSTOMER = "customer"
    WEARER = "wearer"
    PARCEL = "parcel"
    FRAME = "frame"
    DRAFT = "draft"
    BILL = "bill"
    BANK_LINE = "bank line"
    MONTH = "month"
    PAPER = "paper"
    LEDGER = "ledger"


@dataclass(frozen=True, slots=True)
class About:
    """One thing: its kind, and its number, code or month as it is typed."""

    thing: Thing
    name: str

    @property
    def said(self) -> str:
        """What it is called in a sentence, as in `job 12`."""
        return f"{self.thing.value} {self.name}" if self.name else f"the {self.thing.value}"
