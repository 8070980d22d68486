"""A sale on pages: whose, what, priced while it is typed, asked about where it stands, looked over, recorded once."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.drafts import open_drafts
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.known_people import find_customers
from shopledger.desk.order_lookups import newest_orders
from shopledger.desk.people import add_customer
from shopledger.desk.reordering import draft_reorder
from shopledger.desk.sales import record_sale
from shopledger.ledger.orders import DemoLenses, Making, Method, OrderAccount
from shopledger.optics.prescription import LensUse
from tests.counter.visitor import Visitor
from tests.desk.family import ASKED, DISTANCE, ordered, prescribe
from tests.shelf import CUSTOMER, HOME

PAIR = {"p1_frame": "WREN-52", "p1_lens": "SV-150", "p1_pd": "31.5 31"}


@pytest.fixture
def begun(visitor: Visitor) -> Visitor:
    """Begin a sale of glasses for the customer herself."""
    return visitor.go("/sale/1?wearer=1")


def _record(visitor: Visitor, fields: dict[str, object] | None = None) -> Visitor:
    """Go through to the look over it, and record the order."""
    visitor.send(fields)  # type: ignore[arg-type]
    assert visitor.path == "/sale/1/review", visitor.words
    return visitor.send({"method": "later"})


def _newest(desk: Desk) -> OrderAccount:
    return newest_orders(desk)[0][0]


def _codes(visitor: Visitor) -> list[str]:
    return [each.split('"')[0] for each in visitor.text.split('type="checkbox" name="accept" value="')[1:]]


def test_a_part_of_a_name_is_enough(visitor: Visitor) -> None:
    """One customer who fits is sold to at once; of several one is chosen; nobody is said so."""
    assert visitor.go("/sale?q=fernh").answer.headers["Location"] == "/sale/1"  # type: ignore[union-attr]
    assert "Nobody was found" in visitor.go("/sale?q=zzz").words


def test_a_new_customer_comes_back_to_the_sale(visitor: Visitor, desk: Desk) -> None:
    """Whoever is new is added on the way, and sold to."""
    visitor.go("/customers/new?next=/sale/-").send(
        {"name": "Bryony Saltmarsh", "street": "9 Alder Row", "city": "Millbrae", "state": "OH", "postcode": "43002"}
    )
    (found,) = find_customers(desk, "Saltmarsh")
    assert visitor.path == f"/sale/{found.number}"


def test_a_pair_is_sold_and_the_page_is_the_order_s(begun: Visitor, desk: Desk) -> None:
    """Everything stands on the look over it; then the order is recorded, and nothing of the form is kept."""
    begun.send(PAIR)
    assert begun.path == "/sale/1/review", begun.words
    for said in ("Harrow Row Wren", "Clear single vision", "V2103 RT", "-2.50 -1.25 x 090 add 2.00", "31.5 right"):
        assert said in begun.words
    begun.send({"method": "card", "reference": "4242"})
    order = _newest(desk)
    assert begun.path == f"/orders/{order.order.number}"
    assert (order.balance, order.payments[0].method, order.payments[0].reference) == (0, Method.CARD, "4242")
    (pair,) = order.order.pairs
    assert (pair.frame_code, pair.lens_code, pair.use) == ("WREN-52", "SV-150", LensUse.DISTANCE)
    assert kept_forms(desk) == ()


def test_it_is_recorded_once_however_often_it_is_sent(begun: Visitor, desk: Desk) -> None:
    """A second press leads to the order that the first made."""
    begun.send(PAIR)
    begun.send({"method": "later"}, again=True)
    assert "recorded already" in begun.words
    assert begun.path == f"/orders/{_newest(desk).order.number}"
    assert len(newest_orders(desk)) == 1


@pytest.mark.parametrize(
    ("fields", "field", "said"),
    [
        ({"p1_frame": ""}, "p1_frame", "it is needed"),
        ({"p1_frame": "heron"}, "p1_frame", "nothing in the list has that"),
        ({"p1_frame": "harrow"}, "p1_frame", "2 have that"),
        ({"p1_lens": ""}, "p1_lens", "it is needed"),
        ({"p1_pd": ""}, "p1_pd", "No PD is given"),
        ({"p1_pd": "3 3"}, "p1_pd", "centimetres"),
        ({"p1_pd": "63", "p1_near": "30 30"}, "p1_near", "needs the distance PD of each eye"),
        ({"p1_pd": "", "p1_heights": "20"}, "p1_pd", "belongs to"),
        ({"p1_lens": "PROG-14"}, "p1_heights", "height is missing"),
        ({"p1_right_making": "kept", "p1_left_making": "kept"}, None, "at least one lens"),
        ({"p1_right_lens": "SV-167", "p1_right_making": "kept"}, "p1_right_making", "nothing is made for it"),
        ({"p1_right_balance": "-2.00"}, "p1_right_balance", "Leave it out"),
        ({"p1_right_balance": "abc"}, "p1_right_balance", "cannot be read"),
        ({"p1_right_code": "V2200"}, "p1_right_code", "none of those in the list"),
        ({"f1_frame": "LARK-48"}, "f1_demo", "may not reach the customer as lenses"),
        ({"a1_code": "CASE", "a1_count": "0"}, "a1_count", "from 1 to 999"),
        ({"a1_code": "CASE", "a1_count": "11"}, "a1_code", "10 on hand"),
        ({"shipping": "-1"}, "shipping", "may not be negative"),
        ({"day": "2026-13-01"}, "day", "no such day"),
        ({"day": "2026-04-01"}, "day", "2026-04-01"),
    ],
)
def test_what_is_wrong_is_said_at_its_field(
    begun: Visitor, desk: Desk, fields: dict[str, str], field: str | None, said: str
) -> None:
    """The page comes back with all that was typed and a way to the field; nothing is recorded."""
    typed = {**PAIR, **fields}
    begun.send(typed)
    assert begun.code == 422, begun.words
    assert said in begun.words
    if field:
        assert f'href="#f-{field}"' in begun.text
    shown = begun.form(has="p1_frame").values
    for name, value in typed.items():
        if not name.endswith("_code") or value != "V2200":
            assert shown.get(name, [""]) == [value]
    assert newest_orders(desk) == ()


def test_a_frame_is_found_by_any_part_that_only_it_has(begun: Visitor, desk: Desk) -> None:
    """The code need not be known."""
    _record(begun, {**PAIR, "p1_frame": "wren moss"})
    assert _newest(desk).order.pairs[0].frame_code == "WREN-52"


def test_a_warning_is_asked_at_its_field_and_kept_with_the_order(begun: Visitor, desk: Desk) -> None:
    """A reading pair without a near PD is asked about where it is typed."""
    begun.send({**PAIR, "p1_pd": "50"})
    assert begun.code == 422
    codes = _codes(begun)
    assert "PD-UNUSUAL" in codes
    _record(begun, {"accept": codes})
    assert "PD-UNUSUAL" in {each.code for each in _newest(desk).order.accepted}


def test_the_yes_stays_where_something_else_is_wrong(begun: Visitor) -> None:
    """Nobody is asked twice."""
    begun.send({**PAIR, "p1_pd": "50"})
    begun.send({"accept": _codes(begun), "shipping": "x"})
    assert begun.code == 422
    begun.send({"shipping": ""})
    assert begun.path == "/sale/1/review", begun.words


def test_every_choice_of_a_pair_can_be_made(begun: Visitor, desk: Desk) -> None:
    """A screen pair in a frame that the wearer has: each eye its own, what lies between two quarters."""
    typed = {
        **PAIR,
        "p1_own": "yes",
        "p1_use": "screen",
        "p1_near": "29.5 29",
        "p1_left_lens": "SV-167",
        "p1_left_extras": "CLEAR",
        "p1_off_step": "less",
        "p1_note": "for the desk",
        "offers": "",
        "shipping": "0",
        "tax_exempt": "resale certificate 77-1042",
        "note": "by letter",
    }
    begun.send(typed)
    if begun.code == 422:
        begun.send({"accept": _codes(begun)})
    assert begun.path == "/sale/1/review", begun.words
    begun.send({"method": "later"})
    order = _newest(desk).order
    (pair,) = order.pairs
    assert (pair.use, pair.left.lens_code, pair.left.extras, pair.note) == (
        LensUse.SCREEN,
        "SV-167",
        ("CLEAR",),
        "for the desk",
    )
    assert (order.tax_exempt, order.note) == ("resale certificate 77-1042", "by letter")
    assert not [line for line in order.lines if line.item_code == "WREN-52" and line.net]


def test_one_eye_alone_keeps_its_lens(begun: Visitor, desk: Desk) -> None:
    """Only the other is made and charged."""
    _record(begun, {**PAIR, "p1_own": "yes", "p1_left_making": Making.KEPT.value})
    assert _newest(desk).order.pairs[0].left.making is Making.KEPT


def test_an_offer_is_left_out_or_asked_for(begun: Visitor) -> None:
    """A tick taken away leaves an automatic offer untried."""
    begun.send({**PAIR, "offers": []})
    assert "SV-FREE" not in begun.words
    begun.go("/sale/1").send({"offers": ["SV-FREE"]})
    assert "by SV-FREE" in begun.words


def test_pairs_are_added_and_taken_away_and_all_that_was_typed_stays(begun: Visitor, desk: Desk) -> None:
    """A button posts the form, keeps it, and gives it back with one pair more or fewer."""
    begun.send({**PAIR, "do": "pair-2"})
    assert begun.path == "/sale/1?at=p2_frame"
    assert 'name="p2_frame" type="text" value="" autocomplete="off"' in begun.text
    assert begun.text.count("autofocus") == 1
    shown = begun.form(has="p2_frame").values
    assert (shown["p1_frame"], shown["p2_wearer"]) == (["WREN-52"], ["2"])
    begun.send({"p2_frame": "LARK-48", "p2_lens": "SV-150", "p2_pd": "54", "do": "pair-1"})
    assert begun.form(has="p3_frame").values["p2_pd"] == ["54"]
    begun.send({"do": "drop-3"})
    assert "p3_frame" not in begun.form(has="p1_frame").names
    begun.send()
    if begun.code == 422:
        begun.send({"accept": _codes(begun)})
    begun.send({"method": "later"})
    assert [pair.frame_code for pair in _newest(desk).order.pairs] == ["WREN-52", "LARK-48"]


def test_a_finding_of_the_second_pair_stands_in_the_second_pair(begun: Visitor) -> None:
    """Not in the first, which has the same fields."""
    begun.send({**PAIR, "do": "pair-2"})
    begun.send({"p2_frame": "LARK-48", "p2_lens": "SV-150", "p2_pd": ""})
    assert 'href="#f-p2_pd"' in begun.text
    assert 'href="#f-p1_pd"' not in begun.text


def test_goods_and_frames_alone_are_sold_without_glasses(visitor: Visitor, desk: Desk) -> None:
    """With whose they are, and what became of the demo lenses."""
    visitor.go("/sale/1").send({"do": "goods"})
    visitor.send(
        {
            "a1_code": "CASE",
            "a1_count": "2",
            "a1_wearer": "nobody",
            "a2_code": "SHADES",
            "a2_wearer": "2",
            "f1_frame": "LARK-48",
            "f1_demo": "removed",
            "f1_wearer": "2",
        }
    )
    assert visitor.path == "/sale/1/review", visitor.words
    visitor.send({"method": "cash"})
    order = _newest(desk).order
    found = {line.item_code: (line.quantity, line.wearer_number, line.demo_lenses) for line in order.lines}
    assert found["CASE"] == (2, None, None)
    assert found["SHADES"] == (1, 2, None)
    assert found["LARK-48"] == (1, 2, DemoLenses.REMOVED)


def test_whose_goods_are_is_asked_where_there_are_several(begun: Visitor) -> None:
    """At the field beside them."""
    begun.send({**PAIR, "do": "pair-2"})
    begun.send({"p2_frame": "LARK-48", "p2_lens": "SV-150", "p2_pd": "54", "a1_code": "CASE"})
    assert 'href="#f-a1_wearer"' in begun.text


def test_what_was_typed_is_there_again_after_a_closed_window(begun: Visitor, desk: Desk) -> None:
    """The form is kept at each change, and shown as it was left; the page of the shop says that it waits."""
    form = begun.form(has="p1_frame")
    begun.client.post(
        "/keep/sale/1",
        base_url=begun.home,
        data={**form.values, "p1_frame": "LARK"},
        headers={"Origin": begun.home},
    )
    assert begun.go("/sale/1").form(has="p1_frame").values["p1_frame"] == ["LARK"]
    assert [(each.kind, each.about) for each in kept_forms(desk)] == [("sale", "1")]
    assert "Begun and not recorded yet" in begun.go("/sale").words


def test_the_side_of_the_page_follows_what_is_typed(begun: Visitor, desk: Desk) -> None:
    """With the total, the powers, the lenses' places in the frame, and what was found; nothing is stored."""

    def side(**typed: str) -> str:
        form = begun.form(has="p1_frame")
        answer = begun.client.post(
            "/sale/1/live", base_url=begun.home, data={**form.values, **typed}, headers={"Origin": begun.home}
        )
        return answer.get_data(as_text=True)

    assert "Nothing is chosen yet." in side()
    assert "<svg" in side(p1_frame="WREN-52")
    whole = side(**PAIR)
    for said in ("$180.00", "Total", "-2.50 -1.25 x 090", "<svg", "blank"):
        assert said in whole
    assert "stops" in side(**{**PAIR, "p1_pd": ""})
    assert kept_forms(desk) == ()


