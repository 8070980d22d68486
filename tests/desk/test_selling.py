"""What stands in sight while something is sold, and how lenses lie in their frames."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.auditing import audit
from shopledger.desk.context import Desk
from shopledger.desk.reordering import plan_reorder
from shopledger.desk.sales import plan_sale, record_sale
from shopledger.desk.selling import lay_out_sale, sale_card
from shopledger.errors import UnknownNameError
from shopledger.ledger.audit import Deed
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side
from tests.desk.family import ASKED, CHILDS, DISTANCE, ordered, prescribe
from tests.shelf import CHILD, CUSTOMER, WREN


def test_each_wearer_stands_there_with_prescriptions_and_the_last_pair(desk: Desk) -> None:
    """The newest prescription first, whichever was recorded last; the pair that was sold last."""
    record_sale(desk, ordered(DISTANCE))
    prescribe(desk, CUSTOMER, "-2.75 DS add 2.00", "-2.50 DS add 2.00", date(2025, 1, 5))
    card = sale_card(desk, CUSTOMER)
    own, child = card.wearers
    assert [each.written_on.year for each in own.prescriptions] == [2026, 2025]
    assert own.newest is not None
    assert write_eye(own.newest.powers.right) == "-2.50 -1.25 x 090 add 2.00"
    assert own.last is not None
    assert (own.last.frame, own.last.pair.measurements) == (
        replace(WREN, number=own.last.frame.number),
        DISTANCE.measurements,
    )
    assert (child.wearer.name, child.last) == (CHILD, None)


def test_a_look_at_prescriptions_is_noted(desk: Desk) -> None:
    """As every look at them is; that a form is still being filled in is no look of its own."""
    sale_card(desk, CUSTOMER)
    sale_card(desk, CUSTOMER, noted=False)
    assert len(audit(desk, deed=Deed.LOOKED_AT_PRESCRIPTIONS)) == 1


def test_a_customer_who_is_not_there_is_refused(desk: Desk) -> None:
    """By the name."""
    with pytest.raises(UnknownNameError):
        sale_card(desk, "Nobody")


def test_lenses_lie_as_the_reorder_lays_them(desk: Desk) -> None:
    """One reckoning: the same centres as a reorder finds; a frame without a shape has none."""
    record_sale(desk, ordered(DISTANCE))
    plan = plan_sale(desk, ordered(DISTANCE, CHILDS))
    laid, without = lay_out_sale(desk, plan)
    again = plan_reorder(desk, ASKED).chosen
    assert laid is not None
    assert without is None
    assert [laid.eye(side).centre for side in Side] == [again.eye(side).centre for side in Side]


def test_a_pair_without_measurements_is_not_laid_out(desk: Desk) -> None:
    """Nor one without a power."""
    for missing in (replace(DISTANCE, measurements=None), replace(DISTANCE, without_prescription=True)):
        assert lay_out_sale(desk, plan_sale(desk, ordered(missing))) == (None,)
