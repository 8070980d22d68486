"""Payments put right at the desk: sent back, disputed, mistaken, moved, never paid; before and after shipping.

Gross of card payments by the day of the transaction: 26 CFR 1.6050W-1(a)(6), read as quoted by a tax firm. That the
form counts before refunds and fees: IRS questions and answers on Form 1099-K, read. That a cash-basis shop has no loss
from what was never paid: IRS Publication 334, bad debts, value from memory.
"""

from __future__ import annotations

from collections.abc import Callable
from datetime import date
from pathlib import Path

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.desk.books.closing import plan_closing, prove_books
from shopledger.desk.books.deposits import (
    DepositRequest,
    GiveBackRequest,
    deposit_card,
    give_back,
    pay_from_deposit,
    take_deposit,
)
from shopledger.desk.books.reports import card_days, export_period, export_year, period_figures, year_figures
from shopledger.desk.books.stocking import receive_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.fixing import what_can_be_done
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.payment_corrections import (
    correct_payment,
    end_dispute,
    move_payment,
    plan_payment_change,
    plan_payment_move,
    plan_payment_reversal,
    plan_reviving,
    plan_writing_off,
    reverse_payment,
    revive_rest,
    write_rest_off,
)
from shopledger.desk.people import add_customer
from shopledger.desk.receipts import issue_receipt, replace_receipt
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.books.customer_rows import PaymentEvent, PaymentRow
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.figures import BetweenLine
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.payment_corrections import Change, Move, Outcome, Reversal, WriteOff
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.remedies import Fixable
from shopledger.ledger.settings import Accounting
from shopledger.ledger.stock import StockedKind
from shopledger.money.rate import round_half_away
from tests.desk.books import everything, notes, on_both, postings
from tests.desk.family import DISTANCE, FAMILY_ORDER, TWICE, inspected, later, ordered
from tests.desk.test_spending import close
from tests.shelf import CASE, CHILD, CUSTOMER, HOME, SHADES, WREN

pytestmark = pytest.mark.slow

MARCH = Month(2026, 3)
PAID_ON, NOW = date(2026, 3, 9), date(2026, 3, 12)
BOUNCED = Reversal(1, "not enough funds", fee=1_200, charge=1_500)
DISPUTED = Reversal(2, "says it was not her", amount=5_000, fee=2_000)
SUNGLASSES = OrderRequest(CUSTOMER, (), (AccessoryRequest(SHADES.code, wearer=CHILD),), shipping=0, accept=TWICE)
"""45.00 with 3.26 of sales tax."""


@pytest.fixture
def paid(desk: Desk) -> Desk:
    """Sell a pair for 180.00, paid on 9 March by a check of 100.01 and a card payment of 79.99; it is 12 March."""
    record_sale(desk, ordered(DISTANCE))
    paying = later(desk, PAID_ON)
    take_payment(paying, 1, PaymentRequest(10_001, Method.CHECK, "1187"))
    take_payment(paying, 1, PaymentRequest(7_999, Method.CARD, "4242"))
    return later(desk, NOW)


def rows(desk: Desk, month: Month = MARCH) -> list[PaymentRow]:
    """Give the rows of the sheet of payments."""
    with desk.reading() as work:
        return list(work.reports.rows(PaymentRow, month.days))


def gross(desk: Desk) -> list[tuple[int, int, int]]:
    """Give the card payments of the year: day of March, how many, how much."""
    return [(row.day.day, row.count, row.amount) for row in card_days(desk, Period.of_year(2026))]


@pytest.fixture
def full_shelves(desk: Desk) -> Desk:
    """Receive enough for every order that may be tried."""
    receive_stock(desk, StockedKind.ACCESSORY, SHADES.code, 900, SHADES.cost, accept=frozenset({"QUANTITY-UNUSUAL"}))
    return desk