def test_work_it_out_does_the_same_without_scripts(begun: Visitor) -> None:
    """A button shows the total, and stays on the page."""
    begun.send({**PAIR, "do": "look"})
    assert begun.path == "/sale/1"
    assert begun.code == 200
    assert "Total $180.00" in begun.words


def test_a_missing_prescription_is_added_on_the_way(visitor: Visitor, desk: Desk) -> None:
    """And the sale goes on with it."""
    add_customer(desk, "Linnet Harwood", HOME, "555-0166")
    visitor.go("/sale/2").send({"p1_frame": "WREN-52", "p1_lens": "SV-150", "p1_pd": "63"})
    assert visitor.code == 422
    assert 'href="#f-p1_prescription"' in visitor.text
    number = visitor.form(has="p1_frame").values["p1_wearer"][0]
    visitor.send({"do": f"prescription-{number}"})
    assert visitor.path == f"/customers/2/wearers/{number}/prescriptions/new?next=/sale/2"
    visitor.send({"right_sphere": "-1.00", "left_sphere": "-1.00", "prescriber": "Castellane", "written": "2026-03-01"})
    assert visitor.path == "/sale/2"
    assert visitor.form(has="p1_frame").values["p1_frame"] == ["WREN-52"]
    visitor.send({"p1_pd": "63"})
    assert visitor.path == "/sale/2/review", visitor.words


