"""The door: a key that opens once lets a browser in, and a button closes the counter in it."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, current_app, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import station
from shopledger.counter.guard import COOKIE, enter, session
from shopledger.counter.sessions import Sessions, signed

pages: Final = Blueprint("door", __name__)

LONGEST_KEY = 400


def sessions() -> Sessions:
    """Give who is let in."""
    found: Sessions = current_app.config["SESSIONS"]
    return found


@pages.get("/open")
def open_door() -> Response:
    """Let the browser in that the program itself opened; a key opens once."""
    key = request.args.get("key", "")[:LONGEST_KEY]
    device = request.headers.get("User-Agent", "")[:200]
    new = sessions().let_in_by_key(key, station().operator, station().clock(), device)
    if new is None:
        abort(403)
    return enter(new, "/")


@pages.get("/here")
def here() -> Response:
    """Prove to another start of this program that the counter of its ledger is here; nobody else learns anything."""
    asked = request.args.get("asked", "")[:LONGEST_KEY]
    return Response(signed(station().secret, f"here {asked}"), mimetype="text/plain")


@pages.post("/leave")
def leave() -> Response:
    """Close the counter in this browser."""
    sessions().end(session().number)
    answer = Response("", status=303, headers={"Location": "/"})
    answer.delete_cookie(COOKIE, path="/", httponly=True, samesite="Strict")
    return answer
