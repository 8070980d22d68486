"""Money that moves: posted, warned of when odd, and added up to what lies where on any day."""

from __future__ import annotations

from collections import Counter
from dataclasses import replace
from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.banking import balances, moves, plan_move, record_move
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import WHOLE, CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.store.refusals import MonthClosedError
from tests.desk.books import everything, notes, on_both, postings
from tests.desk.family import DISTANCE, TWICE, later, ordered
from tests.desk.test_spending import close
from tests.rows import rows
from tests.shelf import CUSTOMER, SHADES

DAY = date(2026, 3, 2)
SHADES_TAX = 326
"""Sunglasses for 45.00 at 7.25 % in Ohio: 3.2625."""


def moved(
    kind: MoveKind, amount: int, till: CashAccount = CashAccount.BANK, day: date = DAY, **more: int | str
) -> MoneyMove:
    """Give a move of money on the day of the test."""
    return replace(MoneyMove(day, MoveKind.DRAW, till, amount), kind=kind, **more)  # type: ignore[arg-type]


def lies(desk: Desk, day: date | None = None) -> dict[str, int]:
    """Give what lies where or is owed, without the accounts at zero."""
    return {account.title: cents for account, cents in balances(desk, day) if cents}


@pytest.fixture
def paid_by_card(desk: Desk) -> Desk:
    """Sell a pair for 180.00, paid by card."""
    record_sale(desk, ordered(DISTANCE, payments=(PaymentRequest(18_000, Method.CARD, "4242"),)))
    return desk


@on_both
def test_a_payout_clears_what_the_processor_held(paid_by_card: Desk) -> None:
    """The bank sees it less the fee, which is an expense."""
    before = len(postings(paid_by_card))
    plan = record_move(paid_by_card, moved(MoveKind.PAYOUT, 18_000, fee=552, reference="P-88"))
    assert (plan.move.number, plan.findings) == (1, ())
    assert postings(paid_by_card)[before:] == [
        ("money 1", "bank", 17_448),
        ("money 1", "commissions and fees", 552),
        ("money 1", "card clearing", -18_000),
    ]
    assert lies(paid_by_card) == {"bank": 17_448}
    with paid_by_card.reading() as work:
        assert work.money_moves.get(1) == plan.move


@on_both
def test_what_lies_where_is_told_for_any_day(desk: Desk) -> None:
    """Each day holds what was recorded up to its end; what is owed stands above zero."""
    record_move(desk, moved(MoveKind.OPENING, 50_000, day=date(2026, 2, 27)))
    record_move(desk, moved(MoveKind.OPENING, 8_000, CashAccount.CASH, date(2026, 2, 28)))
    record_move(desk, moved(MoveKind.BANKED, 3_000))
    card = Expense(DAY, "Quill & Co", ExpenseCategory.OFFICE, "paper", 1_999, SpendMethod.CARD, "4242")
    record_expense(desk, card)
    assert lies(desk, date(2026, 2, 26)) == {}
    assert lies(desk, date(2026, 2, 27)) == {"bank": 50_000}
    assert lies(desk, date(2026, 2, 28)) == {"bank": 50_000, "cash": 8_000}
    assert lies(desk) == lies(desk, DAY) == {"bank": 53_000, "cash": 5_000, "credit card owed": 1_999}
    with pytest.raises(RefusedError, match="it lies after today"):
        balances(desk, date(2026, 3, 3))


@on_both
@pytest.mark.parametrize(
    ("move", "code"),
    [
        (moved(MoveKind.PAYOUT, 1), "PAYOUT-ABOVE-CLEARING"),
        (moved(MoveKind.BANKED, 1), "CASH-SHORT"),
        (moved(MoveKind.DRAW, 1, CashAccount.CASH), "CASH-SHORT"),
        (moved(MoveKind.CARD_PAID, 1), "CARD-ABOVE-OWED"),
        (moved(MoveKind.TAX_PAID, 1, state="OH"), "TAX-ABOVE-OWED"),
        (moved(MoveKind.TAX_PAID, 1, CashAccount.CASH, state="OH"), "CASH-SHORT"),
    ],
)
def test_more_than_lies_there_or_is_owed_needs_a_yes(desk: Desk, move: MoneyMove, code: str) -> None:
    """Nothing is stored without one; with it, who said it is written down."""
    before = everything(desk)
    with pytest.raises(FindingsRefusedError, match=code):
        record_move(desk, move)
    assert everything(desk) == before
    codes = frozenset(finding.code for finding in plan_move(desk, move).findings)
    assert record_move(desk, move, codes).move.number == 1
    assert ("tester", "accepted a warning", f"money 1 {code}") in notes(desk)


