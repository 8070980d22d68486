"""Money given back at the desk, orders taken back, and the receipts that follow."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.claims import unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.order_lookups import newest_orders, order_account, order_card
from shopledger.desk.orders import cancel_order, give_refund, planned_refund, ship_order, take_payment
from shopledger.desk.receipt_lookups import receipt_numbered
from shopledger.desk.receipts import NotPaidError, issue_receipt, print_receipt, replace_receipt
from shopledger.desk.sales import record_sale
from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.books.journal import Account
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stock import StockedKind
from tests.desk.books import everything, on_both, postings, words_in
from tests.desk.family import DISTANCE, FAMILY_ORDER, inspected, later, ordered
from tests.desk.test_sales import TOTAL
from tests.desk.test_shares import orders, paid_in_part, parts_paid
from tests.documents import named
from tests.shelf import CASE, CHILD, CUSTOMER, LARK, SHADES, WREN

CHILDS_FRAME, SUNGLASSES = 8, 11
"""Lines of the family's order: 120.00 without tax, and 45.00 with 3.26 tax."""
BACK = RefundRequest(
    Method.CARD, "too small", (RefundedLine(CHILDS_FRAME, 5000, returned=1), RefundedLine(SUNGLASSES)), "4242"
)


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Record, pay and ship the family's order, and come back a month later."""
    record_sale(desk, FAMILY_ORDER)
    shipping_day = later(desk, date(2026, 3, 9))
    take_payment(shipping_day, 1, PaymentRequest(TOTAL - 40000, Method.CHECK, "1187"))
    inspected(shipping_day)
    ship_order(shipping_day, 1, "post")
    return later(desk, date(2026, 4, 9))


def on_shelf(desk: Desk, code: str) -> int:
    """Give how many frames of that code are on hand."""
    with desk.reading() as work:
        return work.stock.level(StockedKind.FRAME, code).on_hand


def free(desk: Desk, code: str) -> int:
    """Give how many frames of that code may be sold."""
    with desk.reading() as work:
        return work.stock.level(StockedKind.FRAME, code).free


def balances(desk: Desk) -> dict[str, int]:
    """Give what each account comes to."""
    sums: dict[str, int] = {}
    for _, account, amount in postings(desk):
        sums[account] = sums.get(account, 0) + amount
    return sums


@on_both
def test_a_refund_is_posted_with_its_tax_and_puts_goods_back(paid: Desk, tmp_path: Path) -> None:
    """50.00 of the frame, and the sunglasses whole with their tax: 98.26, told to the receipt that it touches."""
    for wearer in (CUSTOMER, CHILD):
        issue_receipt(paid, 1, wearer, tmp_path)
    shelf = on_shelf(paid, LARK.code)
    given_back = give_refund(paid, 1, BACK)
    assert [(part.net, part.tax) for part in given_back.refund.parts] == [(5000, 0), (4500, 326)]
    assert given_back.touched_receipts == (2,)
    assert postings(paid)[-5:] == [
        ("movement 11", "inventory", 4100),
        ("movement 11", "cost of goods sold", -4100),
        ("refund 1", "returns and allowances", 9500),
        ("refund 1", "sales tax payable", 326),
        ("refund 1", "card clearing", -9826),
    ]
    assert on_shelf(paid, LARK.code) == shelf + 1
    account = given_back.account
    assert (account.paid, account.refunded, account.balance) == (TOTAL, 9826, 0)
    assert account == order_account(paid, 1)
    assert prove_books(paid).failed == ()


@on_both
def test_a_refused_refund_stores_nothing(paid: Desk) -> None:
    """Too much, an unknown line, a day to come, a day before the payment: the ledger stays as it was."""
    before = everything(paid)
    for wrong in (
        replace(BACK, lines=(RefundedLine(CHILDS_FRAME, 12001),)),
        replace(BACK, lines=(RefundedLine(99),)),
        replace(BACK, day=date(2026, 4, 10)),
        replace(BACK, day=date(2026, 3, 8)),
        replace(BACK, reason=" "),
    ):
        with pytest.raises(LedgerError):
            give_refund(paid, 1, wrong)
    assert everything(paid) == before


def test_a_planned_refund_is_worked_out_and_not_stored(paid: Desk) -> None:
    """The same amounts as would be stored."""
    before = everything(paid)
    assert planned_refund(paid, 1, BACK).amount == 9826
    assert everything(paid) == before


