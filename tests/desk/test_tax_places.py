"""Sales tax by place: frozen on each line, asked before an older rate gives way, and returned by place and rate."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from datetime import date, timedelta
from pathlib import Path
from typing import Final

import openpyxl
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.reports import export_returns, tax_due
from shopledger.desk.books.stocking import Leaving, let_leave
from shopledger.desk.changing_orders import LinesAdded
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.people import change_customer
from shopledger.desk.putting_right import CorrectionTerms, record_correction
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.desk.tax_rates import plan_tax_rates, set_tax_rate, tax_rates
from shopledger.errors import RefusedError
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.tax_returns import ReturnLine, TaxReturn, return_lines
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.shipping import ALL_OF_IT, PackRequest
from shopledger.ledger.stock import StockedKind, StockReason
from shopledger.ledger.taxes import RATE_OVERLAPS, WITHOUT_TAX, TaxRate
from tests.counted import post_sale
from tests.desk.books import notes, on_both
from tests.desk.family import PROGRESSIVE, TWICE, later, ordered
from tests.exports.spreadsheet import assert_worked_out, needs_office, worked_out
from tests.shelf import CASE, CUSTOMER, HOME, OHIO, SHADES

DAY = date(2026, 4, 1)
QUARTER = Period.of_quarter(2026, 2)
MONTHS = tuple(Month(2026, number).days for number in (4, 5, 6))
YES = frozenset({RATE_OVERLAPS})
ACCESSORY, NON_RX, SHIPPING = TaxCategory.ACCESSORY, TaxCategory.NON_PRESCRIPTION, TaxCategory.SHIPPING
TOWN = "Millbrae"
"""Where the invented customer lives, in 43002."""


def set_at(desk: Desk, category: TaxCategory, rate: int, place: str = "", **more: object) -> TaxRate:
    """Set a rate in Ohio from the first day of the quarter."""
    return set_tax_rate(desk, TaxRate("OH", category, rate, DAY, place=place, **more), YES)  # type: ignore[arg-type]


def cases(count: int, **more: object) -> OrderRequest:
    """Ask for so many cases at 12.00, sent free of charge."""
    return OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code, count),), accept=TWICE, **{"shipping": 0, **more})  # type: ignore[arg-type]


def sent(desk: Desk, number: int, month: int, day: int, only: PackRequest = ALL_OF_IT) -> None:
    """Let goods of an order leave on a day of 2026."""
    ship_order(later(desk, date(2026, month, day)), number, "Harrow Post", only=only)


@pytest.fixture
def april(desk: Desk) -> Desk:
    """Sit down on the first day of the quarter."""
    return later(desk, DAY)


@on_both
def test_the_nearest_place_is_frozen_on_the_line(desk: Desk) -> None:
    """The city's rate holds before the state's, the ZIP code's before both; a later change leaves what was priced."""
    april = later(desk, DAY)
    set_at(april, ACCESSORY, 57_500)
    state = record_sale(april, cases(1)).order
    set_at(april, ACCESSORY, 72_500, "MILLBRAE")
    city = record_sale(april, cases(1)).order
    set_at(april, ACCESSORY, 80_000, "43002")
    code = record_sale(april, cases(1)).order
    set_at(april, ACCESSORY, 0, "43002", exempt_reason="changed since")
    orders = (state, city, code)
    assert [(each.lines[0].tax_place, each.lines[0].tax) for each in orders] == [
        ("", 69), ("MILLBRAE", 87), ("43002", 96)
    ]  # fmt: skip
    with april.reading() as work:
        assert [work.orders.get(each.number or 0) for each in orders] == list(orders)


def test_an_owner_with_one_state_sees_no_place(april: Desk) -> None:
    """Rates without a place tax every address of the state, and lines name none."""
    set_at(april, ACCESSORY, 70_000)
    set_at(april, SHIPPING, 0)
    order = record_sale(april, cases(2, shipping=500)).order
    assert [(line.tax_place, line.tax, line.tax_free) for line in order.lines] == [("", 168, 0), ("", 0, 0)]


