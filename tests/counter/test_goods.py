"""Goods on pages: looked up, added with their count, received, counted, taken from the shelf, changed."""

from __future__ import annotations

import pytest

from shopledger.desk.books.bills import bill_account
from shopledger.desk.books.shelf import stock_now
from shopledger.desk.context import Desk
from shopledger.desk.goods import ACCESSORIES, EXTRAS, FRAMES, LENSES
from shopledger.ledger.catalogue import Design
from shopledger.ledger.stock import StockedKind
from tests.counter.visitor import Visitor
from tests.shelf import CASE, WREN

ROBIN = {
    "maker": "Harrow Row",
    "model": "Robin",
    "colour": "slate",
    "eye_size": "50",
    "bridge": "19",
    "temple": "145",
    "price": "150",
    "cost": "55",
}
LENS = {"name": "Thin distance lens", "design": "single-vision", "material": "high index 1.67", "price": "95 each"}


def on_hand(desk: Desk, code: str) -> int:
    """Give what lies on the shelf of an item."""
    return next((each.on_hand for each in stock_now(desk) if each.item_code == code), 0)


def test_the_shelf_shows_every_kind_with_what_is_there(visitor: Visitor, desk: Desk) -> None:
    """Frames with their shape where it was traced, and how many are on hand and free."""
    said = visitor.go("/goods").words
    for each in (WREN.description, CASE.name, "Clear single vision", "Anti-reflective coating"):
        assert each in said
    assert "<svg" in visitor.text
    assert str(on_hand(desk, "WREN-52")) in said


@pytest.mark.parametrize(("asked", "found"), [("wren", True), ("moss harrow", True), ("lark moss", False)])
def test_the_shelf_is_searched_by_parts(visitor: Visitor, asked: str, found: bool) -> None:
    """All words that are typed must stand somewhere in an item's name or code."""
    said = visitor.go(f"/goods?q={asked}").words
    assert (WREN.description in said) is found
    assert CASE.name not in said


def test_a_frame_is_added_with_its_count_under_a_code_of_its_name(visitor: Visitor, desk: Desk) -> None:
    """Nobody needs to think of a code, and the count is asked at once."""
    visitor.go("/goods/frames/new").send({**ROBIN, "count": "4", "first": "opening"})
    assert visitor.path == "/goods/frames/ROBIN-50"
    assert (FRAMES.called(desk, "ROBIN-50")[1], FRAMES.called(desk, "ROBIN-50")[0].price) == (4, 15000)


def test_sent_twice_a_frame_is_added_once(visitor: Visitor, desk: Desk) -> None:
    """A second press adds neither a second frame nor a second count."""
    visitor.go("/goods/frames/new").send({**ROBIN, "count": "4", "first": "opening"}, again=True)
    assert "recorded already" in visitor.words
    assert [code for code in (each.code for each, _ in FRAMES.all(desk)) if code.startswith("ROBIN")] == ["ROBIN-50"]
    assert on_hand(desk, "ROBIN-50") == 4


def test_counted_goods_are_said_where_they_come_from(visitor: Visitor, desk: Desk) -> None:
    """It decides what they are in the books, so nothing is taken for granted."""
    visitor.go("/goods/frames/new").send({**ROBIN, "count": "4"})
    assert visitor.code == 422
    assert 'href="#f-first"' in visitor.text
    assert all(each.model != "Robin" for each, _ in FRAMES.all(desk))


def test_a_code_that_is_used_is_given_a_number(visitor: Visitor, desk: Desk) -> None:
    """Two frames of one model and size differ in their color."""
    visitor.go("/goods/frames/new").send(ROBIN)
    visitor.go("/goods/frames/new").send({**ROBIN, "colour": "rust"})
    assert FRAMES.called(desk, "ROBIN-50-2")[0].colour == "rust"


def test_a_bought_frame_is_asked_what_it_cost(visitor: Visitor, desk: Desk) -> None:
    """The count goes on to the page of what came in, and nothing is counted in before it is known what it cost."""
    visitor.go("/goods/frames/new").send({**ROBIN, "count": "4", "first": "bought"})
    assert visitor.path.startswith("/goods/frames/ROBIN-50/receive")
    assert on_hand(desk, "ROBIN-50") == 0
    visitor.send({"unit_cost": "54.00"})
    assert on_hand(desk, "ROBIN-50") == 4
    assert bill_account(desk, 1).balance == 21600


