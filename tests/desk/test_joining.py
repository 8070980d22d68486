"""Customers who are one: both numbers stay, each finds what is under either, nothing is moved, and it can be undone."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.deposits import DepositRequest, deposits, pay_from_deposit, take_deposit
from shopledger.desk.context import Desk
from shopledger.desk.erasing import ErasureRequest, erase, erasures, held_on
from shopledger.desk.goods import add_frame
from shopledger.desk.known_people import customer_card, find_customers
from shopledger.desk.order_lookups import newest_orders, order_account
from shopledger.desk.orders import cancel_order
from shopledger.desk.papers import print_of_order, print_year
from shopledger.desk.people import (
    NewCustomerRequest,
    add_customer,
    become_customer,
    change_customer,
    join_customers,
    part_customers,
)
from shopledger.desk.prescribing import record_prescription
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.reordering import wearer_pairs
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.erasing import AskedBy
from shopledger.ledger.joins import CUSTOMERS_UNLIKE
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.parties import Address, Relationship
from shopledger.ledger.retention import KeptStillError
from shopledger.ledger.twice import CUSTOMER_TWICE, ORDER_TWICE
from tests.desk.books import on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, FAMILY_ORDER, later, prescription
from tests.rows import rows
from tests.shelf import CASE, CHILD, CUSTOMER, HOME, WREN

pytestmark = pytest.mark.slow

WHY = "recorded twice"
ELSEWHERE = Address("9 Quay Street", "Duluth", "MN", "55802")
CASES = OrderRequest("2", accessories=(AccessoryRequest(CASE.code),), shipping=0)


@pytest.fixture
def twice(desk: Desk) -> Desk:
    """Record the customer a second time, with a prescription, a frame of her own, an order and a deposit."""
    add_customer(desk, CUSTOMER, HOME, "555-0142", accept=frozenset({CUSTOMER_TWICE}))
    asked = prescription("3", "-2.50 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00", desk.today)
    record_prescription(desk, replace(asked, customer="2"))
    add_frame(desk, replace(WREN, code="HERS", price=0, cost=0, number=None), owner="2")
    record_sale(desk, replace(FAMILY_ORDER, customer="1"))
    record_sale(desk, replace(CASES, payments=(PaymentRequest(500, Method.CASH),)))
    take_deposit(desk, DepositRequest("2", 3000, Method.CASH))
    return desk


@on_both
def test_both_numbers_find_what_is_under_either(twice: Desk, tmp_path: Path) -> None:
    """The customer, orders, wearers, deposits and the year are the same by 1, by 2 and by name, and nothing moved."""
    before = rows_of(twice)
    join_customers(twice, "2", "1", WHY)
    assert rows_of(twice) == before
    for named in ("1", "2", CUSTOMER):
        card = customer_card(twice, named)
        assert (card.customer.number, [each.number for each in card.joined]) == (1, [2])
        assert [(wearer.number, written is not None) for wearer, written in card.wearers] == [
            (1, True), (2, True), (3, True),
        ]  # fmt: skip
        assert [account.order.number for account, _ in newest_orders(twice, named)] == [2, 1]
        assert [each.account.deposit.number for each in deposits(twice, named)] == [1]
        assert [each.number for each in find_customers(twice, named)] == [1]
    assert print_year(twice, "2", 2026, tmp_path).name == print_year(twice, "1", 2026, tmp_path).name
    assert "405.00" in words_in(print_year(twice, "2", 2026, tmp_path))
    assert print_of_order(twice, "packing", 2, tmp_path).is_file()


def rows_of(desk: Desk) -> list[object]:
    """Give all that was posted or stands of people, as it lies there."""
    tables = ("customer", "wearer", "shop_order", "order_line", "prescription", "deposit", "payment", "frame")
    with desk.reading() as work:
        return [rows(work, table) for table in tables]


@on_both
def test_what_is_new_goes_to_the_one_who_leads(twice: Desk) -> None:
    """A new order takes prescription, frame and deposit of the other number; one alike is asked about."""
    join_customers(twice, "2", "1", WHY)
    found = plan_sale(twice, replace(CASES, customer="1")).findings
    assert [each.code for each in found if each.code == ORDER_TWICE] == [ORDER_TWICE]
    pair = replace(DISTANCE, wearer="3", frame="HERS")
    order = record_sale(twice, OrderRequest("2", (pair,), shipping=0)).order
    assert (order.customer_number, order.pairs[0].wearer_number, order.pairs[0].frame_code) == (1, 3, "HERS")
    pay_from_deposit(twice, order.number or 0, 1, 3000)
    assert order_account(twice, order.number or 0).paid == 3000
    changed = change_customer(twice, "2", lambda customer: replace(customer, phone="555-0177"))
    assert (changed.number, changed.phone) == (1, "555-0177")


def test_a_mistaken_join_is_undone(twice: Desk) -> None:
    """Each has its own again; once an order of the one is for a wearer of the other, it is too late, and said so."""
    join_customers(twice, "2", "1", WHY)
    assert part_customers(twice, "2", "two after all").number == 2
    assert [account.order.number for account, _ in newest_orders(twice, "2")] == [2]
    assert customer_card(twice, "1").joined == ()
    join_customers(twice, "2", "1", "one after all")
    record_sale(twice, OrderRequest("1", (replace(DISTANCE, wearer="3", frame="HERS"),), shipping=0))
    with pytest.raises(RefusedError, match="order 3 is for a wearer of the one and paid by the other"):
        part_customers(twice, "2", "two after all")
    with pytest.raises(RefusedError, match="it is joined to nobody"):
        part_customers(twice, "1", "two after all")


def test_three_are_one_by_way_of_the_second(desk: Desk) -> None:
    """Who was joined to one who was joined since leads on to the last; parting the middle takes its own along."""
    yes = frozenset({CUSTOMERS_UNLIKE})
    for name in ("Bram Pike", "B. Pike"):
        add_customer(desk, name, ELSEWHERE)
    join_customers(desk, "3", "2", WHY, yes)
    join_customers(desk, "2", "1", WHY, yes)
    card = customer_card(desk, "3")
    assert (card.customer.number, [each.number for each in card.joined]) == (1, [2, 3])
    part_customers(desk, "2", "two after all")
    assert customer_card(desk, "3").customer.number == 2
    assert customer_card(desk, "1").joined == ()


@pytest.mark.parametrize(
    ("who", "into", "says"),
    [
        ("1", "1", "it is the same customer, or leads that one"),
        ("1", "2", "it is the same customer, or leads that one"),
        ("2", "1", r"it was joined to customer 1 already.*customer part 2"),
    ],
)
def test_a_join_that_cannot_be_is_refused(twice: Desk, who: str, into: str, says: str) -> None:
    """With oneself, with whom one leads, and twice: what was given, what is allowed, what to do; nothing stored."""
    join_customers(twice, "2", "1", WHY)
    with pytest.raises(RefusedError, match=says):
        join_customers(twice, who, into, WHY)
    with twice.reading() as work:
        assert len(rows(work, "customer_join")) == 1


def test_strangers_are_asked_about_and_no_name_is_kept(desk: Desk) -> None:
    """Two who have nothing in common need a yes; the reason stays when they are erased, so it names nobody."""
    add_customer(desk, "Bram Pike", ELSEWHERE)
    with pytest.raises(FindingsRefusedError, match=r"have neither phone.*CUSTOMERS-UNLIKE"):
        join_customers(desk, "2", "1", WHY)
    with pytest.raises(RefusedError, match="it names the person"):
        join_customers(desk, "2", "1", "Bram Pike took her name", frozenset({CUSTOMERS_UNLIKE}))
    assert join_customers(desk, "2", "1", WHY, frozenset({CUSTOMERS_UNLIKE})).customer.number == 1


@on_both
def test_what_is_held_and_erased_is_that_of_both_numbers(twice: Desk) -> None:
    """Asked by either number: all rows of both are held, one's money keeps the other, and both are erased at once."""
    one, other = held_on(twice, "1"), held_on(twice, "2")
    join_customers(twice, "2", "1", WHY)
    both = held_on(twice, "2")
    assert both.records >= one.records + other.records - 1
    assert {row["number"] for table in both.tables if table.name == "customer" for row in table.rows} == {1, 2}
    assert any("deposit 1" in each.sentence for each in both.retention.against(date(2050, 1, 1)))


