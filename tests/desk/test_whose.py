"""What belongs to whom: goods beside the glasses, and the customer's own receipt."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.claims import unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.erasing import ErasureRequest, erase, held_on, plan_erasure
from shopledger.desk.issuing import issue_all_open
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import give_refund, ship_order, take_payment
from shopledger.desk.papers import print_of_order, print_statement, print_worksheet
from shopledger.desk.receipt_lookups import overtaken_of, receipt_numbered, receipts
from shopledger.desk.receipts import ForWhomError, issue_receipt, print_receipt, receivers, replace_receipt
from shopledger.desk.sales import WhoseError, plan_sale, record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import (
    NOBODY,
    AccessoryRequest,
    DemoLenses,
    FrameRequest,
    Method,
    OrderRequest,
    PaymentRequest,
)
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from tests.desk.books import everything, on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, later, ordered
from tests.shelf import CASE, CHILD, CUSTOMER, SHADES, WREN

GOODS = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(CASE.code), AccessoryRequest(SHADES.code)))
FRAME = FrameRequest(WREN.code, DemoLenses.MARKED)


def owners(desk: Desk, request: OrderRequest) -> list[int | None]:
    """Give whose each line is that belongs to no pair, as an order would be recorded; shipping left out."""
    lines = plan_sale(desk, replace(request, shipping=0)).order.lines
    return [line.wearer_number for line in lines if line.pair is None]


@pytest.fixture
def bought(desk: Desk) -> Desk:
    """Sell a case and sunglasses to nobody in particular, paid by card."""
    record_sale(desk, GOODS)
    take_payment(desk, 1, PaymentRequest(order_account(desk, 1).balance, Method.CARD, "4242"))
    return desk


@pytest.mark.parametrize("said", ["", NOBODY, "Nobody", CHILD])
def test_goods_are_the_only_wearer_s_unless_told_otherwise(desk: Desk, said: str) -> None:
    """Customer 1 has wearers 1 and 2; the glasses are wearer 1's, and so are the goods of which nothing is said."""
    wanted = {"": 1, CHILD: 2}.get(said)
    request = ordered(DISTANCE, accessories=(AccessoryRequest(CASE.code, wearer=said),))
    assert owners(desk, request) == [wanted]
    assert owners(desk, replace(request, accessories=(), frames=(replace(FRAME, wearer=said),))) == [wanted]


def test_goods_of_several_wearers_must_say_whose_they_are(desk: Desk) -> None:
    """Nothing is guessed and nothing stored: the refusal names the wearers, what is to be said, and the other way."""
    request = ordered(DISTANCE, CHILDS, accessories=(AccessoryRequest(CASE.code),))
    before = everything(desk)
    with pytest.raises(WhoseError) as caught:
        record_sale(desk, request)
    assert everything(desk) == before
    assert str(caught.value) == (
        f"the order is for {CUSTOMER} and {CHILD}, and whose CASE is was not said. Name the wearer: beside it in an "
        f"order file, as in wearer = \"{CUSTOMER}\", and with '--wearer' where lines are added. "
        "Say nobody for what is the customer's."
    )
    named = AccessoryRequest(CASE.code, wearer=CHILD)
    assert owners(desk, replace(request, accessories=(named, replace(named, wearer=NOBODY)))) == [2, None]
    with pytest.raises(WhoseError, match="whose SHADES is"):
        plan_sale(desk, ordered(DISTANCE, accessories=(named, AccessoryRequest(SHADES.code))))


def test_goods_of_an_order_without_a_wearer_are_the_customer_s(desk: Desk) -> None:
    """Unless one of them is somebody's: then the others are too."""
    assert owners(desk, GOODS) == [None, None]
    assert owners(desk, replace(GOODS, accessories=(*GOODS.accessories, AccessoryRequest(CASE.code, 1, CHILD)))) == [
        2, 2, 2,
    ]  # fmt: skip


