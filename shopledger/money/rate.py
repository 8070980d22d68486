"""Percentages, held exactly as whole millionths: 8.875 % is 88,750."""

from __future__ import annotations

import re
from decimal import Decimal
from typing import TypeAlias

from shopledger.money.amount import Cents
from shopledger.money.refusals import RateError

Rate: TypeAlias = int
"""A share of one in whole millionths, from 0 to 1,000,000; a percentage to four decimals."""

WHOLE: Rate = 1_000_000
"""All of it: 100 %."""

_PLACES = 4
_SHAPE = re.compile(rf"(?P<percent>[0-9]{{1,3}})(?:\.(?P<rest>[0-9]{{1,{_PLACES}}}))?(?P<sign>\s*%)?")


def read_rate(text: str | Decimal, field: str = "rate") -> Rate:
    """Read a percentage such as `8.875 %` or `8.875`; one below 1 needs its sign, so that 0.08 is not taken for 8 %."""
    if not isinstance(text, str | Decimal):
        raise RateError(field, text, "a rate is a percentage as text", 'Write it like "8.875 %".')
    typed = text if isinstance(text, str) else f"{text:f}"
    found = _SHAPE.fullmatch(typed.strip())
    if found is None:
        allowed = f"a rate is a percentage from 0 to 100 with at most {_PLACES} decimals"
        raise RateError(field, f"'{typed}'", allowed, "Write it like 8.875 or 8.875 %.")
    rate = int(found["percent"] + (found["rest"] or "").ljust(_PLACES, "0"))
    if rate > WHOLE:
        raise RateError(field, f"'{typed}'", "a rate is at most 100 percent", "Write it like 8.875 or 8.875 %.")
    if 0 < rate < WHOLE // 100 and not found["sign"]:
        hint = f"Write {write_rate(rate)} if that is meant; a fraction like 0.08 is written 8 %."
        raise RateError(field, f"'{typed}'", "a rate below 1 percent needs its percent sign", hint)
    return rate


def write_rate(rate: Rate) -> str:
    """Write a rate as `8.875 %`, without needless zeros."""
    percent, rest = divmod(rate, WHOLE // 100)
    decimals = f"{rest:0{_PLACES}d}".rstrip("0")
    return f"{percent}{'.' if decimals else ''}{decimals} %"


def part_of(amount: Cents, rate: Rate) -> Cents:
    """Give that share of an amount, exact and then rounded once; half a cent goes away from zero."""
    return round_half_away(amount * rate, WHOLE)


def round_half_away(numerator: int, denominator: int) -> Cents:
    """Round an exact fraction to a whole number; a half goes away from zero, so that a refund mirrors its sale."""
    size = (2 * abs(numerator) + denominator) // (2 * denominator)
    return size if numerator >= 0 else -size
