"""The first day: without a shop every page leads to one that sets it up, once, and then on to the first things."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.counter.app import make_app
from shopledger.counter.every_page import PAGES
from shopledger.counter.station import Station
from shopledger.desk.context import open_desk
from shopledger.desk.shop import awaits_shop, shop_and_settings
from shopledger.ledger.parties import Shop
from shopledger.store.opening import create_ledger, ledger_url
from tests.counter.visitor import Visitor
from tests.desk.conftest import DAY, NOW

SHOP = {
    "name": "Quillfeather Optical",
    "street": "4 Tannery Row",
    "city": "Millbrae",
    "state": "OH",
    "postcode": "43002",
    "phone": "555-0100",
    "ein": "12-3456789",
}
SHOP_FILE = b"""
name = "Quillfeather Optical"
phone = "555-0100"
ein = "12-3456789"
[address]
street = "4 Tannery Row"
city = "Millbrae"
state = "OH"
zip = "43002"
[settings]
shipping_charge = "6.50"
"""


@pytest.fixture
def bare(station: Station, tmp_path: Path) -> Iterator[Visitor]:
    """Give a browser that is let in where there is no ledger."""
    empty = replace(station, ledger=ledger_url(str(tmp_path / "new" / "ledger.db")))
    app = make_app(empty, PAGES)
    app.testing = True
    with app.test_client() as client:
        yield Visitor(client, empty).enter()


def set_up(visitor: Visitor) -> Shop:
    """Give the shop as it was set up."""
    desk = open_desk(visitor.station.ledger, "tester", NOW, DAY)
    try:
        return shop_and_settings(desk)[0]
    finally:
        desk.close()


@pytest.mark.parametrize("path", ["/", "/customers/new", "/shop", "/shop/first-things", "/find?q=fern"])
def test_without_a_shop_every_page_leads_to_the_first_one(bare: Visitor, path: str) -> None:
    """No page breaks for want of a ledger; the parts of the shop are not offered yet."""
    bare.go(path)
    assert (bare.path, bare.code) == ("/set-up/", 200)
    assert "Parts of the shop" not in bare.text


def test_looking_makes_no_ledger(bare: Visitor) -> None:
    """Nothing lies there before the button is pressed."""
    bare.go("/")
    bare.go("/set-up/file")
    assert awaits_shop(bare.station.ledger)


def test_the_shop_is_set_up_and_the_first_things_follow(bare: Visitor) -> None:
    """The ledger is there with the shop in it, and the page says what comes first."""
    bare.go("/").send({**SHOP, "shipping_charge": "6.50"})
    assert bare.path == "/shop/first-things"
    assert "Quillfeather Optical is set up." in bare.words
    assert set_up(bare).ein == "12-3456789"
    assert bare.go("/").code == 200
    assert "Parts of the shop" in bare.text


def test_sent_twice_it_is_set_up_once(bare: Visitor) -> None:
    """Whoever presses the button twice is on the page that the first one led to."""
    bare.go("/").send(SHOP, again=True)
    assert bare.path == "/shop/first-things"


@pytest.mark.parametrize(
    ("field", "typed"), [("ein", "123-45-6789"), ("ein", ""), ("state", "Ohio"), ("npi", "1234567890"), ("name", "")]
)
def test_what_is_wrong_is_said_beside_its_field(bare: Visitor, field: str, typed: str) -> None:
    """All that was typed stands there again, and there is still no ledger."""
    bare.go("/").send({**SHOP, field: typed})
    assert bare.code == 422
    assert f'href="#f-{field}"' in bare.text
    assert bare.form(has="street").values["city"] == ["Millbrae"]
    assert awaits_shop(bare.station.ledger)


def test_the_shop_is_taken_from_its_file(bare: Visitor) -> None:
    """With what it sets."""
    bare.go("/set-up/file").send({"shop_file": ("shop.toml", SHOP_FILE)})
    assert bare.path == "/shop/first-things"
    assert set_up(bare).name == "Quillfeather Optical"


def test_a_file_with_a_slip_is_refused_with_its_line(bare: Visitor) -> None:
    """Nothing is set up."""
    bare.go("/set-up/file").send({"shop_file": ("shop.toml", SHOP_FILE.replace(b"OH", b"Ohio"))})
    assert bare.code == 422
    assert "line 5" in bare.words
    assert awaits_shop(bare.station.ledger)


def test_a_set_up_that_broke_off_is_gone_on_with(station: Station, tmp_path: Path) -> None:
    """A ledger that was made without its shop takes it."""
    url = ledger_url(str(tmp_path / "half.db"))
    create_ledger(url).close()
    app = make_app(replace(station, ledger=url), PAGES)
    with app.test_client() as client:
        visitor = Visitor(client, replace(station, ledger=url)).enter()
        visitor.go("/").send(SHOP)
        assert visitor.path == "/shop/first-things"
    assert not awaits_shop(url)


def test_a_shop_that_is_there_is_not_set_up_again(visitor: Visitor) -> None:
    """The first page leads on."""
    assert visitor.go("/set-up/").path == "/shop/first-things"
    assert "Keep copies" in visitor.words
