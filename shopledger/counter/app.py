"""The counter as an application: its pages, its guard, and what is said where something goes wrong."""

from __future__ import annotations

from collections.abc import Iterable
from datetime import timedelta
from typing import Final

from flask import Blueprint, Flask, current_app, g, render_template, request
from jinja2 import StrictUndefined
from werkzeug.exceptions import HTTPException

from shopledger.counter import first_day, guard, showing
from shopledger.counter.desks import THERE, close_after
from shopledger.counter.forms.answering import clear_files
from shopledger.counter.plain_words import plain
from shopledger.counter.sessions import Sessions
from shopledger.counter.station import STATION, Station
from shopledger.counter.tries import Tries
from shopledger.errors import ShopledgerError, UnknownNameError, visible
from shopledger.files.reading import LARGEST
from shopledger.places import templates_folder
from shopledger.store.refusals import NumberUnknownError

FORM_BYTES: Final = 500_000
"""The most that is typed into one form."""
FORM_PARTS: Final = 2_000

SAID: Final = {
    400: ("That cannot be read", "The request is not one that a page of the counter sends."),
    401: (
        "The door is closed",
        (
            "This browser is not let in, or nobody used it for a long time. Start the counter again on its computer: "
            "the page opens by itself. What was begun is kept."
        ),
    ),
    403: (
        "That did not come from the counter",
        "For safety only its own pages may ask that. Go to the first page and do it again there.",
    ),
    404: ("There is no such page", "Look for it under its name or number."),
    405: ("That cannot be done so", "Go back, and use the button on the page."),
    413: (
        "That is too large",
        f"A file may have up to {LARGEST // 1_000_000} MB. Take a smaller picture, or scan it with fewer dots.",
    ),
    421: ("That is not this counter's address", "Start the counter again on its computer: the page opens by itself."),
    500: (
        "Something went wrong in the program",
        "Nothing was half stored. What went wrong stands in the window in which the counter was started.",
    ),
}
"""What a page says for each way to go wrong: its heading, and what to do."""


def make_app(station: Station, parts: Iterable[Blueprint]) -> Flask:
    """Make some parts of the counter over one ledger."""
    folder = templates_folder() / "pages"
    app = Flask(__name__, template_folder=folder, static_folder=folder / "look", static_url_path="/look")
    seat(app, station)
    app.config.update(
        {
            "MAX_CONTENT_LENGTH": LARGEST + FORM_BYTES,
            "MAX_FORM_MEMORY_SIZE": FORM_BYTES,
            "MAX_FORM_PARTS": FORM_PARTS,
            "SEND_FILE_MAX_AGE_DEFAULT": 0,
            "TRAP_HTTP_EXCEPTIONS": False,
        }
    )
    app.url_map.merge_slashes = False
    app.jinja_env.autoescape = True
    app.jinja_env.undefined = StrictUndefined
    app.jinja_env.trim_blocks = app.jinja_env.lstrip_blocks = True
    guard.watch(app)
    first_day.lead(app)
    close_after(app)
    app.teardown_request(clear_files)
    showing.teach(app)
    for part in parts:
        app.register_blueprint(part)
    app.register_error_handler(HTTPException, _refused)
    app.register_error_handler(ShopledgerError, _said)
    app.register_error_handler(Exception, _broken)
    return app


def seat(app: Flask, station: Station) -> None:
    """Put the pages over a ledger, with nobody let in yet."""
    app.config.update(
        {
            STATION: station,
            THERE: False,
            "SECURE": all(each.secure for each in station.addresses),
            "TRIES": Tries(),
            "SESSIONS": Sessions(station.secret, timedelta(minutes=station.idle_minutes)),
        }
    )


def seat_beside(app: Flask, other: Flask) -> None:
    """Let whoever the other has let in be let in here too."""
    app.config.update({name: other.config[name] for name in ("SESSIONS", "TRIES")})


def _refused(error: HTTPException) -> tuple[str, int]:
    code = error.code or 500
    heading, words = getattr(error, "said", None) or SAID.get(code, SAID[400])
    return _page(heading, words, code)


def _said(error: ShopledgerError) -> tuple[str, int]:
    """Say what the program refuses where no form is on the page."""
    missing = isinstance(error, NumberUnknownError | UnknownNameError)
    return _page(
        "That is not there" if missing else "That cannot be", plain(visible(str(error))), 404 if missing else 409
    )


def _broken(error: Exception) -> tuple[str, int]:
    """Say that the program is wrong, and tell its keeper where; what was typed is in nobody's log."""
    current_app.logger.error("a page failed: %s %s", request.method, request.endpoint, exc_info=error)
    return _page(*SAID[500], 500)


def _page(heading: str, words: str, code: int) -> tuple[str, int]:
    return render_template(
        "wrong.html", heading=heading, words=words, inside="session" in g and g.session is not None
    ), code
