"""What is still being typed: kept at each change, thrown away on demand."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, redirect, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import PAGE, SEEN, typed_now
from shopledger.counter.guard import session
from shopledger.desk.kept_forms import drop_form, keep_form

pages: Final = Blueprint("keeping", __name__)

NOTHING = "-"
"""What stands in an address for a form that is about nothing in particular."""


@pages.post("/keep/<kind>/<about>")
def keep(kind: str, about: str) -> tuple[str, int]:
    """Keep what is typed so far; the page's script sends it after each change."""
    beside = {SEEN: [request.form.get(SEEN, "")], PAGE: [_same_page()]}
    keep_form(desk(), kind, about.removeprefix(NOTHING), {**typed_now(), **beside})
    return "", 204


@pages.post("/drop/<kind>/", defaults={"about": ""})
@pages.post("/drop/<kind>/<about>")
def drop(kind: str, about: str) -> Response:
    """Throw away what was begun, and go back to the page as it is at first."""
    drop_form(desk(), kind, about.removeprefix(NOTHING))
    session().notices.append("What was begun was thrown away.")
    return redirect(_same_page(), 303)


def _same_page() -> str:
    """Give the page from which it was asked, of ours alone."""
    came = request.headers.get("Referer", "")
    before = request.host_url.rstrip("/")
    return came.removeprefix(before) if came.startswith(f"{before}/") else "/"
