"""A reorder's draft and its record: stored as an order that can be recorded, or not at all."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.drafts import draft_numbered, drafted_order, open_drafts
from shopledger.desk.goods import LENSES
from shopledger.desk.people import add_wearer
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.reorder_record import reorder
from shopledger.desk.reordering import plan_reorder
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.exchange.order_file import read_order_file, write_order_file
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.parties import Relationship
from shopledger.ledger.stock import StockedKind
from shopledger.paperwork.refusals import MissingGlyphError
from shopledger.store.refusals import NumberUnknownError
from tests.desk.books import everything, notes, on_both, words_in
from tests.desk.family import (
    ASKED,
    DISTANCE,
    YEARS_LATER,
    at_height,
    later,
    ordered,
    prescribe,
)
from tests.shelf import CUSTOMER, SINGLE, WREN


@on_both
def test_a_draft_is_an_order_file_that_records_the_same_again(returned: Desk, tmp_path: Path) -> None:
    """What is stored reads back to the order that was planned; recorded, it is the order that was priced."""
    number, plan, _ = reorder(returned, ASKED, tmp_path)
    draft = draft_numbered(returned, number)
    assert (draft.number, draft.customer_number, draft.day) == (1, 1, YEARS_LATER)
    assert draft.reason == "new lenses for the frame of job 1"
    assert drafted_order(returned, number) == plan.request == read_order_file(write_order_file(plan.request))
    assert open_drafts(returned) == (draft,)
    order = record_sale(returned, drafted_order(returned, number), draft=number).order
    assert replace(order, number=None, pairs=plan.sale.order.pairs) == plan.sale.order
    with returned.reading() as work:
        assert work.stock.level(StockedKind.FRAME, WREN.code).free == 2  # the frame was sold once


@on_both
def test_a_draft_is_recorded_once(returned: Desk, tmp_path: Path) -> None:
    """The second time names the order that it became, and nothing is stored."""
    reorder(returned, ASKED, tmp_path)
    request = drafted_order(returned, 1)
    record_sale(returned, request, draft=1)
    assert open_drafts(returned) == ()
    before = everything(returned)
    with pytest.raises(RefusedError, match=r"draft is 1; it was recorded as order 2\. Look at it with"):
        drafted_order(returned, 1)
    with pytest.raises(RefusedError, match=r"it was recorded as order 2"):
        record_sale(returned, request, draft=1)
    assert everything(returned) == before


def test_drafting_is_noted(returned: Desk, tmp_path: Path) -> None:
    """With whose it is and which pair it follows."""
    reorder(returned, ASKED, tmp_path)
    assert notes(returned)[-1] == ("tester", "drafted a reorder", "customer 1 job 1")


@on_both
def test_an_expired_prescription_is_asked_about_and_the_yes_is_kept(desk: Desk, tmp_path: Path) -> None:
    """The draft carries the yes, so that recording it on the same day does not ask again."""
    record_sale(desk, ordered(DISTANCE))
    prescribe(desk, CUSTOMER, "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", expires_on=date(2028, 3, 2))
    there = later(desk, YEARS_LATER)
    before = everything(there)
    with pytest.raises(FindingsRefusedError, match=r"expired on 2028-03-02.*add --accept PRESCRIPTION-EXPIRED"):
        reorder(there, ASKED, tmp_path)
    assert everything(there) == before
    reorder(there, replace(ASKED, accept=frozenset({"PRESCRIPTION-EXPIRED", "ADD-CHANGE"})), tmp_path)
    request = drafted_order(there, 1)
    assert request.accept == frozenset({"PRESCRIPTION-EXPIRED"})
    assert [kept.code for kept in record_sale(there, request, draft=1).order.accepted] == ["PRESCRIPTION-EXPIRED"]


@on_both
def test_a_power_in_two_bands_is_settled_before_the_draft(returned: Desk, tmp_path: Path) -> None:
    """The owner's code goes into the draft, which then records without a question."""
    prescribe(returned, CUSTOMER, "-8.00 -2.25 x 090", "-8.00 -2.00 x 090", date(2029, 4, 9))
    asked = replace(ASKED, lens="SV-167", accept=frozenset({"CHANGE-UNUSUAL"}))
    with pytest.raises(UnsettledCodeError, match="Choose V2111 or V2112"):
        reorder(returned, asked, tmp_path)
    assert open_drafts(returned) == ()
    reorder(returned, replace(asked, right_code="V2112"), tmp_path)
    order = record_sale(returned, drafted_order(returned, 1), draft=1).order
    assert order.lines[0].charges[0].code == "V2112"


