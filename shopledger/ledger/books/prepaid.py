"""On which side an order stands on each day: owed by its customer, or paid ahead of its goods, never on both.

What left and is not paid is a receivable; what is paid and did not leave is the customer's, a liability. Nobody sets
one order off against another.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from datetime import date

from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class DayMoved:
    """By how much the documents of a day moved an order's two sides, debits above zero."""

    receivable: Cents = 0
    prepaid: Cents = 0


def evened(moved: Mapping[date, DayMoved], day: date, owed: Cents) -> Iterator[tuple[date, Cents]]:
    """Give what is to move from prepayments to receivable, and on which days, since a document made the order owe more.

    `moved` is what is posted of the order so far, `owed` what the document adds on its `day`. Days before are left as
    they are; a document that was dated back may move days after its own. The day itself always comes first.
    """
    days = sorted({*moved, day})
    receivable = owed_by_then = 0
    for each in days:
        before = moved.get(each, DayMoved())
        added = owed if each == day else 0
        owed_by_then += before.receivable + before.prepaid + added
        receivable += before.receivable + added
        if each >= day:
            moving = max(owed_by_then, 0) - receivable
            receivable += moving
            if moving or each == day:
                yield each, moving