@pytest.mark.parametrize(
    ("field", "typed", "said"),
    [
        ("eye_size", "520", "it must lie from 30 to 75"),
        ("price", "abc", "an amount is"),
        ("model", "", "needed"),
        ("count", "-1", "may not be negative"),
        ("code", "A B", "a code is up to 20"),
    ],
)
def test_what_is_wrong_with_a_frame_is_said_beside_its_field(
    visitor: Visitor, desk: Desk, field: str, typed: str, said: str
) -> None:
    """Nothing is stored, and all that was typed stands there again."""
    visitor.go("/goods/frames/new").send({**ROBIN, "first": "opening", field: typed})
    assert visitor.code == 422
    assert said in visitor.words
    assert f'href="#f-{field}"' in visitor.text
    assert visitor.form(has="maker").values["colour"] == ["slate"]
    assert all(each.model != "Robin" for each, _ in FRAMES.all(desk))


def test_a_customer_s_own_frame_is_no_stock(visitor: Visitor, desk: Desk) -> None:
    """It is added for the customer, without price or count, and the page goes back to where one came from."""
    sizes = {name: value for name, value in ROBIN.items() if name not in {"price", "cost"}}
    visitor.go("/goods/frames/new?owner=1&next=/customers/1").send(sizes)
    assert visitor.path == "/customers/1"
    assert FRAMES.called(desk, "ROBIN-50")[0].owned_by == 1
    assert "Odalys Fernhollow" in visitor.go("/goods/frames/ROBIN-50").words
    assert visitor.go("/goods/frames/ROBIN-50/receive").code == 409


@pytest.mark.parametrize("elsewhere", ["//evil.example/", "https://evil.example/", "/\\evil.example"])
def test_a_page_leads_back_to_our_own_pages_only(visitor: Visitor, elsewhere: str) -> None:
    """An address from elsewhere is not followed."""
    visitor.go(f"/goods/frames/new?next={elsewhere}").send(ROBIN)
    assert visitor.path == "/goods/frames/ROBIN-50"


def test_a_frame_is_changed(visitor: Visitor, desk: Desk) -> None:
    """What is not touched stays; the page shows the new price."""
    visitor.go("/goods/frames/WREN-52/change").send({"price": "199.00"})
    changed = FRAMES.called(desk, "WREN-52")[0]
    assert (changed.price, changed.cost, changed.colour) == (19900, WREN.cost, WREN.colour)
    assert "$199.00" in visitor.words


def test_goods_come_in_as_a_bill(visitor: Visitor, desk: Desk) -> None:
    """What one cost last stands there already; left open how it is paid, it is owed."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/goods/frames/WREN-52/receive")
    assert visitor.form(has="unit_cost").values["unit_cost"] == ["62.00"]
    visitor.send({"quantity": "3"})
    assert on_hand(desk, "WREN-52") == before + 3
    assert bill_account(desk, 1).balance == 18600
    assert "it is bill 1" in visitor.words


def test_an_unusual_price_is_asked_about_where_it_stands(visitor: Visitor, desk: Desk) -> None:
    """A slip of two digits is not stored before somebody says yes to it."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/goods/frames/WREN-52/receive").send({"quantity": "3", "unit_cost": "6200"})
    assert visitor.code == 422
    assert 'value="COST-UNUSUAL"' in visitor.text
    assert on_hand(desk, "WREN-52") == before
    visitor.send({"quantity": "3", "accept": "COST-UNUSUAL"})
    assert on_hand(desk, "WREN-52") == before + 3


def test_a_count_brings_the_books_to_what_lies_there(visitor: Visitor, desk: Desk) -> None:
    """With the reason, which stands in the history."""
    visitor.go("/goods/frames/WREN-52/count").send({"counted": "2", "note": "one was in the window"})
    assert on_hand(desk, "WREN-52") == 2
    assert "one was in the window" in visitor.words


def test_the_first_count_asks_where_the_goods_come_from(visitor: Visitor, desk: Desk) -> None:
    """They are no income where they were there before the books began."""
    visitor.go("/goods/frames/new").send(ROBIN)
    visitor.go("/goods/frames/ROBIN-50/count").send({"counted": "5"})
    assert visitor.code == 422
    assert 'href="#f-first"' in visitor.text
    visitor.send({"counted": "5", "first": "opening"})
    assert on_hand(desk, "ROBIN-50") == 5
    assert "Opening" in visitor.words


