"""The books: entries balance, their form never changes, and the chain shows any change."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from datetime import date, timedelta
from itertools import accumulate

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import LedgerError
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting, UnbalancedError, chained
from shopledger.ledger.books.postings import payment_event
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Method, Order, Payment
from shopledger.ledger.parties import Address
from shopledger.money.tax import TaxRounding
from tests.counted import sale_event
from tests.documents import DOCUMENTS, named
from tests.ledger.test_orders import line
from tests.strategies import DAYS, SHOP_AMOUNTS, TEXTS

DAY = date(2026, 3, 2)
HOME = Address("18 Tansy Lane", "Millbrae", "OH", "43002")
SALE = Entry(DAY, "café", named("order 7"), (Posting(Account.RECEIVABLE, 9330), Posting(Account.SALES, -9330)))
ORDER = Order(
    1,
    DAY,
    HOME,
    (),
    (line(10000, 2500, tax=543), line(950, kind=LineKind.SHIPPING, tax=0)),
    TaxRounding.PER_LINE,
    number=7,
)


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """Balanced entries over two or three accounts."""
    first, second = draw(SHOP_AMOUNTS), draw(SHOP_AMOUNTS)
    accounts = draw(st.lists(st.sampled_from(Account), min_size=3, max_size=3))
    amounts = (first, second, -first - second)
    postings = tuple(Posting(account, amount) for account, amount in zip(accounts, amounts, strict=True))
    return Entry(draw(DAYS), draw(TEXTS), draw(DOCUMENTS), postings)


def test_an_entry_out_of_balance_is_refused_with_the_difference() -> None:
    """Debits equal credits to the cent."""
    with pytest.raises(UnbalancedError, match=r"'sale' is out of balance by 0\.01") as caught:
        Entry(DAY, "sale", named("order 7"), (Posting(Account.CASH, 100), Posting(Account.SALES, -99)))
    assert (caught.value.memo, caught.value.difference, caught.value.exit_code) == ("sale", 1, 30)


def test_postings_of_nothing_are_left_out() -> None:
    """An untaxed sale does not touch the tax account."""
    entry = Entry(DAY, "sale", named("order 7"), (*SALE.postings, Posting(Account.SALES_TAX_PAYABLE, 0)))
    assert entry.postings == SALE.postings


def test_an_entry_s_bytes_are_fixed() -> None:
    """Sorted keys, no spare space, UTF-8: what was hashed years ago can be made again."""
    assert SALE.canonical() == (
        '{"day":"2026-03-02","document":"order 7","memo":"café",'
        '"postings":[["receivable",9330],["sales",-9330]]}'.encode()
    )


def test_the_chain_hashes_the_head_before_and_the_entry() -> None:
    """SHA-256 over the 32 bytes of the last hash and the entry's bytes; the count goes up by one."""
    first = chained(EMPTY_HEAD, SALE)
    assert first == Head(1, hashlib.sha256(bytes(32) + SALE.canonical()).hexdigest())
    second = chained(first, SALE)
    assert second == Head(2, hashlib.sha256(bytes.fromhex(first.hash) + SALE.canonical()).hexdigest())


def test_a_head_is_printed_short() -> None:
    """Count and sixteen digits."""
    assert str(Head(12, "0123456789abcdef" * 4)) == "12-0123456789abcdef"
    assert str(EMPTY_HEAD) == "0-0000000000000000"


def head_of(booked: list[Entry]) -> Head:
    """The head after all entries."""
    return list(accumulate(booked, chained, initial=EMPTY_HEAD))[-1]


@given(st.lists(entries(), min_size=1, max_size=6), st.data())
def test_the_chain_detects_a_changed_missing_or_moved_entry(booked: list[Entry], data: st.DataObject) -> None:
    """Whatever is changed in any entry, the head is another."""
    place = data.draw(st.integers(0, len(booked) - 1))
    entry, head = booked[place], head_of(booked)
    more = Posting(Account.CASH, 1), Posting(Account.BANK, -1)
    for changed in (
        replace(entry, day=entry.day + timedelta(days=1)),
        replace(entry, memo=f"{entry.memo}."),
        replace(entry, document=replace(entry.document, number=entry.document.number + 1)),
        replace(entry, postings=(*entry.postings, *more)),
    ):
        assert head_of([*booked[:place], changed, *booked[place + 1 :]]).hash != head.hash
    assert head_of([*booked[:place], *booked[place + 1 :]]).hash != head.hash
    if booked[::-1] != booked:
        assert head_of(booked[::-1]).hash != head.hash


def test_each_account_that_fits_is_tied_to_schedule_c() -> None:
    """Gross receipts are line 1 (IRS Schedule C); what is owed or owned has no line."""
    receipts = {Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.SELLERS_TAX_CHARGED}
    assert {account for account in Account if account.schedule_c == "1"} == receipts
    assert len({account.title for account in Account}) == len(Account)


def test_what_left_is_owed_and_earned() -> None:
    """100.00 goods less 25.00, 9.50 shipping, 5.43 tax: 89.93 owed by the customer."""
    assert sale_event(ORDER).entry() == Entry(
        DAY,
        "sale, order 7",
        named("order 7"),
        (
            Posting(Account.RECEIVABLE, 8993),
            Posting(Account.DISCOUNTS, 2500),
            Posting(Account.SALES, -10000),
            Posting(Account.SHIPPING_INCOME, -950),
            Posting(Account.SALES_TAX_PAYABLE, -543),
        ),
    )


@pytest.mark.parametrize(
    ("method", "account"),
    [
        (Method.CARD, Account.CARD_CLEARING),
        (Method.CASH, Account.CASH),
        (Method.CHECK, Account.BANK),
        (Method.TRANSFER, Account.BANK),
    ],
)
def test_a_payment_goes_where_its_method_says(method: Method, account: Account) -> None:
    """Money in by its method; the customer owes that much less."""
    entry = payment_event(Payment(7, DAY, 5000, method, number=30), ORDER).entry()
    assert entry.postings == (Posting(account, 5000), Posting(Account.RECEIVABLE, -5000))
    assert (entry.memo, entry.document) == (f"{method.value} payment, order 7", named("payment 30"))


def test_what_is_stored_has_a_number() -> None:
    """The number of something stored is given; what is not stored yet has none."""
    assert number_of(ORDER) == 7
    with pytest.raises(LedgerError, match="order has no number yet; it must be stored first"):
        number_of(replace(ORDER, number=None))
