"""Receipts of glasses that were made again: those that tell of other lenses than are worn by now are overtaken."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import plan_closing
from shopledger.desk.claims import unclaimed
from shopledger.desk.context import Desk
from shopledger.desk.orders import ship_order
from shopledger.desk.papers import print_statement
from shopledger.desk.receipt_lookups import overtaken_of, receipts
from shopledger.desk.receipts import issue_receipt, print_receipt, replace_receipt
from shopledger.desk.remaking import RemakeRequest, remake_job
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.books.period import Month
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.optics.sides import Side
from tests.desk.books import on_both, words_in
from tests.desk.family import CHILDS, DISTANCE, inspected, later, ordered, prescribe
from tests.shelf import CHILD, CUSTOMER

NEW_POWERS = RemakeRequest(1, RemakeCause.PRESCRIBER, "changed by the prescriber", prescription=3)
AS_BEFORE = RemakeRequest(1, RemakeCause.MAKER, "the coating peels", Side.LEFT)


@pytest.fixture
def claimed(desk: Desk, tmp_path: Path) -> Desk:
    """Sell, send and pay a pair of the customer's and one of the child's, and issue a receipt for each."""
    record_sale(desk, ordered(DISTANCE, CHILDS, payments=(PaymentRequest(30_000, Method.CARD, "4242"),)))
    inspected(desk)
    ship_order(desk, 1, "post")
    for wearer in (CUSTOMER, CHILD):
        issue_receipt(desk, 1, wearer, tmp_path)
    prescribe(desk, CUSTOMER, "-2.75 -1.25 x 090 add 2.00", "-2.25 -1.00 x 085 add 2.00")
    return desk


def past(desk: Desk) -> frozenset[int]:
    """Give the numbers of the receipts that are overtaken."""
    return overtaken_of(desk, receipts(desk))


@on_both
def test_a_remake_by_another_prescription_overtakes_the_receipt_of_its_wearer(claimed: Desk, tmp_path: Path) -> None:
    """No sum changed and nothing was corrected: the receipt tells of powers that nobody wears, on every list."""
    assert past(claimed) == frozenset()
    touched = remake_job(claimed, NEW_POWERS).touched_receipts
    assert past(claimed) == {1}
    assert 1 in touched
    assert {each.receipt: each.overtaken for each in unclaimed(claimed)} == {1: True, 2: False}
    assert "OVERTAKEN" in words_in(print_receipt(claimed, 1, tmp_path).file)
    with pytest.raises(RefusedError, match="the order has changed since it was issued"):
        print_statement(claimed, 1, tmp_path)
    new = replace_receipt(claimed, 1, "a remake", tmp_path).receipt
    assert new.content.pairs[0].right.startswith("-2.75")
    assert past(claimed) == frozenset()


@on_both
def test_a_remake_as_before_overtakes_nothing(claimed: Desk) -> None:
    """The wearer has the same lenses again, under another job number."""
    assert remake_job(claimed, AS_BEFORE).touched_receipts == ()
    assert past(claimed) == frozenset()


def test_what_is_made_as_it_first_was_is_told_truly_again(claimed: Desk) -> None:
    """Made by the new prescription and then by the old one once more: the first receipt says what is worn."""
    job = remake_job(claimed, NEW_POWERS).pair.job_number or 0
    assert past(claimed) == {1}
    remake_job(claimed, RemakeRequest(job, RemakeCause.CUSTOMER, "wants the old power", prescription=1))
    assert past(claimed) == frozenset()


def test_the_month_names_a_receipt_that_a_remake_overtook(claimed: Desk) -> None:
    """With those that a refund or a correction overtook; before there was nothing to name."""
    assert list(_overtaken_in_march(claimed)) == []
    remake_job(claimed, NEW_POWERS)
    (sentence,) = _overtaken_in_march(claimed)
    assert "1 receipt is overtaken by a refund, a correction or a remake and not replaced: 1." in sentence


def _overtaken_in_march(desk: Desk) -> Iterator[str]:
    findings = plan_closing(later(desk, date(2026, 4, 2)), Month(2026, 3)).findings
    return (finding.sentence for finding in findings if finding.code == "RECEIPT-OVERTAKEN")
