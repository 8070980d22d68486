"""Another computer: encrypted, logged in, held to its role, and never taken for the shop's own."""

from __future__ import annotations

import http.client
import socket
import ssl
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime, timedelta
from pathlib import Path

import pytest
from flask import Flask
from flask.testing import FlaskClient
from werkzeug.test import TestResponse

from shopledger.counter.app import make_app
from shopledger.counter.every_page import PAGES
from shopledger.counter.guard import COOKIE, OPEN_TO_ALL
from shopledger.counter.network import (
    AwayServer,
    Certificate,
    Doorway,
    NoSuchAddressError,
    certificate,
    doorway,
)
from shopledger.counter.roles import COUNTER_PARTS, OWNER_PARTS, OWNER_WORDS, may
from shopledger.counter.sessions import new_key
from shopledger.counter.station import AWAY, Address, Station
from shopledger.desk.context import Desk
from shopledger.desk.counter_places import ask_here
from shopledger.desk.logins import add_login, logins
from shopledger.ledger.logins import Login, Role
from tests.counter.visitor import Visitor
from tests.desk.conftest import NOW

HOME = "https://192.0.2.10:8790"
WORDS = "maple drawer sings low"


class Clock:
    """A clock that stands until it is moved."""

    def __init__(self) -> None:
        self.now = NOW

    def __call__(self) -> datetime:
        """Read it."""
        return self.now


class Away:
    """A browser at another computer."""

    def __init__(self, app: Flask) -> None:
        self.client: FlaskClient = app.test_client()
        self.client.environ_base[AWAY] = "yes"
        self.client.environ_base["REMOTE_ADDR"] = "192.0.2.77"

    def get(self, path: str, **headers: str) -> TestResponse:
        """Ask for a page."""
        return self.client.get(path, base_url=HOME, headers=headers)

    def log_in(self, name: str, words: str, *, origin: str = HOME) -> TestResponse:
        """Send name and passphrase."""
        typed = {"name": name, "passphrase": words}
        return self.client.post("/log-in", base_url=HOME, data=typed, headers={"Origin": origin})


@pytest.fixture
def clock() -> Clock:
    """Give the counter's clock."""
    return Clock()


@pytest.fixture
def open_station(station: Station, clock: Clock) -> Station:
    """Give a counter that other computers may reach, with an owner and somebody at the counter."""
    return replace(
        station,
        clock=clock,
        addresses=(*station.addresses, Address("192.0.2.10:8790", secure=True)),
        fingerprint="AA:BB",
    )


@pytest.fixture
def people(desk: Desk) -> None:
    """Let two people log in."""
    add_login(desk, Login("Ines", Role.OWNER), WORDS)
    add_login(desk, Login("Bram", Role.COUNTER), WORDS)


@pytest.fixture
def opened(open_station: Station) -> Flask:
    """Give the pages."""
    made = make_app(open_station, PAGES)
    made.testing = True
    return made


@pytest.fixture
def away(opened: Flask) -> Away:
    """Give a browser at another computer that is not logged in."""
    return Away(opened)


@pytest.fixture
def at_home(opened: Flask, open_station: Station) -> Iterator[Visitor]:
    """Give a browser at the shop's own computer."""
    with opened.test_client() as client:
        yield Visitor(client, open_station).enter()


@pytest.mark.usefixtures("people")
def test_nothing_is_shown_before_the_login(away: Away) -> None:
    """Every page leads to the login, which says neither the shop's name nor who may log in."""
    for path in ("/", "/customers/1", "/shop", "/no-such-page"):
        answer = away.get(path)
        assert (answer.status_code, answer.headers["Location"]) == (303, "/log-in")
    said = away.get("/log-in").get_data(as_text=True)
    for secret in ("Pebble", "Ines", "Bram", "Fernhollow"):
        assert secret not in said
    assert away.client.post("/customers/new", base_url=HOME, headers={"Origin": HOME}).status_code == 401


@pytest.mark.usefixtures("people")
def test_a_key_opens_nothing_from_elsewhere(away: Away, open_station: Station) -> None:
    """Only the program itself sends a browser with a key, and only on its own computer."""
    key = new_key(open_station.secret, open_station.clock())
    assert away.get(f"/open?key={key}").status_code == 404
    assert away.get("/here?asked=1").status_code == 404


@pytest.mark.usefixtures("people")
@pytest.mark.parametrize("host", ["127.0.0.1:8790", "localhost:8790", "shop-tested.localhost:8790", "192.0.2.10"])
def test_another_computer_cannot_say_that_it_is_this_one(away: Away, host: str) -> None:
    """What a request calls the counter does not make it one of the own computer's."""
    assert away.get("/log-in", Host=host).status_code == 421


