"""What a change of lines comes to: nothing is lost, nobody pays twice, and no more goes back than was paid."""

from __future__ import annotations

from dataclasses import replace

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, OrderAccount, OrderLine, Payment, Refund
from shopledger.ledger.overtaken import touched
from shopledger.ledger.putting_right import (
    as_corrected,
    righted,
    standing_line,
    standing_lines,
    taken_out,
    whole_line,
)
from shopledger.ledger.repricing import at_price
from shopledger.ledger.sharing import parts_of
from tests.ledger.test_sharing import DAY, account_of, line

RIGHT, EXCHANGED, REDUCED = CorrectionKind.PUT_RIGHT, CorrectionKind.EXCHANGED, CorrectionKind.REDUCED


def put(
    account: OrderAccount, kind: CorrectionKind, out: tuple[LinePart, ...], *added: OrderLine
) -> tuple[OrderAccount, int]:
    """Give an order after a correction, and how much money went back with it."""
    found = righted(account, Correction(7, DAY, kind, "as agreed"), out, added)
    return found.after, sum(part.net + part.tax for part in found.back)


def whole(account: OrderAccount, place: int) -> LinePart:
    """Give all that is left of a line."""
    return whole_line(standing_line(account, place))


def paid_by(account: OrderAccount, amount: int) -> OrderAccount:
    """Pay something more on an order."""
    number = 1 + len(account.payments)
    return replace(account, payments=(*account.payments, Payment(7, DAY, amount, Method.CARD, number=number)))


def test_what_is_replaced_by_something_dearer_is_owed() -> None:
    """100.00 taken out and 130.00 added: 30.00 more is owed, and nothing goes back."""
    account, back = put(account_of([line(1, 10000)], [10000]), RIGHT, (LinePart(1, 10000, 0),), line(1, 13000))
    assert (account.balance, back) == (3000, 0)


def test_what_is_replaced_by_something_cheaper_first_lowers_what_is_owed() -> None:
    """Of 100.00 with 7.00 tax 80.00 was paid; for 60.00 in its place 20.00 goes back, and nothing is owed."""
    before = account_of([line(1, 10000, 700)], [8000])
    account, back = put(before, RIGHT, (LinePart(1, 10000, 700),), line(1, 6000))
    assert (account.balance, back) == (0, 2000)
    (refund,) = account.refunds
    assert [(part.net, part.tax) for part in refund.parts] == [(1869, 131)]
    assert taken_out(account).keys() == {1}


def test_a_line_for_another_wearer_takes_what_was_paid_along() -> None:
    """As if it had been so from the beginning; both parts are another."""
    before = account_of([line(1, 10000), line(2, 5000)], [15000])
    after, back = put(before, RIGHT, (LinePart(1, 10000, 0),), line(2, 10000))
    assert back == 0
    assert {part.wearer_number: (part.paid, part.balance) for part in parts_of(after)} == {1: (0, 0), 2: (15000, 0)}
    assert touched(before, after) == {1, 2}


def test_what_is_exchanged_is_settled_with_whose_it_is() -> None:
    """20.00 goes back to the one wearer although the other owes 50.00 still."""
    before = account_of([line(1, 10000), line(2, 5000)], [])
    before = replace(before, payments=(Payment(7, DAY, 15000, Method.CARD, number=1),))
    before = as_corrected(before, Correction(7, DAY, EXCHANGED, "more"), (line(2, 5000),))
    after, back = put(before, EXCHANGED, (LinePart(1, 10000, 0),), line(1, 8000))
    assert (back, after.balance) == (2000, 5000)
    assert touched(before, after) == {1}


def test_what_was_written_off_is_not_given_back() -> None:
    """A rest that was written off stands in the way of a change by which more than was paid would go back."""
    before = account_of([line(1, 10000)], [4000])
    before = as_corrected(before, Correction(7, DAY, CorrectionKind.WRITTEN_OFF, "moved away", amount=6000))
    with pytest.raises(RefusedError, match="What was written off counts as settled"):
        put(before, RIGHT, (whole(before, 1),), line(1, 100))


