"""Jobs and orders put right after the sale: every deed, what it comes to, and what it refuses."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from datetime import date
from pathlib import Path

import pytest

from shopledger.desk.books.closing import prove_books
from shopledger.desk.changing_jobs import LENSES_ORDERED, MEASURED_FOR, FrameBroken, JobChange, Remeasured
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.goods import add_frame
from shopledger.desk.inspecting import record_inspection, record_remake
from shopledger.desk.job_sheets import job_card
from shopledger.desk.jobs import open_jobs
from shopledger.desk.lens_ordering import LensOrderRequest, place_lens_order
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.people import add_supplier
from shopledger.desk.putting_right import CorrectionRequest, CorrectionTerms, plan_correction, record_correction
from shopledger.desk.receipts import issue_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import order_account, record_sale
from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import AccessoryRequest, Method, PairRequest, PaymentRequest
from shopledger.ledger.putting_right import standing_lines
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.sharing import parts_of
from shopledger.ledger.stages import Stage
from shopledger.ledger.stock import OutOfStockError, StockedKind
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from tests.desk.books import everything, on_both, postings
from tests.desk.family import CHILDS, DISTANCE, MEASURED, PROGRESSIVE, inspected, later, ordered, prescribe, read_as_ordered
from tests.shelf import CASE, CHILD, CLEAR, CUSTOMER, LARK, SHADES, SINGLE, THIN, WREN

WHY = CorrectionTerms("misread")
CASH_BACK = replace(WHY, method=Method.CASH)


@pytest.fixture
def sold(desk: Desk) -> Desk:
    """Sell the customer's distance pair at 180.00 with its lenses included, the child's at 120.00, and two cases."""
    record_sale(desk, ordered(DISTANCE, CHILDS, accessories=(AccessoryRequest(CASE.code, 2),), shipping=650))
    return desk


def paid(desk: Desk) -> Desk:
    """Pay all that is owed by card."""
    take_payment(desk, 1, PaymentRequest(order_account(desk, 1).balance, Method.CARD, "4242"))
    return desk


def test_a_wrong_pd_is_put_right(sold: Desk) -> None:
    """A job in the place of the old one has the other PD and all else as it was; no line and no amount changes."""
    before = order_account(sold, 1)
    done = record_correction(sold, JobChange(1, WHY, measured=Remeasured(pd_right=32)))
    (job,) = done.jobs
    assert job.measurements == replace(MEASURED, right=replace(MEASURED.right, mono_pd=32))
    assert replace(job, job_number=1, position=1, again=None, measurements=MEASURED) == before.order.pairs[0]
    assert done.account.order.lines == before.order.lines
    assert (done.correction.kind, done.correction.parts, done.refund) == (CorrectionKind.PUT_RIGHT, (), None)
    assert [row.job.facts.job_number for row in open_jobs(sold)] == [2, 3]
    assert job_card(sold, 1).row.standing.stage is Stage.OVERTAKEN
    assert prove_books(sold).failed == ()
