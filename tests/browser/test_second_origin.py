"""A page from elsewhere in the same browser: it reads nothing of the counter and stores nothing in it."""

from __future__ import annotations

import threading
from collections.abc import Iterator
from functools import partial
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING

import pytest

from shopledger.desk.known_people import find_customers
from tests.browser.conftest import Running

if TYPE_CHECKING:
    from playwright.sync_api import Page

PAGE = """<!doctype html><title>elsewhere</title>
<form id="f" method="post" action="{home}/customers/new">
<input name="name" value="Bryony Saltmarsh"><input name="street" value="9 Alder Row">
<input name="city" value="Millbrae"><input name="state" value="OH"><input name="postcode" value="43002">
<input name="token" value="guessed"><input name="once" value="1">
<button>Win</button></form>
<img src="{home}/look/mark.svg"><iframe src="{home}/customers/1"></iframe>"""


class _Elsewhere(BaseHTTPRequestHandler):
    """Serves the page."""

    def __init__(self, home: str, *given: object) -> None:
        self.home = home
        super().__init__(*given)  # type: ignore[arg-type]

    def do_GET(self) -> None:
        """Answer with the page."""
        body = PAGE.format(home=self.home).encode()
        self.send_response(200)
        self.send_header("Content-Type", "text/html")
        self.send_header("Content-Length", str(len(body)))
        self.end_headers()
        self.wfile.write(body)

    def log_message(self, *_given: object) -> None:
        """Say nothing."""


@pytest.fixture
def elsewhere(counter: Running) -> Iterator[str]:
    """Serve a page on another port of the same computer."""
    server = ThreadingHTTPServer(("127.0.0.1", 0), partial(_Elsewhere, counter.home))
    threading.Thread(target=server.serve_forever, daemon=True).start()
    yield f"http://127.0.0.1:{server.server_port}/"
    server.shutdown()
    server.server_close()


def test_its_form_stores_nothing(page: Page, counter: Running, elsewhere: str) -> None:
    """Though the person presses its button in a browser that is let in."""
    page.goto(elsewhere)
    page.get_by_role("button", name="Win").click()
    page.wait_for_url(f"{counter.home}/**")
    assert "did not come from the counter" in page.content() or "door is closed" in page.content()
    with counter.desk() as desk:
        assert find_customers(desk, "Saltmarsh") == ()


def test_it_reads_nothing(page: Page, counter: Running, elsewhere: str, has_scripts: bool) -> None:
    """Neither within a frame nor by a script."""
    page.goto(elsewhere)
    assert all("Fernhollow" not in frame.content() for frame in page.frames)
    if has_scripts:
        tried = "page => fetch(page, {credentials: 'include'}).then(a => a.text()).catch(e => 'refused')"
        assert page.evaluate(tried, f"{counter.home}/customers/1") == "refused"
