"""The first page: what waits today, most urgent first."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.desks import desk
from shopledger.desk.kept_forms import kept_forms

pages: Final = Blueprint("today", __name__)


@pages.get("/")
def today() -> str:
    """Show what waits."""
    return render_template("today.html", begun=kept_forms(desk()), finding_first=True)
