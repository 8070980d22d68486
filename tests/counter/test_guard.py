"""The guard: nothing but the counter's own pages gets in, and no answer may do more than it has to."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import timedelta

import pytest

from shopledger.counter.guard import COOKIE, HEADERS
from shopledger.counter.sessions import Sessions, new_key
from shopledger.counter.station import Station
from shopledger.desk.context import Desk
from shopledger.desk.known_people import find_customers
from tests.counter.test_people import NEW
from tests.counter.visitor import Visitor
from tests.desk.conftest import NOW

HOSTILE = "<b>Fern</b><script>alert(1)</script>"


def sent(visitor: Visitor, headers: Mapping[str, str], **other: str) -> int:
    """Send a new customer with other headers or fields than the page's own; gives the answer's code."""
    form = visitor.go("/customers/new").form(has="street")
    data = {**form.values, **NEW, **other}
    return visitor.client.post("/customers/new", base_url=visitor.home, data=data, headers=dict(headers)).status_code


def test_without_a_session_nothing_is_shown(visitor: Visitor, desk: Desk) -> None:
    """A browser that was not let in sees neither a page nor whether there is one."""
    visitor.client.delete_cookie(COOKIE, domain="shop-tested.localhost")
    for path in ("/", "/customers/1", "/customers/99", "/find?q=fern", "/no-such-page"):
        answer = visitor.client.get(path, base_url=visitor.home)
        assert answer.status_code == 401
        assert "Fernhollow" not in answer.get_data(as_text=True)
    assert desk.warning == ""


@pytest.mark.parametrize(
    "host", ["evil.example", "127.0.0.1:9999", "shop-tested.localhost", "127.0.0.1.evil.example:8790", ""]
)
def test_another_host_is_refused_before_anything_else(visitor: Visitor, host: str) -> None:
    """A name that leads here from elsewhere opens nothing, cookie or not."""
    for path in ("/", "/here?asked=1", "/look/counter.css", "/open?key=1"):
        answer = visitor.client.get(path, base_url=visitor.home, headers={"Host": host})
        assert answer.status_code == 421


def test_a_key_opens_once(visitor: Visitor, station: Station) -> None:
    """Wrong, right, and right a second time."""
    key = new_key(station.secret, station.clock())
    codes = [visitor.client.get(f"/open?key={each}", base_url=visitor.home).status_code for each in ("wrong", key, key)]
    assert codes == [403, 303, 403]


def test_the_cookie_is_of_no_use_to_scripts_and_strangers(visitor: Visitor, station: Station) -> None:
    """HttpOnly, SameSite=Strict, for the whole counter and for its name alone; and it is another one each time."""
    keys = (new_key(station.secret, station.clock()) for _ in range(2))
    given = [visitor.client.get(f"/open?key={key}", base_url=visitor.home).headers["Set-Cookie"] for key in keys]
    for each in given:
        assert {"HttpOnly", "SameSite=Strict", "Path=/"} <= {part.strip() for part in each.split(";")}
        assert "Domain" not in each
    assert given[0] != given[1]


def test_a_session_cannot_be_chosen_by_who_comes(visitor: Visitor, station: Station) -> None:
    """A cookie that somebody set before is not taken over at the door."""
    visitor.client.set_cookie(COOKIE, "chosen", domain="shop-tested.localhost")
    visitor.client.get(f"/open?key={new_key(station.secret, station.clock())}", base_url=visitor.home)
    visitor.client.set_cookie(COOKIE, "chosen", domain="shop-tested.localhost")
    assert visitor.client.get("/", base_url=visitor.home).status_code == 401


@pytest.mark.parametrize(
    "headers",
    [
        {},
        {"Origin": "null"},
        {"Origin": "http://shop-tested.localhost:8791"},
        {"Origin": "http://evil.example"},
        {"Origin": "https://shop-tested.localhost:8790"},
        {"Origin": "http://shop-tested.localhost:8790", "Sec-Fetch-Site": "cross-site"},
        {"Origin": "http://shop-tested.localhost:8790", "Sec-Fetch-Site": "same-site"},
    ],
)
def test_a_form_from_elsewhere_stores_nothing(visitor: Visitor, desk: Desk, headers: dict[str, str]) -> None:
    """Another port, another site, a page without an origin: each has the cookie sent along, and none is heard."""
    assert sent(visitor, headers) == 403
    assert find_customers(desk, "Saltmarsh") == ()


@pytest.mark.parametrize("token", ["", "wrong", "\N{SNOWMAN}"])
def test_a_form_without_the_session_s_token_stores_nothing(visitor: Visitor, desk: Desk, token: str) -> None:
    """The token stands in pages of this session alone."""
    assert sent(visitor, {"Origin": visitor.home}, token=token) == 403
    assert find_customers(desk, "Saltmarsh") == ()


def test_a_form_of_the_counter_s_own_is_heard(visitor: Visitor, desk: Desk) -> None:
    """With origin and token it is stored: the refusals before were for what was missing."""
    assert sent(visitor, {"Origin": visitor.home, "Sec-Fetch-Site": "same-origin"}) == 303
    assert len(find_customers(desk, "Saltmarsh")) == 1


@pytest.mark.parametrize("site", ["cross-site", "same-site"])
def test_no_page_is_shown_within_another_site(visitor: Visitor, site: str) -> None:
    """A picture, frame or link from elsewhere gets nothing, though the browser sends the cookie."""
    assert (
        visitor.client.get("/customers/1", base_url=visitor.home, headers={"Sec-Fetch-Site": site}).status_code == 403
    )


@pytest.mark.parametrize("method", ["PUT", "DELETE", "PATCH", "OPTIONS", "TRACE"])
def test_only_looking_and_sending_are_known(visitor: Visitor, method: str) -> None:
    """No other method does anything."""
    headers = {"Origin": visitor.home}
    assert (
        visitor.client.open("/customers/new", base_url=visitor.home, method=method, headers=headers).status_code == 405
    )


def test_every_answer_is_dressed(visitor: Visitor) -> None:
    """A page, a refusal, a picture and a missing page carry the same headers."""
    for path in ("/", "/customers/1", "/no-such-page", "/look/counter.css", "/open?key=1"):
        answer = visitor.client.get(path, base_url=visitor.home)
        for name, value in HEADERS.items():
            assert answer.headers[name] == value, path
        answer.close()
        assert "Access-Control-Allow-Origin" not in answer.headers
    assert "unsafe" not in HEADERS["Content-Security-Policy"]
    assert visitor.client.get("/", base_url=visitor.home).headers["Cache-Control"] == "no-store"


def test_what_is_typed_is_shown_as_text(visitor: Visitor, desk: Desk) -> None:
    """A name that is a piece of a page stays a name."""
    visitor.go("/customers/new").send({**NEW, "name": HOSTILE})
    (found,) = find_customers(desk, "script")
    for path in (
        f"/customers/{found.number}",
        f"/customers/{found.number}/change",
        "/find?q=<script>alert(1)</script>",
    ):
        text = visitor.go(path).text
        assert "<script>alert" not in text
        assert "<b>Fern" not in text


def test_what_is_too_large_is_refused(visitor: Visitor, desk: Desk) -> None:
    """A form of megabytes is not read to its end."""
    assert sent(visitor, {"Origin": visitor.home}, second_line="x" * 1_000_000) == 413
    assert find_customers(desk, "Saltmarsh") == ()


@pytest.mark.parametrize(
    "path",
    ["/look/../frame.html", "/look/%2e%2e/frame.html", "/look/..%2f..%2fpapers/receipt.toml", "/look//etc/passwd"],
)
def test_no_file_beside_the_look_is_given_out(visitor: Visitor, path: str) -> None:
    """What lies around the pages' look stays there."""
    assert visitor.client.get(path, base_url=visitor.home).status_code in {401, 404}


def test_a_browser_that_was_left_alone_is_let_in_no_more() -> None:
    """After the time that the station says it has to come by a key again."""
    sessions = Sessions(b"secret", timedelta(minutes=30))
    number = sessions.let_in("tester", NOW).number
    assert sessions.of(number, NOW + timedelta(minutes=30)) is not None
    assert sessions.of(number, NOW + timedelta(minutes=61)) is None
    assert sessions.of(number, NOW + timedelta(minutes=61)) is None


def test_whoever_leaves_is_out(visitor: Visitor) -> None:
    """The button at the foot ends the session, whose cookie opens nothing any more."""
    cookie = visitor.client.get_cookie(COOKIE, domain="shop-tested.localhost")
    assert cookie is not None
    visitor.go("/")
    token = visitor.form(to="/leave").values["token"][0]
    visitor.client.post("/leave", base_url=visitor.home, data={"token": token}, headers={"Origin": visitor.home})
    visitor.client.set_cookie(COOKIE, cookie.value, domain="shop-tested.localhost")
    assert visitor.go("/").code == 401
