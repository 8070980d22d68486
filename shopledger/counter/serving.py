"""Serving the counter: one server for each ledger on a computer, found again by a second start."""

from __future__ import annotations

import ctypes
import errno
import gc
import hashlib
import hmac
import http.client
import secrets
import socket
import threading
import time
import webbrowser
from collections.abc import Callable, Iterable
from contextlib import closing, suppress
from dataclasses import dataclass, replace
from datetime import date, datetime
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

from shopledger.counter.sessions import new_key, signed
from shopledger.counter.station import Address, Station
from shopledger.errors import SetupError

if TYPE_CHECKING:
    from flask import Flask

    from shopledger.counter.network import Certificate, Doorway

LOOPBACK: Final = "127.0.0.1"
FIRST_PORT: Final = 8790
PORTS: Final = 20
"""How many places are tried, from the first that belongs to the ledger on."""
SECONDS_TO_ANSWER: Final = 3.0
THREADS: Final = 2
"""One answers while the other writes a workbook; each more would keep memory of its own."""
M_ARENA_MAX: Final = -8
"""As malloc.h of glibc calls it (value from memory)."""
USUAL_THRESHOLDS: Final = (700, 10, 10)
"""When Python looks for lost objects unless somebody says otherwise."""


class NoPortError(SetupError):
    """No place is free for the counter."""

    first: int
    last: int
    sentence = (
        "no port from {first} to {last} is free for the counter. End the other programs that use them, or name another "
        "with --port."
    )


@dataclass(frozen=True, slots=True)
class Wanted:
    """Which counter is wanted."""

    ledger: str
    """The address of the ledger."""
    operator: str
    clock: Callable[[], datetime]
    papers: Path
    secret: bytes
    """Known to every program of this user on this computer that opens this ledger's counter."""
    day: date | None = None
    port: int | None = None
    away: str = ""
    """The address at which other computers are answered; none are where it is empty."""
    host: str = ""
    """The name under which the browser is sent there; the bare address where it is empty."""


@dataclass(frozen=True, slots=True)
class Found:
    """A counter that runs already."""

    port: int


def own_name(ledger: str) -> str:
    """Give the counter of a ledger a name of its own: a cookie of one name is sent to no other."""
    return f"shop-{hashlib.sha256(ledger.encode()).hexdigest()[:8]}.localhost"


def own_port(ledger: str) -> int:
    """Give the first port that the counter of a ledger tries, always the same."""
    return FIRST_PORT + int(hashlib.sha256(ledger.encode()).hexdigest()[:6], 16) % 1000


def take_place(wanted: Wanted) -> socket.socket | Found:
    """Take the ledger's port, or find its counter there; whoever binds the port first is the server."""
    first = own_port(wanted.ledger) if wanted.port is None else wanted.port
    ports = range(first, first + (PORTS if wanted.port is None else 1))
    for port in ports:
        place = socket.socket(socket.AF_INET, socket.SOCK_STREAM)
        try:
            place.bind((LOOPBACK, port))
        except OSError as error:
            place.close()
            if error.errno not in {errno.EADDRINUSE, errno.EACCES, getattr(errno, "WSAEACCES", errno.EACCES)}:
                raise
            if _is_ours(port, wanted.secret):
                return Found(port)
        else:
            place.listen(128)
            return place
    raise NoPortError(ports[0], ports[-1])


def address_of(wanted: Wanted, port: int) -> str:
    """Give what the browser is sent to; its key opens once."""
    host = f"{wanted.host}:{port}" if wanted.host else f"{LOOPBACK}:{port}"
    return f"http://{host}/open?key={new_key(wanted.secret, wanted.clock())}"


def station_at(wanted: Wanted, port: int, way: Way | None = None) -> Station:
    """Give the counter that answers on a port, and other computers where there is a way for them."""
    names = (*([wanted.host] if wanted.host else []), LOOPBACK, "localhost")
    addresses = tuple(Address(f"{name}:{port}") for name in names)
    made = Station(wanted.ledger, wanted.operator, wanted.clock, wanted.papers, addresses, wanted.secret, wanted.day)
    if way is None:
        return made
    return replace(made, addresses=(*addresses, *way.door.addresses), fingerprint=way.proof.fingerprint)


class Way(NamedTuple):
    """The way in for other computers: where, and what proves to them that it is this one."""

    door: Doorway
    proof: Certificate


def way_for_others(wanted: Wanted, port: int, file: Path) -> Way | None:
    """Find the way for other computers, if any is wanted; its certificate is made the first time."""
    if not wanted.away:
        return None
    from shopledger.counter.network import certificate, doorway  # noqa: PLC0415 - most counters let nobody in

    door = doorway(wanted.away, port)
    return Way(door, certificate(door, file, wanted.clock()))


