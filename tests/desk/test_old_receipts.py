"""Receipts of the first form, as ledgers hold them since before there were refunds: they print as they did."""

from __future__ import annotations

import json
from dataclasses import replace
from pathlib import Path

import pytest

from shopledger.desk.claims import mark_claimed, unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.orders import give_refund
from shopledger.desk.receipts import issue_receipt, print_receipt, receipt_numbered, replace_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.canonical import content_hash, thawed
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.receipt import IssuedReceipt, ReceiptContent
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.paperwork.page import painted
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, ordered
from tests.shelf import CUSTOMER

pytestmark = pytest.mark.slow

SINCE_FORM_2 = ("refunds", "diagnoses", "spellings", "replaces")


@pytest.fixture
def old(desk: Desk) -> Desk:
    """Put a receipt of the first form into the ledger, as it was written then."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18000, Method.CASH),)))
    with desk.writing() as work:
        number = work.receipts.next_number()
    content = issue_content(desk, number)
    with desk.writing() as work:
        work.receipts.add(IssuedReceipt(number, 1, 1, content, content_hash(content)))
    return desk


def issue_content(desk: Desk, number: int) -> str:
    """Give the content of a receipt as the first form has it."""
    folder = desk.own_templates
    assert folder is not None
    body = json.loads(issue_receipt(desk, 1, CUSTOMER, folder.parent).receipt.canonical)
    first = {key: value for key, value in body.items() if key not in SINCE_FORM_2} | {"form": 1, "number": number}
    return json.dumps(first, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


@on_both
def test_it_prints_the_same_every_time_and_as_the_new_form_does(old: Desk, tmp_path: Path) -> None:
    """The same bytes on each copy, and those of a new receipt that says the same."""
    print_receipt(old, 1, tmp_path)
    copies = [print_receipt(old, 1, tmp_path).file.read_bytes() for _ in range(2)]
    receipt = receipt_numbered(old, 1)
    assert receipt.content.form == 1
    new = replace(receipt.content, form=2)
    again = thawed(ReceiptContent, new.canonical(), "receipt")
    same = painted(document_of(RECEIPT, again, stamps={"copy": 1}))
    assert copies == [same, same]


@on_both
def test_it_is_replaced_and_handed_in_like_any_other(old: Desk, tmp_path: Path) -> None:
    """A refund touches it, and the receipt in its place is of the new form."""
    touched = give_refund(old, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(1, 500),))).touched_receipts
    assert 1 in touched
    assert unclaimed(old)[0].overtaken
    new = replace_receipt(old, 1, "a refund", tmp_path).receipt
    assert (new.content.form, new.content.replaces, new.content.refunded) == (3, 1, 500)
    assert receipt_numbered(old, 1).content.form == 1
    assert mark_claimed(old, new.number).claimed_on == old.today
