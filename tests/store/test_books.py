"""The journal is a chain that shows any change; stock and months add up from what was posted."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.ledger.books.customer_rows import PaymentRow, SalesRow, TaxRow
from shopledger.ledger.books.figures import PeriodTotals
from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Head, Posting, chained
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.posted_rows import StockRow
from shopledger.ledger.orders import Method, Payment
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.guards import lift_guards
from shopledger.store.opening import Ledger
from shopledger.store.refusals import JournalBrokenError
from tests.counted import keep_sale
from tests.documents import named
from tests.shelf import CASE, CUSTOMER, SINGLE, WREN
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.strategies import DAYS, PRICES

MARCH = Month(2026, 3)


def an_entry(number: int, amount: int = 100, day: date = DAY) -> Entry:
    """Give a balanced entry."""
    return Entry(
        day,
        f"sale {number}",
        named(f"order {number}"),
        (Posting(Account.CASH, amount), Posting(Account.SALES, -amount)),
    )


def test_each_entry_is_chained_to_the_one_before(ledger: Ledger) -> None:
    """The head counts the entries and carries the hash that the ledger's own rule gives."""
    head = EMPTY_HEAD
    with ledger.writing(OPERATOR, NOW) as work:
        assert work.journal.head() == EMPTY_HEAD
        assert work.journal.verify() == EMPTY_HEAD
        for number in range(1, 4):
            head = chained(head, an_entry(number))
            assert work.journal.post(an_entry(number)) == head
            assert work.journal.head() == head
        assert work.journal.verify() == head == Head(3, head.hash)


