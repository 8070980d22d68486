"""Bills as values: freight lands whole, and what cannot be billed is refused."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.bills import (
    Bill,
    BillAccount,
    BillLine,
    BillLineKind,
    BillPayment,
    SupplierCredit,
    carried,
    refuse_voided,
)
from shopledger.ledger.books.journal import Account, Posting
from shopledger.ledger.books.margins import JobCosts, Margin
from shopledger.ledger.books.postings import bill_entry, credit_entry, remake_entry
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.inspections import Remake
from shopledger.ledger.stock import StockedKind
from tests.documents import named

DAY = date(2026, 3, 2)
AMOUNTS = st.integers(1, 1_000_000)


def goods(amount: int, code: str = "WREN-52") -> BillLine:
    """Give a line of two frames."""
    return BillLine(BillLineKind.STOCK, amount, item_kind=StockedKind.FRAME, item_code=code, quantity=2)


def job(amount: int, number: int = 1) -> BillLine:
    """Give a line of lab work."""
    return BillLine(BillLineKind.JOB, amount, job_number=number)


def spent(amount: int) -> BillLine:
    """Give a line of supplies."""
    return BillLine(BillLineKind.EXPENSE, amount, category=ExpenseCategory.SUPPLIES)


def freight(amount: int) -> BillLine:
    """Give a line of freight."""
    return BillLine(BillLineKind.FREIGHT, amount, "freight")


LINES = st.lists(st.builds(goods, AMOUNTS) | st.builds(job, AMOUNTS) | st.builds(spent, AMOUNTS), max_size=6)


@given(LINES, AMOUNTS, st.lists(AMOUNTS, max_size=3))
def test_all_of_a_bill_lands(lines: list[BillLine], carrier: int, carried_along: list[int]) -> None:
    """The landed costs come to the total; expenses carry nothing, and no share is a cent off its exact value."""
    whole = [*lines, goods(carrier), *(freight(amount) for amount in carried_along)]
    landed = carried(whole)
    bill = Bill(1, DAY, landed, number=3)
    assert sum(line.landed for line in landed) == bill.total
    assert all(line.landed == line.amount for line in landed if line.kind is BillLineKind.EXPENSE)
    weights = sum(line.amount for line in whole if line.kind.carries)
    for line in landed:
        if line.kind.carries:
            exact = line.amount * sum(carried_along)
            assert abs((line.landed - line.amount) * weights - exact) < weights
    entry = bill_entry(bill, "Tollgate Frames", {1: Account.WORK_IN_PROGRESS})
    assert sum(posting.amount for posting in entry.postings) == 0
    assert entry.postings[-1] == Posting(Account.ACCOUNTS_PAYABLE, -bill.total)


def test_freight_over_goods_free_of_charge_is_shared_equally() -> None:
    """They weigh nothing, and all the same it cost something to send them."""
    assert [line.landed for line in carried([goods(0), goods(0, "LARK-48"), freight(501)])] == [251, 250, 0]


def test_freight_without_goods_or_a_job_is_refused() -> None:
    """An expense is what it is; the sentence says how to put the freight there."""
    with pytest.raises(RefusedError, match=r"freight is 9\.00; the bill has no goods and no job to carry it"):
        carried([spent(500), freight(900)])


@pytest.mark.parametrize(
    ("kind", "more", "words"),
    [
        (BillLineKind.JOB, {"job_number": 3}, "amount of job 3"),
        (BillLineKind.EXPENSE, {"category": ExpenseCategory.RENT}, "amount of rent of premises"),
        (BillLineKind.FREIGHT, {}, "amount of freight"),
    ],
)
@pytest.mark.parametrize(("amount", "shown"), [(0, r"0\.00"), (-1, r"-0\.01")])
def test_a_line_of_nothing_is_refused(
    kind: BillLineKind, more: dict[str, object], words: str, amount: int, shown: str
) -> None:
    """Only goods may be free of charge."""
    with pytest.raises(RefusedError, match=f"{words} is {shown}; it must be more than 0"):
        BillLine(kind, amount, **more)  # type: ignore[arg-type]  # one field each, as the case names it


def test_a_bill_knows_its_days_and_its_lines() -> None:
    """It is due on its own day at the earliest, holds something, and its freight was shared before."""
    line = replace(goods(500), landed=500)
    assert Bill(1, DAY, (line,), due_on=DAY).total == 500
    with pytest.raises(RefusedError, match="due day is 2026-03-01; the bill is of 2026-03-02"):
        Bill(1, DAY, (line,), due_on=date(2026, 3, 1))
    with pytest.raises(RefusedError, match="bill is empty"):
        Bill(1, DAY, ())
    with pytest.raises(RefusedError, match=r"landed cost is 5\.00; the bill comes to 14\.00"):
        Bill(1, DAY, (line, freight(900)))


def test_a_bill_s_balance_is_what_is_left_of_it() -> None:
    """Payments and credits lower it, to below zero in the shop's favour; taken back it owes nothing."""
    bill = Bill(1, DAY, carried([goods(1000)]), number=7)
    payment = BillPayment(7, DAY, 800, SpendMethod.BANK)
    credit = SupplierCredit(7, 12, DAY, "WREN-52", 1, 500, 450, "hinge loose")
    account = BillAccount(bill, "Tollgate Frames", (payment,), (credit,))
    assert (account.paid, account.credited, account.balance) == (800, 450, -250)
    gone = replace(account, voided=DAY)
    assert gone.balance == 0
    with pytest.raises(RefusedError, match="bill is 7; it was voided on 2026-03-02"):
        refuse_voided(gone)