def test_a_rate_that_ended_is_said_by_the_sale_and_before_closing(april: Desk) -> None:
    """Nothing is charged; once a follower is set, neither says anything."""
    set_at(april, ACCESSORY, 72_500, TOWN, valid_to=date(2026, 4, 30))
    may = later(april, date(2026, 5, 4))
    (note,) = plan_sale(may, cases(1)).findings
    assert (note.code, note.value, note.limit) == ("TAX-ENDED", "accessory", "2026-04-30")
    order = record_sale(may, cases(1)).order
    assert (order.lines[0].tax, order.lines[0].tax_place) == (0, TOWN)
    sent(may, 1, 5, 4)
    assert "OH accessory" in _loose(may)
    (due,) = tax_due(may, MONTHS[1])
    assert due.exempt == (("no rate set", 1_200),)
    assert plan_tax_rates(may, [TaxRate("OH", ACCESSORY, 0, date(2026, 5, 1), place=TOWN)]) == ()
    set_tax_rate(may, TaxRate("OH", ACCESSORY, 0, date(2026, 5, 1), place=TOWN))
    assert "OH accessory" not in _loose(may)


def _loose(desk: Desk) -> tuple[str, ...]:
    with desk.reading() as work:
        return work.closing_checks.loose(Month(2026, 5)).untaxed


@on_both
def test_coatings_are_taxed_where_the_owner_sets_a_rate_for_them(desk: Desk) -> None:
    """129.95 at 2.9 % is 3.77; frame and lenses are taxed as prescription eyewear."""
    april = later(desk, DAY)
    set_at(april, TaxCategory.COATING, 29_000, TOWN)
    order = record_sale(april, ordered(PROGRESSIVE, accept=TWICE | {"RX-EXPIRES-SOON"})).order
    assert [(line.tax_category.value, line.tax_place, line.tax) for line in order.lines if line.pair] == [
        ("prescription eyewear", "", 0),
        ("prescription eyewear", "", 0),
        ("coating", TOWN, 377),
    ]
    ship_order(april, 1, "Harrow Post", without_inspection="a trial")
    (due,) = tax_due(april, QUARTER)
    assert [(place.place, place.taxable) for place in due.places] == [("", 0), (TOWN, 12_995)]


def test_shipping_that_is_added_later_goes_with_all_goods_of_the_order(april: Desk) -> None:
    """24.00 at 8 % stand there, 45.00 at zero come in: of 6.90 shipping 2.40 is taxed, at 0.19 (0.192)."""
    set_at(april, ACCESSORY, 80_000)
    set_at(april, NON_RX, 0)
    set_at(april, SHIPPING, 0, as_goods=True)
    record_sale(april, cases(2))
    terms = CorrectionTerms("forgotten")
    done = record_correction(april, LinesAdded(1, terms, accessories=(AccessoryRequest(SHADES.code),), shipping=690))
    shipping = done.account.order.lines[-1]
    assert (shipping.tax_rate, shipping.tax, shipping.tax_free) == (80_000, 19, 450)


@on_both
def test_a_rate_over_days_of_another_needs_a_yes_that_is_noted(desk: Desk) -> None:
    """Without it nothing is stored; the place keeps the name it was first given."""
    april = later(desk, DAY)
    first = set_at(april, ACCESSORY, 72_500, "St. Alder")
    new = TaxRate("OH", ACCESSORY, 80_000, date(2026, 7, 1), place="ST ALDER")
    with pytest.raises(FindingsRefusedError, match=r"7\.25 % from 2026-04-01 without a last day"):
        set_tax_rate(april, new)
    assert set(tax_rates(april)) == {*OHIO, first}
    stored = set_tax_rate(april, new, YES)
    assert stored == replace(new, place="St. Alder")
    assert set(tax_rates(april)) == {*OHIO, first, stored}
    assert ("tester", "accepted a warning", f"tax rate {RATE_OVERLAPS}") in notes(april)


def test_two_places_never_share_a_zip_code(april: Desk) -> None:
    """It is refused even with a yes, in one go too, and nothing is stored."""
    county = set_at(april, ACCESSORY, 70_000, "Alder County", zips="43001 43002")
    with pytest.raises(RefusedError, match="43002 of Birch County"):
        set_at(april, ACCESSORY, 70_000, "Birch County", zips="43002")
    assert set(tax_rates(april)) == {*OHIO, county}
    assert record_sale(april, cases(1)).order.lines[0].tax_place == "Alder County"