def test_lenses_without_power_need_no_prescription(begun: Visitor, desk: Desk) -> None:
    """Chosen in the place of one."""
    _record(begun, {**PAIR, "p1_prescription": "none"})
    assert _newest(desk).order.pairs[0].prescription_number is None


def test_the_pd_of_the_last_pair_stands_in_a_new_one(visitor: Visitor, desk: Desk) -> None:
    """Heights belong to the frame, and are shown and not filled in."""
    record_sale(desk, ordered(DISTANCE))
    visitor.go("/sale/1?wearer=1")
    assert visitor.form(has="p1_pd").values["p1_pd"] != [""]
    assert "Last pair" in visitor.words


def test_a_quote_is_printed_and_nothing_is_recorded(begun: Visitor, desk: Desk, tmp_path: Path) -> None:
    """The prices hold until a day."""
    begun.send(PAIR)
    begun.go("/sale/1/quote").send({"until": "2026-04-01"})
    assert begun.path.startswith("/papers/")
    assert [each.suffix for each in (tmp_path / "papers").rglob("*.*")] == [".pdf"]
    assert newest_orders(desk) == ()


def test_a_sale_that_changed_since_it_was_looked_over_is_not_recorded(begun: Visitor, desk: Desk) -> None:
    """What is recorded is what somebody saw."""
    begun.send(PAIR)
    form = begun.form(has="method")
    begun.go("/sale/1").send({"p1_frame": "LARK-48"})
    begun.client.post("/sale/1/review", base_url=begun.home, data=form.values, headers={"Origin": begun.home})
    assert newest_orders(desk) == ()


