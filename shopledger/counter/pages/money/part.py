"""The part of the counter that money is."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, request

from shopledger.ledger.books.period import Month

pages: Final = Blueprint("money", __name__, url_prefix="/money")
BOTH: Final = ("GET", "POST")


def month_asked() -> Month | None:
    """Give the month that a list is asked for, or None for all."""
    typed = request.args.get("month", "").strip()
    return Month.read(typed) if typed else None