@on_both
def test_a_refund_leads_to_a_new_receipt_and_the_old_one_says_so(paid: Desk, tmp_path: Path) -> None:
    """A new number, the refund on it with its reason, and on the old one what took its place; replaced once."""
    old = issue_receipt(paid, 1, CHILD, tmp_path)
    give_refund(paid, 1, BACK)
    with pytest.raises(RefusedError, match="'shopledger receipt replace 1'"):
        issue_receipt(paid, 1, CHILD, tmp_path)
    assert unclaimed(paid)[1].overtaken
    new = replace_receipt(paid, 1, "a refund", tmp_path)
    content = new.receipt.content
    assert (new.receipt.number, content.replaces) == (2, 1)
    assert [(each.day, each.method, each.amount, each.reason) for each in content.refunds] == [
        ("2026-04-09", "card", 9826, "too small")
    ]
    assert (content.total, content.paid, content.balance) == (16927, 16927, 0)
    said = words_in(new.file)
    assert "98.26" in said
    assert "too small" in said
    stored = receipt_numbered(paid, 1)
    assert (stored.replaced_by, stored.replaced_because) == (2, "a refund")
    assert stored.canonical == old.receipt.canonical
    assert "replaced" in words_in(print_receipt(paid, 1, tmp_path).file).casefold()
    with pytest.raises(RefusedError, match="receipt 2 took its place"):
        replace_receipt(paid, 1, "again", tmp_path)
    assert not next(claim for claim in unclaimed(paid) if claim.wearer == CHILD).overtaken


def test_a_replacement_needs_a_reason_and_a_paid_order(desk: Desk, tmp_path: Path) -> None:
    """Without a reason nothing happens, and what is owed is not passed over."""
    record_sale(desk, FAMILY_ORDER)
    issue_receipt(desk, 1, CHILD, tmp_path, not_paid_in_full=True)
    before = everything(desk)
    with pytest.raises(RefusedError, match="reason"):
        replace_receipt(desk, 1, "  ", tmp_path)
    with pytest.raises(NotPaidError):
        replace_receipt(desk, 1, "a new address", tmp_path)
    assert everything(desk) == before
    assert replace_receipt(desk, 1, "a new address", tmp_path, not_paid_in_full=True).receipt.number == 2


@on_both
def test_cancelling_reverses_every_entry_and_fills_the_shelf(desk: Desk, tmp_path: Path) -> None:
    """Each entry has its opposite that points at it, so every account is as before; the goods may be sold again."""
    # Nothing had left, so the two payments are all that was posted.
    shelf = on_shelf(desk, WREN.code)
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(10000, Method.CHECK, "1187"),)))
    take_payment(desk, 1, PaymentRequest(8000, Method.CASH))
    issue_receipt(desk, 1, CUSTOMER, tmp_path)
    assert (on_shelf(desk, WREN.code), free(desk, WREN.code)) == (shelf, shelf - 1)
    done = cancel_order(desk, 1, "ordered twice")
    assert [payment.amount for payment in done.repaid] == [10000, 8000]
    assert done.touched_receipts == (1,)
    assert set(balances(desk).values()) == {0}
    assert (on_shelf(desk, WREN.code), free(desk, WREN.code)) == (shelf, shelf)
    with desk.reading() as work:
        reversing = work.journal.of_documents([named("cancellation of order 1")])
    assert [entry.reverses for _, entry in reversing] == [5, 6]
    assert (done.account.balance, done.account.refunded) == (0, 18000)
    verdict = prove_books(desk)
    assert (verdict.failed, verdict.entries) == ((), 4 + 4)


@on_both
def test_a_cancelled_order_takes_nothing_more(desk: Desk, tmp_path: Path) -> None:
    """No payment, shipment, receipt, refund or second cancellation; each says since when."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    issue_receipt(desk, 1, CUSTOMER, tmp_path)
    cancel_order(desk, 1, "ordered twice")
    before = everything(desk)
    for deed in (
        lambda: take_payment(desk, 1, PaymentRequest(1, Method.CASH)),
        lambda: ship_order(desk, 1, "post"),
        lambda: issue_receipt(desk, 1, CUSTOMER, tmp_path),
        lambda: replace_receipt(desk, 1, "why not", tmp_path),
        lambda: print_receipt(desk, 1, tmp_path),
        lambda: give_refund(desk, 1, RefundRequest(Method.CASH, "again")),
        lambda: cancel_order(desk, 1, "again"),
    ):
        with pytest.raises(RefusedError, match="cancelled on 2026-03-02"):
            deed()
    assert everything(desk) == before
    ((account, _),) = newest_orders(desk)
    assert account.cancellation is not None
    assert account.cancellation.reason == "ordered twice"
    assert unclaimed(desk) == ()


@pytest.mark.parametrize(("refunded", "said"), [(False, "it was shipped on"), (True, "something was given back")])
def test_only_an_unshipped_order_without_refunds_is_cancelled(desk: Desk, refunded: bool, said: str) -> None:
    """What has left comes back by refunds, and so does the rest of what was given back in part."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    if refunded:
        give_refund(desk, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(1, 500),)))
    else:
        inspected(desk)
        ship_order(desk, 1, "post")
    before = everything(desk)
    with pytest.raises(RefusedError, match=said):
        cancel_order(desk, 1, "too late")
    assert everything(desk) == before


