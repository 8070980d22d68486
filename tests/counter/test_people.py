"""Customers on pages: added, found, changed in place; nothing typed is lost, nothing stored twice or over another's."""

from __future__ import annotations

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.known_people import customer_card, find_customers
from shopledger.desk.people import change_customer
from shopledger.ledger.parties import Relationship
from tests.counter.visitor import Visitor
from tests.shelf import CUSTOMER

NEW = {
    "name": "Bryony Saltmarsh",
    "street": "9 Alder Row",
    "city": "Millbrae",
    "state": "OH",
    "postcode": "43002",
    "phone": "555-0119",
}


def test_a_new_customer_is_added_and_shown(visitor: Visitor, desk: Desk) -> None:
    """The page after it is the customer's, and says the number."""
    visitor.go("/customers/new").send(NEW)
    (found,) = find_customers(desk, "Saltmarsh")
    assert visitor.path == f"/customers/{found.number}"
    assert f"Bryony Saltmarsh is customer {found.number}." in visitor.words
    assert "9 Alder Row" in visitor.words
    assert [wearer.name for wearer, _ in customer_card(desk, "Saltmarsh").wearers] == ["Bryony Saltmarsh"]


def test_sent_twice_it_is_added_once(visitor: Visitor, desk: Desk) -> None:
    """Whoever presses the button twice is told that it was stored already, on the page that the first led to."""
    visitor.go("/customers/new").send(NEW, again=True)
    (found,) = find_customers(desk, "Saltmarsh")
    assert visitor.path == f"/customers/{found.number}"
    assert "recorded already" in visitor.words


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("name", "", "Name is empty"),
        ("postcode", "4300", "ZIP"),
        ("state", "Ohio", "state"),
        ("email", "somebody 4111 1111 1111 1111", "number"),
    ],
)
def test_what_is_wrong_is_said_beside_its_field(
    visitor: Visitor, desk: Desk, field: str, typed: str, said: str
) -> None:
    """The page comes back with all that was typed, the error's words and a way to the field; nothing was stored."""
    visitor.go("/customers/new").send({**NEW, field: typed})
    assert visitor.code == 422
    assert said.casefold() in visitor.words.casefold()
    assert f'href="#f-{field}"' in visitor.text
    assert 'aria-invalid="true"' in visitor.text
    shown = visitor.form(has="street").values
    assert {name: shown[name] for name in NEW} == {name: [typed if name == field else NEW[name]] for name in NEW}
    assert "<title>Error:" in visitor.text
    assert find_customers(desk, "Saltmarsh") == ()


def test_a_warning_is_said_yes_to_where_it_stands(visitor: Visitor, desk: Desk) -> None:
    """Somebody with another's phone is asked about; the tick is the yes."""
    theirs = customer_card(desk, CUSTOMER).customer
    visitor.go("/customers/new").send({**NEW, "phone": theirs.phone})
    assert visitor.code == 422
    assert find_customers(desk, "Saltmarsh") == ()
    visitor.send(
        {"name": "Bryony Saltmarsh", "accept": "LIKE-CUSTOMER" if "LIKE-CUSTOMER" in visitor.text else _code(visitor)}
    )
    assert len(find_customers(desk, "Saltmarsh")) == 1


def _code(visitor: Visitor) -> str:
    """Give the code of the warning that the page asks about."""
    return visitor.text.split('name="accept" value="')[1].split('"')[0]


def test_what_was_refused_stands_there_again(visitor: Visitor, desk: Desk) -> None:
    """What was typed is kept, found again on the same page later, and gone once it is stored."""
    visitor.go("/customers/new").send({**NEW, "postcode": "4300"})
    assert [each.kind for each in kept_forms(desk)] == ["new customer"]
    again = visitor.go("/customers/new")
    assert again.form(has="street").values["name"] == ["Bryony Saltmarsh"]
    assert "begun before" in again.words
    again.send({"postcode": "43002"})
    assert kept_forms(desk) == ()


def test_what_was_begun_can_be_thrown_away(visitor: Visitor, desk: Desk) -> None:
    """The page is empty again then."""
    visitor.go("/customers/new").send({**NEW, "postcode": "4300"})
    visitor.client.post(
        "/drop/new customer/",
        base_url=visitor.home,
        data={"token": visitor.go("/customers/new").form(has="street").values["token"][0]},
        headers={"Origin": visitor.home},
    )
    assert kept_forms(desk) == ()
    assert visitor.go("/customers/new").form(has="street").values["name"] == [""]


def test_another_s_change_is_not_written_over(visitor: Visitor, desk: Desk) -> None:
    """Whoever sends a form over what changed meanwhile is shown both; sent again, it is a decision."""
    visitor.go("/customers/1/change")
    change_customer(desk, "1", lambda found: type(found)(found.name, found.address, "555-0188", found.email))
    visitor.send({"phone": "555-0177"})
    assert visitor.code == 422
    assert "555-0188" in visitor.words
    assert customer_card(desk, "1").customer.phone == "555-0188"
    visitor.send({"phone": "555-0177"})
    assert customer_card(desk, "1").customer.phone == "555-0177"


def test_a_wearer_is_added_and_changed(visitor: Visitor, desk: Desk) -> None:
    """With what plans ask for."""
    visitor.go("/customers/1/wearers/new").send(
        {"name": "Tamsin Fernhollow", "relationship": "spouse", "birth_date": "1980-05-17", "claim_within_days": "365"}
    )
    wearer = next(each for each, _ in customer_card(desk, "1").wearers if each.name.startswith("Tamsin"))
    assert (wearer.relationship, wearer.claim_within_days) == (Relationship.SPOUSE, 365)
    visitor.go(f"/customers/1/wearers/{wearer.number}").send({"claim_within_days": ""})
    changed = next(each for each, _ in customer_card(desk, "1").wearers if each.name.startswith("Tamsin"))
    assert changed.claim_within_days is None


def test_the_card_shows_prescription_frames_and_orders(visitor: Visitor) -> None:
    """Everything about a customer stands on one page."""
    said = visitor.go("/customers/1").words
    assert "-2.50 -1.25 x 090" in said
    assert "Orders" in said


def test_a_customer_who_is_not_there_is_said(visitor: Visitor) -> None:
    """In a sentence, within the frame of every page."""
    assert visitor.go("/customers/99").code == 404
    assert "99" in visitor.words
    assert "Keys and help" in visitor.words