@on_both
@pytest.mark.parametrize("shipped", [False, True])
def test_a_bounced_check_is_owed_again_with_what_is_charged_for_it(paid: Desk, shipped: bool) -> None:
    """The bank takes it back with its fee, an expense; the customer owes the check and the charge; nothing is sold."""
    # Before the glasses left so much less is paid ahead, and the charge, which counts at once, is taken from the rest.
    side = "receivable" if shipped else "customer prepayments"
    if shipped:
        inspected(paid)
        ship_order(paid, 1, "post")
    before = len(postings(paid))
    plan = plan_payment_reversal(paid, BOUNCED)
    assert (plan.correction.kind, plan.correction.amount, plan.charge and plan.charge.net) == (
        CorrectionKind.BOUNCED,
        10_001,
        1_500,
    )
    assert len(postings(paid)) == before
    done = reverse_payment(paid, BOUNCED)
    assert sorted(postings(paid)[before:]) == [
        ("correction 1", "bank", -10_001),
        ("correction 1", side, 10_001),
        *sorted([("correction 2", side, 1_500), ("correction 2", "sales", -1_500)]),
        ("fee of correction 1", "bank", -1_200),
        ("fee of correction 1", "commissions and fees", 1_200),
    ]
    account = done.account
    assert (account.paid, account.balance, account.standing(1), account.standing(2)) == (7_999, 11_501, 0, 7_999)
    assert account == order_account(paid, 1)
    assert take_payment(paid, 1, PaymentRequest(11_501, Method.CASH)).balance == 0
    assert prove_books(paid).failed == ()


@on_both
def test_a_dispute_is_won_or_lost_later(paid: Desk) -> None:
    """Disputed money goes out of what the processor owes, with its fee; won, it comes again; lost, nothing moves."""
    before = len(postings(paid))
    assert reverse_payment(paid, DISPUTED).account.balance == 5_000
    won = end_dispute(later(paid, date(2026, 3, 20)), Outcome(2, won=True, reason="signed for", fee_back=2_000))
    assert won.account.balance == 0
    assert postings(paid)[before:] == [
        ("correction 1", "customer prepayments", 5_000),
        ("correction 1", "card clearing", -5_000),
        ("fee of correction 1", "commissions and fees", 2_000),
        ("fee of correction 1", "card clearing", -2_000),
        ("correction 2", "customer prepayments", -5_000),
        ("correction 2", "card clearing", 5_000),
        ("fee of correction 2", "commissions and fees", -2_000),
        ("fee of correction 2", "card clearing", 2_000),
    ]
    again = later(paid, date(2026, 3, 25))
    reverse_payment(again, Reversal(2, "again"))
    told = len(postings(paid))
    assert end_dispute(again, Outcome(2, won=False, reason="no signature")).account.balance == 7_999
    assert len(postings(paid)) == told
    with pytest.raises(RefusedError, match="no dispute of it is open"):
        end_dispute(again, Outcome(2, won=True, reason="signed for"))
    assert prove_books(paid).failed == ()
    assert gross(paid) == [(9, 1, 7_999)]


@on_both
def test_a_mistaken_payment_is_put_right_in_its_open_month(paid: Desk) -> None:
    """The wrong one stays, taken back on its own day; another stands in its place, and the processor never saw it."""
    change = Change(2, "was a check", method=Method.CHECK, reference="1188", day=date(2026, 3, 10))
    plan = plan_payment_change(paid, change)
    before = len(postings(paid))
    done = correct_payment(paid, change)
    assert plan.payment is not None
    assert done.payment is not None
    assert (done.payment.corrects, done.payment.number, done.payment.reference) == (2, 3, "1188")
    assert (done.correction.day, done.correction.kind) == (PAID_ON, CorrectionKind.MISTAKEN)
    assert postings(paid)[before:] == [
        ("correction 1", "customer prepayments", 7_999),
        ("correction 1", "card clearing", -7_999),
        ("payment 3", "bank", 7_999),
        ("payment 3", "customer prepayments", -7_999),
    ]
    assert (done.account.balance, gross(paid)) == (0, [])
    assert correct_payment(paid, Change(1, "a cent less", amount=10_000)).account.balance == 1
    assert correct_payment(paid, Change(4, "never came", amount=0)).payment is None
    assert order_account(paid, 1).balance == 10_001
    assert prove_books(paid).failed == ()


@on_both
def test_a_closed_month_keeps_its_payments(paid: Desk) -> None:
    """What was handed over of it stays: the refusal says what can be done instead; a move in an open month can be."""
    april = later(paid, date(2026, 4, 2))
    record_sale(april, ordered(DISTANCE))
    close(april, MARCH)
    before, march = everything(april), (rows(april), period_figures(april, MARCH.days))
    with pytest.raises(RefusedError, match=r"month 2026-03 is closed.*payment move.*month reopen 2026-03"):
        correct_payment(april, Change(2, "was a check", method=Method.CHECK))
    with pytest.raises(ShopledgerError, match="the month 2026-03 is closed"):
        reverse_payment(april, Reversal(1, "no funds", day=date(2026, 3, 31)))
    assert everything(april) == before
    assert move_payment(april, Move(2, 2, "typed on the wrong order")).account.balance == 7_999
    reverse_payment(april, BOUNCED)
    cancel_order(april, 1, "ordered twice")
    assert (rows(april), period_figures(april, MARCH.days)) == march


