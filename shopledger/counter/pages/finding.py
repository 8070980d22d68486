"""One field for everything: names, phones, numbers, parcels, frames."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, redirect, render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.guard import session
from shopledger.counter.ways import page_of
from shopledger.desk.finding import find as find_anything
from shopledger.ledger.finding import Hit
from shopledger.ledger.things import Thing

pages: Final = Blueprint("finding", __name__)

LONGEST: Final = 120


@pages.get("/find")
def find() -> Response | str:
    """Find what was typed; one thing alone is opened at once, and so is the job whose bars were read."""
    typed = request.args.get("q", "").strip()[:LONGEST]
    found = find_anything(desk(), typed)
    meant = None if "all" in request.args else _meant(typed, found)
    if meant is None:
        return render_template("find.html", q=typed, hits=found, page_of=page_of)
    if len(found) > 1:
        others = ", ".join(each.about.said for each in found if each is not meant)
        words = f"Opened {meant.about.said}. There is also {others}; type the word before the number to find that."
        session().notices.append(words)
    return redirect(page_of(meant.about, meant.of), 303)


def _meant(typed: str, found: tuple[Hit, ...]) -> Hit | None:
    """Tell what is to be opened without a question."""
    if len(found) == 1:
        return found[0]
    bars = typed.isascii() and typed.isdigit()
    return next((each for each in found if bars and each.about.thing is Thing.JOB), None)
