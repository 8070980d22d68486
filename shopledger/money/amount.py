"""Amounts of money: whole cents inside, text and Decimal at the edges, a float nowhere."""

from __future__ import annotations

import re
from decimal import Context, Decimal, Inexact, InvalidOperation
from typing import TypeAlias

from shopledger.money.refusals import AmountError

Cents: TypeAlias = int
"""An amount of United States dollars counted in whole cents; below zero is money going the other way."""

LARGEST: Cents = 99_999_999_999
"""The largest amount either side of zero: more than the shop will ever see, so more is a slip of the finger."""

_CENT = Decimal("0.01")
# Traps make the arithmetic refuse what the default context would round without a word.
_EXACT = Context(prec=40, traps=[Inexact, InvalidOperation])

_TOO_FINE = ("an amount has at most two decimals", "Leave out the part of a cent, as in 129.95.")

_SHAPE = re.compile(
    r"""
    (?P<before>-?) \$? (?P<after>-?)
    (?P<dollars> [0-9]{1,3}(?:,[0-9]{3})+ | [0-9]+ | (?=\.) )
    (?: \. (?P<cents>[0-9]{1,2}) )?
    """,
    re.VERBOSE,
)


def read_amount(text: str | Decimal, field: str = "amount") -> Cents:
    """Read `129.95`, `1,299.95`, `-5` or `.50`, with a dollar sign or without; `field` names it in a refusal."""
    if isinstance(text, Decimal):
        return from_decimal(text, field)
    if not isinstance(text, str):
        raise AmountError(field, text, "an amount is dollars and cents as text", f"Write it as {_as_example(text)}.")
    return _whole_cents(_typed(text, field), f"'{text.strip()}'", field)


def write_amount(cents: Cents) -> str:
    """Write an amount as `1,299.95` or `-5.00`, the way it stands on every paper."""
    dollars, rest = divmod(abs(cents), 100)
    return f"{'-' if cents < 0 else ''}{dollars:,}.{rest:02d}"


def to_decimal(cents: Cents) -> Decimal:
    """Give dollars with exactly two decimals, for a sheet or a file."""
    return Decimal(cents).scaleb(-2, context=_EXACT)


def from_decimal(value: Decimal, field: str = "amount") -> Cents:
    """Give the cents of a Decimal in dollars; anything but whole cents is refused, never rounded."""
    if not value.is_finite():
        raise AmountError(field, value, "an amount is a number", "Write it like 129.95.")
    return _whole_cents(value, str(value), field)


def _typed(text: str, field: str) -> Decimal:
    """Take the number out of a typed amount."""
    # A minus sign copied from a printed page is a character of its own.
    bare = text.strip().replace("\N{MINUS SIGN}", "-")
    found = _SHAPE.fullmatch(bare)
    if found is None or (found["before"] and found["after"]):
        raise AmountError(field, f"'{text.strip()}'", *_why_not(bare))
    sign = found["before"] or found["after"]
    return Decimal(f"{sign}{found['dollars'].replace(',', '')}.{found['cents'] or '0'}")


def _whole_cents(value: Decimal, shown: str, field: str) -> Cents:
    """Count the cents of a finite Decimal, or refuse it as it was `shown`."""
    if value.copy_abs() > to_decimal(LARGEST):
        raise AmountError(field, shown, f"an amount is at most {write_amount(LARGEST)}", "Check the digits.")
    try:
        exact = value.quantize(_CENT, context=_EXACT)
    except Inexact:
        raise AmountError(field, shown, *_TOO_FINE) from None
    return int(exact.scaleb(2, context=_EXACT))


def _why_not(bare: str) -> tuple[str, str]:
    """Say what is allowed and what to do about a text that is no amount."""
    if not bare:
        return "an amount is dollars and cents", "Type it like 129.95."
    if re.fullmatch(r"\(.*\)", bare):
        return "brackets are not read as a minus", "Write money going back like -5.00."
    if re.fullmatch(r"[-$0-9,]*\.[0-9]{3,}", bare):
        return _TOO_FINE
    if "," in bare:
        return "a comma stands only before each group of three digits", "Write it like 1,299.95 or 1299.95."
    return "an amount is digits with a point before the cents", "Type it like 129.95 or 1,299.95."


def _as_example(value: object) -> str:
    """Show how the given number would be written, where it is a plain number of dollars."""
    plain = isinstance(value, int | float) and not isinstance(value, bool) and abs(value) * 100 <= LARGEST
    return f'"{value:.2f}"' if plain else '"129.95"'
