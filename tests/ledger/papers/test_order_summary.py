"""Confirmation and quote: the order's own prices, and no quote that has run out before it begins."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.orders import Cancellation, Method, OrderAccount, Refund
from shopledger.ledger.papers.order_facts import OrderFacts
from shopledger.ledger.papers.order_summary import order_confirmation, quote
from tests.ledger.papers.bought import DAY, NAMES, PAYER, account, order
from tests.shelf import CHILD, CUSTOMER, SHOP


def test_lines_stand_under_their_pair_with_list_reduction_and_net() -> None:
    """The child's lenses of 80.00 are included with the frame, so their net is 0.00."""
    summary = order_confirmation(OrderFacts(account(), SHOP, PAYER, NAMES, DAY))
    assert [(group.position, group.wearer) for group in summary.groups] == [(1, CUSTOMER), (2, CHILD), (0, "")]
    lenses = summary.groups[1].lines[1]
    assert (lenses.list_price, lenses.reduction, lenses.net) == (8000, 8000, 0)


def test_shipping_comes_last() -> None:
    """Goods beside the pairs stand before what it costs to send them, with whoever they are for."""
    last = order_confirmation(OrderFacts(account(), SHOP, PAYER, NAMES, DAY)).groups[-1].lines
    assert [line.description for line in last] == [f"Hard case, for {CUSTOMER}", "Plano sunglasses", "Shipping"]


def test_sums_are_the_orders() -> None:
    """845.90 of list prices, less 80.00, is 765.90 with shipping; tax is 7.25 % of 45.00, that is 3.26."""
    summary = order_confirmation(OrderFacts(account((DAY, 30000)), SHOP, PAYER, NAMES, DAY))
    assert (summary.list_total, summary.reduction_total, summary.net_total) == (84590, 8000, 76590)
    assert (summary.tax, summary.total, summary.paid, summary.balance) == (326, 76916, 30000, 46916)


def test_lines_add_up_to_the_net() -> None:
    """No line is lost between the groups."""
    summary = order_confirmation(OrderFacts(account(), SHOP, PAYER, NAMES, DAY))
    assert sum(line.net for group in summary.groups for line in group.lines) == summary.net_total


def test_a_quote_has_a_last_day_and_no_number() -> None:
    """Nothing is recorded yet, so nothing is numbered and nothing is paid."""
    until = DAY + timedelta(days=30)
    summary = quote(order(number=None), SHOP, PAYER, NAMES, day=DAY, valid_until=until)
    assert (summary.number, summary.valid_until, summary.paid) == (0, "2026-04-01", 0)
    assert summary.balance == summary.total


def test_a_quote_that_has_run_out_is_refused() -> None:
    """The last day may not lie before the first."""
    with pytest.raises(RefusedError, match="before the quote's day"):
        quote(order(), SHOP, PAYER, NAMES, day=DAY, valid_until=date(2026, 3, 1))


def test_what_was_given_back_is_told() -> None:
    """The frame's 180.00 went back after the order was paid: off its line and what stands; the balance stays 0.00."""
    back = Refund(12, DAY, Method.CARD, "4242", "scratched", (LinePart(1, 18000, 0),))
    summary = order_confirmation(OrderFacts(replace(account((DAY, 76916)), refunds=(back,)), SHOP, PAYER, NAMES, DAY))
    assert (summary.refunded, summary.given_back, summary.stands, summary.balance) == (18000, 18000, 76916 - 18000, 0)
    assert [(line.given_back, line.kept) for line in summary.groups[0].lines][:2] == [(18000, 0), (0, 26000)]


def test_what_was_taken_out_as_a_mistake_is_not_shown() -> None:
    """The sunglasses of 45.00 with 3.26 tax were never wanted: they are in no line and no sum."""
    sold = account()
    at = next(at for at, line in enumerate(sold.order.lines, 1) if line.description == "Plano sunglasses")
    out = Correction(12, DAY, CorrectionKind.PUT_RIGHT, "not wanted", parts=(LinePart(at, 4500, 326),), number=1)
    summary = order_confirmation(OrderFacts(replace(sold, corrections=(out,)), SHOP, PAYER, NAMES, DAY))
    assert "Plano sunglasses" not in [line.description for group in summary.groups for line in group.lines]
    assert (summary.total, summary.tax, summary.given_back, summary.balance) == (76916 - 4826, 0, 0, 76916 - 4826)


def test_a_cancelled_order_is_not_confirmed() -> None:
    """Nobody gets a paper on an order that was voided."""
    cancelled = replace(account(shipped=False), cancellation=Cancellation(12, date(2026, 3, 5), "changed mind"))
    with pytest.raises(RefusedError, match="it was cancelled on 2026-03-05"):
        order_confirmation(OrderFacts(cancelled, SHOP, PAYER, NAMES, DAY))


def test_only_a_recorded_order_is_confirmed() -> None:
    """A confirmation names a number, and a draft has none."""
    with pytest.raises(RefusedError, match="only a recorded order"):
        order_confirmation(OrderFacts(OrderAccount(order(number=None)), SHOP, PAYER, NAMES, DAY))