@pytest.mark.usefixtures("people")
def test_the_own_computer_is_not_reached_under_the_other_address(at_home: Visitor) -> None:
    """Nor the other way round."""
    assert at_home.client.get("/", base_url=HOME).status_code == 421


@pytest.mark.usefixtures("people")
def test_whoever_logs_in_works_under_that_name(away: Away, desk: Desk) -> None:
    """The cookie goes over encrypted ways alone, and what is stored has the name."""
    answer = away.log_in("ines", WORDS)
    assert (answer.status_code, answer.headers["Location"]) == (303, "/")
    assert {"Secure", "HttpOnly", "SameSite=Strict"} <= {
        part.strip() for part in answer.headers["Set-Cookie"].split(";")
    }
    assert "At the counter: Ines" in away.get("/").get_data(as_text=True)
    assert away.get("/shop").status_code == 200
    assert len(logins(desk)) == 2


@pytest.mark.usefixtures("people")
@pytest.mark.parametrize(
    ("name", "words"), [("Ines", "wrong words of somebody"), ("Nobody", WORDS), ("", ""), ("Ines", WORDS * 20)]
)
def test_a_wrong_login_says_not_what_is_wrong(away: Away, name: str, words: str) -> None:
    """One sentence for a wrong name and a wrong passphrase, and the passphrase is not shown again."""
    answer = away.log_in(name, words)
    assert answer.status_code == 422
    said = answer.get_data(as_text=True)
    assert "do not go together" in said
    assert not words or words not in said
    assert away.get("/").status_code == 303


@pytest.mark.usefixtures("people")
def test_a_login_from_another_page_is_not_heard(away: Away) -> None:
    """Nobody is logged in by a page from elsewhere."""
    assert away.log_in("Ines", WORDS, origin="https://evil.example").status_code == 403


@pytest.mark.slow
@pytest.mark.usefixtures("people")
def test_wrong_tries_make_the_next_one_wait(away: Away, opened: Flask, at_home: Visitor, clock: Clock) -> None:
    """By name and by device, ever longer; the right passphrase is not heard meanwhile, the own computer is."""
    assert [away.log_in("Ines", "wrong words of somebody").status_code for _ in range(4)] == [422, 422, 422, 429]
    assert away.log_in("Ines", WORDS).status_code == 429
    assert away.log_in("Bram", WORDS).status_code == 429
    other = Away(opened)
    other.client.environ_base["REMOTE_ADDR"] = "192.0.2.78"
    assert other.log_in("Ines", WORDS).status_code == 429
    assert other.log_in("Bram", WORDS).status_code == 303
    assert at_home.go("/shop").code == 200
    clock.now += timedelta(seconds=3)
    assert away.log_in("Ines", WORDS).status_code == 303


@pytest.mark.slow
@pytest.mark.usefixtures("people")
def test_the_own_computer_never_waits_long(opened: Flask, open_station: Station, clock: Clock) -> None:
    """However often somebody mistypes there, the right passphrase is heard after a few seconds."""
    client = opened.test_client()
    home = open_station.addresses[0].origin
    send = {"base_url": home, "headers": {"Origin": home}}
    for _ in range(12):
        client.post("/log-in", data={"name": "Ines", "passphrase": "wrong words"}, **send)
        clock.now += timedelta(seconds=5)
    right = client.post("/log-in", data={"name": "Ines", "passphrase": WORDS}, **send)
    assert right.status_code == 303


@pytest.mark.usefixtures("people")
def test_a_session_is_of_one_computer(away: Away, at_home: Visitor) -> None:
    """The cookie of the own computer opens nothing from elsewhere."""
    cookie = at_home.client.get_cookie(COOKIE, domain="shop-tested.localhost")
    assert cookie is not None
    away.client.set_cookie(COOKIE, cookie.value, domain="192.0.2.10")
    assert away.get("/").status_code == 303


@pytest.mark.slow
@pytest.mark.usefixtures("people")
def test_every_page_asks_what_the_role_may_do(away: Away, opened: Flask) -> None:
    """Whoever works at the counter sees no page of the owner's, whichever it is and however it is asked for."""
    token = _token(away, "Bram")
    for rule in opened.url_map.iter_rules():
        if rule.endpoint in OPEN_TO_ALL:
            continue
        path = rule.build({name: _any(name) for name in rule.arguments})
        assert path is not None
        allowed = may(Role.COUNTER, rule.endpoint)
        method = "GET" if "GET" in (rule.methods or ()) else "POST"
        if rule.endpoint == "door.leave":
            continue
        answer = away.client.open(
            path[1], base_url=HOME, method=method, data={"token": token} if method == "POST" else None,
            headers={"Origin": HOME},
        )  # fmt: skip
        assert (answer.status_code == 403) is not allowed, rule.endpoint