HOMES = (
    HOME,
    replace(HOME, city="Birch", postcode="43077"),
    replace(HOME, city="Fennick", postcode="43001-0001"),
    replace(HOME, city="Orrin", state="PA", postcode="15001"),
)


SOLD: Final = (
    *((1, date(2026, 4, 2)), (2, date(2026, 4, 13)), (2, date(2026, 5, 2)), (3, date(2026, 4, 24))),
    *((3, date(2026, 6, 2)), (4, date(2026, 5, 4)), (6, date(2026, 5, 27)), (6, date(2026, 6, 3))),
    *((7, date(2026, 6, 8)), (7, date(2026, 6, 12))),
)
"""The days on which something of an order counts as sold in the busy quarter, by its number; 5, 8 and 9 never do."""
IN_PARTS: Final = frozenset({2, 6, 7})
"""Orders that leave in two parcels: one piece of goods first."""


def sold_in(period: Period, state: str) -> set[int]:
    """Give the numbers of a state's orders of which something counts as sold in these days; 4 and 8 go to PA."""
    return {number for number, day in SOLD if period.first <= day <= period.last and (number == 4) == (state == "PA")}


def busy(desk: Desk) -> Desk:
    """Let a quarter happen: orders to four places at rates that change, and all that can become of them.

    They leave whole or in two parcels, come back, wait or are cancelled before; one counted on its own day, as all did
    once; some is refunded, and tax handed on.
    """
    april = later(desk, DAY)
    set_at(april, ACCESSORY, 57_500)
    set_at(april, ACCESSORY, 72_500, TOWN)
    set_at(april, NON_RX, 80_000, "43077")
    set_at(april, ACCESSORY, 0, "43077")
    set_at(april, SHIPPING, 0, as_goods=True)
    set_tax_rate(april, TaxRate("OH", ACCESSORY, 61_250, date(2026, 5, 1)), YES)
    set_tax_rate(april, TaxRate("PA", NON_RX, 60_000, DAY))
    for nth in range(9):
        _ordered(later(april, DAY + timedelta(11 * nth)), nth)
    for number, day in SOLD:
        if number not in {3, 4}:
            only = PackRequest((), ((1, 1),)) if number in IN_PARTS and (number, day) == _first(number) else ALL_OF_IT
            sent(april, number, day.month, day.day, only)
    sent(april, 3, 4, 24)
    (parcel,) = order_account(april, 3).parcels
    parcel_back(later(april, date(2026, 5, 11)), parcel.number or 0, "nobody at home")
    send_again(later(april, date(2026, 6, 2)), parcel.number or 0, "Harrow Post")
    give_refund(later(april, date(2026, 5, 20)), 2, RefundRequest(Method.CASH, "scratched", (RefundedLine(2, 433),)))
    cancel_order(later(april, date(2026, 6, 17)), 4, "ordered twice")
    cancel_order(later(april, date(2026, 6, 20)), 5, "changed her mind")
    for given_on, amount in ((18, 101), (19, 50)):
        late = RefundRequest(Method.CASH, "late", (RefundedLine(3, amount),))
        give_refund(later(april, date(2026, 6, given_on)), 6, late)
    last = later(april, date(2026, 6, 30))
    record_move(last, MoneyMove(date(2026, 5, 22), MoveKind.TAX_PAID, CashAccount.BANK, 100, 0, "OH"))
    return last


def _ordered(desk: Desk, nth: int) -> None:
    """Take in an order to the next of the places, with some paid on it; every other one has sunglasses too."""
    change_customer(desk, CUSTOMER, lambda found: replace(found, address=HOMES[nth % 4]))
    goods = (AccessoryRequest(CASE.code, 2 if nth == 6 else 1), *((AccessoryRequest(SHADES.code),) if nth % 2 else ()))
    paid = (PaymentRequest(1_000, Method.CASH),)
    order = record_sale(desk, OrderRequest(CUSTOMER, (), goods, shipping=95 * nth, payments=paid, accept=TWICE)).order
    if order.number == 4:
        with desk.writing() as work:
            post_sale(work, order)