@on_both
def test_a_payment_counts_for_another_order_and_the_processor_saw_it_once(paid: Desk) -> None:
    """No money moves: the account of its method nets to zero, and card gross stays on the first day."""
    record_sale(paid, ordered(DISTANCE))
    before = len(postings(paid))
    done = move_payment(paid, Move(2, 2, "typed on the wrong order", amount=5_000))
    assert postings(paid)[before:] == [
        ("correction 1", "customer prepayments", 5_000),
        ("correction 1", "card clearing", -5_000),
        ("payment 3", "card clearing", 5_000),
        ("payment 3", "customer prepayments", -5_000),
    ]
    assert done.other is not None
    assert done.payment is not None
    assert (done.account.balance, done.other.balance, done.payment.moved_from) == (5_000, 13_000, 2)
    back = move_payment(paid, Move(3, 1, "was right after all"))
    assert (back.account.balance, back.other and back.other.balance) == (18_000, 0)
    assert gross(paid) == [(9, 1, 7_999)]
    assert prove_books(paid).failed == ()


@on_both
def test_money_of_one_customer_pays_for_another_with_a_yes(paid: Desk) -> None:
    """A payment that is moved and a deposit that is used are asked about; the yes is noted on the order."""
    add_customer(paid, "Bram Ollerenshaw", HOME)
    record_sale(paid, OrderRequest("Bram", accessories=(AccessoryRequest(CASE.code),), shipping=0))
    take_deposit(paid, DepositRequest(CUSTOMER, 500, Method.CASH, note="gift card"))
    before = everything(paid)
    asked = Move(2, 2, "paid for him", amount=100)
    with pytest.raises(FindingsRefusedError, match="--accept PAYS-FOR-ANOTHER"):
        move_payment(paid, asked)
    with pytest.raises(FindingsRefusedError, match="--accept PAYS-FOR-ANOTHER"):
        pay_from_deposit(paid, 2, 1)
    assert everything(paid) == before
    yes = frozenset({"PAYS-FOR-ANOTHER"})
    assert [finding.code for finding in plan_payment_move(paid, asked).findings] == ["PAYS-FOR-ANOTHER"]
    move_payment(paid, Move(2, 2, "paid for him", amount=100, accept=yes))
    pay_from_deposit(paid, 2, 1, accept=yes)
    assert [payment.amount for payment in order_account(paid, 2).payments] == [100, 500]
    assert notes(paid)[-2:] == [("tester", "accepted a warning", "order 2 PAYS-FOR-ANOTHER")] * 2
    cancel_order(paid, 2, "not wanted")
    assert deposit_card(paid, 1).account.left == 500


@on_both
def test_a_rest_is_written_off_and_owed_again(paid: Desk) -> None:
    """A loss on accrual; on cash it was never income; what is owed again can be paid."""
    # The glasses left, at 62.00 for their frame: 180.00 less that and 100.01 is 17.99, and so are 79.99 less the frame.
    ship_order(paid, 1, "post", without_inspection="collected")
    write = WriteOff(1, "moved away")
    reverse_payment(paid, Reversal(1, "no funds"))
    assert plan_writing_off(paid, write).correction.amount == 10_001
    before = len(postings(paid))
    assert write_rest_off(paid, write).account.balance == 0
    assert postings(paid)[before:] == [
        ("correction 2", "sales never paid", 10_001),
        ("correction 2", "receivable", -10_001),
    ]
    figures, _ = period_figures(paid, MARCH.days)
    assert (figures.accrual_result, figures.cash_result) == (18_000 - WREN.cost - 10_001, 7_999)
    assert figures.between[BetweenLine.RECEIVABLE] == 0
    year = year_figures(paid, Period.of_year(2026))
    assert [year.schedule(each)["27b"] for each in Accounting] == [
        10_001 if each is Accounting.ACCRUAL else 0 for each in Accounting
    ]
    assert [year.schedule(each)["29"] for each in Accounting] == [1_799, 1_799]
    assert "NOT-PAID" not in {finding.code for finding in plan_closing(later(paid, date(2026, 4, 2)), MARCH).findings}
    with pytest.raises(RefusedError, match=r"100\.01 of it is written off.*payment revive 1"):
        take_payment(paid, 1, PaymentRequest(100, Method.CASH))
    assert plan_reviving(paid, WriteOff(1, "she wrote")).correction.amount == 10_001
    assert revive_rest(paid, WriteOff(1, "she wrote", amount=4_000)).account.balance == 4_000
    assert take_payment(paid, 1, PaymentRequest(4_000, Method.CASH)).balance == 0
    assert prove_books(paid).failed == ()


