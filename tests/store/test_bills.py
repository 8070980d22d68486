"""Bills come back as they were stored, on both databases."""

from __future__ import annotations

from dataclasses import replace
from datetime import UTC, date, datetime

from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.ledger.books.bills import Bill, BillAccount, BillLine, BillLineKind, BillPayment, carried
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import StockedKind
from shopledger.store.opening import Ledger
from tests.strategies import DAYS, PRICES

NOW = datetime(2026, 3, 2, 10, 30, tzinfo=UTC)
WORDS = st.text(st.characters(categories=["L", "N", "P", "S", "Zs"]), max_size=30)
GOODS = st.builds(
    BillLine,
    kind=st.just(BillLineKind.STOCK),
    amount=PRICES,
    description=WORDS,
    item_kind=st.sampled_from(StockedKind),
    item_code=st.sampled_from(["WREN-52", "CASE"]),
    quantity=st.integers(1, 99),
)
SPENT = st.builds(
    BillLine,
    kind=st.just(BillLineKind.EXPENSE),
    amount=PRICES,
    description=WORDS,
    category=st.sampled_from(ExpenseCategory),
)
FREIGHT = st.builds(BillLine, kind=st.just(BillLineKind.FREIGHT), amount=PRICES)
LINES = st.tuples(GOODS, st.lists(GOODS | SPENT | FREIGHT, max_size=4)).map(
    lambda drawn: carried([drawn[0], *drawn[1]])
)
BILLS = st.builds(Bill, st.just(1), DAYS, LINES, WORDS, note=WORDS)
Paid = list[tuple[int, SpendMethod, date]]
PAID = st.lists(st.tuples(PRICES, st.sampled_from(SpendMethod), DAYS), max_size=2)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(BILLS, PAID)
def test_a_bill_comes_back_as_it_was_stored(ledger: Ledger, bill: Bill, paid: Paid) -> None:
    """With its lines in order and its payments; alone as in the list."""
    with ledger.writing("tester", NOW) as work:
        supplier = next(iter(work.suppliers.all()), None) or work.suppliers.add(Supplier("Tollgate Frames"))
        stored = work.bills.add(replace(bill, due_on=bill.day))
        number = number_of(stored)
        payments = tuple(
            work.bills.add_payment(BillPayment(number, day, amount, method)) for amount, method, day in paid
        )
    with ledger.reading() as work:
        expected = BillAccount(replace(bill, due_on=bill.day, number=number), supplier.name, payments)
        assert work.bills.account(number) == expected
        assert work.bills.accounts()[0] == expected
        assert [work.bills.payment(number_of(each)) for each in payments] == list(payments)
        if bill.invoice:
            assert work.bills.same_invoice(1, f" {bill.invoice} ") is not None
