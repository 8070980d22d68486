"""Tax on the lines of an order: which rate each has, and shipping taxed as the goods, by examples done by hand."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from decimal import ROUND_HALF_UP, Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import OrderLine
from shopledger.ledger.taxes import WITHOUT_TAX, Destination, TaxRate
from shopledger.ledger.taxing import TaxedGoods, taxed, without_rate
from shopledger.money.tax import TaxRounding

DAY = date(2026, 3, 2)
HERE = Destination("OH", "Millbrae", "43002")
EYEWEAR, NON_RX, ACCESSORY = TaxCategory.PRESCRIPTION_EYEWEAR, TaxCategory.NON_PRESCRIPTION, TaxCategory.ACCESSORY
LINE, ORDER = TaxRounding.PER_LINE, TaxRounding.PER_ORDER
GOODS = TaxRate("OH", TaxCategory.SHIPPING, 0, DAY, as_goods=True)


def line(kind: LineKind, net: int, category: TaxCategory = ACCESSORY) -> OrderLine:
    """Give a line that costs so much."""
    pair = 1 if kind in {LineKind.FRAME, LineKind.LENSES, LineKind.EXTRA} else None
    if kind is LineKind.SHIPPING:
        category = TaxCategory.SHIPPING
    return OrderLine(kind, "X", "x", net, 0, net, category, Reimbursement.PLAN_DECIDES, "", pair=pair)


def rate(category: TaxCategory, per_million: int, place: str = "") -> TaxRate:
    """Give a rate that has no last day."""
    return TaxRate("OH", category, per_million, DAY, place=place)


def priced(lines: list[OrderLine], *rates: TaxRate, rounding: TaxRounding = LINE) -> list[tuple[int, int]]:
    """Give rate and tax of each line."""
    return [(each.tax_rate, each.tax) for each in taxed(lines, rates, HERE, DAY, rounding=rounding)]


GLASSES = [
    line(LineKind.FRAME, 18_000, EYEWEAR),
    line(LineKind.LENSES, 8_000, EYEWEAR),
    line(LineKind.EXTRA, 12_995, EYEWEAR),
]


def test_a_part_of_the_glasses_is_taxed_by_a_rate_of_its_own() -> None:
    """Coatings stated apart may be taxed where the glasses are not; 129.95 at 2.9 % is 3.77 (3.76855)."""
    assert priced(GLASSES, rate(EYEWEAR, 0)) == [(0, 0)] * 3
    found = taxed(GLASSES, [rate(EYEWEAR, 0), rate(TaxCategory.COATING, 29_000)], HERE, DAY, rounding=LINE)
    assert [(each.tax_rate, each.tax) for each in found] == [(0, 0), (0, 0), (29_000, 377)]
    assert [each.tax_category for each in found] == [EYEWEAR, EYEWEAR, TaxCategory.COATING]
    both = (rate(TaxCategory.FRAME, 10_000), rate(TaxCategory.LENSES, 20_000))
    assert priced(GLASSES, rate(EYEWEAR, 0), *both) == [(10_000, 180), (20_000, 160), (0, 0)]


def test_glasses_without_a_prescription_have_no_parts() -> None:
    """Their coating is taxed as they are."""
    plano = [replace(each, tax_category=NON_RX) for each in GLASSES]
    assert priced(plano, rate(NON_RX, 70_000), rate(TaxCategory.COATING, 29_000))[2] == (70_000, 910)


def test_shipping_as_the_goods_has_the_rate_of_goods_that_are_all_taxed() -> None:
    """9.50 with goods at 7.25 %: 0.69 (0.68875), and nothing of it goes with untaxed goods."""
    lines = [line(LineKind.ACCESSORY, 2_400), line(LineKind.SHIPPING, 950)]
    shipped = taxed(lines, [rate(ACCESSORY, 72_500), GOODS], HERE, DAY, rounding=LINE)[1]
    assert (shipped.tax_rate, shipped.tax, shipped.tax_free, shipped.tax_reason) == (72_500, 69, 0, "")


def test_shipping_as_the_goods_goes_in_part_with_untaxed_goods() -> None:
    """10.00 with 300.00 untaxed and 100.00 at 8 %: 2.50 of it is taxed, 7.50 is not, the tax is 0.20."""
    lines = [line(LineKind.FRAME, 30_000, EYEWEAR), line(LineKind.ACCESSORY, 10_000), line(LineKind.SHIPPING, 1_000)]
    shipped = taxed(lines, [rate(EYEWEAR, 0), rate(ACCESSORY, 80_000), GOODS], HERE, DAY, rounding=LINE)[2]
    assert (shipped.tax_rate, shipped.tax, shipped.tax_free) == (80_000, 20, 750)


def test_shipping_as_goods_of_several_rates_has_what_they_come_to_together() -> None:
    """10.00 with 100.00 at 8 % and 300.00 at 4 %: 8.00 + 12.00 on 400.00 is 5 %, so 0.50."""
    lines = [line(LineKind.ACCESSORY, 10_000), line(LineKind.FRAME, 30_000, NON_RX), line(LineKind.SHIPPING, 1_000)]
    shipped = taxed(lines, [rate(ACCESSORY, 80_000), rate(NON_RX, 40_000), GOODS], HERE, DAY, rounding=LINE)[2]
    assert (shipped.tax_rate, shipped.tax, shipped.tax_free) == (50_000, 50, 0)


def test_shipping_as_the_goods_is_of_their_place() -> None:
    """Where taxed goods have places of several kinds, it is of the place for which shipping was set."""
    lines = [line(LineKind.ACCESSORY, 10_000), line(LineKind.FRAME, 10_000, NON_RX), line(LineKind.SHIPPING, 1_000)]
    rates = [rate(ACCESSORY, 80_000, "Millbrae"), rate(NON_RX, 0), GOODS]
    assert taxed(lines, rates, HERE, DAY, rounding=LINE)[2].tax_place == "Millbrae"
    assert taxed(lines, [*rates, rate(NON_RX, 60_000, "43002")], HERE, DAY, rounding=LINE)[2].tax_place == ""


def test_the_tax_on_shipping_is_rounded_once() -> None:
    """6.95 with 100.00 at 8 % and 33.33 untaxed: 6.95 x 8.00 / 133.33 is 0.41701; 5.21 of it is taxed."""
    lines = [line(LineKind.ACCESSORY, 10_000), line(LineKind.FRAME, 3_333, EYEWEAR), line(LineKind.SHIPPING, 695)]
    shipped = taxed(lines, [rate(ACCESSORY, 80_000), rate(EYEWEAR, 0), GOODS], HERE, DAY, rounding=LINE)[2]
    assert (shipped.tax, shipped.tax_free) == (42, 695 - 521)


def test_shipping_of_nothing_taxable_is_not_taxed_and_says_why() -> None:
    """Whether the goods are at zero, have no rate, or cost nothing at all."""
    for lines, rates in (
        ([line(LineKind.FRAME, 30_000, EYEWEAR)], [rate(EYEWEAR, 0)]),
        ([line(LineKind.FRAME, 30_000, EYEWEAR)], []),
        ([line(LineKind.ACCESSORY, 0)], [rate(ACCESSORY, 80_000)]),
        ([], [rate(ACCESSORY, 80_000)]),
    ):
        shipped = taxed([*lines, line(LineKind.SHIPPING, 950)], [*rates, GOODS], HERE, DAY, rounding=ORDER)[-1]
        assert (shipped.tax_rate, shipped.tax, shipped.tax_free, shipped.tax_reason) == (0, 0, 0, WITHOUT_TAX)


def test_shipping_that_is_added_alone_goes_with_what_stands_on_the_order() -> None:
    """10.00 beside 100.00 at 8 % and 100.00 untaxed: 0.40."""
    beside = (TaxedGoods(10_000, 80_000), TaxedGoods(10_000, 0))
    (shipped,) = taxed([line(LineKind.SHIPPING, 1_000)], [GOODS], HERE, DAY, rounding=LINE, beside=beside)
    assert (shipped.tax, shipped.tax_free) == (40, 500)


def test_an_exempt_order_leaves_shipping_untaxed() -> None:
    """Its reason stands on every line."""
    lines = [line(LineKind.ACCESSORY, 2_400), line(LineKind.SHIPPING, 950)]
    found = taxed(lines, [rate(ACCESSORY, 72_500), GOODS], HERE, DAY, rounding=LINE, exempt="resale")
    assert [(each.tax, each.tax_reason) for each in found] == [(0, "resale")] * 2


def test_a_rate_that_ended_is_pointed_out_and_nothing_is_charged() -> None:
    """The state's rate is not taken in its place; the line knows the place."""
    ended = replace(rate(ACCESSORY, 80_000, "Millbrae"), valid_from=date(2026, 1, 1), valid_to=date(2026, 3, 1))
    lines = [line(LineKind.ACCESSORY, 2_400)]
    rates = [rate(ACCESSORY, 70_000), ended]
    (found,) = taxed(lines, rates, HERE, DAY, rounding=LINE)
    assert (found.tax_rate, found.tax, found.tax_place) == (0, 0, "Millbrae")
    (note,) = without_rate([found], rates, HERE, DAY)
    assert note.code == "TAX-ENDED"
    assert "accessory in Millbrae, OH, 8 %, ended on 2026-03-01" in note.sentence


