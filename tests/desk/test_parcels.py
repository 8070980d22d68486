"""Parcels: an order that leaves in several, one that comes back and goes again, and where an order goes."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.bench_jobs import job_card
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import export_period, export_year
from shopledger.desk.claims import unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.jobs import open_jobs
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.papers import print_of_order
from shopledger.desk.parcels import parcel_back, parcel_card, parcels, send_again, send_order_to
from shopledger.desk.people import add_supplier
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.books.bill_requests import BillRequest, JobBilled
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import NOBODY, AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.shipping import PackRequest, goods_here, pairs_here, served_on
from shopledger.ledger.stages import Stage
from shopledger.ledger.stock import StockedKind
from tests.desk.books import assert_sheets_meet_accounts, everything, on_both, postings, words_in
from tests.desk.family import CHILDS, DISTANCE, inspected, later
from tests.shelf import CASE, CHILD, CUSTOMER, HOME, LARK, WREN

pytestmark = pytest.mark.slow

FIRST, SECOND, THIRD = date(2026, 3, 9), date(2026, 3, 12), date(2026, 3, 20)
ASKED = OrderRequest(
    CUSTOMER,
    (DISTANCE, CHILDS),
    (AccessoryRequest(CASE.code, 3, NOBODY),),
    shipping=650,
    payments=(PaymentRequest(10_000, Method.CARD, "4242"),),
)
CASES = 5
"""The line of the cases: frame and lenses of both pairs come before it."""


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell a pair for each of two wearers and three cases; both jobs are billed and pass."""
    record_sale(desk, ASKED)
    add_supplier(desk, Supplier("Thistledown"))
    record_bill(desk, BillRequest("Thistledown", jobs=(JobBilled(1, 2_500), JobBilled(2, 3_100))))
    inspected(desk)
    return desk


def sent_in_part(desk: Desk) -> None:
    """Send the first job and two cases."""
    ship_order(later(desk, FIRST), 1, "post", "A-1", only=PackRequest((1,), ((CASES, 2),)))


def standing(desk: Desk, account: Account) -> int:
    """Give what an account comes to."""
    return sum(amount for _, title, amount in postings(desk) if title == account.title)


