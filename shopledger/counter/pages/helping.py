"""The keys that the pages know, and where help stands."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template

from shopledger.counter.showing import ROOMS

pages: Final = Blueprint("help", __name__)


@pages.get("/keys")
def keys() -> str:
    """Show the keys."""
    return render_template("keys.html", known=ROOMS)
