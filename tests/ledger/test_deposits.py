"""Deposits as values: what is left of one, on any day, and what may be taken of it."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.deposits import (
    Deposit,
    DepositAccount,
    DepositUse,
    GivenBack,
    check_deposit_can_be_voided,
    check_taking,
    giving_back,
)
from shopledger.ledger.books.journal import Account, Posting
from shopledger.ledger.books.postings import deposit_entry
from shopledger.ledger.orders import Method
from tests.documents import named

FIRST = date(2026, 3, 2)
FIFTY = Deposit(1, FIRST, 5000, Method.CHECK, "1187", number=3)


def on(days: int) -> date:
    """Give a day so many days after the deposit."""
    return FIRST + timedelta(days)


def test_a_deposit_is_owed_to_the_customer() -> None:
    """A check lies in the bank; no sale is made yet."""
    entry = deposit_entry(FIFTY)
    assert entry.postings == (Posting(Account.BANK, 5000), Posting(Account.CUSTOMER_DEPOSITS, -5000))
    assert entry.document == named("deposit 3")


def test_giving_back_is_the_other_way_round() -> None:
    """Under a number of its own."""
    handed = giving_back(DepositAccount(FIFTY), Deposit(1, on(3), 2000, Method.CASH, number=4))
    assert handed.gives_back == 3
    entry = deposit_entry(handed)
    assert entry.postings == (Posting(Account.CASH, -2000), Posting(Account.CUSTOMER_DEPOSITS, 2000))
    assert entry.document == named("deposit 4")


def test_what_is_left_counts_uses_and_givings_back_that_still_stand() -> None:
    """A cancelled order puts its part back; so does a giving back that was a mistake."""
    handed = Deposit(1, on(2), 700, Method.CASH, gives_back=3, number=4)
    account = DepositAccount(
        FIFTY,
        (DepositUse(8, 1, on(1), 3000), DepositUse(9, 2, on(1), 1000, put_back_on=on(4))),
        (GivenBack(handed), GivenBack(replace(handed, number=5), voided_on=on(3))),
    )
    assert (account.used, account.returned, account.left) == (3000, 700, 1300)
    assert account.last_day == on(4)


def test_nothing_is_left_of_a_deposit_that_was_taken_back() -> None:
    """It was never there."""
    account = DepositAccount(FIFTY, voided_on=on(1))
    assert account.left == account.free_from(on(2)) == 0
    with pytest.raises(RefusedError, match="it was voided on 2026-03-03"):
        check_taking(account, 1, on(2))


def test_money_that_a_later_day_needs_cannot_be_taken_earlier() -> None:
    """Used on the tenth and put back on the twentieth: on the fifth there is nothing to take, on the twentieth all."""
    account = DepositAccount(FIFTY, (DepositUse(8, 1, on(10), 5000, put_back_on=on(20)),))
    assert [account.free_from(on(day)) for day in (0, 5, 10, 19, 20, 30)] == [0, 0, 0, 0, 5000, 5000]
    with pytest.raises(RefusedError, match=r"amount is 0\.01; only 0\.00 is left of deposit 3 on 2026-03-07"):
        check_taking(account, 1, on(5))


EVENTS = st.lists(st.tuples(st.integers(0, 30), st.integers(1, 3000), st.integers(-1, 30)), max_size=6)
"""A use on a day, of an amount, put back so many days later; below zero never."""


@given(events=EVENTS, day=st.integers(0, 30))
def test_what_is_free_never_takes_a_deposit_below_zero_on_any_day(events: list[tuple[int, int, int]], day: int) -> None:
    """Whatever was taken as it was allowed, all that is free may be taken too, and not a cent more."""
    account = DepositAccount(FIFTY)
    for place, (start, amount, back) in enumerate(events):
        if amount <= account.free_from(on(start)):
            put_back = on(start + back) if back >= 0 else None
            account = replace(account, uses=(*account.uses, DepositUse(place, place, on(start), amount, put_back)))
    free = account.free_from(on(day))
    changes = [(account.deposit.day, 5000)]
    for use in account.uses:
        changes.append((use.day, -use.amount))
        if use.put_back_on:
            changes.append((use.put_back_on, use.amount))
    for taken, holds in ((free, True), (free + 1, False)):
        days = sorted({when for when, _ in changes} | {on(day)})
        daily = [sum(cents for when, cents in [*changes, (on(day), -taken)] if when == each) for each in days]
        assert (min(accumulate(daily)) >= 0) is holds
    assert account.left == 5000 - sum(use.amount for use in account.uses if use.put_back_on is None)


@pytest.mark.parametrize(
    ("amount", "day", "said"),
    [
        (5001, 0, r"amount is 50\.01; only 50\.00 is left of deposit 3 on 2026-03-02\. Take 50\.00 or less"),
        (100, -1, "day is 2026-03-01; the deposit is of 2026-03-02"),
    ],
)
def test_what_cannot_be_taken_is_refused(amount: int, day: int, said: str) -> None:
    """More than is left, or before it came."""
    with pytest.raises(RefusedError, match=said):
        check_taking(DepositAccount(FIFTY), amount, on(day))


@pytest.mark.parametrize("amount", [0, -1])
def test_a_deposit_of_nothing_or_less_is_refused(amount: int) -> None:
    """The sentence says how money goes back."""
    with pytest.raises(RefusedError, match=r"it must be more than 0.*deposit give-back"):
        replace(FIFTY, amount=amount)


def test_a_whole_card_number_is_never_kept() -> None:
    """The last four digits will do."""
    with pytest.raises(RefusedError, match="16 digits long; at most 4 digits are kept for a card deposit"):
        replace(FIFTY, method=Method.CARD, reference="4242424242424242")


def test_a_deposit_that_something_stands_on_is_not_taken_back() -> None:
    """An order paid with it, or money handed back, is undone first; once it is, only the days count."""
    used = DepositUse(8, 1, on(1), 3000)
    with pytest.raises(RefusedError, match="order 8 was paid with it"):
        check_deposit_can_be_voided(DepositAccount(FIFTY, (used,)))
    handed = GivenBack(Deposit(1, on(2), 700, Method.CASH, gives_back=3, number=4))
    with pytest.raises(RefusedError, match="Take 'deposit 4' back first"):
        check_deposit_can_be_voided(DepositAccount(FIFTY, (), (handed,)))
    undone = DepositAccount(FIFTY, (replace(used, put_back_on=on(5)),), (replace(handed, voided_on=on(6)),))
    assert check_deposit_can_be_voided(undone) == on(6)
