"""Parcels and remakes as they are typed and shown, and their forms as JSON."""

from __future__ import annotations

from collections.abc import Callable

import pytest

from tests.cli.conftest import PAIR, UNSEEN, Typed, done, read_json

HOME = {"street": "18 Tansy Lane", "city": "Millbrae", "state": "OH", "postcode": "43002", "second_line": ""}
SHIP = ("sale", "ship", "1", "--carrier", "post", "--tracking", "77", *UNSEEN)


@pytest.fixture
def sold(typed: Typed) -> Typed:
    """Record a pair with two cases."""
    done(typed("sale", "record", "--customer", "1", *PAIR, "--accessory", "CASE=2", "--pay", "50", "--method", "cash"))
    return typed


def test_an_order_leaves_in_two_parcels(sold: Typed) -> None:
    """One job with one case, then the rest; the second word says what is left."""
    first = done(sold(*SHIP, "--job", "1", "--line", "3=1"))
    assert "shipped   in part; here: 1 × Hard case" in first.output
    assert "The rest of order 1 goes with 'shopledger sale ship 1'." in first.output
    second = done(sold("sale", "ship", "1", "--carrier", "post"))
    assert "Order 1 was shipped." in second.output
    assert "'shopledger paper slip 1 --parcel 2'" in second.output
    listed = read_json(sold("parcel", "list", "--json"))["parcels"]
    assert [(each["number"], each["order"], each["items"]) for each in listed] == [
        (2, 1, [{"job": None, "line": 3, "quantity": 1}]),
        (
            1,
            1,
            [
                {"job": 1, "line": None, "quantity": 1},
                {"job": None, "line": 1, "quantity": 1},
                {"job": None, "line": 3, "quantity": 1},
            ],
        ),
    ]
    assert "77" in done(sold("parcel", "list", "--order", "1")).output


def test_a_parcel_as_json(sold: Typed) -> None:
    """The form is a promise to other programs."""
    done(sold(*SHIP))
    came = read_json(sold("parcel", "returned", "1", "--reason", "nobody at home", "--json"))
    assert came == {
        "number": 1,
        "order": 1,
        "day": "2026-03-02",
        "carrier": "post",
        "tracking": "77",
        "ship_to": HOME,
        "items": [
            {"job": 1, "line": None, "quantity": 1},
            {"job": None, "line": 1, "quantity": 1},
            {"job": None, "line": 3, "quantity": 2},
        ],
        "came_back": {"day": "2026-03-02", "reason": "nobody at home"},
        "again_of": None,
        "customer_name": "Odalys Fernhollow",
        "contents": ["job 1: Thistledown Wren, slate, 52-18-140", "2 × Hard case"],
        "sent_again": None,
    }
    again = read_json(sold("parcel", "send-again", "1", "--carrier", "courier", "--json"))
    assert (again["number"], again["again_of"], again["items"]) == (2, 1, came["items"])
    assert read_json(sold("parcel", "show", "1", "--json"))["sent_again"] == 2
    shown = done(sold("parcel", "show", "1")).output
    assert "came back   2026-03-02: nobody at home" in shown
    assert "sent again  parcel 2" in shown


def test_an_order_is_sent_elsewhere(sold: Typed, everything: Callable[[], bytes]) -> None:
    """What is not named stays; nothing named, and another state without a yes, are refused."""
    moved = read_json(sold("sale", "address", "1", "--street", "9 New Street", "--reason", "moved", "--json"))
    assert moved["ship_to"] == {**HOME, "street": "9 New Street"}
    before = everything()
    for words, said in (
        ((), "Nothing to change is given"),
        (("--state", "VT", "--zip", "05641"), "--accept OTHER-STATE"),
        (("--street", "9 New Street"), "the order goes there already"),
    ):
        refused = sold("sale", "address", "1", *words)
        assert refused.exit_code
        assert said in refused.output
    assert everything() == before
    assert "ships to  9 New Street, Millbrae, OH 43002" in done(sold("sale", "show", "1")).output


def test_a_remake_after_shipping_as_json(sold: Typed) -> None:
    """A new job in the place of the one that left; what was kept is told."""
    done(sold(*SHIP))
    words = ("job", "remake", "1", "--reason", "the coating peels", "--because", "maker", "--only", "left")
    planned = read_json(sold(*words, "--dry-run", "--json"))
    assert planned["job"] is None
    made = read_json(sold(*words, "--json"))
    assert (made["job"], made["order"], made["position"], made["frame"]) == (2, 1, 2, "WREN-52")
    assert made["again"] == {
        "place": 1,
        "job": 1,
        "cause": "maker error",
        "day": "2026-03-02",
        "reason": "the coating peels",
        "new_frame": False,
        "correction": None,
    }
    assert (made["right"]["making"], made["left"]["making"], made["touched_receipts"]) == ("kept", "new", [])
    assert "1 (now 2)" in done(sold("sale", "show", "1")).output


def test_a_remake_says_which_of_its_ways_is_meant(sold: Typed, everything: Callable[[], bytes]) -> None:
    """A job that is here is made again as it is; one that left needs a cause, and no cost."""
    done(sold("job", "remake", "1", "--reason", "scratched", "--cost", "12", "--scrap", "left"))
    dry = sold("job", "remake", "1", "--reason", "scratched", "--cost", "12", "--dry-run")
    assert "--dry-run is for a job of its own" in dry.output
    done(sold(*SHIP))
    before = everything()
    for words, said in (
        (("--cost", "12"), "--cost and --scrap are of a job made again as it is"),
        ((), "--because is missing"),
        (("--because", "put-right"), "it is shop-error, maker-error, prescriber-change"),
    ):
        refused = sold("job", "remake", "1", "--reason", "peels", *words)
        assert refused.exit_code
        assert said in refused.output
    assert everything() == before
