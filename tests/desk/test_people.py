"""Customers, wearers and prescribers: added, found as the owner names them, or told why not."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.known_people import customer_and_wearers, customer_card, find_customers, prescribers
from shopledger.desk.people import add_customer, add_prescriber, add_wearer, change_wearer
from shopledger.errors import RefusedError, UnknownNameError
from shopledger.ledger.parties import Relationship
from shopledger.store.refusals import AmbiguousError
from tests.desk.books import everything, notes, on_both
from tests.shelf import CHILD, CUSTOMER, HOME


def test_a_customer_is_a_wearer_at_once(bare_desk: Desk) -> None:
    """Whoever orders usually wears glasses."""
    added = add_customer(bare_desk, "Bram Ollerenshaw", HOME, "555-0150", "bram@example.com")
    found, wearers = customer_and_wearers(bare_desk, "Bram")
    assert found == added
    assert [(wearer.name, wearer.relationship) for wearer in wearers] == [("Bram Ollerenshaw", Relationship.SELF)]


def test_a_customer_may_only_pay(bare_desk: Desk) -> None:
    """Then there is no wearer yet."""
    add_customer(bare_desk, "Bram Ollerenshaw", HOME, wears=False)
    assert customer_and_wearers(bare_desk, "Bram")[1] == ()


@on_both
@pytest.mark.parametrize("given", ["1", " 1 ", CUSTOMER, "odalys FERNHOLLOW", "hollow", "Odal"])
def test_a_customer_is_picked_by_number_or_part_of_the_name(desk: Desk, given: str) -> None:
    """Capitals do not matter."""
    assert customer_and_wearers(desk, given)[0].name == CUSTOMER


@on_both
def test_a_name_that_means_several_lists_them(desk: Desk) -> None:
    """Each with its number, so that the number can be typed."""
    add_customer(desk, "Ansgar Fernhollow", HOME)
    with pytest.raises(AmbiguousError, match=r"'Fernhollow' may mean more than one customer: .*2 Ansgar.*Type the num"):
        customer_and_wearers(desk, "Fernhollow")


def test_a_whole_name_means_itself(desk: Desk) -> None:
    """It is no matter that another name contains it."""
    add_customer(desk, f"{CUSTOMER}-Pike", HOME)
    assert customer_and_wearers(desk, CUSTOMER)[0].number == 1


@on_both
@pytest.mark.parametrize("given", ["Odalis", "Fernholow", "Odalys Fernhallow"])
def test_an_unknown_name_is_answered_with_the_nearest(desk: Desk, given: str) -> None:
    """One slip of the finger is no reason to search."""
    with pytest.raises(UnknownNameError, match=f"no customer called '{given}'. Did you mean {CUSTOMER}"):
        customer_and_wearers(desk, given)


@pytest.mark.parametrize("given", ["77", "", "  "])
def test_nobody_is_meant_by_nothing(desk: Desk, given: str) -> None:
    """An unknown number or no text at all suggests nobody, and says where to look."""
    with pytest.raises(UnknownNameError, match="Look with 'shopledger customer find'"):
        customer_and_wearers(desk, given)


@pytest.mark.parametrize(
    ("text", "names"), [("fern", [CUSTOMER]), ("1", [CUSTOMER]), ("ans", ["Ansgar Pike"]), ("zz", [])]
)
def test_customers_are_found_by_number_or_part_of_the_name(desk: Desk, text: str, names: list[str]) -> None:
    """Nothing found is no error."""
    add_customer(desk, "Ansgar Pike", HOME)
    assert [customer.name for customer in find_customers(desk, text)] == names


def test_no_more_customers_are_found_than_asked_for(desk: Desk) -> None:
    """A long list is cut."""
    add_customer(desk, "Ansgar Pike", HOME)
    assert len(find_customers(desk, "", 1)) == 1


@on_both
def test_a_wearer_belongs_to_a_customer(desk: Desk) -> None:
    """With relationship, birth date and the plan's number."""
    added = add_wearer(desk, "1", "Tamsin Fernhollow", Relationship.SPOUSE, date(1980, 2, 29), "M-77")
    assert customer_and_wearers(desk, CUSTOMER)[1][-1] == added
    assert (added.number, added.birth_date, added.member_id) == (3, date(1980, 2, 29), "M-77")


@pytest.mark.parametrize("born", [date(2026, 3, 3), date(1895, 12, 31)])
def test_a_birth_date_that_cannot_be_is_refused(desk: Desk, born: date) -> None:
    """Tomorrow, or longer ago than anybody lives; nothing is stored."""
    before = everything(desk)
    with pytest.raises(RefusedError, match=f"birth date is {born}; it must lie in the past 130 years"):
        add_wearer(desk, CUSTOMER, "Tamsin", Relationship.CHILD, born)
    assert everything(desk) == before


def test_a_wearer_of_an_unknown_customer_is_refused(desk: Desk) -> None:
    """Nobody is added."""
    with pytest.raises(UnknownNameError, match="no customer called 'Nobody'"):
        add_wearer(desk, "Nobody", "Tamsin", Relationship.CHILD)


@on_both
def test_a_card_shows_each_wearer_s_newest_prescription(desk: Desk) -> None:
    """Looking at prescriptions is noted with the operator, since they are private."""
    card = customer_card(desk, CUSTOMER)
    assert [(wearer.name, written and written.number) for wearer, written in card.wearers] == [
        (CUSTOMER, 1),
        (CHILD, 2),
    ]
    assert notes(desk)[-1] == ("tester", "looked at prescriptions", "customer 1")


def test_prescribers_are_listed_by_name(desk: Desk) -> None:
    """The order in which they were added does not matter."""
    added = add_prescriber(desk, "Dr. Aud Brennick", "555-0178", "1234567893")
    assert [each.name for each in prescribers(desk)] == ["Dr. Aud Brennick", "Dr. Imre Castellane"]
    assert prescribers(desk)[0] == added


@on_both
def test_one_wearer_is_the_customer(desk: Desk) -> None:
    """A second wearer who is the customer is refused, added or changed to it; the first may be changed as before."""
    before = everything(desk)
    with pytest.raises(RefusedError, match="relationship is self; wearer 1, Odalys Fernhollow, is the customer alre"):
        add_wearer(desk, CUSTOMER, "Odalys Two", Relationship.SELF)
    with pytest.raises(RefusedError, match="is the customer already"):
        change_wearer(desk, CUSTOMER, CHILD, lambda wearer: replace(wearer, relationship=Relationship.SELF))
    assert everything(desk) == before
    change_wearer(desk, CUSTOMER, CUSTOMER, lambda wearer: replace(wearer, member_id="A-77"))
    add_customer(desk, "Bram Ollerenshaw", HOME, wears=False)
    assert add_wearer(desk, "Bram", "Bram Ollerenshaw", Relationship.SELF).relationship is Relationship.SELF
