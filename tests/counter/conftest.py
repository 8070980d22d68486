"""The counter as a test stands at it: over the furnished shop, on a fixed day, with one browser let in."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from flask import Flask

from shopledger.counter.app import make_app, seat
from shopledger.counter.every_page import PAGES
from shopledger.counter.station import Address, Station
from shopledger.desk.context import Desk
from tests.counter.visitor import Visitor
from tests.desk.conftest import *  # noqa: F403 - the same shop as the desk's tests have
from tests.desk.conftest import DAY, NOW

SECRET = b"tested" * 6
HOST = "shop-tested.localhost:8790"


@pytest.fixture
def station(desk: Desk, tmp_path: Path) -> Station:
    """Give the counter of the furnished shop."""
    addresses = (Address(HOST), Address("127.0.0.1:8790"))
    return Station(desk.ledger.url, "tester", lambda: NOW, tmp_path / "papers", addresses, SECRET, DAY)


@pytest.fixture(scope="session")
def pages() -> Flask:
    """Make the pages once; they are over no ledger yet."""
    nowhere = Station("sqlite:///nowhere", "nobody", lambda: NOW, Path("nowhere"), (), SECRET)
    made = make_app(nowhere, PAGES)
    made.testing = True
    return made


@pytest.fixture
def app(pages: Flask, station: Station) -> Flask:
    """Give the pages over the furnished shop, with nobody let in."""
    seat(pages, station)
    return pages


@pytest.fixture
def visitor(app: Flask, station: Station) -> Iterator[Visitor]:
    """Give a browser that is let in."""
    with app.test_client() as client:
        yield Visitor(client, station).enter()
