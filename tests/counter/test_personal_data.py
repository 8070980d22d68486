"""Whose data it is, on pages: what is held, given out, erased, kept; customers joined, parted and grown up."""

from __future__ import annotations

from shopledger.counter.station import Station
from shopledger.desk.context import Desk
from shopledger.desk.known_people import customer_card, find_customers
from tests.counter.test_people import NEW
from tests.counter.visitor import Visitor


def test_all_that_is_held_is_shown_with_until_when(visitor: Visitor) -> None:
    """Table by table, for a customer and for one wearer."""
    assert "18 Tansy Lane" in visitor.go("/customers/1/held").words
    assert "18 Tansy Lane" not in visitor.go("/customers/1/wearers/2/held").words
    assert "may be erased" in visitor.words


def test_all_that_is_held_is_given_out(visitor: Visitor, station: Station) -> None:
    """Two files lie in the folder of papers, and the one to be read can be taken."""
    visitor.go("/customers/1/held/give-out").send(to="")
    names = sorted(each.name for each in station.papers.iterdir())
    assert names == ["held-customer-00001.json", "held-customer-00001.txt"]
    assert visitor.path == "/papers/held-customer-00001.txt"


def test_somebody_is_erased_with_a_yes(visitor: Visitor, desk: Desk) -> None:
    """The page asks what the deed asks, and nothing happens before the yes."""
    visitor.go("/customers/new").send({**NEW, "phone": "555-0133"})
    number = find_customers(desk, "Saltmarsh")[0].number
    visitor.go(f"/customers/{number}/erase").send({"reason": "asked by letter"})
    assert visitor.code == 422
    assert len(find_customers(desk, "Saltmarsh")) == 1
    visitor.send({"accept": visitor.text.split('name="accept" value="')[1].split('"')[0]})
    assert find_customers(desk, "Saltmarsh") == ()
    assert "Erased on" in visitor.go(f"/customers/{number}").words


def test_what_a_rule_keeps_is_not_erased(visitor: Visitor, desk: Desk) -> None:
    """The page says why and until when."""
    visitor.go("/customers/1/hold").send({"reason": "a dispute"})
    visitor.go("/customers/1/erase").send({"reason": "asked by letter"})
    assert visitor.code == 422
    assert len(find_customers(desk, "Fernhollow")) == 1


def test_customers_recorded_twice_are_joined_and_parted(visitor: Visitor, desk: Desk) -> None:
    """Both numbers lead to the one who leads, until they are parted."""
    visitor.go("/customers/new").send({**NEW, "name": "Odalys Fernhollow", "phone": ""})
    visitor.send({"accept": visitor.text.split('name="accept" value="')[1].split('"')[0]})
    number = next(each.number for each in find_customers(desk, "Fernhollow") if each.number != 1)
    page = visitor.go(f"/customers/{number}/join").send({"into": "1", "reason": "recorded twice"})
    if page.code == 422:
        page.send({"accept": page.text.split('name="accept" value="')[1].split('"')[0]})
    assert customer_card(desk, str(number)).customer.number == 1
    visitor.go(f"/customers/{number}/part").send({"reason": "two people after all"})
    assert customer_card(desk, str(number)).customer.number == number


def test_a_child_becomes_a_customer(visitor: Visitor, desk: Desk) -> None:
    """With the address of who paid so far already filled in."""
    visitor.go("/customers/1/wearers/2/own")
    assert visitor.form(has="street").values["street"] == ["18 Tansy Lane"]
    visitor.send({"phone": "555-0134"})
    grown = next(each for each in find_customers(desk, "Fernhollow") if each.number != 1)
    assert visitor.path == f"/customers/{grown.number}"
    assert grown.phone == "555-0134"