def proven(desk: Desk) -> bool:
    """Tell whether the books prove themselves; what differs is shown by the assertion."""
    return [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []


@on_both
def test_cost_follows_what_left(sold: Desk) -> None:
    """Goods and lenses of the first parcel, then those of the second; what is here stays reserved and in work."""
    sent_in_part(sold)
    account = order_account(sold, 1)
    assert [pair.job_number for pair in pairs_here(account)] == [2]
    assert [(each.position, each.count) for each in goods_here(account)] == [(3, 1), (CASES, 1)]
    goods = WREN.cost + 2 * CASE.cost
    assert (standing(sold, Account.COST_OF_GOODS), standing(sold, Account.LENSES)) == (goods, 2_500)
    assert standing(sold, Account.WORK_IN_PROGRESS) == 3_100
    with sold.reading() as work:
        assert work.stock.level(StockedKind.ACCESSORY, CASE.code).reserved == 1
        assert [costs.job_number for costs in work.job_costs.in_work()] == [2]
        assert [each.job_number for each in work.bills.jobs_without_bill(Month(2026, 3))] == []
    assert proven(sold)
    ship_order(later(sold, SECOND), 1, "post")
    assert standing(sold, Account.COST_OF_GOODS) == WREN.cost + LARK.cost + 3 * CASE.cost
    assert (standing(sold, Account.LENSES), standing(sold, Account.WORK_IN_PROGRESS)) == (5_600, 0)
    assert proven(sold)


@on_both
def test_the_date_of_service_is_the_day_on_which_the_last_of_a_wearer_s_goods_left(sold: Desk, tmp_path: Path) -> None:
    """One wearer's receipt has it while the other's is open; what is for nobody waits for its last case."""
    sent_in_part(sold)
    account = order_account(sold, 1)
    assert (served_on(account, (1,)), served_on(account, (2,)), served_on(account, (None,))) == (FIRST, None, None)
    assert served_on(account) is None
    there = later(sold, FIRST)
    adult = issue_receipt(there, 1, CUSTOMER, tmp_path, not_paid_in_full=True).receipt.content
    child = issue_receipt(there, 1, CHILD, tmp_path, not_paid_in_full=True).receipt.content
    assert (adult.dispensed_on, child.dispensed_on) == ("2026-03-09", "")
    ship_order(later(sold, SECOND), 1, "post")
    account = order_account(sold, 1)
    assert [served_on(account, (who,)) for who in (1, 2, None)] == [FIRST, SECOND, SECOND]
    assert served_on(account) == SECOND


@on_both
def test_what_is_open_to_claim_counts_from_each_wearer_s_last_parcel(sold: Desk) -> None:
    """Whether the order left whole or in parts, and not from a parcel that came back."""
    take_payment(sold, 1, PaymentRequest(order_account(sold, 1).balance, Method.CASH))
    other = record_sale(sold, OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code, 1, CUSTOMER),))).order
    take_payment(sold, 2, PaymentRequest(other.total, Method.CASH))
    sent_in_part(sold)
    ship_order(later(sold, FIRST), 2, "post")
    there = later(sold, THIRD)
    assert served(there) == {(1, CUSTOMER): FIRST, (1, CHILD): None, (2, CUSTOMER): FIRST}
    ship_order(later(sold, SECOND), 1, "post")
    parcel_back(there, 2, "moved away")
    assert served(there) == {(1, CUSTOMER): FIRST, (1, CHILD): SECOND, (2, CUSTOMER): None}


def served(desk: Desk) -> dict[tuple[int, str], date | None]:
    """Give the day of service of what is open to claim, by order and wearer."""
    return {(each.order_number, each.wearer): each.served_on for each in unclaimed(desk)}


@on_both
def test_a_parcel_that_comes_back_takes_its_cost_back_until_it_leaves_again(sold: Desk, tmp_path: Path) -> None:
    """Goods lie on the shelf for their order, lenses are in work; sent again it costs what it did."""
    there = later(sold, FIRST)
    ship_order(there, 1, "post")
    cost = standing(sold, Account.COST_OF_GOODS)
    parcel_back(later(sold, SECOND), 1, "moved away")
    assert standing(sold, Account.COST_OF_GOODS) == standing(sold, Account.LENSES) == 0
    assert standing(sold, Account.WORK_IN_PROGRESS) == 5_600
    with sold.reading() as work:
        assert work.stock.level(StockedKind.ACCESSORY, CASE.code).reserved == 3
        assert work.stock.level(StockedKind.FRAME, WREN.code).reserved == 1
    assert proven(sold)
    assert {row.standing.stage for row in open_jobs(later(sold, SECOND))} == {Stage.CAME_BACK}
    assert job_card(later(sold, SECOND), 1).row.standing.command == "shopledger parcel send-again 1"
    card = send_again(later(sold, THIRD), 1, "courier", "B-2")
    assert (card.parcel.number, card.parcel.again_of) == (2, 1)
    assert parcel_card(sold, 1).sent_again == 2
    assert (standing(sold, Account.COST_OF_GOODS), standing(sold, Account.LENSES)) == (cost, 5_600)
    assert served_on(order_account(sold, 1)) == THIRD
    assert [parcel.number for parcel in parcels(sold)] == [parcel.number for parcel in parcels(sold, 1)] == [2, 1]
    assert proven(sold)
    may = later(sold, date(2026, 5, 2))
    assert_sheets_meet_accounts(may, Month(2026, 3).days)
    export_period(may, Month(2026, 3).days, tmp_path)
    export_year(may, Period.of_year(2026), tmp_path)


