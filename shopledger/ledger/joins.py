"""Two customers who are one: the number that leads, and whether they may be joined or parted again.

A join moves nothing: orders, wearers, deposits and receipts keep the customer they were recorded for, and are found
under each of the joined numbers. New ones are recorded for the one that leads.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.parties import Customer
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.optics.findings import Finding, Severity

CUSTOMERS_UNLIKE: Final = "CUSTOMERS-UNLIKE"


class JoinDeed(Enum):
    """What was done to a customer's number."""

    JOINED = "joined"
    PARTED = "parted"


@dataclass(frozen=True, slots=True)
class Join:
    """That a customer was joined to another who leads, or parted again."""

    day: date
    deed: JoinDeed
    customer_number: int
    into_number: int
    reason: str
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the reason to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


class Joined:
    """Which customers are one, as the newest deed of each says."""

    def __init__(self, joins: Iterable[Join]) -> None:
        newest = {join.customer_number: join for join in joins}
        self._into = {number: join.into_number for number, join in newest.items() if join.deed is JoinDeed.JOINED}

    def into(self, number: int) -> int | None:
        """Give the customer that one was joined to directly."""
        return self._into.get(number)

    def leading(self, number: int) -> int:
        """Give the customer who leads."""
        while (into := self._into.get(number)) is not None:
            number = into
        return number

    def group(self, number: int) -> list[int]:
        """Give all numbers of a customer, the one that leads first."""
        leading = self.leading(number)
        return [leading, *sorted(each for each in self._into if self.leading(each) == leading)]


def unlike(customer: Customer, into: Customer) -> tuple[Finding, ...]:
    """Ask about two customers who have neither phone, nor mail address, nor name and ZIP code in common."""
    said = (
        f"Customer {customer.number}, {customer.name}, and customer {into.number}, {into.name}, have neither phone, "
        "nor mail address, nor name and ZIP code in common."
    )
    source = "common practice, no source"
    return (Finding(Severity.WARNING, CUSTOMERS_UNLIKE, "customer", str(customer.number), "", source, said),)


def check_joinable(customer: Customer, into: Customer, joined: Joined) -> None:
    """Refuse to join somebody to whom he leads, or twice."""
    number, leading = customer.number or 0, into.number or 0
    if joined.into(number) is not None:
        raise RefusedError(
            "customer",
            number,
            f"it was joined to customer {joined.into(number)} already",
            f"Part them first with 'shopledger customer part {number} --reason TEXT'.",
        )
    if number == leading:
        raise RefusedError(
            "customer", number, "it is the same customer, or leads that one", "Name the two the other way round."
        )