def _token(away: Away, name: str) -> str:
    assert away.log_in(name, WORDS).status_code == 303
    said = away.get("/customers/new").get_data(as_text=True)
    return said.split('name="token" value="')[1].split('"')[0]


def _any(name: str) -> object:
    """Give something that may stand in an address."""
    return 1 if name not in {"kind", "about", "key", "code", "name", "filename"} else "receipt"


def test_every_part_is_one_role_s(opened: Flask) -> None:
    """No part of the counter is left to chance: its name stands among the owner's or among the counter's."""
    parts = {rule.endpoint.partition(".")[0] for rule in opened.url_map.iter_rules()} - {"static"}
    assert parts == COUNTER_PARTS | OWNER_PARTS
    assert not COUNTER_PARTS & OWNER_PARTS


def test_erasing_and_copies_are_the_owner_s_wherever_they_stand() -> None:
    """Also within a part that the counter works in."""
    assert not any(may(Role.COUNTER, f"people.{word}_of_somebody") for word in OWNER_WORDS)
    assert may(Role.OWNER, "people.erase")


@pytest.mark.usefixtures("people")
def test_whoever_may_log_in_no_more_is_out_at_once(away: Away, at_home: Visitor) -> None:
    """Their browsers are closed with it."""
    away.log_in("Bram", WORDS)
    assert away.get("/").status_code == 200
    at_home.go("/shop/operators").press("/shop/operators/of/Bram/remove")
    assert away.get("/").status_code == 303
    assert away.log_in("Bram", WORDS).status_code == 422


@pytest.mark.usefixtures("people")
def test_another_passphrase_closes_the_browsers_of_before(away: Away, at_home: Visitor) -> None:
    """The owner gives one, and whoever has the old one is out."""
    away.log_in("Bram", WORDS)
    new = "four other words here"
    at_home.go("/shop/operators/of/Bram/passphrase").send({"passphrase": new, "again": new})
    assert away.get("/").status_code == 303
    assert away.log_in("Bram", new).status_code == 303


@pytest.mark.usefixtures("people")
def test_one_s_own_passphrase_is_changed_with_the_one_of_before(opened: Flask, desk: Desk) -> None:
    """Whoever sits at an open browser cannot take it over."""
    client = opened.test_client()
    home = "http://127.0.0.1:8790"
    client.post("/log-in", base_url=home, data={"name": "Bram", "passphrase": WORDS}, headers={"Origin": home})
    page = client.get("/passphrase", base_url=home).get_data(as_text=True)
    assert 'type="password"' in page
    token = page.split('name="token" value="')[1].split('"')[0]
    new = "four other words here"

    def send(before: str, again: str) -> int:
        typed = {"token": token, "before": before, "passphrase": new, "again": again}
        return client.post("/passphrase", base_url=home, data=typed, headers={"Origin": home}).status_code

    assert send("wrong words of somebody", new) == 422
    assert send(WORDS, "another") == 422
    assert send(WORDS, new) == 303
    with desk.reading() as work:
        assert work.logins.called("Bram") == Login("Bram", Role.COUNTER)


def test_somebody_is_added_with_a_passphrase_typed_twice(at_home: Visitor, desk: Desk) -> None:
    """What is wrong is said beside its field, and no passphrase is ever shown again."""
    typed = {"name": "Ines", "role": "owner", "passphrase": WORDS, "again": WORDS}
    for field, value in (("again", "another"), ("passphrase", "short")):
        at_home.go("/shop/operators/new").send({**typed, field: value, "again": value})
        assert at_home.code == 422
        assert WORDS not in at_home.text
        assert logins(desk) == ()
    at_home.go("/shop/operators/new").send(typed)
    assert "Ines may log in now." in at_home.words
    assert logins(desk) == (Login("Ines", Role.OWNER),)


@pytest.mark.usefixtures("people")
def test_browsers_are_listed_and_closed(away: Away, at_home: Visitor) -> None:
    """Who, on what, since when; the one at which the list is read stays open."""
    away.client.environ_base["HTTP_USER_AGENT"] = "Mozilla/5.0 (X11; Linux x86_64) Firefox/140.0"
    away.log_in("Bram", WORDS)
    said = at_home.go("/shop/operators").words
    assert "Firefox on Linux, 192.0.2.77" in said
    assert "AA:BB" in said
    at_home.press(f"/shop/operators/browsers/{at_home.text.split('/shop/operators/browsers/')[1].split('/')[0]}/end")
    assert away.get("/").status_code == 303
    assert at_home.go("/shop/operators").code == 200