@on_both
def test_refusals_say_what_is_allowed_and_store_nothing(paid: Desk) -> None:
    """What was given, what is allowed, what to do."""
    record_sale(paid, ordered(DISTANCE))
    take_payment(paid, 2, PaymentRequest(100, Method.CASH))
    before = everything(paid)
    deeds: tuple[tuple[Callable[[], object], str], ...] = (
        (lambda: reverse_payment(paid, Reversal(3, "no")), "of cash; only a check, a transfer or a card.*correct 3"),
        (lambda: reverse_payment(paid, Reversal(1, "no", amount=1)), "amount is 0.01; a check is sent back whole"),
        (lambda: reverse_payment(paid, Reversal(2, "no", amount=8_000)), "79.99 stands of payment 2"),
        (lambda: reverse_payment(paid, Reversal(2, "no", amount=0)), "amount is 0.00"),
        (lambda: reverse_payment(paid, Reversal(2, "no", fee=-1)), "may not be negative"),
        (lambda: reverse_payment(paid, Reversal(1, " ")), "reason"),
        (lambda: reverse_payment(paid, Reversal(1, "no", day=date(2026, 3, 8))), "it was paid on 2026-03-09"),
        (lambda: reverse_payment(paid, Reversal(1, "no", day=date(2026, 3, 13))), "2026-03-13"),
        (lambda: reverse_payment(paid, Reversal(9, "no")), "there is no payment 9"),
        (lambda: end_dispute(paid, Outcome(2, won=True, reason="x")), "no dispute of it is open"),
        (lambda: correct_payment(paid, Change(2, "same", amount=7_999)), "recorded just so already"),
        (lambda: correct_payment(paid, Change(2, "more", amount=8_000)), "only 79.99 is still owed on order 1"),
        (lambda: correct_payment(paid, Change(2, "less", amount=-1)), "may not be negative"),
        (lambda: correct_payment(paid, Change(2, "early", day=date(2026, 3, 1))), "recorded on 2026-03-02"),
        (lambda: correct_payment(paid, Change(2, "whole", reference="4242424242424242")), "reference"),
        (lambda: move_payment(paid, Move(2, 1, "same")), "order is 1; the payment stands on that order"),
        (lambda: move_payment(paid, Move(2, 9, "none")), "there is no order 9"),
        (lambda: move_payment(paid, Move(2, 2, "more", amount=8_000)), "79.99 of payment 2 stands"),
        (lambda: write_rest_off(paid, WriteOff(1, "nothing")), "nothing is owed on it"),
        (lambda: write_rest_off(paid, WriteOff(2, "more", amount=20_000)), "179.00 is still owed"),
        (lambda: revive_rest(paid, WriteOff(2, "nothing")), "nothing on it is written off"),
    )
    for deed, words in deeds:
        with pytest.raises(ShopledgerError, match=words):
            deed()
    assert everything(paid) == before


@on_both
def test_what_was_given_back_is_not_moved_and_an_unpaid_rest_is_not_refunded(paid: Desk) -> None:
    """Money goes back, or elsewhere, only once; a rest that was never paid is lowered by a reduction instead."""
    record_sale(paid, ordered(DISTANCE))
    give_refund(paid, 1, RefundRequest(Method.CARD, "scratched", (RefundedLine(1, 12_000),)))
    with pytest.raises(RefusedError, match=r"60\.00 of payment 2 stands and was not given back"):
        move_payment(paid, Move(2, 2, "wrong order", amount=6_001))
    reverse_payment(paid, Reversal(1, "no funds"))
    before = everything(paid)
    with pytest.raises(RefusedError, match="shopledger sale reduce 1"):
        give_refund(paid, 1, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, 100),)))
    assert everything(paid) == before