@on_both
def test_the_customer_gets_a_receipt_of_what_is_nobody_s(bought: Desk, tmp_path: Path) -> None:
    """Issued without naming anybody, printed again, replaced after a refund; the books and papers hold throughout."""
    first = issue_receipt(bought, 1, "", tmp_path)
    assert (first.receipt.wearer_number, first.receipt.content.wearer) == (None, "")
    assert [line.description for line in first.receipt.content.lines] == [CASE.name, SHADES.name]
    assert first.receipt.content.shared_note == ""
    assert "these goods are the customer's" in words_in(first.file)
    assert receipts(bought, 1) == (receipt_numbered(bought, 1),)
    april = later(bought, date(2026, 4, 2))
    give_refund(april, 1, RefundRequest(Method.CARD, "came back", (RefundedLine(1),)))
    assert overtaken_of(april, receipts(april)) == {1}
    new = replace_receipt(april, 1, "The case came back", tmp_path)
    assert (new.receipt.wearer_number, new.receipt.content.replaces_because) == (None, "The case came back")
    assert "Takes the place of receipt 1: The case came back" in words_in(new.file)
    assert overtaken_of(april, receipts(april)) == frozenset()
    assert unclaimed(april) == ()
    assert issue_all_open(april, tmp_path).printed == ()
    with pytest.raises(RefusedError, match=r"receipt.*issued as number 2"):
        issue_receipt(april, 1, NOBODY, tmp_path)
    assert prove_books(april).failed == ()


def test_a_receipt_is_for_the_only_wearer_or_names_one(desk: Desk, tmp_path: Path) -> None:
    """An order for two asks which; one for nobody's goods alone has no wearer's receipt."""
    goods = (AccessoryRequest(CASE.code, wearer=NOBODY),)
    record_sale(desk, ordered(DISTANCE, CHILDS, accessories=goods))
    record_sale(desk, ordered(DISTANCE, accessories=goods))
    assert receivers(desk, 1) == (CUSTOMER, CHILD, NOBODY)
    with pytest.raises(ForWhomError, match=f"for {CUSTOMER} and {CHILD}.*'--wearer nobody'"):
        issue_receipt(desk, 1, "", tmp_path, not_paid_in_full=True)
    assert issue_receipt(desk, 2, "", tmp_path, not_paid_in_full=True).receipt.wearer_number == 1
    rest = issue_receipt(desk, 2, NOBODY, tmp_path, not_paid_in_full=True).receipt
    assert (rest.wearer_number, [line.description for line in rest.content.lines]) == (None, [CASE.name])
    record_sale(desk, ordered(CHILDS))
    with pytest.raises(RefusedError, match="nothing on order 3 is for nobody in particular"):
        issue_receipt(desk, 3, NOBODY, tmp_path, not_paid_in_full=True)


NOBODY_S = "nobody in particular."


@pytest.mark.parametrize(
    ("pairs", "whose", "shipping", "said"),
    [
        ((DISTANCE,), "", 650, ""),
        ((DISTANCE,), NOBODY, 0, f"This order also holds goods for {NOBODY_S}"),
        ((DISTANCE, CHILDS), NOBODY, 0, f"This order also holds goods for one other person and {NOBODY_S}"),
        (
            (DISTANCE, CHILDS),
            CHILD,
            650,
            "This order also holds goods for one other person. Shipping is shared in proportion to charges.",
        ),
    ],
)
def test_a_receipt_says_for_whom_else_the_order_is(
    desk: Desk, tmp_path: Path, pairs: tuple[object, ...], whose: str, shipping: int, said: str
) -> None:
    """A sole wearer's never speaks of another person; what is shared is told where there is any."""
    goods = (AccessoryRequest(CASE.code, wearer=whose),)
    record_sale(desk, ordered(*pairs, accessories=goods, shipping=shipping))  # type: ignore[arg-type]
    content = issue_receipt(desk, 1, CUSTOMER, tmp_path, not_paid_in_full=True).receipt.content
    assert content.shared_note == said