@pytest.mark.usefixtures("people")
def test_the_own_computer_is_asked_where_the_owner_wants_it(opened: Flask, open_station: Station) -> None:
    """Then a key leads to the login; where nobody is left to log in, it opens again."""
    ask_here(open_station.ledger, asks=True)
    home = open_station.addresses[0].origin
    client = opened.test_client()

    def knock() -> str:
        key = new_key(open_station.secret, open_station.clock())
        return client.get(f"/open?key={key}", base_url=home).headers["Location"]

    assert knock() == "/log-in"
    ask_here(open_station.ledger, asks=False)
    assert knock() == "/"


def test_where_nobody_may_log_in_it_is_said(away: Away) -> None:
    """Without names the other computer learns only that."""
    answer = away.get("/log-in")
    assert answer.status_code == 403
    assert "Nobody may log in yet" in answer.get_data(as_text=True)
    assert away.log_in("", "").status_code == 403


@pytest.mark.parametrize("given", ["0.0.0.0", "127.0.0.1", "::1", "::", "no-such-name.invalid"])  # noqa: S104 - refused
def test_only_one_address_of_the_shop_s_network_is_answered(given: str) -> None:
    """Neither all addresses, nor the own computer's, nor one that nobody knows."""
    with pytest.raises(NoSuchAddressError):
        doorway(given, 8790)


def test_a_certificate_is_made_once(tmp_path: Path) -> None:
    """For ten years and for the names of the way in; another address takes another one, and only its owner reads it."""
    file = tmp_path / "state" / "certificate.pem"
    door = Doorway("192.0.2.10", 8790, ("192.0.2.10", "till"))
    first = certificate(door, file, NOW)
    assert certificate(door, file, NOW + timedelta(days=3600)) == first
    assert file.stat().st_mode & 0o077 == 0
    assert certificate(replace(door, names=("192.0.2.11",)), file, NOW) != first
    assert certificate(door, file, NOW + timedelta(days=3700)) != first


@pytest.fixture
def served(opened: Flask, tmp_path: Path) -> Iterator[tuple[int, Certificate]]:
    """Answer other computers for real, at an address that leads to this one."""
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port = probe.getsockname()[1]
    door = Doorway("127.0.0.1", port, ("127.0.0.1", "192.0.2.10"))
    proof = certificate(door, tmp_path / "certificate.pem", datetime.now(NOW.tzinfo))
    server = AwayServer(opened, door, proof)
    server.start()
    yield port, proof
    server.stop()


@pytest.fixture
def call(served: tuple[int, Certificate]) -> Callable[[str, str], tuple[int, str]]:
    """Give what asks for a page over the encrypted way, under a host's name."""
    port, proof = served

    def ask(path: str, host: str) -> tuple[int, str]:
        trusting = ssl.create_default_context(cafile=proof.file)
        connection = http.client.HTTPSConnection("127.0.0.1", port, context=trusting, timeout=10)
        try:
            connection.request("GET", path, headers={"Host": host})
            answer = connection.getresponse()
            return answer.status, answer.headers.get("Location", "") + str(answer.headers.get("Server"))
        finally:
            connection.close()

    return ask


def test_the_way_is_encrypted_and_known_by_its_fingerprint(
    served: tuple[int, Certificate], call: Callable[[str, str], tuple[int, str]]
) -> None:
    """What a browser is shown is what both screens say; nothing tells which program answers."""
    port, proof = served
    shown = ssl.get_server_certificate(("127.0.0.1", port))
    assert proof.file.read_text().endswith(shown.strip() + "\n")
    assert call("/", "192.0.2.10:8790") == (303, "/log-incounter")


@pytest.mark.parametrize("path", ["/", "http://127.0.0.1:8790/", "https://127.0.0.1:8790/open?key=1"])
def test_no_request_over_the_way_is_taken_for_the_own_computer_s(
    call: Callable[[str, str], tuple[int, str]], path: str
) -> None:
    """Neither by its Host nor by a whole address in its first line."""
    assert call(path, "127.0.0.1:8790")[0] in {400, 421}


def test_plain_text_is_not_answered(served: tuple[int, Certificate]) -> None:
    """Whoever comes unencrypted sees no page."""
    connection = http.client.HTTPConnection("127.0.0.1", served[0], timeout=5)
    try:
        connection.request("GET", "/log-in", headers={"Host": "192.0.2.10:8790"})
        answer = connection.getresponse()
        assert answer.status == 400
        assert b"passphrase" not in answer.read()
    except (http.client.HTTPException, OSError):
        pass
    finally:
        connection.close()