@on_both
def test_a_reversed_payment_puts_its_deposit_back(desk: Desk) -> None:
    """The deposit has the money again until it is handed back or used; all sums and the year's gross follow."""
    record_sale(desk, ordered(DISTANCE))
    take_deposit(desk, DepositRequest(CUSTOMER, 5_000, Method.CARD, "4242"))
    pay_from_deposit(desk, 1, 1, 4_000)
    with pytest.raises(RefusedError, match="how it was paid stands on the deposit"):
        correct_payment(desk, Change(1, "cash", method=Method.CASH))
    correct_payment(desk, Change(1, "more", amount=4_500))
    assert deposit_card(desk, 1).account.left == 500
    done = reverse_payment(desk, Reversal(2, "says it was not her"))
    assert (done.deposit_number, deposit_card(desk, 1).account.left) == (1, 5_000)
    end_dispute(desk, Outcome(2, won=True, reason="signed for", amount=1_000))
    assert deposit_card(desk, 1).account.left == 4_000
    with pytest.raises(RefusedError, match="order 1 was paid with it"):
        void_document(desk, Document(DocumentKind.DEPOSIT, 1), "typed twice")
    give_back(desk, 1, GiveBackRequest())
    assert deposit_card(desk, 1).account.left == 0
    assert gross(desk) == [(2, 1, 5_000)]
    assert prove_books(desk).failed == ()


@on_both
def test_a_cancelled_order_gives_back_just_what_stands(paid: Desk, tmp_path: Path) -> None:
    """A check that bounced is not paid back, nor what counts for another order, which is paid ahead by it."""
    record_sale(paid, ordered(DISTANCE))
    reverse_payment(paid, BOUNCED)
    move_payment(paid, Move(2, 2, "wrong order", amount=3_000))
    done = cancel_order(paid, 1, "ordered twice")
    assert [(payment.number, payment.amount) for payment in done.repaid] == [(2, 4_999)]
    sums: dict[str, int] = {}
    for _, account, amount in postings(paid):
        sums[account] = sums.get(account, 0) + amount
    assert {account: amount for account, amount in sums.items() if amount} == {
        "bank": -1_200, "commissions and fees": 1_200, "card clearing": 3_000, "customer prepayments": -3_000,
    }  # fmt: skip
    assert prove_books(paid).failed == ()
    export_period(paid, MARCH.days, tmp_path)
    export_year(paid, Period.of_year(2026), tmp_path, as_csv=True)


@on_both
def test_receipts_of_whom_it_touches_are_told_and_found_at_the_months_end(desk: Desk, tmp_path: Path) -> None:
    """The payment was shared over both wearers, so both receipts are overtaken until they are replaced."""
    record_sale(desk, FAMILY_ORDER)
    for wearer in (CUSTOMER, CHILD):
        issue_receipt(desk, 1, wearer, tmp_path, not_paid_in_full=True)
    done = reverse_payment(later(desk, NOW), Reversal(1, "says it was not her"))
    assert done.touched_receipts == (1, 2)
    april = later(desk, date(2026, 4, 2))

    def overtaken() -> list[str]:
        return [str(each.sentence) for each in plan_closing(april, MARCH).findings if each.code == "RECEIPT-OVERTAKEN"]

    (said,) = overtaken()
    assert "2 receipts are overtaken by a refund, a correction or a remake and not replaced: 1, 2." in said
    for number in (1, 2):
        replace_receipt(later(desk, date(2026, 3, 13)), number, "a dispute", tmp_path, not_paid_in_full=True)
    assert overtaken() == []


@on_both
def test_payments_of_a_corrected_order_carry_the_tax_of_what_stands_paid(desk: Desk) -> None:
    """Of 48.26 with 3.26 tax: 20.00 carries 1.35 and 28.26 the rest, 1.91; both are 30.00 in the end, with 2.03."""
    record_sale(desk, SUNGLASSES)
    take_payment(desk, 1, PaymentRequest(2_000, Method.CARD))
    take_payment(desk, 1, PaymentRequest(2_826, Method.CHECK))
    reverse_payment(desk, Reversal(2, "no funds"))
    take_payment(desk, 1, PaymentRequest(1_000, Method.CASH))
    assert [(row.event, row.amount, row.tax) for row in rows(desk)] == [
        (PaymentEvent.PAID, 2_000, 135),
        (PaymentEvent.PAID, 2_826, 191),
        (PaymentEvent.PAID, 1_000, 68),
        (PaymentEvent.BOUNCED, -2_826, -191),
    ]
    figures, _ = period_figures(desk, MARCH.days)
    assert figures.cash_result == 3_000 - 203


