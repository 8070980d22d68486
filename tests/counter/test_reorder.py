"""New lenses on pages: who, which pair by its picture, before and now, then a draft or an order."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.counter.station import Station
from shopledger.desk.context import Desk
from shopledger.desk.drafts import drafted_order, open_drafts
from shopledger.desk.kept_forms import kept_forms
from shopledger.desk.sales import record_sale
from tests.counter.pressing import press_named, said_while_typed
from tests.counter.visitor import Visitor
from tests.desk.family import CHILDS, YEARS_LATER, ordered

HERE = "/new-lenses/1/1?frame=WREN-52"
PLAN = "/new-lenses/1/1/plan?frame=WREN-52"


@pytest.fixture
def station(returned: Desk, station: Station) -> Station:
    """Stand at the counter on the day on which the customer comes back."""
    assert returned.today == YEARS_LATER
    return replace(station, day=YEARS_LATER)


def test_the_wearer_is_found_by_a_part_of_the_name(visitor: Visitor) -> None:
    """Whose glasses they are is one press more where a customer has several wearers."""
    page = visitor.go("/new-lenses?q=fern")
    assert 'href="/new-lenses/1/1"' in page.text
    assert 'href="/new-lenses/1/2"' in page.text
    assert "Nobody was found" in visitor.go("/new-lenses?q=nobody-like-that").words


def test_the_pair_is_picked_by_its_picture(visitor: Visitor) -> None:
    """A frame without a shape is shown too, and says why it is not to be had."""
    page = visitor.go("/new-lenses/1/1")
    assert "/new-lenses/1/1?frame=WREN-52" in page.text
    assert "<svg" in page.text
    assert "no shape" in page.words
    assert "/traces/new?frame=LARK-48" in page.text


def test_before_and_now_stand_side_by_side(visitor: Visitor) -> None:
    """Powers, what changed, measurements and price; the lenses of the design compared, each drawn cut across."""
    page = visitor.go(HERE)
    assert "-2.50 -1.25 x 090 add 2.00" in page.words
    assert "-2.75 -1.25 x 090 add 2.25" in page.words
    assert "31.5 and 31" in page.words
    assert "Thin single vision" in page.words
    assert page.text.count("cut across") >= 2
    assert page.form(has="prescription").values["prescription"] == ["3"]
    assert page.form(has="pd_right").values["pd_right"] == ["31.5"]
    assert page.form(has="pd_right").values["near_pd"] == ["30 29.5"]


def test_another_lens_is_compared_while_it_is_chosen(visitor: Visitor, returned: Desk) -> None:
    """Nothing is stored by it."""
    visitor.go(HERE)
    said = said_while_typed(visitor, PLAN, "lens", {"lens": "SV-167"})
    assert "Thin single vision <span" in said
    assert "180.00" in said
    assert open_drafts(returned) == ()


def test_a_draft_is_kept_with_its_paper(visitor: Visitor, returned: Desk) -> None:
    """As before, under the newest prescription; the record is printed."""
    press_named(visitor.go(HERE), "lens", {}, then="draft")
    assert visitor.path.startswith("/papers/reorder-00001")
    (draft,) = open_drafts(returned)
    assert draft.number == 1
    (pair,) = drafted_order(returned, 1).pairs
    assert (pair.lens, pair.prescription, pair.frame_owned) == ("SV-150", 3, True)
    assert [each.name for each in visitor.station.papers.iterdir()] == ["reorder-00001.pdf"]


def test_an_order_goes_on_to_its_draft(visitor: Visitor, returned: Desk) -> None:
    """What is other than before goes with it."""
    changed = {"lens": "SV-167", "use": "reading", "extras": "CLEAR", "pd_left": "31.5", "near_pd": "60"}
    press_named(visitor.go(HERE), "lens", changed, then="order")
    assert visitor.path == "/drafts/1"
    (pair,) = drafted_order(returned, 1).pairs
    assert (pair.lens, pair.use.value if pair.use else "", pair.extras) == ("SV-167", "reading", ("CLEAR",))
    assert pair.measurements is not None
    assert pair.measurements.left.mono_pd == 31.5


def test_sent_twice_it_is_drafted_once(visitor: Visitor, returned: Desk) -> None:
    """The second press leads to the same draft."""
    form = visitor.go(HERE).form(has="lens")
    for _ in range(2):
        visitor.client.post(
            HERE, base_url=visitor.home, data={**form.values, "then": "order"}, headers={"Origin": visitor.home}
        )
    assert len(open_drafts(returned)) == 1


def test_a_warning_is_asked_once_and_its_tick_is_the_yes(visitor: Visitor, returned: Desk) -> None:
    """A change beyond what is usual has its box beside what it comes to, before anything is sent."""
    changed = {"pd_right": "36", "pd_left": "26", "near_pd": ""}
    said = said_while_typed(visitor.go(HERE), PLAN, "lens", changed)
    codes = [each.split('"')[0] for each in said.split('name="accept" value="')[1:]]
    assert codes
    press_named(visitor.go(HERE), "lens", changed, then="order")
    assert visitor.code == 422
    at_fields, beside = visitor.text.split('id="live"')
    assert all(f'value="{code}"' in at_fields for code in codes)
    assert 'name="accept"' not in beside
    assert open_drafts(returned) == ()
    data = visitor.form(has="lens").values
    visitor.client.post(
        HERE, base_url=visitor.home, data={**data, "accept": codes, "then": "order"}, headers={"Origin": visitor.home}
    )
    assert len(open_drafts(returned)) == 1


@pytest.mark.parametrize(
    ("field", "typed"), [("pd_right", "wide"), ("prescription", "99"), ("lens", "NONE"), ("height_left", "1e9")]
)
def test_what_is_wrong_is_said_at_its_field(visitor: Visitor, returned: Desk, field: str, typed: str) -> None:
    """Nothing is drafted, and what was typed stands there."""
    press_named(visitor.go(HERE), "lens", {field: typed}, then="order")
    assert visitor.code == 422
    assert f'href="#f-{field}"' in visitor.text
    assert open_drafts(returned) == ()


def test_a_frame_without_a_shape_leads_to_its_shape(visitor: Visitor) -> None:
    """What is missing first is said, with the way to it."""
    page = visitor.go("/new-lenses/1/1?frame=LARK-48")
    assert "new lenses need the frame's shape" in page.words
    assert "/traces/new?frame=LARK-48" in page.text
    assert "shopledger" not in page.words


def test_heights_of_another_frame_are_asked_again(visitor: Visitor, returned: Desk) -> None:
    """They belong to a frame; PDs are taken over."""
    record_sale(returned, ordered(CHILDS))
    form = visitor.go("/new-lenses/1/2?frame=WREN-52").form(has="lens")
    assert form.values["pd"] == ["54"]
    assert form.values["height_right"] == [""]


def test_somebody_else_s_wearer_is_not_there(visitor: Visitor) -> None:
    """Numbers of another customer's wearer lead nowhere."""
    assert visitor.go("/new-lenses/1/99").code == 404
    assert visitor.go("/new-lenses/99").code == 404


def test_a_frame_that_is_not_there_is_said(visitor: Visitor) -> None:
    """In a sentence."""
    assert "NOPE" in visitor.go("/new-lenses/1/1?frame=NOPE").words


def test_heights_are_asked_for_where_the_lens_needs_them(visitor: Visitor, returned: Desk) -> None:
    """A progressive without heights is stopped at the fields that are empty."""
    empty = {"lens": "PROG-14", "height_right": "", "height_left": ""}
    press_named(visitor.go(HERE), "lens", empty, then="order")
    assert visitor.code == 422
    assert 'href="#f-height_right"' in visitor.text
    assert open_drafts(returned) == ()


def test_what_was_begun_names_its_wearer_and_frame(visitor: Visitor, returned: Desk) -> None:
    """It stands there again on the same page, and on no other frame's."""
    press_named(visitor.go(HERE), "lens", {"pd_right": "wide"}, then="order")
    assert [each.about for each in kept_forms(returned)] == ["1-1-WREN-52"]
    assert visitor.go(HERE).form(has="lens").values["pd_right"] == ["wide"]