def _first(number: int) -> tuple[int, date]:
    return next(each for each in SOLD if each[0] == number)


def _adds_up(due: TaxReturn) -> None:
    """Add a return up by hand: each total is what came since the last line that begins anew."""
    came = 0
    for line in return_lines(due):
        came = _next(came, line)


def _next(came: int, line: ReturnLine) -> int:
    if line.total:
        assert line.amount == came, line.words
        return came
    return line.amount if line.anew else came + line.amount


@on_both
def test_a_return_adds_up_and_a_quarter_is_the_sum_of_its_months(desk: Desk) -> None:
    """Line by line, and in every figure but two."""
    # Roundings are made up for by the difference beside them; an order that leaves in two months counts in both.
    last = busy(desk)
    whole = {due.state: due for due in tax_due(last, QUARTER)}
    assert set(whole) == {"OH", "PA"}
    months = [tax_due(last, month) for month in MONTHS]
    for due in (*whole.values(), *(each for month in months for each in month)):
        _adds_up(due)
        assert sum(place.gross for place in due.places) == due.gross
        assert due.entered == 0
        assert due.orders == len(sold_in(Period(due.first, due.last), due.state))
    for state, due in whole.items():
        parts = [each for month in months for each in month if each.state == state]
        for name in ("gross", "exempt_total", "taxable", "charged", "taken_back", "taxable_taken_back",
                     "tax_taken_back", "net_tax", "paid"):  # fmt: skip
            assert getattr(due, name) == sum(getattr(part, name) for part in parts), name
        in_two = {"OH": 3, "PA": 0}[state]
        assert due.orders == sum(part.orders for part in parts) - in_two
        assert due.by_rates + due.difference == sum(part.by_rates + part.difference for part in parts)
        assert abs(due.difference) <= 3
        assert [parts[0].owed_before, parts[-1].owed_at_end] == [due.owed_before, due.owed_at_end]


@on_both
def test_sales_by_place_and_rate_are_what_the_orders_that_left_come_to(desk: Desk) -> None:
    """Gross, taxable and tax of each place, added up from their lines one by one, however many parcels there were."""
    last = busy(desk)
    with last.reading() as work:
        orders = [work.orders.get(number) for number in sorted({number for number, _ in SOLD})]
    assert any(line.tax_free for order in orders for line in order.lines)
    for due in tax_due(last, QUARTER):
        lines = [line for order in orders if order.ship_to.state == due.state for line in order.lines]
        assert due.orders == sum(order.ship_to.state == due.state for order in orders)
        assert {place.place for place in due.places} == {line.tax_place for line in lines}
        for place in due.places:
            own = [line for line in lines if line.tax_place == place.place]
            assert place.gross == sum(line.net for line in own)
            assert {each.rate for each in place.rates} == {line.tax_rate for line in own if line.tax_rate}
            for each in place.rates:
                taxed = [line for line in own if line.tax_rate == each.rate]
                assert each.taxable == sum(line.net - line.tax_free for line in taxed)
                assert each.charged == sum(line.tax for line in taxed)
        free = sum(line.tax_free for line in lines)
        wholly = sum(line.net for line in lines if line.tax_reason == WITHOUT_TAX)
        assert dict(due.exempt).get(WITHOUT_TAX, 0) == free + wholly


def mixed(april: Desk) -> None:
    """Let 12.00 at 8 %, 45.00 at zero and 10.00 shipping taxed as they are leave on the first day: 2.11 is taxed."""
    set_at(april, ACCESSORY, 80_000)
    set_at(april, NON_RX, 0)
    set_at(april, SHIPPING, 0, as_goods=True)
    goods = (AccessoryRequest(CASE.code), AccessoryRequest(SHADES.code))
    paid = (PaymentRequest(6_000, Method.CASH),)
    record_sale(april, OrderRequest(CUSTOMER, (), goods, shipping=1_000, payments=paid))
    sent(april, 1, 4, 1)


