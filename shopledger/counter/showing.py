"""What every page shows the same way: money, days, powers, and the frame around it."""

from __future__ import annotations

from datetime import date
from typing import Any, NamedTuple

from flask import Flask, g, request

from shopledger.counter.addresses import PLACES
from shopledger.counter.desks import desk, shop_is_there, station
from shopledger.counter.guard import TOKEN
from shopledger.counter.plain_words import plain
from shopledger.counter.roles import may
from shopledger.desk.shop import shop_and_settings
from shopledger.errors import NotSetUpError, ShopledgerError
from shopledger.ledger.logins import Role
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.age import age_in_words
from shopledger.optics.notation import write_eye
from shopledger.typed.words import typed_word


class Room(NamedTuple):
    """A part of the counter, as the frame of each page names it."""

    endpoint: str
    path: str
    words: str
    key: str
    """With which key the browser goes there."""


ROOMS = (
    Room("today.today", "/", "Today", "t"),
    Room("sale.begin", "/sale", "Sale", "s"),
    Room("reorder.begin", "/new-lenses", "New lenses", "n"),
    Room("bench.board", "/bench", "Bench", "b"),
    Room("goods.shelf", "/goods", "Goods", "g"),
    Room("money.overview", "/money", "Money", "m"),
    Room("months.overview", "/months", "Months", "y"),
    Room("papers.folder", "/papers", "Papers", "p"),
    Room("shop.overview", "/shop", "Shop", "o"),
)
"""The parts of the counter in the order of a day."""


def teach(app: Flask) -> None:
    """Teach the pages how things are shown."""
    app.jinja_env.filters.update(
        money=money, day=long_day, eye=write_eye, plain=plain, typed=typed_word, aged=aged, words=words
    )
    app.jinja_env.globals.update({each.__name__: each for each in PLACES})
    app.jinja_env.globals["has_page"] = lambda endpoint: endpoint in app.view_functions
    app.jinja_env.globals["desk_today"] = lambda: station().today()
    app.context_processor(_frame)


def money(cents: Cents) -> str:
    """Write an amount as a page shows it."""
    return f"${write_amount(cents)}" if cents >= 0 else f"\N{MINUS SIGN}${write_amount(-cents)}"


def long_day(day: date | None) -> str:
    """Write a day so that nobody takes the month for the day."""
    return "" if day is None else f"{day:%b} {day.day}, {day.year}"


def aged(written: WrittenPrescription) -> str:
    """Say how old a prescription is."""
    return age_in_words(written.written_on, station().today())


def words(value: object) -> str:
    """Write a word of an enumeration as a heading does."""
    return str(getattr(value, "value", value)).capitalize()


def _frame() -> dict[str, Any]:
    """Give what the frame around every page needs."""
    session = g.get("session")
    if session is None:
        return {
            "shop_name": "shopledger",
            "rooms": (),
            "token": "",
            "token_name": TOKEN,
            "notices": (),
            "operator": "",
            "logged_in": False,
            "shown_path": "",
        }
    notices, session.notices = tuple(session.notices), []
    return {
        "shop_name": _shop_name(),
        "rooms": _rooms(session.role) if _shop_is_there() else (),
        "token": session.token,
        "token_name": TOKEN,
        "notices": notices,
        "operator": session.operator,
        "logged_in": session.logged_in,
        "shown_path": request.path,
    }


def _rooms(role: Role) -> tuple[Room, ...]:
    """Give the parts that somebody may use."""
    return tuple(room for room in ROOMS if may(role, room.endpoint))


def _shop_is_there() -> bool:
    try:
        return shop_is_there()
    except ShopledgerError:
        return False


def _shop_name() -> str:
    try:
        return shop_and_settings(desk())[0].name
    except (NotSetUpError, ShopledgerError):
        return "shopledger"
