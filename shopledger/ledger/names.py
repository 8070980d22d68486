"""Names and the days from which they hold: a closed month's workbook goes on saying what everything was called then.

Rows are told under the names of the period's last day, so that nobody stands there under two. What was frozen, such as
a receipt, keeps the name of its day; a paper that is made anew, for whatever order, is made under the name of today:
whoever changed a name wants to be called by the new one, and a plan knows its member by it.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum


class Named(Enum):
    """What has a name that may change."""

    CUSTOMER = "customer"
    WEARER = "wearer"
    SUPPLIER = "supplier"
    FRAME = "frame"
    ACCESSORY = "accessory"
    SHOP = "shop"


@dataclass(frozen=True, slots=True)
class NameChange:
    """That something is called otherwise from a day on; of whom or of what it tells, if not of the shop."""

    kind: Named
    before: str
    name: str
    day: date = date.min
    """The first day of the new name."""
    customer_number: int | None = None
    wearer_number: int | None = None
    supplier_number: int | None = None
    item_code: str = ""
    number: int | None = None
