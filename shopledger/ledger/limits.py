"""What a slip of the finger is: the most that a count, a cost, an amount or a day may be, each with its reason.

All are wide for a shop of one person and far from what either database holds. They hold what comes in from outside;
what the ledger keeps already is read as it is.
"""

from __future__ import annotations

from datetime import date
from typing import Final, NamedTuple

from shopledger.errors import RefusedError
from shopledger.ledger.text import taken_anew
from shopledger.money.amount import Cents, write_amount

LARGEST_NUMBER: Final = 999_999_999
"""The largest number of an order, a bill, a job: below what a column of 32 bits holds, and no counter comes near."""
MOST_PIECES: Final = 100_000
"""How many of one item may lie on a shelf or stand on a line (common practice, no source)."""
MOST_PAIRS: Final = 99
"""How many pairs an order may hold (common practice, no source)."""
BAR_CODES: Final = (8, 12, 13, 14)
"""How many digits a bar code on goods has (GS1 General Specifications: GTIN-8, -12, -13 and -14)."""

FIRST_DAY: Final = date(1890, 1, 1)
LAST_DAY: Final = date(2199, 12, 31)
"""Between these lies every birth, sale and due day that a shop of today writes down (common practice, no source)."""
LONG_AGO: Final = 366
"""Days back from which on a deed's day is asked about (common practice, no source)."""
DAY_LONG_AGO: Final = "DAY-LONG-AGO"
"""The warning of a deed's day that lies so far back."""
YEARS_BEFORE_SET_UP: Final = 7
"""How far before its set-up a shop's books may reach: no tax record of an expense has to be kept longer (IRS, how long
to keep records: seven years at the most for a loss; value from memory)."""


class Limit(NamedTuple):
    """The most that an amount of a kind may be, and why."""

    most: Cents
    why: str


UNIT_COST: Final = Limit(2_500_000, "no frame or accessory costs more")
"""Of one piece on a supplier's bill (common practice, no source)."""
JOB_COST: Final = Limit(1_000_000, "no lenses for one job cost more")
"""Of lenses and lab work for one job (common practice, no source)."""
PRICE: Final = Limit(10_000_000, "nothing in the shop is sold for more")
"""Of anything in the catalogue (common practice, no source)."""
MOVED: Final = Limit(100_000_000, "no single entry of a shop of one person comes to more")
"""Of money that moves at once: paid, banked, put in, taken out, spent (common practice, no source)."""


def hold_amount(field: str, amount: Cents, limit: Limit) -> None:
    """Refuse an amount above the limit of its kind."""
    if taken_anew() and amount > limit.most:
        allowed = f"it is at most {write_amount(limit.most)}, since {limit.why}"
        raise RefusedError(field, write_amount(amount), allowed, "Check the digits and the decimal point.")


def hold_pieces(field: str, count: int, least: int = 0) -> None:
    """Refuse a count that no shelf holds, and say where it reads like a bar code."""
    if least <= count <= MOST_PIECES or not taken_anew():
        return
    given = f"{count:,}"
    if is_bar_code(str(count)):
        allowed, hint = (
            "that is a bar code and no count",
            "Type how many there are, and the code where the item is named.",
        )
    else:
        allowed, hint = f"it must lie from {least} to {MOST_PIECES:,}", "Type how many there are."
    raise RefusedError(field, given, allowed, hint)


def is_bar_code(digits: str) -> bool:
    """Tell whether digits are a bar code's, also where zeros in front were lost (GS1: weights 3 and 1)."""
    if not (digits.isascii() and digits.isdigit()) or len(digits) > max(BAR_CODES):
        return False
    filled = digits.zfill(max(BAR_CODES))
    total = sum(int(digit) * (1 if place % 2 else 3) for place, digit in enumerate(filled))
    return len(digits) >= min(BAR_CODES) and total % 10 == 0


def hold_day(field: str, day: date) -> date:
    """Refuse a day that no shop writes down."""
    if taken_anew() and not FIRST_DAY <= day <= LAST_DAY:
        allowed = f"a day lies from {FIRST_DAY.year} to {LAST_DAY.year}"
        raise RefusedError(field, f"{day.isoformat()}", allowed, "Check the year.")
    return day


def books_begin(set_up: date) -> date:
    """Give the first day that the books of a shop may hold, by the day of its set-up."""
    return date(set_up.year - YEARS_BEFORE_SET_UP, set_up.month, min(set_up.day, 28))


def is_long_ago(day: date, today: date) -> bool:
    """Tell whether a deed's day lies so far back that it is asked about."""
    return (today - day).days > LONG_AGO
