"""A word of the books without its rule is refused as soon as it is written, and what is missing is said."""

from __future__ import annotations

from enum import Enum

import pytest

from shopledger.ledger.books.adjustments import ENTERED
from shopledger.ledger.books.bill_credits import REPRICED_ACCOUNTS
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.completeness import LACKING, NoRuleError, WithAccount, check_members, complete
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account, AccountKind
from shopledger.ledger.books.money_moves import CashAccount, MoveKind
from shopledger.ledger.books.posting_rules import JOB_ACCOUNTS, RULES, By
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockReason


def test_a_word_without_its_account_is_refused_at_once() -> None:
    """The sentence names the word and where its account goes."""
    with pytest.raises(NoRuleError, match=r"reason left 'donated' has no posting rule: give it an account beside its"):

        class ReasonLeft(WithAccount):
            SOLD = "sold", Account.COST_OF_GOODS
            DONATED = "donated"


def test_what_else_a_word_needs_is_asked_for_by_name() -> None:
    """Whatever stands beside the other words is held to all of them."""

    class Odd(Enum):
        ONE = "one"

        @property
        def column(self) -> str:
            return LACKING  # type: ignore[no-any-return]

    with pytest.raises(NoRuleError, match=r"odd 'one' has no posting rule: give it a column\."):
        check_members(Odd, column="give it a column")


def test_a_table_of_rules_has_one_for_each_word() -> None:
    """The first without one is named; a whole table is given back."""
    with pytest.raises(NoRuleError, match=r"bill line kind 'job' has no posting rule: say which account it moves\."):
        complete(BillLineKind, {BillLineKind.STOCK: Account.INVENTORY}, "say which account it moves")
    assert complete(CashAccount, {till: till.value for till in CashAccount}, "") == {
        CashAccount.CASH: "cash",
        CashAccount.BANK: "bank",
    }


def test_an_account_chosen_by_a_word_is_given_for_each_of_them() -> None:
    """Only what a job's costs may stand in, what is kept of a move, and what bills and owners change is for some."""
    chosen = [leg.account for rule in RULES.values() for leg in rule.legs if isinstance(leg.account, By)]
    some = (
        *(set(JOB_ACCOUNTS), {kind for kind in MoveKind if kind.fee_account}),
        *(set(REPRICED_ACCOUNTS), set(ENTERED)),
    )
    kinds = {type(next(iter(by.accounts))) for by in chosen}
    assert kinds == {Method, SpendMethod, ExpenseCategory, StockReason, CashAccount, MoveKind, Account}
    for by in chosen:
        assert set(by.accounts) in (set(type(next(iter(by.accounts)))), *some)


def test_what_reverses_others_has_a_rule_of_its_own_kind() -> None:
    """A kind that can be voided is reversed by its voiding; a cancellation reverses the order and all of its own."""
    assert {kind: rule.reverses for kind, rule in RULES.items() if rule.reverses} == {
        DocumentKind.CANCELLATION: (
            *(DocumentKind.ORDER, DocumentKind.OPENING_DEBT, DocumentKind.PUT_OFF),
            *(DocumentKind.PAYMENT, DocumentKind.CORRECTION),
        ),
        **{kind.voiding: (kind,) for kind in DocumentKind if kind.can_be_voided},
    }


def test_accounts_proven_together_lead_to_one_of_the_same_rule() -> None:
    """What is taken together stays within the accounts of that document, so that nothing else hides behind it."""
    for rule in RULES.values():
        assert set(rule.together).isdisjoint(rule.together.values())
        assert all(each.kind is not AccountKind.EXPENSE for each in rule.together)
