"""The door: a key that opens once or a name and passphrase let a browser in, and a button closes the counter in it."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, abort, current_app, redirect, render_template, request
from werkzeug.wrappers import Response as AnyResponse

from shopledger.counter.desks import desk, reading_desk, station
from shopledger.counter.devices import device_words
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import form, secret
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import COOKIE, LOG_IN, enter, is_away, session
from shopledger.counter.sessions import Sessions, opens, signed
from shopledger.counter.tries import Tries
from shopledger.desk.counter_places import asks_here
from shopledger.desk.logins import change_passphrase, logins, proven
from shopledger.errors import RefusedError
from shopledger.ledger.logins import LONGEST

pages: Final = Blueprint("door", __name__)

LONGEST_KEY = 400
BEFORE: Final = secret("before", "Passphrase until now", purpose="current-password")
NEW: Final = secret("passphrase", "New passphrase", hint="Four or five words that only you put together.")
AGAIN: Final = secret("again", "New passphrase again")
OTHER_WORDS: Final = "Name and passphrase do not go together. Look at capitals, or at what was filled in for you."
NOBODY: Final = "Nobody may log in yet. The owner adds names at the shop's own computer, under Shop, Operators."


def sessions() -> Sessions:
    """Give who is let in."""
    found: Sessions = current_app.config["SESSIONS"]
    return found


def tries() -> Tries:
    """Give how often somebody tried to log in."""
    found: Tries = current_app.config["TRIES"]
    return found


@pages.get("/open")
def open_door() -> AnyResponse:
    """Let the browser in that the program itself opened; a key opens once, and on this computer alone."""
    if is_away():
        abort(404)
    key = request.args.get("key", "")[:LONGEST_KEY]
    if opens(station().secret, key, station().clock()) and _is_asked_here():
        return redirect(LOG_IN, 303)
    new = sessions().let_in_by_key(key, station().operator, station().clock(), _device())
    if new is None:
        abort(403)
    return enter(new, "/")


@pages.route(LOG_IN, methods=("GET", "POST"))
def log_in() -> AnyResponse | tuple[str, int] | str:
    """Ask for name and passphrase."""
    if not _anybody():
        return _asked(NOBODY), 403
    if request.method != "POST":
        return _asked("")
    name, passphrase = request.form.get("name", "")[:120], request.form.get("passphrase", "")[: LONGEST + 1]
    device, now = request.remote_addr or "", station().clock()
    wait = tries().begin(name, device, now, at_home=not is_away())
    if wait:
        return _asked(f"There were too many wrong tries. Wait {_span(wait)}, then try again.", name), 429
    with reading_desk() as at:
        found = proven(at, name, passphrase) if at else None
    if found is None:
        return _asked(OTHER_WORDS, name), 422
    tries().right(name, device, at_home=not is_away())
    return enter(sessions().let_in_by_login(found, now, _device(), away=is_away()), "/")


@pages.route("/passphrase", methods=("GET", "POST"))
def passphrase() -> Answer:
    """Let whoever logged in take another passphrase."""
    mine = session()
    if not mine.logged_in:
        abort(404)

    def store(values: Values) -> Done:
        wait = tries().begin(mine.operator, mine.number, station().clock(), at_home=not mine.away)
        if wait:
            raise RefusedError("before", "one try too many", f"the next is heard in {_span(wait)}", "Wait so long.")
        if proven(desk(), mine.operator, values.of(BEFORE)) is None:
            raise RefusedError("before", "another", "it is the one that you logged in with", "Type that one.")
        tries().right(mine.operator, mine.number, at_home=not mine.away)
        new = same_twice(values.of(NEW), values.of(AGAIN))
        change_passphrase(desk(), mine.operator, new)
        sessions().end_of(mine.operator, but=mine.number)
        return Done("/", "The passphrase was changed. Other browsers in which you were logged in have to log in again.")

    return fill(form(BEFORE, NEW, AGAIN), store, "form.html", heading="Your passphrase", button="Change the passphrase")


@pages.get("/here")
def here() -> AnyResponse:
    """Prove to another start of this program that the counter of its ledger is here; nobody else learns anything."""
    if is_away():
        abort(404)
    asked = request.args.get("asked", "")[:LONGEST_KEY]
    return current_app.response_class(signed(station().secret, f"here {asked}"), mimetype="text/plain")


@pages.post("/leave")
def leave() -> AnyResponse:
    """Close the counter in this browser."""
    sessions().end(session().number)
    answer = redirect("/", 303)
    answer.delete_cookie(COOKIE, path="/", httponly=True, samesite="Strict")
    return answer


def same_twice(first: str, second: str) -> str:
    """Give a passphrase that was typed twice the same way."""
    if first != second:
        raise RefusedError("again", "another", "it is the same passphrase a second time", "Type both again.")
    return first


def _asked(wrong: str, name: str = "") -> str:
    return render_template("log_in.html", wrong=wrong, name=name, anybody=_anybody(), action=LOG_IN)


def _anybody() -> bool:
    with reading_desk() as at:
        return at is not None and bool(logins(at))


def _is_asked_here() -> bool:
    return asks_here(station().ledger) and _anybody()


def _device() -> str:
    return device_words(request.headers.get("User-Agent", ""), request.remote_addr or "")


def _span(seconds: int) -> str:
    if seconds < 100:
        return f"{seconds} second{'' if seconds == 1 else 's'}"
    return f"{(seconds + 59) // 60} minutes"
