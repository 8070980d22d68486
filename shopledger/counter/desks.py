"""The desk of one request: the ledger is opened when first asked for, and closed with the answer."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import replace
from typing import TYPE_CHECKING, Final, NoReturn

from flask import Flask, current_app, g

from shopledger.counter.guard import session
from shopledger.counter.station import STATION, Station
from shopledger.desk.context import Desk, open_desk
from shopledger.desk.kept_forms import Sending
from shopledger.desk.shop import awaits_shop
from shopledger.errors import SetupError
from shopledger.ledger.limits import DAY_LONG_AGO

if TYPE_CHECKING:
    from shopledger.store.revision import Upgrade


class LedgerOlderError(SetupError):
    """The ledger came to be of an earlier version while the counter was open."""

    place: str
    sentence = (
        "the ledger {place} is of an earlier version now. Close the counter and start it again: it says what it does, "
        "copies the ledger and brings it up to date."
    )


THERE: Final = "SHOP_IS_THERE"


def station() -> Station:
    """Give what the pages need from outside."""
    found: Station = current_app.config[STATION]
    return found


def shop_is_there() -> bool:
    """Tell whether the ledger has its shop; once it has, nobody looks again."""
    if not current_app.config.get(THERE):
        current_app.config[THERE] = not awaits_shop(station().ledger)
    return bool(current_app.config[THERE])


def desk() -> Desk:
    """Open the ledger once for this request, in the name of whoever is at this browser."""
    if "desk" not in g:
        at = station()
        meant = DAY_LONG_AGO in g.get("accept", ())
        g.desk = open_desk(
            at.ledger, session().operator, at.clock(), at.today(), long_ago_is_meant=meant, told=_refuse_older
        )
    found: Desk = g.desk
    return found


@contextmanager
def reading_desk() -> Iterator[Desk | None]:
    """Open the ledger for whoever is not let in yet, to look for their name; None where there is none yet."""
    at = station()
    if not shop_is_there():
        yield None
        return
    found = open_desk(at.ledger, at.operator, at.clock(), at.today(), told=_refuse_older)
    try:
        yield found
    finally:
        found.close()


def close_desk() -> None:
    """Let go of the ledger before the request is over: what comes after it opens it anew."""
    open_one: Desk | None = g.pop("desk", None)
    if open_one is not None:
        open_one.close()


def send(sending: Sending) -> Desk:
    """Give the desk with a form on its way, which whatever is stored from now on belongs to."""
    g.desk = replace(desk(), sending=sending)
    return desk()


def claim() -> None:
    """Note the form on its way before something is done outside the ledger, so that it is done once."""
    with desk().writing():
        pass


def close_after(app: Flask) -> None:
    """Have the ledger closed after each request."""

    @app.teardown_request
    def close(_error: BaseException | None = None) -> None:
        close_desk()


def _refuse_older(upgrade: Upgrade) -> NoReturn:
    """Refuse to bring a ledger up to date under a page: nobody who is asked would see what it says."""
    raise LedgerOlderError(upgrade.place)
