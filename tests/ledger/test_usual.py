"""What is sold below its cost is asked about, since price and cost may have been swapped."""

from __future__ import annotations

from dataclasses import replace

from shopledger.ledger.usual import COST_ABOVE_PRICE, sold_below_cost
from shopledger.optics.findings import Severity
from tests.shelf import CASE, CLEAR, SINGLE, WREN


def test_goods_that_cost_more_than_they_bring_are_asked_about() -> None:
    """Of every kind, each by itself; the warning says both amounts."""
    assert sold_below_cost(WREN, SINGLE, CLEAR, CASE) == ()
    dear = [replace(item, cost=item.price + 1) for item in (WREN, SINGLE, CLEAR, CASE)]
    findings = sold_below_cost(*dear, WREN)
    assert [finding.sentence.split()[0] for finding in findings] == [item.code for item in dear]
    assert {(finding.code, finding.severity) for finding in findings} == {(COST_ABOVE_PRICE, Severity.WARNING)}


def test_goods_at_their_cost_and_gifts_are_not() -> None:
    """What costs nothing may be sold for nothing."""
    assert sold_below_cost(replace(CASE, cost=CASE.price), replace(CASE, price=0, cost=0)) == ()
