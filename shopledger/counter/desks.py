"""The desk of one request: the ledger is opened when first asked for, and closed with the answer."""

from __future__ import annotations

from dataclasses import replace
from typing import Final

from flask import Flask, current_app, g

from shopledger.counter.guard import session
from shopledger.counter.station import Station
from shopledger.desk.context import Desk, open_desk
from shopledger.desk.kept_forms import Sending
from shopledger.ledger.limits import DAY_LONG_AGO

STATION: Final = "STATION"


def station() -> Station:
    """Give what the pages need from outside."""
    found: Station = current_app.config[STATION]
    return found


def desk() -> Desk:
    """Open the ledger once for this request, in the name of whoever is at this browser."""
    if "desk" not in g:
        at = station()
        meant = DAY_LONG_AGO in g.get("accept", ())
        g.desk = open_desk(at.ledger, session().operator, at.clock(), at.today(), long_ago_is_meant=meant)
    found: Desk = g.desk
    return found


def send(sending: Sending) -> Desk:
    """Give the desk with a form on its way, which whatever is stored from now on belongs to."""
    g.desk = replace(desk(), sending=sending)
    return desk()


def close_after(app: Flask) -> None:
    """Have the ledger closed after each request."""

    @app.teardown_request
    def close(_error: BaseException | None = None) -> None:
        open_one: Desk | None = g.pop("desk", None)
        if open_one is not None:
            open_one.close()