def test_an_unknown_draft_is_named(desk: Desk) -> None:
    """There is none yet."""
    with pytest.raises(NumberUnknownError, match="there is no draft 1"):
        drafted_order(desk, 1)


def test_a_record_that_cannot_be_printed_leaves_no_draft(desk: Desk, tmp_path: Path) -> None:
    """The papers' font sets Latin, Greek and Cyrillic letters."""
    add_wearer(desk, CUSTOMER, "\N{HIRAGANA LETTER A}\N{HIRAGANA LETTER I}", Relationship.OTHER)
    record_sale(desk, ordered(replace(DISTANCE, wearer="3", without_prescription=True)))
    prescribe(desk, "3", "-1.00 DS", "-1.00 DS")
    before = everything(desk)
    with pytest.raises(MissingGlyphError):
        reorder(desk, replace(ASKED, wearer="3"), tmp_path)
    assert everything(desk) == before


@on_both
def test_the_record_says_what_is_made_and_what_changed(returned: Desk, tmp_path: Path) -> None:
    """Draft number, both days, the frame, powers before and now with the difference, and the lenses compared."""
    prescribe(returned, CUSTOMER, "-4.00 -1.25 x 090 add 2.25", "-3.75 -1.00 x 085 add 2.25", date(2029, 4, 9))
    number, plan, file = reorder(returned, replace(ASKED, accept=frozenset({"CHANGE-UNUSUAL"})), tmp_path)
    assert (number, file.name) == (1, "reorder-00001.pdf")
    text = words_in(file)
    for words in (
        "No. 1", CUSTOMER, plan.frame.description, "job 1, order 1", "-2.50", "-4.00", "-1.50", "Clear single vision",
        "Thin single vision", "pellow-52.txt",
    ):  # fmt: skip
        assert words.replace("-", "\N{MINUS SIGN}") in text or words in text, words


def test_a_lens_that_cannot_be_made_is_not_drafted(returned: Desk, tmp_path: Path) -> None:
    """At -20 D a back of hard resin has a radius of 24 mm, and the edge is 29.5 mm away; a yes does not help."""
    prescribe(returned, CUSTOMER, "-20.00 DS", "-20.00 DS", date(2029, 4, 9))
    accept = frozenset({"LENS-IMPOSSIBLE", "CHANGE-UNUSUAL"})
    asked = replace(ASKED, accept=accept)
    before = everything(returned)
    assert not plan_reorder(returned, asked).chosen.makeable
    with pytest.raises(FindingsRefusedError, match=r"too steep to reach the edge.*\[LENS-IMPOSSIBLE\]"):
        reorder(returned, asked, tmp_path)
    assert everything(returned) == before


@on_both
def test_a_blank_that_is_too_small_stops_a_reorder(returned: Desk, tmp_path: Path) -> None:
    """The largest is 55 mm, and the shape alone is 53.6 mm across before it is moved and ground."""
    LENSES.change(returned, SINGLE.code, {"blank_diameters": (50, 55)})
    assert [eye.blank for eye in plan_reorder(returned, ASKED).chosen.eyes] == [None, None]
    with pytest.raises(FindingsRefusedError, match=r"The right blank is 55 mm but the shape needs.*\[BLANK-SMALL\]"):
        reorder(returned, ASKED, tmp_path)
    assert open_drafts(returned) == ()


def test_a_progressive_needs_its_height(desk: Desk, tmp_path: Path) -> None:
    """A pair that was sold without a height cannot become a progressive unless it is measured."""
    record_sale(desk, ordered(replace(DISTANCE, measurements=at_height(None))))
    asked = replace(ASKED, lens="PROG-14")
    with pytest.raises(FindingsRefusedError, match="HEIGHT-MISSING"):
        reorder(desk, asked, tmp_path)
    assert reorder(desk, replace(asked, measurements=at_height(19)), tmp_path)[0] == 1


def test_the_record_says_which_other_lens_cannot_be_made(desk: Desk, tmp_path: Path) -> None:
    """At -16.50 D hard resin has a radius of 29.3 mm and the edge is 29.5 mm away; the higher index reaches it."""
    record_sale(desk, ordered(DISTANCE))
    prescribe(desk, CUSTOMER, "-16.50 DS", "-16.50 DS")
    asked = replace(ASKED, lens="SV-167", accept=frozenset({"CHANGE-UNUSUAL", "SPHERE-UNUSUAL"}))
    _, plan, file = reorder(desk, asked, tmp_path)
    assert [(other.lens.code, other.makeable) for other in plan.others] == [(SINGLE.code, False)]
    assert "too steep to reach the edge" in words_in(file)
