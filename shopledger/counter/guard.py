"""The guard at the door of every page: where a request was sent to, from where, by whom, and what its answer may do.

Nothing but the look of the pages and the door itself answers without a session. Whatever changes anything must come
from a page of ours: its origin is in the list, and it carries the token of its session.
"""

from __future__ import annotations

import hmac
from collections.abc import Container
from typing import Final

from flask import Flask, Response, abort, current_app, g, make_response, redirect, request
from werkzeug.wrappers import Response as AnyResponse

from shopledger.counter.roles import OwnersOnly, may
from shopledger.counter.sessions import Session, Sessions
from shopledger.counter.station import AWAY, STATION, Station

COOKIE: Final = "counter"
TOKEN: Final = "token"  # noqa: S105 - the name of a field
TOKEN_HEADER: Final = "X-Counter-Token"  # noqa: S105 - the name of a header
ACCEPT: Final = "accept"
"""The field in which a form says yes to warnings, by their codes."""
LOG_IN: Final = "/log-in"
LOOKING: Final = frozenset({"GET", "HEAD"})
OPEN_TO_ALL: Final = frozenset({"static", "door.open_door", "door.here", "door.log_in"})
"""What answers without a session: the look of the pages, and the door."""

HEADERS: Final = {
    "Content-Security-Policy": (
        "default-src 'none'; style-src 'self'; script-src 'self'; img-src 'self' data:; connect-src 'self'; "
        "object-src 'self'; frame-src 'self'; form-action 'self'; frame-ancestors 'none'; base-uri 'none'"
    ),
    "X-Content-Type-Options": "nosniff",
    # Not `no-referrer`: a browser then sends our own forms with the origin `null`.
    "Referrer-Policy": "same-origin",
    "Cross-Origin-Opener-Policy": "same-origin",
    "Cross-Origin-Resource-Policy": "same-origin",
    "Permissions-Policy": "camera=(), microphone=(), geolocation=()",
}
PAPER_POLICY: Final = "default-src 'none'; style-src 'unsafe-inline'; object-src 'self'; frame-ancestors 'self'"
"""For a PDF, which a page of ours may show in a frame and which the browser's own viewer draws."""


def watch(app: Flask) -> None:
    """Have every request looked at before it is answered, and every answer given its headers."""

    @app.before_request
    def look() -> AnyResponse | None:
        station: Station = current_app.config[STATION]
        reached = [each for each in station.addresses if each.secure is is_away()]
        if request.headers.get("Host") not in {each.host for each in reached}:
            abort(421)
        _refuse_strangers({each.origin for each in reached})
        if request.mimetype != "multipart/form-data":
            # Only what brings a file along may be larger than what a person types.
            request.max_content_length = current_app.config["MAX_FORM_MEMORY_SIZE"]
        if request.endpoint in OPEN_TO_ALL:
            return None
        g.session = _session_of(current_app.config["SESSIONS"], station)
        if g.session is None and is_away() and request.method in LOOKING:
            return redirect(LOG_IN, 303)
        _hold(g.session)
        return None

    @app.after_request
    def dress(answer: AnyResponse) -> AnyResponse:
        for name, value in HEADERS.items():
            answer.headers.setdefault(name, value)
        if request.endpoint != "static":
            answer.headers["Cache-Control"] = "no-store"
        return answer


def is_away() -> bool:
    """Tell whether a request comes from another computer, whatever it says of itself."""
    return AWAY in request.environ


def session() -> Session:
    """Give the session of this request."""
    found: Session = g.session
    return found


def enter(new: Session, target: str) -> AnyResponse:
    """Send a browser on with its cookie: neither its scripts nor another site's pages get it."""
    answer: Response = make_response(redirect(target, 303))
    secure = request.is_secure or bool(current_app.config["SECURE"])
    answer.set_cookie(COOKIE, new.number, httponly=True, samesite="Strict", path="/", secure=secure)
    return answer


def _session_of(sessions: Sessions, station: Station) -> Session | None:
    """Give the session of a request; one of this computer is none on another, nor the other way round."""
    found = sessions.of(request.cookies.get(COOKIE, ""), station.clock())
    return found if found is not None and found.away is is_away() else None


def _hold(found: Session | None) -> None:
    """Refuse whoever is not let in, what no page of theirs sends, and what their role may not do."""
    if found is None:
        abort(401)
    if request.method not in LOOKING:
        _take(found)
    if not may(found.role, request.endpoint):
        raise OwnersOnly


def _refuse_strangers(origins: Container[str | None]) -> None:
    """Refuse what no page of ours sends, whoever is let in."""
    if request.method not in LOOKING | {"POST"}:
        abort(405)
    if request.headers.get("Sec-Fetch-Site", "none") not in {"none", "same-origin"}:
        abort(403)
    if request.method not in LOOKING and request.headers.get("Origin") not in origins:
        abort(403)


def _take(of: Session) -> None:
    """Take what was sent, if it carries the token of its session, with the warnings that it says yes to."""
    given = request.headers.get(TOKEN_HEADER) or request.form.get(TOKEN, "")
    if not hmac.compare_digest(given.encode(), of.token.encode()):
        abort(403)
    g.accept = frozenset(request.form.getlist(ACCEPT))
