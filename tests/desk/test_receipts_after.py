"""Receipts after an order was put right: what changed is marked, what is gone is named, every sum is the order's."""

from __future__ import annotations

from pathlib import Path

import pytest

from shopledger.desk.changing_orders import LinesTakenOut, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.exchanging import Exchange
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import give_refund, ship_order, take_payment
from shopledger.desk.papers import print_statement, print_worksheet
from shopledger.desk.payment_corrections import write_rest_off
from shopledger.desk.putting_right import record_correction
from shopledger.desk.receipt_lookups import overtaken_of, receipts
from shopledger.desk.receipts import NotPaidError, issue_receipt, replace_receipt
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.payment_corrections import WriteOff
from shopledger.ledger.receipt import ISSUED_ANEW, PAID_SINCE, ReceiptContent
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.optics.sides import Side
from tests.desk.books import on_both, words_in
from tests.desk.family import PROGRESSIVE, ordered
from tests.desk.righted import CHILDS_FRAME, TWO_CASES, WHY, pay_all, sell_two_pairs
from tests.shelf import CASE, CHILD, CUSTOMER, LARK, SHADES, WREN


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell the customer's pair at 180.00 and the child's at 120.00, with two cases of the child's at 24.00."""
    return sell_two_pairs(desk)


COATING = 3
"""Line of the coating of a progressive pair, after frame and lenses."""


def changed(content: ReceiptContent) -> list[str]:
    """Name the lines that are marked as changed."""
    return [line.description for line in content.lines if line.changed]


@on_both
def test_what_was_taken_out_is_no_longer_on_the_receipt(sold: Desk, tmp_path: Path) -> None:
    """As if it had never been sold: it is in no sum, and the receipt in the place of the other names it."""
    issue_receipt(sold, 1, CHILD, tmp_path, not_paid_in_full=True)
    record_correction(sold, LinesTakenOut(1, WHY, {TWO_CASES: None}))
    assert overtaken_of(sold, receipts(sold)) == {1}
    pay_all(sold)
    new = replace_receipt(sold, 1, "The cases were not wanted", tmp_path)
    content = new.receipt.content
    assert content.no_longer == (f"{CASE.name} (quantity 2)",)
    assert changed(content) == []
    assert (content.given_back, content.balance) == (0, 0)
    assert content.stands == content.total == content.paid == LARK.price + content.shipping
    assert f"No longer on it: {CASE.name} (quantity 2)" in words_in(new.file)


@on_both
def test_a_part_given_back_marks_its_own_lines_alone(sold: Desk, tmp_path: Path) -> None:
    """10.00 of the frame: nothing is spread over lenses and cases, on the receipt and on the papers made of it."""
    pay_all(sold)
    issue_receipt(sold, 1, CHILD, tmp_path)
    give_refund(sold, 1, RefundRequest(Method.CARD, "a scratch", (RefundedLine(CHILDS_FRAME, 1000),)))
    with pytest.raises(RefusedError, match="'shopledger receipt replace 1'"):
        print_worksheet(sold, 1, tmp_path)
    content = replace_receipt(sold, 1, "a scratch", tmp_path).receipt.content
    assert changed(content) == [LARK.description]
    assert [(line.charge, line.given_back, line.kept) for line in content.lines if line.given_back] == [
        (12000, 1000, 11000)
    ]
    assert "110.00" in words_in(print_statement(sold, 2, tmp_path))
    assert "V2020 open 110 00" in words_in(print_worksheet(sold, 2, tmp_path))


def test_one_lens_gives_back_what_is_its_own(desk: Desk, tmp_path: Path) -> None:
    """A coating of 129.95 is 64.98 and 64.97: the right one goes back whole, the left keeps its charge to the cent."""
    record_sale(desk, ordered(PROGRESSIVE, shipping=0))
    pay_rest(desk)
    given = give_refund(desk, 1, RefundRequest(Method.CARD, "a flaw", (RefundedLine(COATING, side=Side.RIGHT),)))
    assert given.refund.amount == 6498
    content = issue_receipt(desk, 1, CUSTOMER, tmp_path).receipt.content
    assert [(line.modifier, line.charge, line.kept) for line in content.lines if line.code == "V2750"] == [
        ("RT", 6498, 0),
        ("LT", 6497, 6497),
    ]