def shipping_given_back(desk: Desk, month: int, amount: int) -> None:
    """Give shipping back on the fourth of a month."""
    asked = RefundRequest(Method.CASH, "late", (RefundedLine(3, amount),))
    give_refund(later(desk, date(2026, month, 4)), 1, asked)


def test_a_refund_of_shipping_taxed_in_part_gives_back_its_share(april: Desk) -> None:
    """Of 10.00 beside 12.00 at 8 % and 45.00 at zero, 2.11 is taxed; of 5.00 given back, 1.06 (3.945 go untaxed)."""
    mixed(april)
    shipping_given_back(april, 4, 500)
    (due,) = tax_due(april, QUARTER)
    assert (due.gross, due.taxable, due.charged) == (6_700, 1_200 + 211, 96 + 17)
    assert due.exempt == (("rate of 0", 4_500), (WITHOUT_TAX, 789))
    assert (due.taken_back, due.taxable_taken_back) == (500, 106)


@on_both
def test_shipping_given_back_piece_by_piece_gives_back_just_what_was_taxed(desk: Desk) -> None:
    """Of 10.00 with 2.11 taxed, 5.00 go back in April and 5.00 in May: 1.06 and 1.05, not 1.06 twice."""
    mixed(later(desk, DAY))
    for month in (4, 5):
        shipping_given_back(desk, month, 500)
    months = [due.taxable_taken_back for month in MONTHS for due in tax_due(desk, month)]
    assert months == [106, 105]
    (due,) = tax_due(desk, QUARTER)
    assert (due.taken_back, due.taxable_taken_back) == (1_000, 211)


@on_both
def test_shipping_of_a_parcel_that_left_twice_is_untaxed_by_its_share_once(desk: Desk) -> None:
    """Sold in April, back in May after 3.00 were given back, and sold for 7.00 in June: 5.52 untaxed (5.523)."""
    mixed(later(desk, DAY))
    shipping_given_back(desk, 4, 300)
    parcel_back(later(desk, date(2026, 5, 6)), 1, "nobody at home")
    send_again(later(desk, date(2026, 6, 8)), 1, "Harrow Post")
    untaxed = [dict(due.exempt).get(WITHOUT_TAX) for month in MONTHS for due in tax_due(desk, month)]
    assert untaxed == [789, -789, 552]
    (due,) = tax_due(desk, QUARTER)
    assert (due.gross, due.taxable, due.taken_back) == (5_700 + 700, 1_200 + 148, 0)
    assert (dict(due.exempt)[WITHOUT_TAX], due.taxable_taken_back, due.orders) == (552, 0, 1)