@on_both
def test_the_charge_for_a_payment_sent_back_is_the_customers_own(paid: Desk, tmp_path: Path) -> None:
    """It stands on a receipt of its own, is no medical care, and is paid by proportion like all that is owed."""
    reverse_payment(paid, BOUNCED)
    take_payment(paid, 1, PaymentRequest(11_501, Method.CASH))
    said = issue_receipt(paid, 1, "nobody", tmp_path).receipt.content
    assert (said.total, said.paid, said.balance) == (1_500, 1_500, 0)
    hers = issue_receipt(paid, 1, CUSTOMER, tmp_path).receipt.content
    assert (hers.total, hers.paid, hers.balance) == (18_000, 18_000, 0)


def test_what_can_be_done_about_a_payment_follows_what_became_of_it(paid: Desk) -> None:
    """Once something happened to it only what still can be is offered; a dispute is won or lost; a rest is revived."""

    def offered(what: Fixable, number: int) -> str:
        return " ".join(each.command for each in what_can_be_done(paid, what, number).remedies if each.possible)

    assert "payment correct 2" in offered(Fixable.PAYMENT, 2)
    reverse_payment(paid, DISPUTED)
    told = offered(Fixable.PAYMENT, 2)
    assert "payment correct" not in told
    assert all(f"payment {word} 2" in told for word in ("reverse", "dispute-won", "dispute-lost", "move"))
    write_rest_off(paid, WriteOff(1, "moved away"))
    assert "payment revive 1" in offered(Fixable.ORDER, 1)


DEEDS = st.lists(
    st.tuples(
        st.sampled_from(["pay", "check", "back", "won", "wrong", "move", "off", "again", "refund"]),
        st.integers(1, 4_826),
        st.integers(0, 6),
    ),
    min_size=1,
    max_size=10,
)


@settings(max_examples=15, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(deeds=DEEDS)
def test_whatever_became_of_payments_all_carry_their_proportion(
    full_shelves: Desk, deeds: list[tuple[str, int, int]]
) -> None:
    """Tax in all payments is the proportion of what stands paid; no balance is below zero; the books are proven."""
    desk = full_shelves
    first, second = (record_sale(desk, SUNGLASSES).order.number or 0 for _ in range(2))
    before = {each: sum(row.tax for row in rows(desk) if row.order_number == each) for each in (first, second)}
    for what, amount, place in deeds:
        try:
            _deed(desk, first, second, what, amount, place)
        except RefusedError:
            continue
    for number in (first, second):
        account = order_account(desk, number)
        carried = sum(row.tax for row in rows(desk) if row.order_number == number) - before[number]
        assert carried == round_half_away(326 * account.paid, 4_826)
        assert account.balance >= 0
        assert account.balance + account.paid + account.written_off == 4_826
    assert prove_books(desk).failed == ()
    figures, _ = period_figures(desk, MARCH.days)
    assert figures.accrual_result + sum(figures.between.values()) == figures.cash_result
    for number in (second, first):
        cancel_order_or_ship(desk, number)


def _deed(desk: Desk, first: int, second: int, what: str, amount: int, place: int) -> None:
    payments = order_account(desk, first).payments
    number = payments[place % len(payments)].number or 0 if payments else 0
    if what in {"pay", "check"}:
        take_payment(desk, first, PaymentRequest(amount, Method.CARD if what == "pay" else Method.CHECK))
    elif what == "off":
        write_rest_off(desk, WriteOff(first, "moved away", amount))
    elif what == "again":
        revive_rest(desk, WriteOff(first, "wrote"))
    elif what == "refund":
        give_refund(desk, first, RefundRequest(Method.CASH, "scratched", (RefundedLine(1, amount),)))
    elif not number:
        return
    elif what == "back":
        reverse_payment(desk, Reversal(number, "taken back"))
    elif what == "won":
        end_dispute(desk, Outcome(number, won=True, reason="signed for"))
    elif what == "wrong":
        correct_payment(desk, Change(number, "mistyped", amount=amount))
    else:
        move_payment(desk, Move(number, second, "wrong order"))


def cancel_order_or_ship(desk: Desk, number: int) -> None:
    """Free the goods for the next try; where money was given back the order can only leave."""
    if order_account(desk, number).refunds:
        ship_order(desk, number, "post")
    else:
        cancel_order(desk, number, "the next")
    assert prove_books(desk).failed == ()