def test_both_numbers_are_erased_at_once(desk: Desk) -> None:
    """Once nothing keeps either, name and address of both are gone, and neither number is dealt with any more."""
    add_customer(desk, CUSTOMER, HOME, accept=frozenset({CUSTOMER_TWICE}))
    record_sale(desk, CASES)
    cancel_order(desk, 1, "changed her mind")
    join_customers(desk, "2", "1", WHY)
    there = later(desk, date(2036, 5, 2))
    yes = frozenset({"ERASED-FOR-GOOD", "NOT-YET-BY-CLOCK"})
    erase(there, ErasureRequest("2", "asked by letter", AskedBy.PERSON, accept=yes))
    assert [each.customer_number for each, _ in erasures(there)] == [1, 2]
    with there.reading() as work:
        assert {row.name for row in rows(work, "customer")} == {"erased 2036-05-02"}
        assert {row.name for row in rows(work, "wearer")} == {"erased 2036-05-02"}


@pytest.fixture
def grown(desk: Desk) -> Desk:
    """Let the child, with a frame of its own, be on the family's order and become a customer."""
    add_frame(desk, replace(WREN, code="KIDS", price=0, cost=0, number=None), owner=CUSTOMER)
    add_frame(desk, replace(WREN, code="HERS", price=0, cost=0, number=None), owner=CUSTOMER)
    record_sale(desk, FAMILY_ORDER)
    record_sale(
        desk, OrderRequest(CUSTOMER, (replace(CHILDS, frame="KIDS"), replace(DISTANCE, frame="HERS")), shipping=0)
    )
    return desk


