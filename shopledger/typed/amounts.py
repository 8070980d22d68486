"""Amounts as they are typed, where a shell may have read the line first and taken a part of it away."""

from __future__ import annotations

import re
from typing import Final

from shopledger.ledger.catalogue import read_pair_price
from shopledger.money.amount import Cents, read_amount
from shopledger.money.refusals import AmountError

_EATEN: Final = re.compile(r"=.*|[+-]?\.[0-9].*")


def read_typed_amount(text: str, field: str = "amount") -> Cents:
    """Read an amount; one without a digit before its point, or with `=` before it, is refused.

    `$` before a digit is a name to a shell, which puts what goes by that name in its place: of 199.95 behind that sign
    one shell leaves 99.95 and another .95. The first cannot be told from an amount, the second can.
    """
    _whole_or_refused(text, field)
    return read_amount(text, field)


def read_typed_pair_price(text: str, field: str = "price") -> Cents:
    """Read the price of a pair, or of one lens with `each` behind it, with the same care."""
    _whole_or_refused(text, field)
    return read_pair_price(text, field)


def _whole_or_refused(text: str, field: str) -> None:
    typed = text.strip()
    bare = typed.replace("\N{MINUS SIGN}", "-")
    if not _EATEN.fullmatch(bare):
        return
    if bare.startswith("="):
        allowed = "an amount begins with a digit, and '=' stands at most once, between an option and its value"
        raise AmountError(field, f"'{typed}'", allowed, "Type it like 129.95.")
    sign, _, cents = bare.partition(".")
    below = f"{sign}0.{cents}".removeprefix("+")
    allowed = (
        "an amount has a digit before its point, since a shell takes a dollar sign with the digits behind it for a "
        "name and leaves the rest"
    )
    hint = f"Type the amount alone, like 129.95; if {below} is meant, type that."
    raise AmountError(field, f"'{typed}'", allowed, hint)