def test_more_than_is_owed_is_not_taken(begun: Visitor, desk: Desk) -> None:
    """It is said at the amount."""
    begun.send(PAIR)
    begun.send({"method": "card", "amount": "5000"})
    assert begun.code == 422
    assert 'href="#f-amount"' in begun.text
    begun.send({"method": "card", "amount": ""})
    assert 'href="#f-amount"' in begun.text
    assert newest_orders(desk) == ()


def test_a_draft_is_looked_at_and_recorded_once(visitor: Visitor, desk: Desk) -> None:
    """Warnings that it still has are asked about there."""
    record_sale(desk, ordered(DISTANCE))
    with desk.writing() as work:
        number, _ = draft_reorder(work, desk, ASKED)
    visitor.go(f"/drafts/{number}")
    assert "Draft" in visitor.words
    visitor.send({"method": "later"})
    if visitor.code == 422:
        visitor.send({"accept": _codes(visitor), "method": "later"})
    assert visitor.path == f"/orders/{_newest(desk).order.number}", visitor.words
    assert open_drafts(desk) == ()
    assert visitor.go(f"/drafts/{number}").path.startswith("/drafts")


def test_hostile_text_is_shown_as_text(begun: Visitor) -> None:
    """In a field and in what is said about it."""
    begun.send({**PAIR, "p1_frame": '"><script>alert(1)</script>'})
    assert "<script>alert" not in begun.text


