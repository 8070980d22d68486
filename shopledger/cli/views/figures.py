"""How single figures are written: amounts and days for JSON, lengths for reading."""

from __future__ import annotations

from datetime import date

from shopledger.money.amount import Cents, to_decimal


def money(cents: Cents) -> str:
    """Write an amount for JSON: `1299.95`, a point and no commas."""
    return str(to_decimal(cents))


def day(given: date | None) -> str:
    """Write a day as ISO text; none is empty."""
    return given.isoformat() if given else ""


def mm(length: float | None) -> str:
    """Write a length for reading; none is empty."""
    return "" if length is None else f"{length:g}"


def toward(moved: float, forward: str, backward: str) -> str:
    """Say a distance with its way in words."""
    return f"{abs(moved):.1f} mm {forward if moved >= 0 else backward}"