def test_a_cancellation_before_the_last_payment_is_refused(desk: Desk) -> None:
    """Nothing is paid back before it was paid."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    with pytest.raises(RefusedError, match="recorded, paid or put right on 2026-03-02"):
        cancel_order(desk, 1, "ordered twice", date(2026, 3, 1))


def test_the_card_of_an_order_says_who_recorded_it_and_when(desk: Desk) -> None:
    """Whoever chose a code on it did so then."""
    record_sale(desk, ordered(DISTANCE))
    account, _ = order_card(desk, 1)
    assert account.entered is not None
    assert (account.entered.operator, account.entered.at) == ("tester", "2026-03-02T10:30:00+00:00")


back_in_part = st.lists(st.tuples(st.integers(1, 12), st.integers(1, 100)), max_size=4)
"""Which lines are given back, and how many hundredths of what is left of each."""


@pytest.mark.slow
@settings(max_examples=10, suppress_health_check=[HealthCheck.function_scoped_fixture, HealthCheck.too_slow])
@given(request_=orders, hundredths=parts_paid, back=back_in_part)
def test_receipts_after_refunds_add_up_to_the_ledger(
    desk: Desk, tmp_path: Path, request_: OrderRequest, hundredths: list[int], back: list[tuple[int, int]]
) -> None:
    """Charges, payments and refunds over all receipts and what is nobody's equal the books; a re-print is the same."""
    fill_shelves(desk)
    before = balances(desk)
    number = number_of(record_sale(desk, request_).order)
    ship_order(desk, number, "post", without_inspection="a trial")
    account = paid_in_part(desk, number, hundredths)
    given_in_part(desk, number, back)
    account = order_account(desk, number)
    rest = [part for part in parts_of(account) if part.wearer_number is None]
    contents = []
    for wearer in [part.wearer_number for part in parts_of(account) if part.wearer_number is not None]:
        first = issue_receipt(desk, number, str(wearer), tmp_path, not_paid_in_full=True)
        copies = [print_receipt(desk, first.receipt.number, tmp_path).file.read_bytes() for _ in range(2)]
        assert copies[0] == copies[1]
        contents.append(first.receipt.content)
    for content in contents:
        assert all(line.charge >= 0 for line in content.lines)
        assert 0 <= content.refunded <= content.paid <= content.total
    nets = [sum(line.charge for line in content.lines) + content.shipping for content in contents]
    assert sum(nets) + sum(part.charges_total + part.shipping for part in rest) == account.order.net_total
    paid = sum(content.paid for content in contents) + sum(part.paid for part in rest)
    back_again = sum(content.refunded for content in contents) + sum(part.refunded for part in rest)
    after = {name: amount - before.get(name, 0) for name, amount in balances(desk).items()}
    assert paid == account.paid
    assert back_again == account.refunded
    assert after.get(Account.CARD_CLEARING.title, 0) == paid - back_again
    assert after[Account.RECEIVABLE.title] == account.order.total - paid
    returned = after.get(Account.RETURNS.title, 0)
    tax = account.order.tax_total + after.get(Account.SALES_TAX_PAYABLE.title, 0)
    assert returned + tax == back_again


def given_in_part(desk: Desk, number: int, back: list[tuple[int, int]]) -> None:
    """Give back hundredths of lines, one after another, as far as it is allowed."""
    for place, part in back:
        account = order_account(desk, number)
        line = (place - 1) % len(account.order.lines) + 1
        net = account.order.lines[line - 1].net * part // 100
        try:
            give_refund(desk, number, RefundRequest(Method.CARD, "a scratch", (RefundedLine(line, net),)))
        except RefusedError:
            continue


def fill_shelves(desk: Desk) -> None:
    """Receive enough for one more order, whatever is in it."""
    for frame in (WREN, LARK):
        receive_stock(desk, StockedKind.FRAME, frame.code, 3, frame.cost)
    for accessory in (CASE, SHADES):
        receive_stock(desk, StockedKind.ACCESSORY, accessory.code, 6, accessory.cost)