@pytest.mark.parametrize(("why", "note"), [("given-away", ""), ("own-use", ""), ("written-off", "fell and broke")])
def test_goods_leave_without_a_sale(visitor: Visitor, desk: Desk, why: str, note: str) -> None:
    """Given away, taken home or broken: they are gone from the shelf."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/goods/frames/WREN-52/leave").send({"why": why, "quantity": "1", "note": note})
    assert on_hand(desk, "WREN-52") == before - 1


def test_what_broke_needs_a_word(visitor: Visitor, desk: Desk) -> None:
    """It is said at the field for it."""
    before = on_hand(desk, "WREN-52")
    visitor.go("/goods/frames/WREN-52/leave").send({"why": "written-off", "quantity": "1"})
    assert visitor.code == 422
    assert 'href="#f-note"' in visitor.text
    assert on_hand(desk, "WREN-52") == before


def test_an_accessory_is_added_and_changed(visitor: Visitor, desk: Desk) -> None:
    """With its count, its tax category and what a plan makes of it."""
    visitor.go("/goods/accessories/new").send(
        {"name": "Soft cord", "price": "9", "cost": "2.50", "count": "6", "first": "opening"}
    )
    added, count = ACCESSORIES.called(desk, "SOFT-CORD")
    assert (added.price, count) == (900, 6)
    visitor.go("/goods/accessories/SOFT-CORD/change").send({"name": "Soft cord, black"})
    assert ACCESSORIES.called(desk, "SOFT-CORD")[0].name == "Soft cord, black"


def test_a_lens_of_a_known_material_brings_its_numbers(visitor: Visitor, desk: Desk) -> None:
    """Price by the lens is understood, and what the maker says may be left open."""
    visitor.go("/goods/lenses/new").send({**LENS, "cost": "40", "blank_diameters": "65 70, 75"})
    added = LENSES.called(desk, "THIN-DISTANCE-LE")
    assert (added.price, added.index, added.blank_diameters) == (19000, 1.67, (65.0, 70.0, 75.0))
    assert "index 1.67" in visitor.words


def test_a_lens_is_changed_and_what_is_emptied_is_gone(visitor: Visitor, desk: Desk) -> None:
    """What its maker is no longer said to say is not kept."""
    visitor.go("/goods/lenses/PROG-14/change").send({"corridor": "", "price": "270"})
    changed = LENSES.called(desk, "PROG-14")
    assert (changed.corridor, changed.price, changed.min_fitting_height) == (None, 27000, 17)


def test_a_lens_with_what_its_design_lacks_is_refused(visitor: Visitor, desk: Desk) -> None:
    """The sentence names what a single vision lens has not."""
    visitor.go("/goods/lenses/new").send({**LENS, "cost": "40", "segment_width": "28"})
    assert visitor.code == 422
    assert 'href="#f-segment_width"' in visitor.text
    assert all(each.design is not Design.SINGLE_VISION or each.segment_width is None for each in LENSES.all(desk))


def test_a_coating_is_added_and_changed(visitor: Visitor, desk: Desk) -> None:
    """Its kind decides the claim code; the price may be of one lens."""
    visitor.go("/goods/extras/new").send({"name": "Hard coat", "kind": "scratch", "price": "20 each"})
    assert EXTRAS.called(desk, "HARD-COAT").price == 4000
    visitor.go("/goods/extras/HARD-COAT/change").send({"price": "45"})
    assert EXTRAS.called(desk, "HARD-COAT").price == 4500


@pytest.mark.parametrize("path", ["/goods/low", "/goods/low?below=50", "/goods/ageing", "/goods/value"])
def test_how_the_stock_stands_is_shown(visitor: Visitor, path: str) -> None:
    """What to buy again, how long goods have lain there, what they are worth."""
    assert visitor.go(path).code == 200
    assert "Goods" in visitor.words


def test_what_is_not_there_is_said(visitor: Visitor) -> None:
    """A code that nothing has, and a kind that is no stock."""
    assert visitor.go("/goods/frames/NOWHERE-1").code == 404
    assert visitor.go("/goods/lenses/SV-150/count").code == 404
    assert visitor.go("/goods/frames/NOWHERE-1/count").code == 404


def test_hostile_text_stays_text(visitor: Visitor, desk: Desk) -> None:
    """On the shelf, on the card and in the search."""
    visitor.go("/goods/frames/new").send({**ROBIN, "model": "<b>x</b><script>1</script>", "code": "ODD-1"})
    assert any(each.kind is StockedKind.FRAME and each.item_code == "ODD-1" for each in stock_now(desk))
    for path in ("/goods", "/goods/frames/ODD-1", "/goods?q=<script>alert(1)</script>"):
        assert "<script>1" not in visitor.go(path).text
        assert "<script>alert" not in visitor.text