@on_both
def test_a_wearer_becomes_a_customer_with_prescriptions_and_frames(grown: Desk, tmp_path: Path) -> None:
    """The frame that only the child wears goes along, new orders use it and the old prescription; old orders stay."""
    asked = NewCustomerRequest(CUSTOMER, CHILD, lambda home: replace(home, city="Marfa"), "555-0160")
    card, frames = become_customer(grown, asked)
    assert (card.customer.number, card.customer.name, card.customer.address.city, frames) == (
        2,
        CHILD,
        "Marfa",
        ("KIDS",),
    )
    ((wearer, written),) = card.wearers
    assert (wearer.number, wearer.relationship, wearer.birth_date) == (2, Relationship.SELF, date(2015, 5, 9))
    assert written is not None
    there = later(grown, date(2026, 3, 20))
    order = record_sale(there, OrderRequest("2", (replace(CHILDS, frame="KIDS"),), shipping=0)).order
    assert (order.customer_number, order.pairs[0].wearer_number, order.pairs[0].prescription_number) == (
        2,
        2,
        written.number,
    )
    with pytest.raises(RefusedError, match="it belongs to another customer"):
        plan_sale(there, OrderRequest(CUSTOMER, (replace(DISTANCE, frame="KIDS"),), shipping=0))
    assert [account.order.number for account, _ in newest_orders(there, "1")] == [2, 1]
    for paper in ("packing", "confirmation"):
        assert CHILD in words_in(print_of_order(there, paper, 1, tmp_path))
    assert CHILD in words_in(print_year(there, "1", 2026, tmp_path))
    assert issue_receipt(there, 1, CHILD, tmp_path, not_paid_in_full=True).receipt.wearer_number == 2
    assert {each.frame.code for each in wearer_pairs(there, "2", CHILD)} == {"KIDS", CHILDS.frame}


def test_a_wearer_who_is_the_customer_or_known_is_asked_about(grown: Desk) -> None:
    """The customer is one already; a wearer with the phone of a customer needs a yes, and nothing is stored before."""
    with pytest.raises(RefusedError, match="that is customer 1 already"):
        become_customer(grown, NewCustomerRequest("1", CUSTOMER))
    same = NewCustomerRequest("1", CHILD, phone="555-0142")
    with pytest.raises(FindingsRefusedError, match=r"Customer 1.*has the same phone"):
        become_customer(grown, same)
    with grown.reading() as work:
        assert (len(rows(work, "customer")), len(rows(work, "wearer_move"))) == (1, 0)
    assert become_customer(grown, same, frozenset({CUSTOMER_TWICE}))[0].customer.number == 2


@on_both
def test_who_became_a_customer_is_erased_on_the_old_orders_too(grown: Desk) -> None:
    """All of the wearer is held under the new number, kept as long as the old orders, and blanked there as well."""
    for number in (1, 2):
        cancel_order(grown, number, "changed her mind")
    become_customer(grown, NewCustomerRequest(CUSTOMER, CHILD))
    held = {table.name for table in held_on(grown, "2").tables}
    assert {"customer", "wearer", "prescription", "order_pair", "order_line"} <= held
    yes = frozenset({"ERASED-FOR-GOOD", "NOT-YET-BY-CLOCK"})
    asked = ErasureRequest("2", "asked by letter", AskedBy.PERSON, accept=yes)
    with pytest.raises(KeptStillError):
        erase(later(grown, date(2030, 5, 2)), asked)
    there = later(grown, date(2036, 5, 2))
    erase(there, asked)
    assert [(each.customer_number, each.wearer_number) for each, _ in erasures(there)] == [(2, None), (2, 2)]
    with there.reading() as work:
        assert {row.pd_given for row in rows(work, "order_pair") if row.wearer_number == 2} == {None}
        assert {row.name for row in rows(work, "customer")} == {CUSTOMER, "erased 2036-05-02"}
        assert {row.pd_given for row in rows(work, "order_pair") if row.wearer_number == 1} != {None}