@pytest.mark.slow
@settings(max_examples=12, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(first=st.integers(0, 90), length=st.integers(0, 60))
def test_any_days_are_the_days_one_by_one(past_quarter: Desk, first: int, length: int) -> None:
    """Whatever days are asked for, their amounts are those of each day added up; an order counts once in them."""
    days = [DAY + timedelta(first + at) for at in range(length + 1)]
    whole = {due.state: due for due in tax_due(past_quarter, Period(days[0], days[-1]))}
    single = [due for day in days for due in tax_due(past_quarter, Period(day, day))]
    for name in ("gross", "taxable", "charged", "taken_back", "taxable_taken_back", "tax_taken_back", "paid"):
        assert _sums(whole.values(), name) == _sums(single, name), name
    for due in (*whole.values(), *single):
        assert due.orders == len(sold_in(Period(due.first, due.last), due.state))


def _sums(dues: Iterable[TaxReturn], name: str) -> dict[str, int]:
    found: dict[str, int] = {}
    for due in dues:
        found[due.state] = found.get(due.state, 0) + getattr(due, name)
    return {state: amount for state, amount in found.items() if amount}


@pytest.fixture
def past_quarter(desk: Desk) -> Desk:
    """Give the desk after a quarter in which much happened."""
    return busy(desk)


@on_both
def test_goods_taken_home_are_said_and_nothing_is_worked_out_without_a_rate(desk: Desk) -> None:
    """Two cases at a cost of 4.00 home and one given away, in the shop's own state alone."""
    april = later(desk, DAY)
    _leave(april, 2, StockReason.OWN_USE)
    _leave(april, 1, StockReason.GIVEN)
    _leave(april, 1, StockReason.WRITTEN_OFF)
    (due,) = tax_due(april, QUARTER)
    assert (due.state, due.gross, due.orders) == ("OH", 0, 0)
    assert [(each.what, each.cost, each.tax) for each in due.used] == [
        ("given away as gifts or samples", 400, None), ("taken home", 800, None)
    ]  # fmt: skip
    assert due.use_tax is None
    assert "Use tax may be owed" in due.use_sentence
    assert [each.state for each in tax_due(april, QUARTER, "PA") if each.used] == []


def test_use_tax_is_worked_out_at_the_owner_s_rate_and_not_posted(april: Desk) -> None:
    """8.00 at 7 % is 0.56; what was taken home before the rate's first day is said without one."""
    set_tax_rate(april, TaxRate("OH", TaxCategory.USE, 70_000, date(2026, 4, 10), place="43001"))
    _leave(april, 1, StockReason.OWN_USE)
    _leave(later(april, date(2026, 4, 12)), 2, StockReason.OWN_USE)
    (due,) = tax_due(later(april, date(2026, 4, 12)), QUARTER)
    assert [(each.cost, each.rate, each.tax) for each in due.used] == [(400, None, None), (800, 70_000, 56)]
    assert (due.use_tax, due.net_tax, due.owed_at_end) == (56, 0, 0)
    assert "on some of these days" in due.use_sentence
    (rest,) = tax_due(later(april, date(2026, 4, 12)), Period(date(2026, 4, 10), QUARTER.last))
    assert "stands in no account" in rest.use_sentence


def _leave(desk: Desk, count: int, reason: StockReason) -> None:
    let_leave(desk, Leaving(StockedKind.ACCESSORY, CASE.code, count, reason, "for this test"))


def test_each_state_s_return_is_a_workbook_that_adds_up(desk: Desk, tmp_path: Path) -> None:
    """Its lines are those of the return, its totals formulas with what they come to; CSV files hold the same."""
    last = busy(desk)
    written = export_returns(last, QUARTER, tmp_path, as_csv=True)
    names = [[file.name for file in files] for _, files in written]
    assert names[0] == [
        f"tax-return-OH-2026-Q2{ending}"
        for ending in (".xlsx", "-return.csv", "-places-and-rates.csv", "-not-taxed.csv")
    ]
    for due, files in written:
        book = openpyxl.load_workbook(files[0], data_only=True)
        found = {row[0]: row[1] for row in book["Return"].iter_rows(min_row=2, max_col=2, values_only=True)}
        for line in return_lines(due):
            assert round(float(str(found[line.words])) * 100) == line.amount
        assert found["orders"] == due.orders
        totals = list(book["Places and rates"].iter_rows(values_only=True))[-1]
        assert [round(float(str(each)) * 100) for each in totals[2:]] == [
            *(due.taxable, due.by_rates, due.difference, due.charged, due.taxable_taken_back, due.tax_taken_back)
        ]
        lines = files[1].read_text(encoding="utf-8-sig").splitlines()
        assert lines[0] == "What,Amount"
        assert f"taxable sales,{due.taxable / 100:.2f}" in lines
    assert ("tester", "exported a period", "period 2026-Q2") in notes(last)


@needs_office
def test_a_spreadsheet_works_out_what_is_written(desk: Desk, tmp_path: Path) -> None:
    """Each total of a return and of its places is what the program says, formula by formula."""
    files = [each[0] for _, each in export_returns(busy(desk), QUARTER, tmp_path)]
    for file, book in zip(files, worked_out(files, tmp_path / "worked"), strict=True):
        assert_worked_out(file, book)


def test_a_state_without_anything_has_a_file_of_zeros_where_it_is_named(april: Desk, tmp_path: Path) -> None:
    """Some states ask for a return of nothing."""
    ((due, files),) = export_returns(april, QUARTER, tmp_path, "pa")
    assert (due.state, due.gross, files[0].name) == ("PA", 0, "tax-return-PA-2026-Q2.xlsx")
    assert export_returns(april, QUARTER, tmp_path) == ()
