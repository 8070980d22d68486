"""Before there is a shop: every page leads to the one on which it is set up, and that one leads on from then."""

from __future__ import annotations

from typing import Final

from flask import Flask, g, redirect, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import shop_is_there
from shopledger.counter.guard import OPEN_TO_ALL

SET_UP: Final = "/set-up/"
FIRST_THINGS: Final = "/shop/first-things"
ALWAYS: Final = frozenset({"door.leave", "help.keys"})
"""What answers before there is a shop, too."""


def lead(app: Flask) -> None:
    """Have every request led."""

    @app.before_request
    def led() -> Response | None:
        if request.endpoint in OPEN_TO_ALL or "session" not in g:
            return None
        there, ours = shop_is_there(), request.path.startswith(SET_UP)
        if request.endpoint in ALWAYS or there is not ours:
            return None
        return redirect(FIRST_THINGS if there else SET_UP, 303)