@on_both
def test_only_what_the_customer_still_has_comes_back_in_a_parcel(sold: Desk) -> None:
    """Of three cases one was given back by itself: two come back, and all cost is taken back."""
    ship_order(later(sold, FIRST), 1, "post")
    give_refund(later(sold, FIRST), 1, RefundRequest(Method.CARD, "one too many", (RefundedLine(CASES, 300, 1),)))
    parcel_back(later(sold, SECOND), 1, "moved away")
    assert standing(sold, Account.COST_OF_GOODS) == 0
    account = order_account(sold, 1)
    assert [(each.position, each.count) for each in goods_here(account)] == [(1, 1), (3, 1), (CASES, 2)]
    assert proven(sold)
    send_again(later(sold, THIRD), 1, "post")
    assert [item.quantity for item in order_account(sold, 1).parcels[-1].items if item.line == CASES] == [2]
    assert proven(sold)


@on_both
def test_what_is_given_back_is_taken_from_what_never_left_first(sold: Desk) -> None:
    """One case is here and two are away: the first is set free, the second comes back into stock."""
    sent_in_part(sold)
    there = later(sold, SECOND)
    with sold.reading() as work:
        before = work.stock.level(StockedKind.ACCESSORY, CASE.code)
    give_refund(there, 1, RefundRequest(Method.CARD, "too many", (RefundedLine(CASES, 300, 1),)))
    with sold.reading() as work:
        after = work.stock.level(StockedKind.ACCESSORY, CASE.code)
    assert (after.reserved, after.on_hand) == (before.reserved - 1, before.on_hand)
    give_refund(there, 1, RefundRequest(Method.CARD, "too many", (RefundedLine(CASES, 300, 1),)))
    with sold.reading() as work:
        assert work.stock.level(StockedKind.ACCESSORY, CASE.code).on_hand == before.on_hand + 1
    assert proven(sold)
    assert [each.position for each in goods_here(order_account(sold, 1))] == [3]


@pytest.mark.parametrize(
    ("only", "words"),
    [
        (PackRequest((1,)), r"job is 1; it left on 2026-03-09 in parcel 1"),
        (PackRequest((7,)), r"job is 7; the jobs of order 1 are: 1, 2\. Name one of them"),
        (PackRequest((2, 2)), r"job is 2; it is named twice"),
        (PackRequest((), ((1, None),)), r"line is 1, .*; only accessories and frames sold without lenses"),
        (PackRequest((), ((9, None),)), r"line is 9; order 1 has lines 1 to 6"),
        (PackRequest((), ((CASES, 2),)), r"goods is 2 of line 5, Hard case; 1 are here"),
        (PackRequest((), ((CASES, 0),)), r"goods is 0 of line 5, Hard case; 1 are here"),
    ],
)
def test_only_what_is_here_can_be_packed(sold: Desk, only: PackRequest, words: str) -> None:
    """What was named, what is allowed, what to do; nothing is stored."""
    sent_in_part(sold)
    before = everything(sold)
    with pytest.raises(ShopledgerError, match=words):
        ship_order(later(sold, SECOND), 1, "post", only=only)
    assert everything(sold) == before