def test_a_bank_account_may_be_overdrawn(desk: Desk) -> None:
    """The books need not know of all that lies there."""
    assert plan_move(desk, moved(MoveKind.WITHDRAWAL, 9_000, CashAccount.CASH)).findings == ()
    assert plan_move(desk, moved(MoveKind.DRAW, 9_000)).findings == ()


def test_cash_that_a_later_day_spent_is_not_there_before(desk: Desk) -> None:
    """10.00 came in on the first and was banked on the second: nothing can be taken on the first any more."""
    record_move(desk, moved(MoveKind.CONTRIBUTION, 1_000, CashAccount.CASH, date(2026, 3, 1)))
    record_move(desk, moved(MoveKind.BANKED, 1_000))
    assert [
        finding.code
        for finding in plan_move(desk, moved(MoveKind.DRAW, 1, CashAccount.CASH, date(2026, 3, 1))).findings
    ] == ["CASH-SHORT"]


@on_both
def test_the_same_move_twice_and_a_second_opening_need_a_yes(desk: Desk) -> None:
    """Kind, till, day, amount and state are the same; one that was voided does not count."""
    record_move(desk, moved(MoveKind.OPENING, 50_000))
    record_move(desk, moved(MoveKind.CONTRIBUTION, 7_000))
    for move, code in (
        (moved(MoveKind.OPENING, 1), "OPENED-TWICE"),
        (moved(MoveKind.CONTRIBUTION, 7_000), "MONEY-TWICE"),
    ):
        assert [finding.code for finding in plan_move(desk, move).findings] == [code]
    assert plan_move(desk, moved(MoveKind.OPENING, 1, CashAccount.CASH)).findings == ()
    assert plan_move(desk, moved(MoveKind.CONTRIBUTION, 7_001)).findings == ()
    void_document(desk, Document(DocumentKind.MONEY, 1), "typed twice")
    assert plan_move(desk, moved(MoveKind.OPENING, 1)).findings == ()


@on_both
def test_sales_tax_owed_to_a_state_falls_by_what_is_paid_refunded_and_cancelled(desk: Desk) -> None:
    """Three pairs of sunglasses: one left and is refunded, one cancelled, and the tax of the third may be handed on."""
    # Tax is owed of what left: of nothing before, 3.26 for each pair.
    shades = OrderRequest(CUSTOMER, accessories=(AccessoryRequest(SHADES.code),), shipping=0, accept=TWICE)

    def owed(state: str = "OH", day: date | None = None) -> int:
        with desk.reading() as work:
            return work.balances.sales_tax_owed(state, day)

    for _ in range(3):
        record_sale(desk, shades)
        assert owed() == 0
    for place, number in enumerate((1, 3), start=1):
        ship_order(desk, number, "post")
        assert owed() == place * SHADES_TAX
    take_payment(desk, 1, PaymentRequest(4_500 + SHADES_TAX, Method.CHECK, "11"))
    give_refund(desk, 1, RefundRequest(Method.CHECK, "scratched", (RefundedLine(1),)))
    cancel_order(desk, 2, "changed her mind")
    assert (owed(), owed("NY"), owed(day=date(2026, 3, 1))) == (SHADES_TAX, 0, 0)
    paid = moved(MoveKind.TAX_PAID, SHADES_TAX, state="OH", fee=2)
    record_move(desk, paid)
    assert owed() == 0
    assert lies(desk).get("sales tax payable", 0) == 0
    void_document(desk, Document(DocumentKind.MONEY, 1), "bounced")
    assert owed() == lies(desk)["sales tax payable"] == SHADES_TAX


@on_both
def test_a_day_to_come_and_a_closed_month_take_no_money(desk: Desk) -> None:
    """Nothing is stored."""
    close(desk, Month(2026, 2))
    before = everything(desk)
    with pytest.raises(RefusedError, match="it lies after today"):
        record_move(desk, moved(MoveKind.CONTRIBUTION, 1, day=date(2026, 3, 3)))
    with pytest.raises(MonthClosedError, match="the month 2026-02 is closed"):
        record_move(desk, moved(MoveKind.CONTRIBUTION, 1, day=date(2026, 2, 3)))
    assert everything(desk) == before


