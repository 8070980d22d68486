"""The counter as it is started: with a ledger or without one, on this computer alone or for others of the shop."""

from __future__ import annotations

import re
import socket
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click.testing import CliRunner, Result

from shopledger.cli.context import Surroundings
from shopledger.cli.main import shop
from shopledger.counter import serving
from shopledger.counter.serving import Way
from shopledger.counter.station import Station
from shopledger.desk.counter_places import ask_here, asks_here
from shopledger.desk.shop import awaits_shop
from shopledger.store.opening import ledger_url
from tests.cli.conftest import NOW

Start = Callable[..., Result]


class Served:
    """What would have been served."""

    station: Station | None = None
    way: Way | None = None


@pytest.fixture
def served(monkeypatch: pytest.MonkeyPatch) -> Served:
    """Take down what is served, and serve nothing."""
    found = Served()

    def serve(place: socket.socket, station: Station, ready: Callable[[], None], way: Way | None = None) -> None:
        place.close()
        ready()
        found.station, found.way = station, way

    monkeypatch.setattr(serving, "serve", serve)
    return found


@pytest.fixture
def start(tmp_path: Path) -> Start:
    """Give what starts the counter of a ledger that may not be there."""

    def run(*words: str, ledger: str = "new.db") -> Result:
        around = Surroundings(now=NOW, terminal=False)
        typed = ("--ledger", str(tmp_path / ledger), "--operator", "Ines", "counter", "--no-browser", *words)
        return CliRunner().invoke(shop, typed, obj=around, prog_name="shopledger")

    return run


def test_without_a_ledger_the_counter_opens(start: Start, served: Served, tmp_path: Path) -> None:
    """Its pages set the shop up; starting it makes nothing."""
    result = start()
    assert result.exit_code == 0, result.stderr
    assert "Its page: http://shop-" in result.stderr
    assert served.station is not None
    assert served.way is None
    assert not any(each.secure for each in served.station.addresses)
    assert awaits_shop(ledger_url(str(tmp_path / "new.db")))


def test_what_is_no_ledger_is_said_before_any_page(start: Start, served: Served, tmp_path: Path) -> None:
    """In the terminal, and nothing is served."""
    (tmp_path / "letter.db").write_text("Dear customer")
    result = start(ledger="letter.db")
    assert result.exit_code == 40
    assert "is no shopledger ledger" in result.stderr
    assert served.station is None


def test_other_computers_are_let_in_at_one_address(start: Start, served: Served) -> None:
    """The terminal says where, and by which fingerprint they know this computer; the pages say the same."""
    result = start("--address", "192.0.2.10")
    assert result.exit_code == 0, result.stderr
    assert served.station is not None
    assert served.way is not None
    assert re.search(r"https://192\.0\.2\.10:\d+ and log in", result.stderr)
    assert served.station.fingerprint == served.way.proof.fingerprint
    assert served.station.fingerprint in result.stderr
    assert len(served.station.fingerprint.split(":")) == 32
    again = start("--address", "192.0.2.10")
    assert served.station.fingerprint in again.stderr


@pytest.mark.parametrize(
    ("address", "said"),
    [("0.0.0.0", "every address"), ("127.0.0.1", "this computer alone")],  # noqa: S104 - refused
)
def test_no_address_that_leads_further_is_taken(start: Start, served: Served, address: str, said: str) -> None:
    """Nor one that leads nowhere; nothing is served."""
    result = start("--address", address)
    assert result.exit_code == 10
    assert said in result.stderr
    assert served.station is None


def test_without_the_extra_it_is_said_what_to_install(
    start: Start, served: Served, monkeypatch: pytest.MonkeyPatch
) -> None:
    """In one sentence with the words to type; the counter on this computer needs none of it."""
    monkeypatch.setitem(sys.modules, "shopledger.counter.certifying", None)
    result = start("--address", "192.0.2.99")
    assert result.exit_code == 10
    assert "the extra 'network'" in result.stderr
    assert served.station is None
    assert start().exit_code == 0


def test_the_owner_at_this_computer_is_never_shut_out(start: Start, served: Served, tmp_path: Path) -> None:
    """Whoever forgot the passphrase starts the counter so that nobody is asked here."""
    url = ledger_url(str(tmp_path / "new.db"))
    ask_here(url, asks=True)
    assert start("--ask-nobody-here").exit_code == 0
    assert not asks_here(url)
    assert served.station is not None