@on_both
def test_an_exchange_stands_on_the_receipt_with_both_frames(sold: Desk, tmp_path: Path) -> None:
    """The first is given back whole, the other is charged: what stands is the other's price."""
    pay_all(sold)
    ship_order(sold, 1, "post", without_inspection="seen")
    issue_receipt(sold, 1, CHILD, tmp_path)
    record_correction(sold, Exchange(1, TWO_CASES, SHADES.code, WHY))
    pay_rest(sold)
    new = replace_receipt(sold, 1, "Shades in the place of the cases", tmp_path).receipt.content
    goods = {line.description: (line.charge, line.kept) for line in new.lines if not line.code}
    assert goods == {f"{CASE.name} (quantity 2)": (2400, 0), f"{SHADES.name} (quantity 2)": (9000, 9000)}
    assert new.no_longer == ()
    assert (new.stands - new.paid + new.refunded, new.balance) == (0, 0)


def pay_rest(desk: Desk) -> None:
    """Pay what is owed now, if anything is."""
    if owed := order_account(desk, 1).balance:
        take_payment(desk, 1, PaymentRequest(owed, Method.CARD, "4242"))


def test_a_receipt_that_is_not_paid_says_why_it_took_another_s_place(sold: Desk, tmp_path: Path) -> None:
    """It never says that it was paid since before it was; once it is, it does."""
    issue_receipt(sold, 1, CHILD, tmp_path, not_paid_in_full=True)
    again = issue_receipt(sold, 1, CHILD, tmp_path, not_paid_in_full=True).receipt.content
    assert again.replaces_because == ISSUED_ANEW
    pay_all(sold)
    assert issue_receipt(sold, 1, CHILD, tmp_path).receipt.content.replaces_because == PAID_SINCE
    record_correction_is_pointed_to(sold, tmp_path)


def record_correction_is_pointed_to(desk: Desk, folder: Path) -> None:
    """A receipt that the order overtook is replaced by its own command."""
    give_refund(desk, 1, RefundRequest(Method.CARD, "a scratch", (RefundedLine(CHILDS_FRAME, 1000),)))
    with pytest.raises(RefusedError, match="The order has changed since: 'shopledger receipt replace 3'"):
        issue_receipt(desk, 1, CHILD, folder)


def test_a_reduction_is_on_its_line_and_in_no_refund(sold: Desk, tmp_path: Path) -> None:
    """Less is owed and no money moved: the line keeps less, and what is paid afterwards pays all that stands."""
    record_correction(sold, Reduction(1, {CHILDS_FRAME: 2000}, WHY))
    pay_all(sold)
    content = issue_receipt(sold, 1, CHILD, tmp_path).receipt.content
    assert (content.refunds, content.given_back, content.paid_in_full) == ((), 2000, True)
    assert content.stands == content.paid


def test_a_wrong_wearer_leaves_a_receipt_of_nothing(sold: Desk, tmp_path: Path) -> None:
    """All of the child's is taken out: the receipt is replaced by one that says so, and no other is made."""
    issue_receipt(sold, 1, CHILD, tmp_path, not_paid_in_full=True)
    record_correction(sold, LinesTakenOut(1, WHY, {TWO_CASES: None}, (2,)))
    with pytest.raises(RefusedError, match="nothing on order 1 is for that person"):
        issue_receipt(sold, 1, CHILD, tmp_path)
    new = replace_receipt(sold, 1, "Never wanted", tmp_path)
    assert (new.receipt.content.lines, new.receipt.content.stands) == ((), 0)
    assert "NOTHING IS CHARGED" in words_in(new.file)
    assert "PAID IN FULL" not in words_in(new.file)
    assert issue_receipt(sold, 1, "", tmp_path, not_paid_in_full=True).receipt.content.wearer == CUSTOMER
    assert issue_receipt(sold, 1, "", tmp_path, not_paid_in_full=True).receipt.content.shared_note == ""


def test_what_was_written_off_is_no_receipt_of_a_paid_order(sold: Desk, tmp_path: Path) -> None:
    """It is printed only as what it is, and never handed in."""
    take_payment(sold, 1, PaymentRequest(10000, Method.CASH))
    write_rest_off(sold, WriteOff(1, "moved away"))
    with pytest.raises(NotPaidError, match="was written off"):
        issue_receipt(sold, 1, CHILD, tmp_path)
    said = words_in(issue_receipt(sold, 1, CHILD, tmp_path, not_paid_in_full=True).file)
    assert "is owed no longer" in said
    assert WREN.description not in said
