"""Money that moves as values: which accounts each kind touches, and what is refused of one."""

from __future__ import annotations

from datetime import date
from typing import Any

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_findings import above_balance, above_tax, turned_round
from shopledger.ledger.books.money_moves import WITH_FEE, CashAccount, MoneyMove, MoveKind, shown_balances
from shopledger.ledger.books.postings import move_entry
from tests.documents import named
from tests.strategies import DAYS, PRICES

DAY = date(2026, 3, 2)


def move(kind: MoveKind, till: CashAccount = CashAccount.BANK, amount: int = 10_000, **more: Any) -> MoneyMove:  # noqa: ANN401 - any field
    """Give a move of that kind, with what the kind needs."""
    needs: dict[str, Any] = {MoveKind.TAX_PAID: {"state": "OH"}, MoveKind.OTHER_INCOME: {"note": "interest"}}.get(
        kind, {}
    )
    return MoneyMove(DAY, kind, kind.till or till, amount, number=7, **(needs | more))


CASES = [
    (move(MoveKind.PAYOUT, fee=290), {"bank": 9710, "commissions and fees": 290, "card clearing": -10_000}),
    (move(MoveKind.PROCESSOR_FEE), {"commissions and fees": 10_000, "card clearing": -10_000}),
    (move(MoveKind.RESERVED), {"card reserve": 10_000, "card clearing": -10_000}),
    (move(MoveKind.RELEASED), {"card clearing": 10_000, "card reserve": -10_000}),
    (move(MoveKind.BANKED), {"bank": 10_000, "cash": -10_000}),
    (move(MoveKind.WITHDRAWAL), {"cash": 10_000, "bank": -10_000}),
    (move(MoveKind.CARD_PAID), {"credit card owed": 10_000, "bank": -10_000}),
    (move(MoveKind.CONTRIBUTION, CashAccount.CASH), {"cash": 10_000, "owner contributions": -10_000}),
    (move(MoveKind.DRAW), {"owner draws": 10_000, "bank": -10_000}),
    (move(MoveKind.TAX_PAID, fee=75), {"sales tax payable": 10_000, "bank": -9925, "other income": -75}),
    (move(MoveKind.OTHER_INCOME, CashAccount.CASH), {"cash": 10_000, "other income": -10_000}),
    (move(MoveKind.OPENING), {"bank": 10_000, "opening balances": -10_000}),
]
"""Each kind with what it posts; what the processor or the shop keeps is taken off what the bank sees."""


@pytest.mark.parametrize(("moved", "posted"), CASES, ids=[each.kind.value for each, _ in CASES])
def test_each_kind_of_move_touches_its_accounts(moved: MoneyMove, posted: dict[str, int]) -> None:
    """As the books' own list says; the document is the number."""
    entry = move_entry(moved)
    assert {posting.account.title: posting.amount for posting in entry.postings} == posted
    assert (entry.document, entry.day) == (named("money 7"), DAY)


def test_every_kind_has_a_case() -> None:
    """A new kind needs its posting."""
    assert {each.kind for each, _ in CASES} == set(MoveKind)


@given(
    kind=st.sampled_from(MoveKind), till=st.sampled_from(CashAccount), amount=PRICES, day=DAYS, share=st.floats(0, 1)
)
def test_every_move_balances(kind: MoveKind, till: CashAccount, amount: int, day: date, share: float) -> None:
    """Debit equals credit, whatever is kept of it, and the till sees what moved."""
    fee = int(amount * share) if kind in WITH_FEE else 0
    state, note = ("OH" if kind is MoveKind.TAX_PAID else ""), "interest"
    moved = MoneyMove(day, kind, kind.till or till, amount, fee, state, note=note, number=7)
    entry = move_entry(moved)
    assert sum(posting.amount for posting in entry.postings) == 0
    in_till = sum(posting.amount for posting in entry.postings if posting.account is moved.till.account)
    assert abs(in_till) == moved.moved


@pytest.mark.parametrize(
    ("amount", "fee", "posted"),
    [
        (-4_999, 30, {"card clearing": 4_999, "commissions and fees": 30, "bank": -5_029}),
        (1_000, 1_200, {"card clearing": -1_000, "commissions and fees": 1_200, "bank": -200}),
        (0, 500, {"commissions and fees": 500, "bank": -500}),
        (37_945, 1_336, {"bank": 36_609, "commissions and fees": 1_336, "card clearing": -37_945}),
        (1_000, -30, {"bank": 1_030, "commissions and fees": -30, "card clearing": -1_000}),
    ],
)
def test_a_payout_may_turn_round(amount: int, fee: int, posted: dict[str, int]) -> None:
    """Below zero the processor takes money from the bank, its fee with it; what it owes comes to what it does owe."""
    entry = move_entry(move(MoveKind.PAYOUT, amount=amount, fee=fee))
    assert {each.account.title: each.amount for each in entry.postings} == posted


