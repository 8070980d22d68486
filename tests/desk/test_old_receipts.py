"""Receipts of the first form, as ledgers hold them since before there were refunds: they say what they said."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from shopledger.desk.claims import mark_claimed, unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.orders import give_refund
from shopledger.desk.receipt_lookups import receipt_numbered
from shopledger.desk.receipts import issue_receipt, print_receipt, replace_receipt
from shopledger.desk.sales import record_sale
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.ledger.receipt import IssuedReceipt
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.paperwork.page import Document, painted
from shopledger.paperwork.paper import DRAWING, document_of
from shopledger.paperwork.receipt import RECEIPT
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, ordered
from tests.paperwork.reading import text_of, texts_of
from tests.shelf import CUSTOMER

pytestmark = pytest.mark.slow

SINCE_FORM_2 = ("refunds", "diagnoses", "spellings", "replaces", "prescription_expires", "drawing")
OF_LINES_SINCE_FORM_2 = ("words", "offer")


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
    first["lines"] = [
        {key: value for key, value in line.items() if key not in OF_LINES_SINCE_FORM_2} for line in first["lines"]
    ]
    return json.dumps(first, ensure_ascii=False, separators=(",", ":"), sort_keys=True)


@on_both
def test_each_copy_is_the_same_and_says_that_it_is_drawn_anew(old: Desk, tmp_path: Path) -> None:
    """The same bytes on each copy: words and amounts of the first print, and in the foot that they are drawn anew."""
    print_receipt(old, 1, tmp_path)
    copies = [print_receipt(old, 1, tmp_path).file.read_bytes() for _ in range(2)]
    receipt = receipt_numbered(old, 1)
    assert (receipt.content.form, receipt.content.drawing) == (1, 1)
    said = document_of(RECEIPT, receipt.content, stamps={"copy": 1}, first_drawn=1)
    assert copies == [painted(said)] * 2
    note = f"drawn in form {DRAWING} (first print: form 1)"
    assert note in text_of(said)
    first = document_of(RECEIPT, receipt.content, stamps={"copy": 1})
    assert note not in text_of(first)
    assert body_of(said) == body_of(first)


def body_of(document: Document) -> list[str]:
    """Give every text between the margins."""
    return [text.text for page in document.pages for text in texts_of(page[:-1])]


@on_both
def test_it_is_replaced_and_handed_in_like_any_other(old: Desk, tmp_path: Path) -> None:
    """A refund touches it, and the receipt in its place is of the new form."""
    touched = give_refund(old, 1, RefundRequest(Method.CASH, "a scratch", (RefundedLine(1, 500),))).touched_receipts
    assert 1 in touched
    assert unclaimed(old)[0].overtaken
    new = replace_receipt(old, 1, "a refund", tmp_path).receipt
    assert (new.content.form, new.content.replaces, new.content.refunded) == (4, 1, 500)
    assert receipt_numbered(old, 1).content.form == 1
    assert mark_claimed(old, new.number).claimed_on == old.today