@settings(max_examples=20, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(
    amounts=st.lists(PRICES, max_size=4),
    day=DAYS,
    memo=st.text(st.characters(codec="utf-8", exclude_categories=["Cc"]), min_size=1),
)
def test_any_entry_verifies_from_the_database(ledger: Ledger, amounts: list[int], day: date, memo: str) -> None:
    """What is read back has the same canonical form, whatever its words and amounts."""
    postings = [Posting(Account.BANK, amount) for amount in amounts]
    entry = Entry(day, memo, named("order 1"), (*postings, Posting(Account.SALES, -sum(amounts))))
    with ledger.writing(OPERATOR, NOW) as work:
        head = work.journal.post(entry)
    with ledger.reading() as work:
        assert work.journal.verify() == head


@pytest.mark.parametrize(
    ("deed", "number"),
    [
        ("UPDATE journal_posting SET amount = amount * 2 WHERE entry_number = 2", 2),
        ("UPDATE journal_posting SET amount = amount + 1 WHERE entry_number = 2 AND position = 1", 2),
        ("UPDATE journal_entry SET memo = 'other' WHERE number = 3", 3),
        ("UPDATE journal_entry SET day = '2026-03-03' WHERE number = 1", 1),
        ("UPDATE journal_entry SET day = '2026-99-03' WHERE number = 1", 1),
        ("DELETE FROM journal_posting WHERE entry_number = 2; DELETE FROM journal_entry WHERE number = 2", 2),
    ],
)
def test_a_change_from_outside_is_found_at_its_entry(ledger: Ledger, deed: str, number: int) -> None:
    """An amount, a word, a day or a whole entry that was changed breaks the chain there."""
    with ledger.writing(OPERATOR, NOW) as work:
        for each in range(1, 5):
            work.journal.post(an_entry(each))
    with ledger.writing(OPERATOR, NOW) as work:
        lift_guards(work.transaction.connection)
        for statement in deed.split(";"):
            work.transaction.connection.exec_driver_sql(statement)
        with pytest.raises(JournalBrokenError, match=f"journal entry {number} does not fit"):
            work.journal.verify()


@pytest.fixture
def traded(ledger: Ledger) -> Ledger:
    """Give a ledger with stock movements, sales and payments over three months."""
    furnish(ledger)
    with ledger.writing(OPERATOR, NOW) as work:
        bring, take = work.stock.bring, work.stock.take
        bring(StockMovement(date(2026, 2, 1), StockedKind.FRAME, WREN.code, 5, 30_000, StockReason.OPENING))
        bring(StockMovement(date(2026, 3, 1), StockedKind.ACCESSORY, CASE.code, 9, 2_700, StockReason.RECEIVED))
        bring(StockMovement(date(2026, 3, 31), StockedKind.FRAME, WREN.code, 4, 26_000, StockReason.RECEIVED))
        for day in (date(2026, 2, 28), DAY, date(2026, 3, 31), date(2026, 4, 1)):
            order = work.orders.add(an_order(day=day))
            keep_sale(work, order)
            take(StockMovement(day, StockedKind.FRAME, WREN.code, -1, 0, StockReason.SOLD, order.number))
            work.payments.add(Payment(order.number or 0, day, order.total - 1, Method.CARD, "4242"))
        take(StockMovement(date(2026, 3, 5), StockedKind.FRAME, WREN.code, -1, 0, StockReason.ADJUSTED))
        bring(StockMovement(date(2026, 4, 5), StockedKind.FRAME, WREN.code, 2, 14_000, StockReason.RECEIVED))
    return ledger


def test_what_is_on_hand_is_the_sum_of_the_movements(traded: Ledger) -> None:
    """The running count equals the movements added up, item by item."""
    with traded.reading() as work:
        sums = work.transaction.asked(
            "SELECT kind, item_code, SUM(quantity) AS total FROM stock_movement GROUP BY 1, 2 ORDER BY 1, 2"
        )
        assert [(level.kind.value, level.item_code, level.on_hand) for level in work.stock.levels()] == [
            (row.kind, row.item_code, int(row.total)) for row in sums
        ]
        assert work.stock.level(StockedKind.FRAME, WREN.code).on_hand == 6
        assert work.stock.level(StockedKind.FRAME, "LARK-48").on_hand == 0


def test_the_last_cost_is_what_was_last_paid(traded: Ledger) -> None:
    """Goods that go out do not change it; before any came in, the catalogue says it."""
    with traded.reading() as work:
        assert work.stock.level(StockedKind.FRAME, WREN.code).last_cost == 7000
        assert work.stock.level(StockedKind.FRAME, "LARK-48").last_cost == 4100
        assert work.stock.level(StockedKind.FRAME, "NOTHING").last_cost == 0


def test_a_month_counts_its_own_days_and_no_others(traded: Ledger) -> None:
    """The first and the last day belong to it; two orders of 284.00 list, 80.00 off and 1.74 tax."""
    with traded.reading() as work:
        assert work.reports.totals(MARCH.days) == PeriodTotals(2, 56_800, 16_000, 40_800, 348, 2 * (20_400 + 174 - 1))
        assert work.reports.totals(Month(2025, 1).days) == PeriodTotals(0, 0, 0, 0, 0, 0)


def test_the_rows_of_a_month_come_to_its_totals(traded: Ledger) -> None:
    """Sales lines, tax and payments each add up to the month's own figures."""
    with traded.reading() as work:
        totals = work.reports.totals(MARCH.days)
        sales = list(work.reports.rows(SalesRow, MARCH.days))
        assert sum(row.net for row in sales) == totals.net_total
        assert sum(row.list_price - row.reduction for row in sales) == totals.net_total
        assert sum(row.tax for row in work.reports.rows(TaxRow, MARCH.days)) == totals.tax_total
        assert sum(row.sales for row in work.reports.rows(TaxRow, MARCH.days)) == totals.net_total
        assert sum(row.amount for row in work.reports.rows(PaymentRow, MARCH.days)) == totals.payments_total


def test_a_month_s_rows_name_what_the_tax_preparer_asks_for(traded: Ledger) -> None:
    """Day, order, customer, state, goods and amounts of a line; method, reference and sales tax of a payment."""
    with traded.reading() as work:
        sales, payments = list(work.reports.rows(SalesRow, MARCH.days)), list(work.reports.rows(PaymentRow, MARCH.days))
        tax = list(work.reports.rows(TaxRow, MARCH.days))
    assert [row.order_number for row in sales] == [2, 2, 2, 3, 3, 3]
    assert sales[1] == SalesRow(
        DAY,
        2,
        CUSTOMER,
        "OH",
        "lenses",
        SINGLE.code,
        SINGLE.name,
        1,
        8000,
        8000,
        0,
        "prescription eyewear",
        0,
    )
    assert sales[2] == SalesRow(
        DAY, 2, CUSTOMER, "OH", "accessory", CASE.code, CASE.name, 2, 2400, 0, 2400, "accessory", 174
    )
    assert payments[0] == PaymentRow(DAY, 2, CUSTOMER, "card", "4242", 20_573, None, 174)
    assert tax == [TaxRow("OH", "accessory", 72_500, 4800, 348), TaxRow("OH", "prescription eyewear", 0, 36_000, 0)]


def test_a_month_s_stock_begins_where_the_last_one_ended(traded: Ledger) -> None:
    """Opening and the month's movements come to closing, at what the goods on hand cost: the oldest left first."""
    with traded.reading() as work:
        march, april = (
            list(work.reports.rows(StockRow, MARCH.days)),
            list(work.reports.rows(StockRow, Month(2026, 4).days)),
        )
    assert march == [
        StockRow(CASE.code, CASE.name, came=9, came_value=2_700),
        StockRow(WREN.code, WREN.description, 4, 24_000, 4, 26_000, 2, 12_000, -1, -6_000),
    ]
    assert [(row.closing, row.value) for row in march] == [(9, 2_700), (5, 32_000)]
    assert [row.opening for row in april] == [row.closing for row in march]
    assert [row.opening_value for row in april] == [row.value for row in march]
    assert april[1] == StockRow(WREN.code, WREN.description, 5, 32_000, 2, 14_000, 1, 6_000)
