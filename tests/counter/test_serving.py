"""The counter's server: one for each ledger, found again by a second start, its pages made while the browser opens."""

from __future__ import annotations

import socket
import subprocess
import sys
import threading
from collections.abc import Iterator
from dataclasses import replace
from datetime import timedelta
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from pathlib import Path
from typing import Any

import pytest

from shopledger.counter import serving
from shopledger.counter.serving import AppSoon, Found, NoPortError, Wanted, address_of, own_name, own_port, take_place
from shopledger.counter.sessions import new_key, opens, signed
from shopledger.counter.station import Station
from tests.desk.conftest import NOW

SECRET = b"known to us"


@pytest.fixture
def wanted(tmp_path: Path) -> Wanted:
    """Say which counter is wanted, at a port that is free just now."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    return Wanted("sqlite:///shop.db", "Ina", lambda: NOW, tmp_path, SECRET, port=port)


class _Answering(BaseHTTPRequestHandler):
    """Answers as the counter of one secret does."""

    secret = SECRET

    def do_GET(self) -> None:
        """Prove that it is here."""
        asked = self.path.partition("asked=")[2]
        body = signed(self.secret, f"here {asked}").encode()
        self.send_response(200)
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_given: object) -> None:
        """Say nothing."""


class _Stranger(_Answering):
    """Answers as another counter does, or as somebody who would like to be one."""

    secret = b"known to them"


@pytest.fixture
def answering(request: pytest.FixtureRequest, wanted: Wanted) -> Iterator[None]:
    """Let something answer at the port."""
    server = ThreadingHTTPServer(("127.0.0.1", wanted.port or 0), request.param)
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield
    server.shutdown()
    server.server_close()


def test_a_free_place_is_taken(wanted: Wanted) -> None:
    """Whoever takes it listens there at once, so that no browser comes too soon."""
    place = take_place(wanted)
    assert isinstance(place, socket.socket)
    with place:
        assert place.getsockname() == ("127.0.0.1", wanted.port)
        with socket.create_connection(("127.0.0.1", wanted.port or 0), timeout=5):
            pass


@pytest.mark.usefixtures("answering")
@pytest.mark.parametrize("answering", [_Answering], indirect=True)
def test_the_counter_of_the_ledger_is_found(wanted: Wanted) -> None:
    """A second start opens a browser only."""
    assert take_place(wanted) == Found(wanted.port or 0)


@pytest.mark.usefixtures("answering")
@pytest.mark.parametrize("answering", [_Stranger], indirect=True)
def test_another_program_is_not_taken_for_it(wanted: Wanted) -> None:
    """It knows another secret; the port that was named is not to be had, and that is said."""
    with pytest.raises(NoPortError, match=f"no port from {wanted.port} to {wanted.port} is free"):
        take_place(wanted)


def test_each_ledger_has_its_own_name_and_port() -> None:
    """A cookie of one counter is sent to no other."""
    ledgers = [f"sqlite:///{each}.db" for each in range(50)]
    assert len({own_name(each) for each in ledgers}) == len(ledgers)
    assert all(own_name(each).endswith(".localhost") for each in ledgers)
    assert own_port(ledgers[0]) == own_port(ledgers[0])


def test_the_address_opens_with_a_key_of_now(wanted: Wanted) -> None:
    """It goes to the name where there is one, and to the bare address where there is none."""
    address = address_of(wanted, 8790)
    assert address.startswith("http://127.0.0.1:8790/open?key=")
    assert opens(SECRET, address.partition("key=")[2], NOW)
    assert address_of(replace(wanted, host="shop.localhost"), 8790).startswith("http://shop.localhost:8790/open?key=")


@pytest.mark.parametrize(
    ("key", "later"),
    [("", 0), ("a.b.c", 0), ("tampered", 0), ("whole", 6), ("whole", -6)],
)
def test_a_key_opens_only_whole_and_in_time(key: str, later: int) -> None:
    """Five minutes, with this secret, and as it was made."""
    made = new_key(SECRET, NOW)
    given = {"whole": made, "tampered": made[:-1] + ("0" if made[-1] != "0" else "1")}.get(key, key)
    assert not opens(SECRET, given, NOW + timedelta(minutes=later))
    assert not opens(b"another", made, NOW)
    assert opens(SECRET, made, NOW + timedelta(minutes=4))


def test_who_comes_before_the_pages_are_made_waits_for_them(station: Station, monkeypatch: pytest.MonkeyPatch) -> None:
    """The first request is answered like any other."""
    done = threading.Event()
    monkeypatch.setattr(serving, "tidy_up", done.set)
    said: list[str] = []
    environ: dict[str, Any] = {
        "REQUEST_METHOD": "GET",
        "PATH_INFO": "/here",
        "QUERY_STRING": "asked=1",
        "SERVER_NAME": "x",
        "SERVER_PORT": "80",
        "wsgi.url_scheme": "http",
        "HTTP_HOST": station.addresses[0].host,
    }
    answer = AppSoon(station)(environ, lambda status, _headers: said.append(status))
    assert b"".join(answer).decode() == signed(station.secret, "here 1")
    assert said == ["200 OK"]
    assert done.wait(60)


def test_pages_that_cannot_be_made_are_no_endless_wait(station: Station, monkeypatch: pytest.MonkeyPatch) -> None:
    """The request fails, and says why to whoever keeps the program."""

    def broken(*_given: object) -> None:
        message = "no pages"
        raise OSError(message)

    monkeypatch.setattr("shopledger.counter.app.make_app", broken)
    with pytest.raises(RuntimeError) as failed:
        AppSoon(station)({}, lambda *_given: None)
    assert str(failed.value.__cause__) == "no pages"


EARLY_ALONE = """
import sys
from datetime import UTC, datetime
from pathlib import Path
from shopledger.counter.serving import AppSoon
from shopledger.counter.sessions import new_key
from shopledger.counter.station import Address, Station

now = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
ledger, papers = sys.argv[1:]
station = Station(ledger, "Ina", lambda: now, Path(papers), (Address("h:1"),), b"secret", now.date())
soon, cookie = AppSoon(station), ""


def ask(path, query=""):
    said = []
    environ = {"REQUEST_METHOD": "GET", "PATH_INFO": path, "QUERY_STRING": query, "HTTP_HOST": "h:1"}
    environ |= {"SERVER_NAME": "h", "SERVER_PORT": "1", "wsgi.url_scheme": "http", "HTTP_COOKIE": cookie}
    body = b"".join(soon(environ, lambda status, headers: said.extend([status, dict(headers)])))
    return said[0], said[1], body


cookie = ask("/open", f"key={new_key(b'secret', now)}")[1]["Set-Cookie"].split(";")[0]
for path, query in (("/", ""), ("/find", "q=fern"), ("/find", "q=zzz"), ("/keys", "")):
    print(path, ask(path, query)[0])
print("loaded", *[name for name in ("numpy", "reportlab", "PIL", "openpyxl", "alembic") if name in sys.modules])
status, _, body = ask("/customers/1")
print("/customers/1", status, b"<svg" in body, b"Fernhollow" in body)
print("/", ask("/")[0])
"""


def test_a_day_begins_without_what_measures_and_sets_papers(station: Station) -> None:
    """Today and Find load neither; whoever opens another page is let in there by the same cookie."""
    words = [sys.executable, "-c", EARLY_ALONE, station.ledger, str(station.all_papers)]
    said = subprocess.run(words, capture_output=True, text=True, check=False)
    assert said.returncode == 0, said.stderr
    assert said.stdout.splitlines() == [
        "/ 200 OK",
        "/find 200 OK",
        "/find 200 OK",
        "/keys 200 OK",
        "loaded",
        "/customers/1 200 OK False True",
        "/ 200 OK",
    ]


def test_what_the_c_library_does_not_know_is_no_matter(monkeypatch: pytest.MonkeyPatch) -> None:
    """Only one kind of it has such a setting."""

    def refuses(*_given: object) -> None:
        raise OSError

    monkeypatch.setattr("ctypes.CDLL", refuses)
    serving.share_memory()