def test_rows_without_end_are_not_made(visitor: Visitor) -> None:
    """Whatever somebody sends as the rows of the form, it has so many and no more."""
    form = visitor.go("/sale/1").form(has="a1_code")
    many = ",".join(str(each) for each in range(1, 900))
    answer = visitor.client.post(
        "/sale/1",
        base_url=visitor.home,
        data={**form.values, "goods": many, "do": "look"},
        headers={"Origin": visitor.home},
    )
    assert answer.get_data(as_text=True).count('name="a') < 200


def test_a_power_between_two_codes_is_the_owner_s_choice_in_its_place(begun: Visitor, desk: Desk) -> None:
    """Both codes stand in the list with what they mean; the choice goes with the order."""
    prescribe(desk, CUSTOMER, "-7.50 -2.25 x 090", "-7.50 -2.25 x 085")
    begun.send(PAIR)
    assert begun.code == 422
    assert 'href="#f-p1_right_code"' in begun.text
    assert "V2112, single vision, sphere 7.25 to 12.00, cylinder 2.25 to 4.00" in begun.words
    assert "<details open" in begun.text
    begun.send({"p1_right_code": "V2112"})
    assert 'href="#f-p1_left_code"' in begun.text
    begun.send({"p1_left_code": "V2111"})
    if begun.code == 422:
        begun.send({"accept": _codes(begun)})
    assert begun.path == "/sale/1/review", begun.words
    begun.send({"method": "later"})
    charges = [charge for line in _newest(desk).order.lines for charge in line.charges]
    assert ("V2112", True) in {(charge.code, charge.chosen) for charge in charges}


def test_a_power_between_two_quarters_is_chosen_in_its_place(visitor: Visitor, desk: Desk) -> None:
    """What it comes to is asked about, and the choice stands beside the question."""
    prescribe(desk, CUSTOMER, "-2.50 DS add 1.75", "-2.25 DS add 1.75")
    visitor.go("/sale/1?wearer=1").send({**PAIR, "p1_use": "screen", "p1_near": "29 29"})
    assert visitor.code == 422
    assert 'href="#f-p1_off_step"' in visitor.text
    assert "--off-step" not in visitor.text
    visitor.send({"p1_off_step": "less"})
    assert 'href="#f-p1_off_step"' not in visitor.text


def test_a_lens_that_only_balances_is_asked_about_in_its_place(visitor: Visitor, desk: Desk) -> None:
    """Its power can be given beside the question, or what is proposed said yes to."""
    prescribe(desk, CUSTOMER, "-2.50 DS", "balance")
    visitor.go("/sale/1?wearer=1").send(PAIR)
    assert 'href="#f-p1_left_balance"' in visitor.text
    visitor.send({"p1_left_balance": "-2.00"})
    if visitor.code == 422:
        visitor.send({"accept": _codes(visitor)})
    visitor.send({"method": "later"})
    made = _newest(desk).order.pairs[0].made
    assert made is not None
    assert made.left.power.sphere == -2.0


def test_who_wears_none_can_buy_goods(visitor: Visitor, desk: Desk) -> None:
    """A customer without a wearer is sold goods; somebody who wears glasses is added on the way."""
    number = add_customer(desk, "Linnet Harwood", HOME, "555-0166", wears=False).number
    visitor.go(f"/sale/{number}").send({"do": "wearer"})
    assert visitor.path == f"/customers/{number}/wearers/new?next=/sale/{number}"
    visitor.go(f"/sale/{number}").send({"a1_code": "CASE"})
    assert visitor.path == f"/sale/{number}/review", visitor.words
    visitor.send({"method": "later"})
    assert _newest(desk).order.customer_number == number