def test_moves_are_listed_by_day(desk: Desk) -> None:
    """One that was voided is listed again below zero, in the month of that day."""
    record_move(desk, moved(MoveKind.CONTRIBUTION, 7_000))
    record_move(desk, moved(MoveKind.OPENING, 100, day=date(2026, 2, 1)))
    void_document(later(desk, date(2026, 4, 1)), Document(DocumentKind.MONEY, 1), "not mine")
    assert [(each.day.month, each.what.number, each.sign) for each in moves(desk)] == [(2, 2, 1), (3, 1, 1), (4, 1, -1)]
    assert [each.what.number for each in moves(desk, Month(2026, 2))] == [2]
    assert [(each.what.number, each.voided) for each in moves(desk, Month(2026, 4))] == [(1, "not mine")]


DEEDS = st.lists(
    st.tuples(
        st.sampled_from([*MoveKind, *SpendMethod]),
        st.sampled_from(CashAccount),
        st.integers(1, 90_000),
        st.integers(1, 28),
        st.booleans(),
    ),
    max_size=8,
)
ANY = frozenset({"CASH-SHORT", "PAYOUT-ABOVE-CLEARING", "RELEASE-ABOVE-RESERVE", "CARD-ABOVE-OWED", "TAX-ABOVE-OWED",
                 "OPENED-TWICE", "MONEY-TWICE", "EXPENSE-TWICE"})  # fmt: skip
INTO = {MoveKind.CONTRIBUTION, MoveKind.OTHER_INCOME, MoveKind.OPENING}


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(deeds=DEEDS, day=st.integers(1, 28))
def test_the_cash_is_what_came_in_less_what_went_out(
    desk: Desk, deeds: list[tuple[MoveKind | SpendMethod, CashAccount, int, int, bool]], day: int
) -> None:
    """Counted by hand beside the program, for any day, with some of it taken back on the 28th."""
    until = date(2026, 2, day)
    before = lies(desk, until).get("cash", 0)
    counted: Counter[str] = Counter()
    for kind, till, amount, when, mistaken in deeds:
        change = _record(desk, kind, till, amount, date(2026, 2, when))
        counted["cash"] += change if when <= day else 0
        if mistaken:
            document = (
                Document(DocumentKind.EXPENSE, _last(desk, "expense"))
                if isinstance(kind, SpendMethod)
                else Document(DocumentKind.MONEY, _last(desk, "money"))
            )
            void_document(desk, document, "a mistake", date(2026, 2, 28), ANY)
            counted["cash"] -= change if day == 28 else 0
    after = lies(desk, until).get("cash", 0)
    assert after - before == counted["cash"]
    with desk.reading() as work:
        work.journal.verify()
        assert sum(work.balances.all().values()) == 0
        assert work.balances.of(Account.CASH, until) == after


def _record(desk: Desk, kind: MoveKind | SpendMethod, till: CashAccount, amount: int, day: date) -> int:
    """Record one deed; gives what it does to the cash, counted by hand."""
    if isinstance(kind, SpendMethod):
        record_expense(desk, Expense(day, "Anyone", ExpenseCategory.OFFICE, "goods", amount, kind), accept=ANY)
        return -amount if kind is SpendMethod.CASH else 0
    fixed = {
        MoveKind.PAYOUT: CashAccount.BANK,
        MoveKind.BANKED: CashAccount.BANK,
        MoveKind.WITHDRAWAL: CashAccount.CASH,
        MoveKind.CARD_PAID: CashAccount.BANK,
        **dict.fromkeys(WHOLE, CashAccount.BANK),
    }
    move = MoneyMove(
        day, kind, fixed.get(kind, till), amount, state="OH" if kind is MoveKind.TAX_PAID else "", note="any"
    )
    record_move(desk, move, ANY)
    if kind in {MoveKind.BANKED, MoveKind.WITHDRAWAL}:
        return amount if kind is MoveKind.WITHDRAWAL else -amount
    return 0 if move.till is CashAccount.BANK else (amount if kind in INTO else -amount)


def _last(desk: Desk, counter: str) -> int:
    with desk.reading() as work:
        return int(rows(work, "counter", {"name": counter})[0].last)
