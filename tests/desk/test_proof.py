"""The books prove themselves against all that was recorded, and say what differs and by how much."""

from __future__ import annotations

from shopledger.desk.context import Desk
from shopledger.desk.proof import prove_books
from shopledger.desk.refunding import cancel_order, give_refund
from shopledger.desk.sales import record_sale
from shopledger.desk.shipping import ship_order
from shopledger.ledger.orders import Method
from shopledger.ledger.proofs import KeptHead
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, FAMILY_ORDER, ordered


def test_a_new_shop_holds(desk: Desk) -> None:
    """Opening stock alone passes every check."""
    assert [str(each) for failed in prove_books(desk).failed for each in failed.differences] == []


@on_both
def test_a_shop_at_work_holds(desk: Desk) -> None:
    """Sales, shipping, refunds with goods and a cancellation: every check holds and looked at something."""
    record_sale(desk, FAMILY_ORDER)
    ship_order(desk, 1, "by post", without_inspection="collected")
    give_refund(desk, 1, RefundRequest(Method.CARD, "too small", (RefundedLine(1, None, 1),)))
    record_sale(desk, ordered(DISTANCE))
    cancel_order(desk, 2, "ordered twice")
    record_sale(desk, ordered(DISTANCE))
    verdict = prove_books(desk, KeptHead.read(str(_head(desk))), files=True)
    assert [str(each) for failed in verdict.failed for each in failed.differences] == []
    assert verdict.holds
    looked_at = {each.code: each.checked for each in verdict.proofs}
    assert looked_at["CHAIN"] == verdict.head.count > 8
    assert looked_at["DOCUMENTS"] > 8


def _head(desk: Desk) -> object:
    with desk.reading() as work:
        return work.journal.head()
