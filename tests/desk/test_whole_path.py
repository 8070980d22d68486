"""The whole path of a pair of glasses: sold, inspected, shipped, and years later made again from its stored shape."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.reports import export_period
from shopledger.desk.context import Desk
from shopledger.desk.drafts import drafted_order
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import ship_order, take_payment
from shopledger.desk.receipts import issue_receipt, print_receipt
from shopledger.desk.reorder_record import reorder
from shopledger.desk.sales import record_sale
from shopledger.desk.tracing import stored_trace, write_trace
from shopledger.exchange.trace_file import read_trace_file
from shopledger.ledger.books.period import Month
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, PaymentRequest
from tests.desk.books import on_both
from tests.desk.family import ASKED, FAMILY_ORDER, YEARS_LATER, inspected, later, prescribe
from tests.shelf import CHILD, CUSTOMER, SINGLE, WREN

SHIPPING_DAY = date(2026, 3, 9)


def paid_and_sent(desk: Desk, order_number: int) -> None:
    """Take what is owed, inspect every job and let the order leave."""
    take_payment(desk, order_number, PaymentRequest(order_account(desk, order_number).balance, Method.CHECK, "1187"))
    inspected(desk, order_number)
    ship_order(desk, order_number, "post")


@on_both
def test_glasses_are_sold_and_years_later_made_again_without_seeing_the_frame(desk: Desk, tmp_path: Path) -> None:
    """Sale, receipts, month, reorder, second sale: each step builds on what was stored before it."""
    record_sale(desk, FAMILY_ORDER)
    sent = later(desk, SHIPPING_DAY)
    paid_and_sent(sent, 1)
    first = [issue_receipt(sent, 1, wearer, tmp_path).receipt for wearer in (CUSTOMER, CHILD)]
    assert all(receipt.content.paid_in_full for receipt in first)
    assert export_period(sent, Month(2026, 3).days, tmp_path).is_file()
    before = prove_books(sent)

    back = later(desk, YEARS_LATER)
    prescribe(back, CUSTOMER, "-2.75 -1.25 x 090 add 2.25", "-2.50 -1.00 x 085 add 2.25", date(2029, 4, 2))
    asked = replace(ASKED, lens=SINGLE.code, extras=())
    draft, plan, record = reorder(back, asked, tmp_path)
    assert record.is_file()
    assert plan.chosen.lens.design is Design.SINGLE_VISION
    handed_on = write_trace(back, WREN.code, tmp_path / "edger.txt", "5")
    assert read_trace_file(handed_on).right == stored_trace(back, WREN.code).stored.shape.right

    again = record_sale(back, drafted_order(back, draft), draft)
    assert again.order.number == 2
    assert LineKind.FRAME not in {line.kind for line in again.order.lines}
    paid_and_sent(back, 2)
    assert issue_receipt(back, 2, CUSTOMER, tmp_path).receipt.number == len(first) + 1
    assert print_receipt(back, 1, tmp_path).receipt.canonical == first[0].canonical
    after = prove_books(back)
    # A sale and its payment were posted since.
    assert after.holds
    assert after.entries == before.entries + 2
