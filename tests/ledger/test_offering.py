"""Offers on the lines of one pair: which hold, what they save, and on which lines the saving stands."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.catalogue import Design, Reimbursement, TaxCategory
from shopledger.ledger.offering import with_offers
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.ledger.orders import OrderLine

FRAME = Matches(LineKind.FRAME)
SINGLE_VISION = Matches(LineKind.LENSES, Design.SINGLE_VISION)
LENSES = Matches(LineKind.LENSES)
COATING = Matches(LineKind.EXTRA, code="CLEAR")
DESIGNS = {"SV": Design.SINGLE_VISION, "PROG": Design.PROGRESSIVE}


def line(kind: LineKind, code: str, price: int) -> OrderLine:
    """An unreduced line of that price."""
    return OrderLine(
        kind=kind,
        item_code=code,
        description=code,
        list_price=price,
        reduction=0,
        net=price,
        tax_category=TaxCategory.PRESCRIPTION_EYEWEAR,
        reimbursement=Reimbursement.ELIGIBLE,
        reimbursement_reason="",
    )


def pair_of(lens: str = "SV", frame: int = 18000, lenses: int = 8000, coating: int = 12995) -> list[OrderLine]:
    """A frame, a pair of lenses and a coating."""
    return [
        line(LineKind.FRAME, "F", frame),
        line(LineKind.LENSES, lens, lenses),
        line(LineKind.EXTRA, "CLEAR", coating),
    ]


INCLUDED = Offer("SV-FREE", "Single vision included", OfferKind.INCLUDED, (SINGLE_VISION,), (FRAME,))
SECOND = Offer("SECOND", "Second pair 20 %", OfferKind.PERCENT, (FRAME, LENSES), percent=200_000, from_pair=2)
PACKAGE = Offer("SET", "Lens and coating", OfferKind.PACKAGE, (LENSES, COATING), price=19900)


def test_included_lenses_cost_nothing_beside_their_frame() -> None:
    """An included line is reduced by its whole list price, and only that line."""
    frame, lenses, coating = with_offers(pair_of(), [INCLUDED], DESIGNS, pair=1)
    assert (lenses.reduction, lenses.net, lenses.offer_code) == (8000, 0, "SV-FREE")
    assert (frame.net, coating.net) == (18000, 12995)


def test_an_offer_for_single_vision_leaves_progressive_lenses_alone() -> None:
    """The design named in an offer is the only one it reduces."""
    assert all(not line.reduction for line in with_offers(pair_of("PROG"), [INCLUDED], DESIGNS, pair=1))


def test_an_offer_needs_all_that_it_names() -> None:
    """Without the frame the lenses are not included."""
    assert with_offers(pair_of()[1:], [INCLUDED], DESIGNS, pair=1)[0].net == 8000


def test_a_reduction_shared_over_all_lines_stands_in_proportion_to_list_prices() -> None:
    """8000 off a frame at 18000 and lenses at 8000: 18/26 of it on the frame, 8/26 on the lenses."""
    offer = Offer("SV-FREE", "Included", OfferKind.INCLUDED, (SINGLE_VISION,), (FRAME,), sharing=Sharing.ALL_LINES)
    frame, lenses, _ = with_offers(pair_of(), [offer], DESIGNS, pair=1)
    # 8000 * 18000 / 26000 = 5538.46…, 8000 * 8000 / 26000 = 2461.54…: the larger remainder is the lenses'.
    assert (frame.reduction, lenses.reduction) == (5538, 2462)


def test_a_second_pair_offer_waits_for_the_second_pair() -> None:
    """An offer from pair 2 on does nothing to pair 1."""
    assert all(not line.reduction for line in with_offers(pair_of("PROG"), [SECOND], DESIGNS, pair=1))
    second = with_offers(pair_of("PROG"), [SECOND], DESIGNS, pair=2)
    assert [line.reduction for line in second] == [3600, 1600, 0]


def test_a_package_brings_its_lines_to_one_price() -> None:
    """Lens and coating at 209.95 together cost the package's 199.00."""
    _, lenses, coating = with_offers(pair_of("PROG"), [PACKAGE], DESIGNS, pair=1)
    assert lenses.net + coating.net == 19900


def test_a_package_dearer_than_its_parts_is_not_applied() -> None:
    """An offer never raises a price."""
    lines = with_offers(pair_of("PROG", lenses=3000, coating=1000), [PACKAGE], DESIGNS, pair=1)
    assert [line.net for line in lines] == [18000, 3000, 1000]


def test_the_offer_that_saves_most_goes_first_and_a_line_is_reduced_once() -> None:
    """Included lenses save 80.00, twenty per cent of both 52.00; then only the frame is left for the second."""
    frame, lenses, _ = with_offers(pair_of(), [SECOND, INCLUDED], DESIGNS, pair=2)
    assert (lenses.offer_code, lenses.reduction) == ("SV-FREE", 8000)
    assert (frame.offer_code, frame.reduction) == ("SECOND", 3600)


def test_an_offer_holds_from_its_first_to_its_last_day() -> None:
    """Both the first and the last day count."""
    offer = Offer("A", "A", OfferKind.INCLUDED, (FRAME,), starts=date(2026, 3, 1), ends=date(2026, 3, 31))
    days = [date(2026, 2, 28), date(2026, 3, 1), date(2026, 3, 31), date(2026, 4, 1)]
    assert [offer.runs_on(day) for day in days] == [False, True, True, False]


PRICES = st.integers(min_value=0, max_value=200_000)
OFFERS = st.lists(st.sampled_from([INCLUDED, SECOND, PACKAGE]), unique_by=lambda offer: offer.code)


@given(PRICES, PRICES, PRICES, st.sampled_from(["SV", "PROG"]), OFFERS, st.integers(1, 3))
def test_offers_lose_no_cent_and_never_go_below_zero(
    frame: int, lenses: int, coating: int, lens: str, offers: list[Offer], pair: int
) -> None:
    """Whatever the offers: net is list less reduction on every line, and never negative."""
    before = pair_of(lens, frame, lenses, coating)
    after = with_offers(before, offers, DESIGNS, pair)
    assert [line.list_price for line in after] == [line.list_price for line in before]
    assert all(0 <= line.net == line.list_price - line.reduction for line in after)


@pytest.mark.parametrize("order", [[INCLUDED, SECOND, PACKAGE], [PACKAGE, SECOND, INCLUDED]])
def test_the_order_in_which_offers_are_named_does_not_matter(order: list[Offer]) -> None:
    """The result depends on the offers, not on the order they are listed in."""
    assert with_offers(pair_of(), order, DESIGNS, pair=2) == with_offers(
        pair_of(), [SECOND, INCLUDED, PACKAGE], DESIGNS, pair=2
    )
