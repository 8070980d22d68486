"""Pricing an order: list lines, offers, claim charges, sales tax, all to the cent."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.ledger.orders import OrderLine
from shopledger.ledger.pricing import AccessoryGoods, PairGoods, Sold, Terms, price_order
from shopledger.ledger.settings import Settings
from shopledger.ledger.taxes import TaxRate
from shopledger.ledger.taxing import without_rate
from shopledger.money.tax import TaxRounding
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import LensUse, Prescription
from tests.shelf import CASE, CLEAR, GRADUAL, INCLUDED, LARK, SHADES, SINGLE, WREN

DAY = date(2026, 3, 2)
MADE = Prescription(read_eye("-2.50 -1.25 x 090"), read_eye("-2.25 -1.00 x 085"))
WITH_ADD = Prescription(read_eye("-2.50 -1.25 x 090 add 2.00"), read_eye("-2.25 -1.00 x 085 add 2.00"))
TERMS = Terms(
    DAY,
    "OH",
    (INCLUDED,),
    (TaxRate("OH", TaxCategory.NON_PRESCRIPTION, 72_500, DAY), TaxRate("OH", TaxCategory.SHIPPING, 0, DAY)),
    Settings(),
    shipping=695,
)
FIRST = PairGoods(1, 1, WREN, (Sold(SINGLE),), (Sold(CLEAR),), LensUse.DISTANCE, MADE)
SECOND = PairGoods(2, 1, LARK, (Sold(GRADUAL),), (), LensUse.MULTIFOCAL, WITH_ADD)


def by_code(lines: tuple[OrderLine, ...], code: str) -> OrderLine:
    """Find the one line of that item."""
    (line,) = [line for line in lines if line.item_code == code]
    return line


def test_an_odd_price_splits_over_two_lenses_without_losing_a_cent() -> None:
    """129.95 becomes 64.98 for the right lens and 64.97 for the left, both coded as anti-reflective."""
    charges = by_code(price_order([FIRST], [], TERMS), "CLEAR").charges
    assert [(charge.modifier, charge.code, charge.net) for charge in charges] == [
        ("RT", "V2750", 6498),
        ("LT", "V2750", 6497),
    ]


def test_included_lenses_show_their_list_price_and_reduction() -> None:
    """The lenses stand on the order at 80.00 less 80.00, on each lens 40.00 less 40.00."""
    line = by_code(price_order([FIRST], [], TERMS), "SV-150")
    assert (line.list_price, line.reduction, line.net, line.offer_code) == (8000, 8000, 0, "SV-FREE")
    assert [(charge.list_price, charge.net) for charge in line.charges] == [(4000, 0), (4000, 0)]


def test_a_progressive_is_its_base_and_its_design() -> None:
    """260.00 with a design part of 140.00: per lens 60.00 under the bifocal code and 70.00 under V2781."""
    charges = by_code(price_order([SECOND], [], TERMS), "PROG-14").charges
    # V2203: bifocal, sphere to 4.00, cylinder .12 to 2.00 (CMS HCPCS Level II, October 2025).
    assert [(charge.modifier, charge.code, charge.net) for charge in charges] == [
        ("RT", "V2203", 6000),
        ("RT", "V2781", 7000),
        ("LT", "V2203", 6000),
        ("LT", "V2781", 7000),
    ]


def test_a_frame_the_wearer_has_already_is_not_charged() -> None:
    """New lenses for an owned frame have no frame line, and no offer that needs a sold frame holds."""
    lines = price_order([replace(FIRST, frame_sold=False)], [], TERMS)
    assert LineKind.FRAME not in {line.kind for line in lines}
    assert by_code(lines, "SV-150").net == 8000


def test_a_pair_without_prescription_is_taxed_and_not_eligible() -> None:
    """Plano glasses are non-prescription goods, carry no claim code and are not eligible."""
    lines = price_order([replace(FIRST, made=None)], [], replace(TERMS, offers=(), shipping=0))
    assert {line.tax_category for line in lines} == {TaxCategory.NON_PRESCRIPTION}
    assert {line.reimbursement for line in lines} == {Reimbursement.NOT_ELIGIBLE}
    assert {charge.code for line in lines for charge in line.charges} == {""}
    # 180.00 at 7.25 % is 13.05.
    assert by_code(lines, "WREN-52").tax == 1305


def test_only_categories_with_a_rate_are_taxed() -> None:
    """Plano sunglasses at 45.00 and 7.25 % owe 3.26; the frame, whose category has no rate, owes nothing."""
    lines = price_order([FIRST], [AccessoryGoods(SHADES, 1, None)], TERMS)
    assert by_code(lines, "SHADES").tax == 326
    assert by_code(lines, "WREN-52").tax == 0
    noted = without_rate(lines, TERMS.tax_rates, TERMS.destination, DAY)
    assert [(each.code, each.value) for each in noted] == [("TAX-NOT-SET", TaxCategory.PRESCRIPTION_EYEWEAR.value)]


def test_a_quantity_multiplies_the_price() -> None:
    """Three cases at 12.00 are one line of 36.00 with three units."""
    line = by_code(price_order([], [AccessoryGoods(CASE, 3, 1)], TERMS), "CASE")
    assert (line.list_price, line.quantity, line.charges[0].units) == (3600, 3, 3)


@pytest.mark.parametrize(
    ("use", "words"),
    [(LensUse.READING, "for reading"), (LensUse.SCREEN, "for a screen"), (LensUse.DISTANCE, "for distance")],
)
def test_a_single_vision_line_says_what_it_is_made_for(use: LensUse, words: str) -> None:
    """The clerk reads whether lenses are for distance, reading or a screen."""
    assert words in by_code(price_order([replace(FIRST, use=use)], [], TERMS), "SV-150").description


CENTS = st.integers(0, 90_000)
SPREAD = Offer(
    "SPREAD", "Shared", OfferKind.PERCENT, (Matches(LineKind.LENSES),), (Matches(LineKind.FRAME),), percent=333_333,
    sharing=Sharing.ALL_LINES,
)  # fmt: skip


@given(CENTS, CENTS, CENTS, CENTS, st.integers(0, 200_000), st.sampled_from(TaxRounding), st.booleans())
def test_nothing_is_lost_between_lines_charges_and_tax(
    frame: int, lenses: int, extra: int, shipping: int, rate: int, rounding: TaxRounding, spread: bool
) -> None:
    """Charges add up to lines in list, reduction and net; no charge is negative; tax is within half a cent a line."""
    goods = [
        replace(
            FIRST,
            frame=replace(WREN, price=frame),
            lenses=(Sold(replace(SINGLE, price=lenses)),),
            extras=(Sold(replace(CLEAR, price=extra)),),
        ),
        replace(SECOND, lenses=(Sold(replace(GRADUAL, price=lenses, design_part=lenses // 3)),)),
    ]
    rates = tuple(TaxRate("OH", category, rate, DAY) for category in TaxCategory)
    terms = replace(
        TERMS, shipping=shipping, tax_rates=rates, settings=Settings(rounding), offers=(SPREAD if spread else INCLUDED,)
    )
    lines = price_order(goods, [AccessoryGoods(CASE, 2, None)], terms)
    for line in lines:
        assert sum(charge.list_price for charge in line.charges) == line.list_price
        assert sum(charge.reduction for charge in line.charges) == line.reduction
        assert sum(charge.net for charge in line.charges) == line.net
        assert all(charge.net >= 0 for charge in line.charges)
    exact = sum(line.net * rate for line in lines) / 1_000_000
    slack = 0.5 if rounding is TaxRounding.PER_ORDER else 0.5 * len(lines)
    assert abs(sum(line.tax for line in lines) - exact) <= slack + 1e-6