PLACES = st.sampled_from(["", "Millbrae", "43002", "43009", "Birch"])
NEARER = {"43002": 3, "Millbrae": 2, "": 1}
CATEGORIES = [EYEWEAR, NON_RX, ACCESSORY]


@given(
    st.dictionaries(st.tuples(st.sampled_from(CATEGORIES), PLACES), st.sampled_from([0, 29_000, 72_500, 88_750])),
    st.lists(st.tuples(st.sampled_from(CATEGORIES), st.integers(0, 40_000)), max_size=6),
    st.one_of(st.none(), st.integers(1, 5_000)),
    st.sampled_from(TaxRounding),
)
def test_tax_by_place_is_what_a_plain_calculation_gives(
    rates: dict[tuple[TaxCategory, str], int],
    wanted: list[tuple[TaxCategory, int]],
    shipping: int | None,
    rounding: TaxRounding,
) -> None:
    """In decimals, line by line with the nearest rate, and shipping with the goods; no order's sum is a cent off."""
    lines = [line(LineKind.ACCESSORY, net, category) for category, net in wanted]
    lines += [] if shipping is None else [line(LineKind.SHIPPING, shipping)]
    set_rates = [rate(category, each, place) for (category, place), each in rates.items()]
    found = taxed(lines, [*set_rates, GOODS], HERE, DAY, rounding=rounding)
    exact = []
    for category, net in wanted:
        near = [place for place in NEARER if (category, place) in rates]
        place = max(near, key=lambda name: NEARER[name], default="")
        exact.append((Decimal(net) * rates.get((category, place), 0) / 1_000_000, place))
    goods = Decimal(sum(net for _, net in wanted))
    if shipping is not None:
        places = {place for (tax, place) in exact if tax}
        shared = shipping * sum((tax for tax, _ in exact), Decimal()) / goods if goods else Decimal()
        exact.append((shared, places.pop() if len(places) == 1 else ""))
    assert [each.tax_place for each in found] == [place for _, place in exact]
    if rounding is LINE:
        assert [each.tax for each in found] == [_cents(tax) for tax, _ in exact]
    else:
        assert sum(each.tax for each in found) == _cents(sum((tax for tax, _ in exact), Decimal()))
        assert all(abs(each.tax - tax) < 1 for each, (tax, _) in zip(found, exact, strict=True))


@pytest.mark.parametrize("rounding", TaxRounding)
def test_one_state_without_places_is_taxed_as_before(rounding: TaxRounding) -> None:
    """24.00 and 45.00 at 7.25 % and 9.50 of shipping at 7.25 %: 1.74 + 3.2625 + 0.68875."""
    lines = [line(LineKind.ACCESSORY, 2_400), line(LineKind.ACCESSORY, 4_500), line(LineKind.SHIPPING, 950)]
    found = priced(lines, rate(ACCESSORY, 72_500), rate(TaxCategory.SHIPPING, 72_500), rounding=rounding)
    assert [tax for _, tax in found] == [174, 326, 69]


def _cents(exact: Decimal) -> int:
    return int(exact.quantize(Decimal(1), rounding=ROUND_HALF_UP))