def test_what_is_added_after_money_went_back_counts_from_then_on() -> None:
    """Were 100.00 paid by the one shared with 200.00 of the other, less would be left than the 40.00 given back."""
    before = paid_by(account_of([line(1, 10000)], []), 10000)
    refund = Refund(7, DAY, Method.CASH, "", "a scratch", (LinePart(1, 4000, 0),), number=1)
    after, back = put(replace(before, refunds=(refund,)), RIGHT, (), line(2, 20000))
    assert (after.balance, back, after.corrections[-1].kind) == (20000, 0, EXCHANGED)
    assert [part.kept for part in parts_of(after)] == [6000, 0]


def test_a_line_that_was_taken_out_names_what_stands_in_its_place() -> None:
    """By the position of the line that came in with it; the others stand."""
    account, _ = put(account_of([line(1, 10000), line(1, 0)], []), RIGHT, (LinePart(1, 10000, 0),), line(1, 9000))
    with pytest.raises(RefusedError, match="Name what stands in its place: line 3"):
        standing_line(account, 1)
    assert [each.place for each in standing_lines(account)] == [2, 3]


def test_of_several_pieces_the_others_stand() -> None:
    """One of three taken out: the line stands with two; with the last it is gone."""
    three = replace(line(1, 3000, kind=LineKind.ACCESSORY), quantity=3)
    account, _ = put(account_of([three], []), RIGHT, (LinePart(1, 1000, 0, 1),))
    assert standing_line(account, 1).count == 2
    account, _ = put(account, RIGHT, (whole(account, 1),))
    assert not standing_lines(account)


def test_a_line_at_another_price_keeps_its_list_price_and_its_rate() -> None:
    """Below the list price it is a reduction, above it the list price rises with it."""
    sold = replace(line(1, 8000, 560), tax_rate=70_000, offer_code="TENTH")
    lower, higher = at_price(sold, 6000), at_price(sold, 9000)
    assert (lower.list_price, lower.reduction, lower.net, lower.tax) == (8000, 2000, 6000, 420)
    assert (higher.list_price, higher.reduction, higher.net, higher.tax) == (9000, 0, 9000, 630)
    assert (lower.offer_code, higher.offer_code) == ("", "")


NETS = st.integers(0, 30_000)
SOLD = st.builds(line, st.sampled_from([1, 2, None]), NETS, st.integers(0, 2_000))
DEEDS = st.tuples(
    st.sampled_from([RIGHT, EXCHANGED, REDUCED]),
    st.integers(0, 20),
    st.integers(1, 100),
    st.lists(SOLD, max_size=2),
    st.integers(0, 100),
)


@given(st.lists(SOLD, min_size=1, max_size=5), st.integers(0, 100), st.lists(DEEDS, max_size=5))
def test_whatever_is_put_right_each_part_stays_whole(
    lines: list[OrderLine], paid: int, deeds: list[tuple[CorrectionKind, int, int, list[OrderLine], int]]
) -> None:
    """No part comes below nothing, none is refused, and the lines come to what was paid and kept, and what is owed."""
    account = account_of(lines, [])
    account = paid_by(account, account.balance * paid // 100) if account.balance * paid // 100 else account
    for kind, which, share, added, more in deeds:
        here = standing_lines(account)
        if not here:
            break
        kept = here[which % len(here)]
        out, new = whole_line(kept), added
        if kind is REDUCED:
            out, new = LinePart(kept.place, kept.kept * share // 100, kept.tax_kept * share // 100), []
        if kind is EXCHANGED:
            new = [replace(each, wearer_number=kept.line.wearer_number) for each in added]
        account, _ = put(account, kind, (out,), *new)
        if amount := account.balance * more // 100:
            account = paid_by(account, amount)
        parts = parts_of(account)
        assert sum(part.balance for part in parts) == account.balance
        assert sum(part.kept for part in parts) == account.paid - account.refunded
        stands = sum(each.kept + each.tax_kept for each in kept_lines(account))
        assert stands == account.paid - account.refunded + account.balance