def test_the_customer_s_receipt_says_for_whom_the_rest_is(desk: Desk, tmp_path: Path) -> None:
    """Two people have glasses on it, and the payment is shared with them."""
    goods = (AccessoryRequest(CASE.code, wearer=NOBODY),)
    paid = (PaymentRequest(10_000, Method.CASH),)
    record_sale(desk, ordered(DISTANCE, CHILDS, accessories=goods, shipping=0, payments=paid))
    content = issue_receipt(desk, 1, NOBODY, tmp_path, not_paid_in_full=True).receipt.content
    assert content.shared_note == (
        "This order also holds goods for 2 people. Payments are shared in proportion to what was still owed."
    )
    assert [payment.whole for payment in content.payments] == [10_000]
    assert content.payments[0].shared


def test_a_statement_and_a_worksheet_are_for_a_wearer(bought: Desk, tmp_path: Path) -> None:
    """The customer's receipt names no patient: both are refused, and it is said how goods get a wearer."""
    issue_receipt(bought, 1, "", tmp_path)
    before = everything(bought)
    for prepare in (print_statement, print_worksheet):
        with pytest.raises(RefusedError, match=r"is for no wearer.*--goods-for"):
            prepare(bought, 1, tmp_path)
    assert everything(bought)["receipt"] == before["receipt"]


@on_both
def test_a_refund_of_nobody_s_goods_overtakes_the_customer_s_receipt_alone(desk: Desk, tmp_path: Path) -> None:
    """The wearer's receipt holds, and the closing of the month names the other one."""
    record_sale(desk, ordered(DISTANCE, accessories=(AccessoryRequest(CASE.code, wearer=NOBODY),), shipping=0))
    account = order_account(desk, 1)
    take_payment(desk, 1, PaymentRequest(account.balance, Method.CASH))
    for wearer in (CUSTOMER, NOBODY):
        issue_receipt(desk, 1, wearer, tmp_path)
    given = give_refund(desk, 1, RefundRequest(Method.CASH, "came back", (RefundedLine(len(account.order.lines)),)))
    assert given.touched_receipts == (2,)
    with desk.reading() as work:
        assert work.closing_checks.loose(Month(2026, 3)).overtaken_receipts == (2,)
    assert not any(claim.overtaken for claim in unclaimed(desk))
    copies = [print_receipt(desk, number, tmp_path) for number in (1, 2)]
    assert [copy.overtaken for copy in copies] == [False, True]
    assert "OVERTAKEN" not in words_in(copies[0].file)
    assert "OVERTAKEN: THE ORDER HAS CHANGED SINCE RECEIPT 2" in words_in(copies[1].file)
    assert copies[1].file.name == "receipt-00002-copy-overtaken.pdf"


@on_both
def test_an_erased_customer_is_on_no_receipt_of_the_customer_s(bought: Desk, tmp_path: Path) -> None:
    """It is held on the customer and on no wearer; its tombstone names nobody, and the proof knows it."""
    issue_receipt(bought, 1, "", tmp_path)
    ship_order(bought, 1, "post")
    there = later(bought, date(2040, 3, 2))
    assert "receipt" in {table.name for table in held_on(there, CUSTOMER).tables}
    assert "receipt" not in {table.name for table in held_on(there, CUSTOMER, CHILD).tables}
    asked = ErasureRequest(CUSTOMER, "a letter of hers")
    codes = frozenset(finding.code for finding in plan_erasure(there, asked).findings)
    erase(there, replace(asked, accept=codes))
    content = receipt_numbered(there, 1).content
    assert (content.wearer, content.customer.startswith("erased"), content.customer_lines) == ("", True, ())
    assert CUSTOMER not in json.dumps(content.canonical())
    assert not [each for each in prove_books(there).failed if each.code == "RECEIPTS"]


def test_a_packing_slip_lists_frames_without_lenses(desk: Desk, tmp_path: Path) -> None:
    """Under their wearer, with what became of their demo lenses."""
    record_sale(desk, ordered(DISTANCE, frames=(FRAME,)))
    said = words_in(print_of_order(desk, "packing", 1, tmp_path))
    assert "without lenses The lenses in it are for demonstration alone: do not wear them." in said
    assert "Other goods" not in said