def test_a_fee_may_be_given_back() -> None:
    """Then the processor owes more, and the year's fees are less."""
    entry = move_entry(move(MoveKind.PROCESSOR_FEE, amount=-2_000))
    assert {each.account.title: each.amount for each in entry.postings} == {
        "card clearing": 2_000,
        "commissions and fees": -2_000,
    }


def test_what_turns_round_is_asked_about() -> None:
    """A sign is easily typed by mistake."""
    codes = [found.code for found in turned_round(move(MoveKind.PAYOUT, amount=-100, fee=-30))]
    assert codes == ["PAYOUT-BELOW-ZERO", "FEE-GIVEN-BACK"]
    assert turned_round(move(MoveKind.PAYOUT, fee=290)) == ()


@pytest.mark.parametrize("amount", [0, -1])
def test_a_move_of_nothing_or_less_is_refused(amount: int) -> None:
    """Money the other way has a command of its own."""
    with pytest.raises(RefusedError, match=r"amount is .*it must be more than 0"):
        move(MoveKind.BANKED, amount=amount)


@pytest.mark.parametrize(
    ("kind", "more", "said"),
    [
        (MoveKind.PAYOUT, {"amount": 0}, "amount is 0.00; it must not be 0"),
        (MoveKind.PROCESSOR_FEE, {"fee": 9_999}, "fee is 99.99; all of it is kept, 100.00"),
        (MoveKind.RESERVED, {"amount": -1}, "amount is -0.01; it must be more than 0"),
        (MoveKind.TAX_PAID, {"fee": 10_001}, "what is kept is 100.01"),
        (MoveKind.BANKED, {"fee": 1}, "only a payout has one"),
        (MoveKind.TAX_PAID, {"state": "Ohio"}, "state is 'Ohio'"),
        (MoveKind.DRAW, {"state": "OH"}, "only sales tax is paid to a state"),
        (MoveKind.OTHER_INCOME, {"note": " "}, "note is empty"),
        (MoveKind.PAYOUT, {"reference": "4242 4242 4242 4242"}, "16 digits long"),
    ],
)
def test_what_a_move_cannot_be_is_refused(kind: MoveKind, more: dict[str, Any], said: str) -> None:
    """The sentence names what is wrong."""
    with pytest.raises(RefusedError, match=said):
        move(kind, **more)


def test_a_payout_lies_in_the_bank() -> None:
    """What always touches one till takes no other."""
    with pytest.raises(RefusedError, match="payout money is in: bank"):
        MoneyMove(DAY, MoveKind.PAYOUT, CashAccount.CASH, 100)


def test_what_is_owed_is_shown_above_zero() -> None:
    """Assets as they stand, debts turned round, accounts never touched at zero."""
    shown = dict(shown_balances({Account.CASH: 500, Account.CREDIT_CARD: -300, Account.SALES: -9}))
    assert shown[Account.CASH] == 500
    assert shown[Account.CREDIT_CARD] == 300
    assert shown[Account.BANK] == 0
    assert Account.SALES not in shown


@pytest.mark.parametrize(
    ("account", "balance", "code"),
    [
        (Account.CASH, 999, "CASH-SHORT"),
        (Account.CARD_CLEARING, 999, "PAYOUT-ABOVE-CLEARING"),
        (Account.CARD_RESERVE, 999, "RELEASE-ABOVE-RESERVE"),
        (Account.CREDIT_CARD, -999, "CARD-ABOVE-OWED"),
    ],
)
def test_more_than_lies_there_or_is_owed_is_warned_of(account: Account, balance: int, code: str) -> None:
    """To the cent: the whole of it may go."""
    (found,) = above_balance(account, 1000, balance)
    assert found.code == code
    assert "10.00" in found.sentence
    assert "9.99" in found.sentence
    assert above_balance(account, 999, balance) == ()


def test_more_tax_than_is_owed_is_warned_of() -> None:
    """The state is named."""
    (found,) = above_tax("OH", 1000, 0)
    assert (found.code, found.stops) == ("TAX-ABOVE-OWED", False)
    assert found.sentence == "10.00 of sales tax is paid to OH, to which nothing is owed by the books."
    assert above_tax("OH", 1000, 1000) == ()