def test_nothing_is_done_to_a_parcel_out_of_its_turn(sold: Desk) -> None:
    """It comes back once, after it left, and is sent again once it came back and as long as something of it is here."""
    sent_in_part(sold)
    there = later(sold, SECOND)
    refused: list[tuple[Callable[[], object], str]] = [
        (lambda: send_again(there, 1, "post"), r"parcel is 1; it did not come back"),
        (lambda: parcel_back(there, 9, "lost"), "there is no parcel 9"),
        (lambda: parcel_back(there, 1, " "), "reason"),
        (lambda: parcel_back(there, 1, "moved", date(2026, 3, 8)), "the parcel left on 2026-03-09"),
        (lambda: cancel_order(there, 1, "why"), "it was shipped on 2026-03-09, and only an unshipped order"),
        (lambda: print_of_order(there, "packing", 1, Path(), parcel=7), r"parcel is 7; the parcels of order 1 are: 1"),
    ]
    before = everything(sold)
    for deed, words in refused:
        with pytest.raises(ShopledgerError, match=words):
            deed()
    assert everything(sold) == before
    parcel_back(there, 1, "moved")
    with pytest.raises(ShopledgerError, match=r"it came back on 2026-03-12\. Send it again"):
        parcel_back(there, 1, "moved")
    with pytest.raises(ShopledgerError, match="only an unshipped order can be cancelled"):
        cancel_order(there, 1, "why")
    ship_order(there, 1, "post")
    with pytest.raises(ShopledgerError, match="nothing of it is here"):
        send_again(there, 1, "post")


@on_both
def test_where_an_order_goes_can_be_corrected_until_it_left(sold: Desk, tmp_path: Path) -> None:
    """The parcel that left keeps its address; another state is asked about, since its tax was worked out."""
    sent_in_part(sold)
    there = later(sold, SECOND)
    moved = replace(HOME, street="9 New Street")
    account = send_order_to(there, 1, moved, "she moved")
    assert (account.ship_to, account.order.ship_to, account.parcels[0].ship_to) == (moved, HOME, HOME)
    assert "9 New Street" in words_in(print_of_order(there, "packing", 1, tmp_path))
    assert HOME.street in words_in(print_of_order(there, "packing", 1, tmp_path, parcel=1))
    assert "9 New Street" in words_in(print_of_order(there, "confirmation", 1, tmp_path))
    with pytest.raises(ShopledgerError, match="the order goes there already"):
        send_order_to(there, 1, moved)
    north = replace(HOME, state="VT", postcode="05641")
    with pytest.raises(FindingsRefusedError, match=r"sold to OH .* --accept OTHER-STATE"):
        send_order_to(there, 1, north)
    assert send_order_to(there, 1, north, accept=frozenset({"OTHER-STATE"})).ship_to == north
    ship_order(there, 1, "post")
    assert order_account(sold, 1).parcels[-1].ship_to == north
    with pytest.raises(ShopledgerError, match="all of it has left"):
        send_order_to(there, 1, HOME)
    assert proven(sold)


def test_a_slip_says_what_lies_in_its_parcel_and_what_came_before_or_follows(sold: Desk, tmp_path: Path) -> None:
    """And says the same years later, whatever left or came back since."""
    sent_in_part(sold)
    there = later(sold, SECOND)
    first = print_of_order(there, "packing", 1, tmp_path, parcel=1)
    text, bytes_then = words_in(first), first.read_bytes()
    assert "Still to follow in another parcel: job 2; 1 × Hard case." in text
    assert LARK.description not in text
    ship_order(there, 1, "post")
    second = words_in(print_of_order(there, "packing", 1, tmp_path))
    assert "Sent on Mar 9, 2026 in another parcel: job 1; 2 × Hard case." in second
    assert "Still to follow" not in second
    parcel_back(later(sold, THIRD), 2, "moved")
    assert print_of_order(later(sold, THIRD), "packing", 1, tmp_path, parcel=1).read_bytes() == bytes_then


def test_a_job_that_left_uninspected_may_leave_again_as_it_did(sold: Desk) -> None:
    """The reason is kept once; one that is given where none is needed is refused."""
    with sold.writing() as work:
        order = work.orders.get(1)
    assert order.number == 1
    record_sale(sold, OrderRequest(CUSTOMER, (DISTANCE,)))
    there = later(sold, FIRST)
    ship_order(there, 2, "post", without_inspection="she leaves today")
    parcel_back(there, 1, "moved")
    with pytest.raises(ShopledgerError, match="nothing on this order lacks an inspection"):
        send_again(there, 1, "post", without_inspection="again")
    assert send_again(there, 1, "post").parcel.number == 2
