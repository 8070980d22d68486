"""Expenses as values: what is refused of one, and which accounts it touches."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.journal import Account, AccountKind, Posting
from shopledger.ledger.books.money_findings import no_proof, same_expense
from shopledger.ledger.books.postings import expense_entry
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method, PaymentRequest
from tests.documents import named
from tests.strategies import DAYS, PRICES

PAYEES = st.text(st.characters(codec="utf-8", exclude_categories=["C"]), min_size=1, max_size=60).filter(str.strip)
RENT = Expense(
    date(2026, 3, 2), "Alder Row Estates", ExpenseCategory.RENT, "rent for March", 85_000, SpendMethod.BANK, number=4
)


def test_an_expense_is_posted_to_its_category_and_to_where_the_money_came_from() -> None:
    """The rent is debited and the bank credited, on the day, under the number of the expense."""
    entry = expense_entry(RENT)
    assert (entry.day, entry.document) == (RENT.day, named("expense 4"))
    assert entry.postings == (Posting(Account.RENT, 85_000), Posting(Account.BANK, -85_000))


@pytest.mark.parametrize(
    ("method", "account"),
    [
        (SpendMethod.CASH, Account.CASH),
        (SpendMethod.BANK, Account.BANK),
        (SpendMethod.CARD, Account.CREDIT_CARD),
        (SpendMethod.OWNER, Account.CONTRIBUTIONS),
    ],
)
def test_money_leaves_by_its_method(method: SpendMethod, account: Account) -> None:
    """The shop's card is owed until it is paid, and the owner's pocket is a contribution."""
    assert expense_entry(replace(RENT, method=method)).postings[1] == Posting(account, -85_000)


@pytest.mark.parametrize("category", ExpenseCategory, ids=lambda each: each.value)
def test_each_category_is_an_account_of_the_same_name_with_a_line(category: ExpenseCategory) -> None:
    """All are expenses but equipment, which lasts; each goes to a line of Schedule C."""
    account = category.account
    assert account.title == category.value
    assert account.schedule_c
    assert account.kind is (AccountKind.ASSET if category is ExpenseCategory.EQUIPMENT else AccountKind.EXPENSE)


@given(amount=PRICES, day=DAYS, payee=PAYEES, category=st.sampled_from(ExpenseCategory))
def test_every_expense_balances_and_names_its_payee(
    amount: int, day: date, payee: str, category: ExpenseCategory
) -> None:
    """Whatever is bought, debit equals credit, and the memo names who was paid."""
    expense = Expense(day, payee, category, "goods", amount, SpendMethod.CARD, number=4)
    entry = expense_entry(expense)
    assert sum(posting.amount for posting in entry.postings) == 0
    assert entry.postings[0].amount == amount
    assert expense.payee in entry.memo


@pytest.mark.parametrize("amount", [0, -1])
def test_an_expense_of_nothing_or_less_is_refused(amount: int) -> None:
    """The sentence says how a mistake is voided."""
    with pytest.raises(RefusedError, match=r"it must be more than 0.*void expense"):
        replace(RENT, amount=amount)


def test_an_expense_says_who_was_paid_and_what_for() -> None:
    """Both are wanted of a record by the tax office."""
    with pytest.raises(RefusedError, match="payee is empty"):
        replace(RENT, payee=" ")
    with pytest.raises(RefusedError, match="description is empty"):
        replace(RENT, description=" ")


@pytest.mark.parametrize(
    ("method", "reference", "longest"),
    [(SpendMethod.CARD, "4242 4242 4242 4242", 4), (SpendMethod.BANK, "4242424242424242", 12)],
)
def test_a_whole_card_number_is_never_kept(method: SpendMethod, reference: str, longest: int) -> None:
    """Of the shop's own card as little as of a customer's."""
    with pytest.raises(RefusedError, match=rf"16 digits long; at most {longest} digits are kept for a .*last four"):
        replace(RENT, method=method, reference=reference)
    assert replace(RENT, method=SpendMethod.CARD, reference="4242").reference == "4242"


def test_a_payment_s_reference_follows_the_same_rule() -> None:
    """One rule for money in and money out."""
    with pytest.raises(RefusedError, match="16 digits long; at most 4 digits are kept for a card payment"):
        PaymentRequest(100, Method.CARD, "4242424242424242")


def test_an_expense_without_proof_is_noted() -> None:
    """A reference or a kept file proves it; the note stops nothing."""
    (noted,) = no_proof(RENT)
    assert (noted.code, noted.stops) == ("NO-PROOF", False)
    assert no_proof(replace(RENT, reference="M-17")) == ()
    assert no_proof(replace(RENT, file_sha256="0" * 64)) == ()


def test_an_expense_recorded_already_is_named() -> None:
    """With its number, so that it can be looked at."""
    (found,) = same_expense(replace(RENT, number=None), RENT)
    assert found.code == "EXPENSE-TWICE"
    assert found.sentence == "850.00 to Alder Row Estates on 2026-03-02 was recorded already, as expense 4."
    assert same_expense(RENT, None) == ()
