"""Giving back: by line, with its tax, never more than the line came to nor than was paid for a wearer."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import LedgerError, RefusedError
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.postings import refund_event, reversing_entry
from shopledger.ledger.corrections import LinePart
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Method, OrderAccount, OrderLine, Refund
from shopledger.ledger.refunds import RefundedLine, RefundRequest, plan_refund
from shopledger.ledger.sharing import parts_of
from tests.counted import given_back as counted_back
from tests.counted import sale_event
from tests.ledger.test_sharing import DAY, account_of, line

LATER = date(2026, 4, 1)


def asked(*lines: RefundedLine, **more: object) -> RefundRequest:
    """Give a request by card for a scratch."""
    return replace(RefundRequest(Method.CARD, "a scratch", lines), **more)  # type: ignore[arg-type]


def given_more(account: OrderAccount, *lines: RefundedLine) -> OrderAccount:
    """Give the account after one more refund."""
    return replace(account, refunds=(*account.refunds, plan_refund(account, asked(*lines), LATER)))


def test_the_tax_goes_back_in_proportion_and_ends_exact() -> None:
    """10.00 with 0.73 tax given back in thirds of 3.33, 3.33 and 3.34: 0.24 + 0.25 + 0.24, worked out by hand."""
    # 0.73 times 0.333 is 0.243, so 0.24; 0.73 times 0.666 is 0.486, so 0.49 in all; then the rest.
    account = account_of([line(1, 1000, 73)], [1073])
    for net in (333, 333, 334):
        account = given_more(account, RefundedLine(1, net))
    assert [refund.tax for refund in account.refunds] == [24, 25, 24]
    assert given_back(account, 1) == (1000, 73)
    assert (account.paid, account.refunded, account.balance) == (1073, 1073, 0)


def test_without_lines_all_that_is_left_goes_back() -> None:
    """What was given back before is not given back twice, and then nothing is left."""
    account = account_of([line(1, 20000), line(2, 10000, 100), line(None, 900, kind=LineKind.SHIPPING)], [31000])
    account = given_more(account, RefundedLine(2, 4000))
    refund = plan_refund(account, asked(), LATER)
    assert [(part.line, part.net) for part in refund.parts] == [(1, 20000), (2, 6000), (3, 900)]
    assert refund.amount == 31000 - 4040
    done = replace(account, refunds=(*account.refunds, refund))
    with pytest.raises(RefusedError, match="everything was given back already"):
        plan_refund(done, asked(), LATER)


@pytest.mark.parametrize(
    ("lines", "said"),
    [
        ((RefundedLine(3, 1),), "order 7 has lines 1 to 2"),
        ((RefundedLine(0, 1),), "order 7 has lines 1 to 2"),
        ((RefundedLine(1, 20001),), r"200\.00 of its net charge is left"),
        ((RefundedLine(1, -1),), r"200\.00 of its net charge is left"),
        ((RefundedLine(1, 1), RefundedLine(1, 1)), "a line is named once"),
        ((RefundedLine(1, 0),), "it must be more than 0"),
        ((RefundedLine(1, 1, returned=1),), "only frames and accessories"),
        ((RefundedLine(2, 1, returned=3),), "2 of line 2 are with the customer"),
        ((RefundedLine(2, 1, returned=-1),), "2 of line 2 are with the customer"),
    ],
)
def test_what_cannot_be_given_back_is_refused_in_words(lines: tuple[RefundedLine, ...], said: str) -> None:
    """Unknown lines, too much, nothing at all, and goods that are not kept in stock."""
    case = replace(line(1, 2400, kind=LineKind.ACCESSORY), quantity=2)
    with pytest.raises(RefusedError, match=said):
        plan_refund(account_of([line(1, 20000), case], [22400]), asked(*lines), LATER)


def test_goods_come_back_once() -> None:
    """Of two cases sold, two can come back, one after the other."""
    case = replace(line(1, 2400, kind=LineKind.ACCESSORY), quantity=2)
    account = account_of([case], [2400])
    for _ in range(2):
        account = given_more(account, RefundedLine(1, 1200, returned=1))
    with pytest.raises(RefusedError, match="0 of line 1 are with the customer"):
        given_more(account, RefundedLine(1, 0, returned=1))


def test_a_wearer_gets_back_at_most_what_was_paid_for_that_wearer() -> None:
    """100.00 paid on two people's 200.00 and 200.00: 50.00 is each one's, whatever the line came to."""
    account = account_of([line(1, 20000), line(2, 20000)], [10000])
    assert plan_refund(account, asked(RefundedLine(1, 5000)), LATER).amount == 5000
    with pytest.raises(RefusedError, match=r"it is 0\.01 more than was paid and kept on what is for wearer 1"):
        plan_refund(account, asked(RefundedLine(1, 5001)), LATER)


def test_a_refund_before_the_payment_is_refused() -> None:
    """Money cannot go back before it came."""
    with pytest.raises(RefusedError, match="last paid on 2026-03-02"):
        plan_refund(account_of([line(1, 100)], [100]), asked(), date(2026, 3, 1))


def test_a_cancelled_order_gives_nothing_more_back_and_owes_nothing() -> None:
    """The cancellation gave everything back already."""
    account = replace(account_of([line(1, 100)], [40]), cancellation=Cancellation(7, LATER, "ordered twice"))
    assert (account.paid, account.refunded, account.balance) == (40, 40, 0)
    with pytest.raises(RefusedError, match="cancelled on 2026-04-01"):
        plan_refund(account, asked(), LATER)


@pytest.mark.parametrize(
    "make",
    [
        lambda: Refund(7, DAY, Method.CASH, "", "", (LinePart(1, 100, 0),)),
        lambda: Refund(7, DAY, Method.CASH, "", "a scratch", ()),
        lambda: Refund(7, DAY, Method.CARD, "4242 4242 4242 4242", "a scratch", (LinePart(1, 100, 0),)),
        lambda: LinePart(1, -1, 0),
        lambda: Cancellation(7, DAY, "  "),
    ],
)
def test_a_refund_needs_a_reason_and_an_amount_and_keeps_no_card_number(make: object) -> None:
    """What is posted says why, says how much, and endangers nobody."""
    with pytest.raises(LedgerError):
        make()  # type: ignore[operator]


def test_a_refund_posts_returns_and_tax_against_the_money() -> None:
    """Debit returns and tax payable, credit where the money was; returns stand on Schedule C line 2."""
    refund = Refund(7, LATER, Method.CHECK, "", "a scratch", (LinePart(1, 1000, 73),), number=4)
    order = account_of([line(1, 1000, 73)], [1073]).order
    entry = refund_event(refund, order, counted_back(refund.parts)).entry()
    assert [(posting.account, posting.amount) for posting in entry.postings] == [
        (Account.RETURNS, 1000),
        (Account.SALES_TAX_PAYABLE, 73),
        (Account.BANK, -1073),
    ]
    assert Account.RETURNS.schedule_c == "2"


def test_a_reversing_entry_is_the_opposite_and_its_pointer_is_hashed() -> None:
    """Both together come to nothing on every account."""
    order = account_of([line(1, 1000, 73), line(None, 900, kind=LineKind.SHIPPING)], []).order
    entry = sale_event(order).entry()
    back = reversing_entry(entry, 12, Cancellation(7, LATER, "ordered twice"))
    both = {posting.account: posting.amount for posting in entry.postings}
    assert all(both[posting.account] + posting.amount == 0 for posting in back.postings)
    assert (back.reverses, back.day) == (12, LATER)
    assert b'"reverses":12' in back.canonical()
    assert b"reverses" not in entry.canonical()


AMOUNTS = st.integers(0, 50_000)
LINES = st.lists(
    st.builds(line, st.sampled_from([1, 2, 3, None]), AMOUNTS, st.integers(0, 4000)), min_size=1, max_size=7
)
CUTS = st.integers(0, 100)
STEPS = st.lists(st.tuples(st.lists(st.tuples(st.integers(1, 8), CUTS), min_size=1, max_size=4), CUTS), max_size=5)


@given(LINES, AMOUNTS, st.integers(0, 900), STEPS, st.booleans())
def test_parts_add_up_whatever_is_paid_and_given_back(
    lines: list[OrderLine], shipping: int, shipping_tax: int, steps: list[tuple[list[tuple[int, int]], int]], paid: bool
) -> None:
    """Over any payments and refunds the parts add up to the order, and nobody is below nothing, line by line."""
    whole = [*lines, line(None, shipping, shipping_tax, kind=LineKind.SHIPPING)]
    owed = sum(each.net + each.tax for each in whole)
    payments = [owed] if paid and owed else []
    account = account_of(whole, payments)
    for wanted, hundredths in steps:
        amount = account.balance * hundredths // 100
        if amount:
            payments.append(amount)
            account = replace(account_of(whole, payments), refunds=account.refunds)
        account = _given_back_in_part(account, wanted)
        parts = parts_of(account)
        assert sum(part.total for part in parts) == account.order.total
        assert sum(part.paid for part in parts) == account.paid
        assert sum(part.refunded for part in parts) == account.refunded
        assert sum(part.balance for part in parts) == account.balance
        assert all(part.balance >= 0 and part.kept >= 0 and part.refunded <= part.total for part in parts)
        assert all(share > 0 for part in parts for _, share in part.refunds)
        for place, each in enumerate(whole, start=1):
            net, tax = given_back(account, place)
            assert 0 <= net <= each.net
            assert 0 <= tax <= each.tax


def given_back(account: OrderAccount, place: int) -> tuple[int, int]:
    """What net charge and tax of a line were given back so far."""
    parts = [part for refund in account.refunds for part in refund.parts if part.line == place]
    return sum(part.net for part in parts), sum(part.tax for part in parts)


def _given_back_in_part(account: OrderAccount, wanted: list[tuple[int, int]]) -> OrderAccount:
    """Give back hundredths of some lines, where that is allowed."""
    count = len(account.order.lines)
    places = {(place - 1) % count + 1: hundredths for place, hundredths in wanted}
    lines = tuple(
        RefundedLine(place, (account.order.lines[place - 1].net - given_back(account, place)[0]) * hundredths // 100)
        for place, hundredths in places.items()
    )
    try:
        return given_more(account, *lines)
    except RefusedError:
        return account
