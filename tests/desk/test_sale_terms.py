"""The terms of a sale: offers declined and named, claim codes that the owner chooses, warnings said yes to."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.context import Desk
from shopledger.desk.goods import EXTRAS, LENSES, OFFERS, end_offer
from shopledger.desk.refusals import FindingsRefusedError, unaccepted
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Extra, ExtraKind, Lens
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind
from shopledger.ledger.orders import Order, PairRequest
from shopledger.optics.findings import Severity
from shopledger.optics.materials import MaterialClass
from tests.desk.books import everything, on_both
from tests.desk.family import DISTANCE, READING, later, ordered, prescribe, without_near_pd
from tests.shelf import CUSTOMER, SINGLE

TENTH_OFF = Offer("TENTH", "A tenth off the frame", OfferKind.PERCENT, (Matches(LineKind.FRAME),), percent=100_000,
                  automatic=False)  # fmt: skip
OVERLAP = "-8.00 -2.25 x 090", "-8.00 -2.00 x 090"
"""The published bands of spheres over 7.00 hold a cylinder of 2.25 twice: to 2.25 and from 2.25 (V2111, V2112)."""


def lens_codes(order: Order) -> list[str]:
    """Give the claim codes of an order's lenses, right before left."""
    return [charge.code for line in order.lines if line.kind is LineKind.LENSES for charge in line.charges]


def test_a_declined_offer_is_not_tried(desk: Desk) -> None:
    """The lenses are charged at their list price then."""
    order = plan_sale(desk, ordered(DISTANCE, without_offers=("sv-free",))).order
    assert (order.reduction_total, order.total) == (0, 26000)


def test_an_offer_that_is_not_automatic_waits_to_be_named(desk: Desk) -> None:
    """A tenth off 180.00 is 18.00, only where it is asked for."""
    OFFERS.add(desk, TENTH_OFF)
    assert plan_sale(desk, ordered(DISTANCE)).order.total == 18000
    assert plan_sale(desk, ordered(DISTANCE, offers=("TENTH",))).order.total == 16200


def test_an_offer_ends_after_its_last_day(desk: Desk) -> None:
    """It still holds on the day itself."""
    end_offer(desk, "SV-FREE", desk.today)
    assert plan_sale(desk, ordered(DISTANCE)).order.total == 18000
    assert plan_sale(later(desk, date(2026, 3, 3)), ordered(DISTANCE)).order.total == 26000


@pytest.fixture
def strong(desk: Desk) -> PairRequest:
    """Give a pair whose right power lies in two published bands."""
    prescribe(desk, CUSTOMER, *OVERLAP)
    return replace(DISTANCE, lens="SV-167")


def test_a_power_in_two_bands_asks_the_owner(desk: Desk, strong: PairRequest) -> None:
    """No band is chosen for him; both codes are named, and where the choice is written."""
    before = everything(desk)
    with pytest.raises(UnsettledCodeError, match=r"the right lens has no claim code yet.*Choose V2111 or V2112"):
        record_sale(desk, ordered(strong))
    assert everything(desk) == before


@on_both
@pytest.mark.parametrize("code", ["V2111", "V2112"])
def test_the_owner_s_choice_of_a_code_is_kept(desk: Desk, strong: PairRequest, code: str) -> None:
    """It stands on that lens's charge with the reason; the other lens keeps the published one."""
    order = record_sale(desk, ordered(replace(strong, right_code=code))).order
    assert lens_codes(order) == [code, "V2783", "V2111", "V2783"]
    right = next(line.charges[0] for line in order.lines if line.kind is LineKind.LENSES)
    assert right.note.startswith(f"{code} was chosen by the owner: two bands hold -8.00 -2.25 x 090")


def test_a_code_that_cannot_name_a_lens_is_refused(desk: Desk, strong: PairRequest) -> None:
    """A frame's code is no choice for a lens."""
    with pytest.raises(RefusedError, match=r"claim code is V2020; .* cannot stand for a single vision lens by itself"):
        plan_sale(desk, ordered(replace(strong, right_code="V2020")))


@on_both
def test_an_accepted_warning_is_kept_with_the_order(desk: Desk) -> None:
    """Code and sentence are stored; notes need no yes and are not."""
    unmeasured = replace(READING, frame="WREN-52", measurements=without_near_pd())
    order = record_sale(desk, ordered(unmeasured, accept=frozenset({"NEAR-PD-MISSING"}))).order
    assert [(kept.code, kept.sentence.split(" is ")[0]) for kept in order.accepted] == [
        ("NEAR-PD-MISSING", "The right near PD"),
        ("NEAR-PD-MISSING", "The left near PD"),
    ]


def test_only_unaccepted_warnings_are_asked_about(desk: Desk) -> None:
    """Errors are no questions, and neither are notes."""
    findings = plan_sale(desk, ordered(READING)).findings
    assert {finding.severity for finding in findings} == {Severity.NOTE}
    assert unaccepted(findings, frozenset()) == ()


def test_a_frame_not_traced_yet_is_only_told(desk: Desk) -> None:
    """LARK-48 has no trace: the pair is sold, with a note to trace it before cutting."""
    codes = [finding.code for finding in plan_sale(desk, ordered(READING)).findings]
    assert codes == ["TRACE-MISSING"]


@pytest.mark.parametrize("frame", ["WREN-52", "LARK-48"])
def test_a_reading_pair_without_near_pd_is_asked_about(desk: Desk, frame: str) -> None:
    """With a trace and without one, before anything is stored; a yes lets it pass."""
    unmeasured = replace(READING, frame=frame, measurements=without_near_pd())
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match="add --accept NEAR-PD-MISSING"):
        record_sale(desk, ordered(unmeasured))
    assert everything(desk) == before
    assert record_sale(desk, ordered(unmeasured, accept=frozenset({"NEAR-PD-MISSING"}))).order.number == 1


def test_extras_that_exclude_each_other_stop_a_sale(desk: Desk) -> None:
    """A tint and a photochromic tint cannot both stand on a claim."""
    EXTRAS.add(desk, Extra("TINT", "Grey tint", ExtraKind.TINT, price=2500))
    EXTRAS.add(desk, Extra("PHOTO", "Photochromic", ExtraKind.PHOTOCHROMIC, price=7500))
    with pytest.raises(FindingsRefusedError, match="TINT-PHOTOCHROMIC"):
        record_sale(desk, ordered(replace(DISTANCE, extras=("TINT", "PHOTO"))))


def test_a_filter_that_the_material_has_already_is_asked_about(desk: Desk) -> None:
    """UV on polycarbonate: the owner may sell it, and his yes is kept."""
    EXTRAS.add(desk, Extra("UV", "UV filter", ExtraKind.UV, price=2000))
    LENSES.add(desk, replace_material(SINGLE))
    pair = replace(DISTANCE, lens="SV-POLY", extras=("UV",))
    with pytest.raises(FindingsRefusedError, match="--accept UV-POLYCARBONATE"):
        record_sale(desk, ordered(pair))
    order = record_sale(desk, ordered(pair, accept=frozenset({"UV-POLYCARBONATE"}))).order
    assert [kept.code for kept in order.accepted] == ["UV-POLYCARBONATE"]


def replace_material(lens: Lens) -> Lens:
    """Give the same lens in polycarbonate."""
    return replace(
        lens, code="SV-POLY", material="polycarbonate", material_class=MaterialClass.POLYCARBONATE, index=1.586
    )