def serve(place: socket.socket, station: Station, ready: Callable[[], None], way: Way | None = None) -> None:
    """Answer on a place that was taken, and on the way for other computers, until Ctrl-C."""
    from waitress.server import create_server  # noqa: PLC0415 - whoever only finds the counter needs no server

    share_memory()
    app = AppSoon(station)
    away = None
    if way is not None:
        from shopledger.counter.network import AwayServer  # noqa: PLC0415 - as above

        away = AwayServer(app, *way)
        away.start()
    server = create_server(
        app,
        sockets=[place],
        threads=THREADS,
        ident=None,
        clear_untrusted_proxy_headers=True,
        max_request_header_size=32_768,
    )
    ready()
    try:
        server.run()
    finally:
        server.close()
        if away is not None:
            away.stop()


class AppSoon:
    """The counter's pages: the early ones made while the browser opens, all others when one is asked for."""

    def __init__(self, station: Station) -> None:
        self._station = station
        self._early: Flask | None = None
        self._whole: Flask | None = None
        self._failed: Exception | None = None
        self._there = threading.Event()
        self._making = threading.Lock()
        threading.Thread(target=self._make_early, daemon=True).start()

    def __call__(self, asked: dict[str, Any], start: Callable[..., Any]) -> Iterable[bytes]:
        """Answer a request; whoever comes before the first pages are made waits for them."""
        from shopledger.counter.early_pages import is_early  # noqa: PLC0415 - it is made in a thread of its own

        self._there.wait()
        if self._early is None:
            raise RuntimeError from self._failed
        early = self._whole is None and is_early(asked.get("PATH_INFO", ""))
        app = self._early if early else self._all_of(self._early)
        return app(asked, start)

    def _make_early(self) -> None:
        try:
            from shopledger.counter.app import make_app  # noqa: PLC0415 - the browser opens meanwhile
            from shopledger.counter.early_pages import EARLY  # noqa: PLC0415 - as above

            self._early = make_app(self._station, EARLY)
        except Exception as error:  # noqa: BLE001 - it is said to each request, of which the server tells its keeper
            self._failed = error
        self._there.set()
        if self._early is not None:
            look_once(self._station)
            tidy_up()

    def _all_of(self, early: Flask) -> Flask:
        """Give all pages, to the browsers that the early ones have let in."""
        with self._making:
            if self._whole is None:
                from shopledger.counter.app import make_app, seat_beside  # noqa: PLC0415 - as above
                from shopledger.counter.every_page import PAGES  # noqa: PLC0415 - it brings every page with it

                whole = make_app(self._station, PAGES)
                seat_beside(whole, early)
                self._whole = whole
            return self._whole


def share_memory() -> None:
    """Let all threads take memory from one store, where the C library keeps one for each: half of it would lie idle.

    That is glibc's; elsewhere nothing is done.
    """
    with suppress(OSError, AttributeError, TypeError):
        ctypes.CDLL(None).mallopt(M_ARENA_MAX, 1)


def tidy_up() -> None:
    """Let go of what importing left behind, and of lost objects from now on.

    A command lives for a moment and does not look for them; the counter is open the whole day.
    """
    gc.set_threshold(*USUAL_THRESHOLDS)
    gc.collect()


def look_once(station: Station) -> None:
    """Look at what waits while the browser still opens: the first look of a process reads more than any after it."""
    from shopledger.desk.context import open_desk  # noqa: PLC0415 - as above
    from shopledger.desk.today import today  # noqa: PLC0415 - as above

    # Whatever fails here is said where somebody asks for the page.
    with suppress(Exception):
        desk = open_desk(station.ledger, station.operator, station.clock(), station.today())
        with closing(desk):
            today(desk)


def open_browser(address: str) -> None:
    """Open the browser, which the server does not wait for."""

    def show() -> None:
        with suppress(Exception):
            webbrowser.open(address)

    threading.Thread(target=show, daemon=True).start()


def _is_ours(port: int, secret: bytes) -> bool:
    """Tell whether the counter of the same ledger answers on a port: only it can sign what nobody asked before."""
    until = time.monotonic() + SECONDS_TO_ANSWER
    while True:
        asked = secrets.token_urlsafe(16)
        connection = http.client.HTTPConnection(LOOPBACK, port, timeout=1)
        try:
            connection.request("GET", f"/here?asked={asked}")
            said = connection.getresponse().read(200).decode("ascii", "replace")
        except (OSError, http.client.HTTPException):
            said = ""
        finally:
            connection.close()
        if said:
            return hmac.compare_digest(said, signed(secret, f"here {asked}"))
        if time.monotonic() > until:
            return False
        time.sleep(0.1)
