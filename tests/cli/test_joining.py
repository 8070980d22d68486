"""Joining customers, making a wearer a customer, and what is asked at a terminal before it is stored."""

from __future__ import annotations

from tests.cli.conftest import ADDRESS, Typed, done, read_json
from tests.cli.test_sale import lines

AGAIN = ("customer", "add", "--name", "Odalys Fernhollow", *ADDRESS)
TWICE = ("--accept", "CUSTOMER-TWICE")


def test_a_customer_recorded_twice_is_joined_and_parted(typed: Typed) -> None:
    """Both numbers lead to the first, and again apart; the JSON of the card names who was joined."""
    done(typed(*AGAIN, *TWICE))
    card = read_json(typed("customer", "join", "2", "--into", "1", "--reason", "recorded twice", "--json"))
    assert (card["number"], card["joined"]) == (1, [{"number": 2, "name": "Odalys Fernhollow"}])
    assert read_json(typed("customer", "show", "2", "--json"))["number"] == 1
    assert "2 Odalys Fernhollow" in done(typed("customer", "show", "1")).stdout
    assert read_json(typed("customer", "part", "2", "--reason", "two after all", "--json"))["number"] == 2
    assert read_json(typed("customer", "show", "2", "--json"))["number"] == 2


def test_the_same_customer_is_a_question_at_a_terminal(typed: Typed) -> None:
    """A no stores nothing, a yes stores it; where nobody can be asked, the code to type is said."""
    refused = typed(*AGAIN)
    assert refused.exit_code == 20
    assert "has the same name and ZIP code. [CUSTOMER-TWICE]" in refused.stderr
    assert typed(*AGAIN, answers=lines("n")).exit_code == 1
    assert [each["number"] for each in read_json(typed("customer", "find", "--json"))["customers"]] == [1]
    done(typed(*AGAIN, answers=lines("y")))
    assert [each["number"] for each in read_json(typed("customer", "find", "--json"))["customers"]] == [1, 2]


def test_a_child_becomes_a_customer(typed: Typed) -> None:
    """At the same address unless another is given, with the frames named that went along."""
    words = ("wearer", "become-customer", "Wren", "--customer", "1", "--city", "Marfa", "--phone", "555-0160", "--json")
    card = read_json(typed(*words))
    assert (card["number"], card["name"], card["frames"]) == (2, "Wren Fernhollow", [])
    assert (card["address"]["street"], card["address"]["city"]) == ("18 Tansy Lane", "Marfa")
    assert [each["number"] for each in card["wearers"]] == [2]


def test_a_name_holds_from_the_day_that_is_given(typed: Typed) -> None:
    """The day stands beside the new name; without one, or after today, it is refused."""
    rename = ("customer", "change", "1", "--name", "Odalys Marrowdene", "--name-from")
    assert "it lies after today" in typed(*rename, "2026-12-01").stderr
    assert (
        "the name stays 'Odalys Fernhollow'"
        in typed("customer", "change", "1", "--phone", "555-0101", "--name-from", "2026-03-01").stderr
    )
    assert read_json(typed(*rename, "2026-03-01", "--json"))["name"] == "Odalys Marrowdene"


def test_first_goods_are_a_question_at_a_terminal(typed: Typed) -> None:
    """What an item's first goods are is asked for, or has to be typed; what was bought is pointed to its command."""
    add = ("accessory", "add", "CORD", "--name", "Cord", "--price", "9", "--cost", "2")
    done(typed(*add))
    count = ("stock", "count", "CORD", "--counted", "4")
    refused = typed(*count)
    assert refused.exit_code == 30
    assert "--as opening" in refused.stderr
    assert "stock receive CORD" in typed(*count, "--as", "bought").stderr
    done(typed(*count, answers=lines("opened", "opening")))
    moved = read_json(typed("stock", "history", "CORD", "--json"))["movements"]
    assert [each["reason"] for each in moved] == ["opening"]
    assert "Leave it out" in typed("accessory", "add", "CHAIN", *add[3:], "--as", "found").stderr
