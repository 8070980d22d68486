"""One field for everything: names, phones, numbers, frames."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template, request

from shopledger.counter.desks import desk
from shopledger.desk.known_people import find_customers

pages: Final = Blueprint("finding", __name__)


@pages.get("/find")
def find() -> str:
    """Find what was typed."""
    typed = request.args.get("q", "").strip()[:120]
    found = find_customers(desk(), typed) if typed else ()
    return render_template("find.html", q=typed, customers=found)