def test_a_card_s_number_is_never_kept() -> None:
    """Four digits of a card will do; a check's number may be longer."""
    assert BillPayment(1, DAY, 5, SpendMethod.CARD, "4242").reference == "4242"
    assert BillPayment(1, DAY, 5, SpendMethod.BANK, "000118700").reference == "000118700"
    with pytest.raises(RefusedError, match="16 digits long; at most 4 digits are kept for a card payment"):
        BillPayment(1, DAY, 5, SpendMethod.CARD, "4000 1234 1234 1234")


def test_each_line_has_its_account() -> None:
    """A job's is where its costs stand by then; freight has none, since others carry it."""
    lines = carried((goods(5), job(6, 3), spent(7), freight(11)))
    entry = bill_entry(Bill(1, DAY, lines, number=3), "Tollgate Frames", {3: Account.LENSES})
    moved = {posting.account: posting.amount for posting in entry.postings}
    assert moved == {
        Account.INVENTORY: 10, Account.LENSES: 12, Account.SUPPLIES: 7, Account.ACCOUNTS_PAYABLE: -29
    }  # fmt: skip


def test_goods_sent_back_for_more_than_they_cost_are_a_gain() -> None:
    """The stock difference is then a credit."""
    credit = SupplierCredit(7, 12, DAY, "WREN-52", 1, 6000, 6500, "recalled")
    assert credit_entry(credit, "Tollgate Frames").postings == (
        Posting(Account.ACCOUNTS_PAYABLE, 6500),
        Posting(Account.STOCK_DIFFERENCES, -500),
        Posting(Account.INVENTORY, -6000),
    )


def test_a_remake_leaves_the_account_its_job_stands_in() -> None:
    """Its document is the remake's own."""
    entry = remake_entry(Remake(3, DAY, "scratched", 900, number=4), Account.LENSES)
    assert (entry.document, entry.postings) == (
        named("remake 4"),
        (Posting(Account.SCRAP, 900), Posting(Account.LENSES, -900)),
    )


@pytest.mark.parametrize(
    ("margin", "amount", "tenths"),
    [
        (Margin(18000, 6200, 2500), 9300, 517),  # 93 / 180 = 51.666… %
        (Margin(10000, 6000, 5000), -1000, -100),
        (Margin(0, 0, 2500), -2500, None),
    ],
)
def test_a_margin_is_what_is_left_of_the_charge(margin: Margin, amount: int, tenths: int | None) -> None:
    """In tenths of a per cent, rounded once; where nothing was charged there is no per cent."""
    assert (margin.amount, margin.tenths) == (amount, tenths)


def test_what_is_scrapped_is_no_longer_in_work() -> None:
    """A remake may be known before its bill: then less than nothing is in work until the bill comes."""
    assert JobCosts(1, billed=2500, scrapped=900).in_work == 1600
    assert JobCosts(1, scrapped=900).in_work == -900
