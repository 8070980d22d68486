"""What is odd about money before it is recorded: more than lies there, more than is owed, or recorded already.

Each is a warning that the owner may say yes to: the books may simply not know of everything yet.
"""

from __future__ import annotations

from typing import Final

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import MoneyMove, MoveKind, as_shown
from shopledger.ledger.books.spending import Expense
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.findings import Finding, Severity

_LIMITS: Final = {
    Account.CASH: ("CASH-SHORT", "{amount} is taken out of the cash, where {lies} lies by the books"),
    Account.CARD_CLEARING: (
        "PAYOUT-ABOVE-CLEARING",
        "{amount} is paid out by the card processor, which holds {lies} by the books",
    ),
    Account.CARD_RESERVE: (
        "RELEASE-ABOVE-RESERVE",
        "{amount} is released by the card processor, which holds back {lies} by the books",
    ),
    Account.CREDIT_CARD: (
        "CARD-ABOVE-OWED",
        "{amount} is paid on the credit card, on which {lies} is owed by the books",
    ),
}
"""The accounts that do not go below zero by themselves: the code of the warning, and what is said."""


def above_balance(account: Account, amount: Cents, balance: Cents) -> tuple[Finding, ...]:
    """Warn where more is taken out of an account than lies there, or paid on one than is owed."""
    lies = as_shown(account, balance)
    if amount <= lies:
        return ()
    code, words = _LIMITS[account]
    return (_warning(code, account.title, amount, lies, words.format(amount=write_amount(amount), lies=_some(lies))),)


def above_tax(state: str, amount: Cents, owed: Cents) -> tuple[Finding, ...]:
    """Warn where more sales tax is paid to a state than is owed to it."""
    if amount <= owed:
        return ()
    said = f"{write_amount(amount)} of sales tax is paid to {state}, to which {_some(owed)} is owed by the books"
    return (_warning("TAX-ABOVE-OWED", "sales tax payable", amount, owed, said),)


def same_expense(expense: Expense, earlier: Expense | None) -> tuple[Finding, ...]:
    """Warn of an expense that was recorded already."""
    if earlier is None:
        return ()
    said = (
        f"{write_amount(expense.amount)} to {earlier.payee} on {expense.day.isoformat()} was recorded already, "
        f"as expense {earlier.number}"
    )
    return (_warning("EXPENSE-TWICE", "expense", expense.amount, expense.amount, said),)


def same_move(move: MoneyMove, earlier: MoneyMove | None) -> tuple[Finding, ...]:
    """Warn of a move that was recorded already."""
    if earlier is None:
        return ()
    said = (
        f"{write_amount(move.amount)} on {move.day.isoformat()}, {move.words}, was recorded already, "
        f"as money {earlier.number}"
    )
    return (_warning("MONEY-TWICE", "money", move.amount, move.amount, said),)


def turned_round(move: MoneyMove) -> tuple[Finding, ...]:
    """Warn where the processor takes money from the bank, or gives fees back: a sign may have been typed by mistake."""
    found = []
    if move.kind is MoveKind.PAYOUT and move.moved < 0:
        said = (
            f"the card processor takes {write_amount(-move.moved)} from the bank by it, since refunds, disputes "
            "and fees were more than sales"
        )
        found.append(_warning("PAYOUT-BELOW-ZERO", "payout", move.moved, 0, said))
    if move.fee < 0:
        said = f"the card processor gives back {write_amount(-move.fee)} of its fees"
        found.append(_warning("FEE-GIVEN-BACK", "fee", move.fee, 0, said))
    return tuple(found)


def opened_before(move: MoneyMove, earlier: MoneyMove | None) -> tuple[Finding, ...]:
    """Warn of a second amount that lay in the same till when the books began."""
    if earlier is None:
        return ()
    said = (
        f"what lay in the {move.till.value} when the books began was recorded already, "
        f"{write_amount(earlier.amount)} as money {earlier.number}"
    )
    return (_warning("OPENED-TWICE", "money", move.amount, earlier.amount, said),)


def no_proof(expense: Expense) -> tuple[Finding, ...]:
    """Note that an expense has neither a kept file nor a reference."""
    if expense.file_sha256 or expense.reference:
        return ()
    said = "the tax office asks for proof of payment; give --reference, or keep the paper with --receipt FILE"
    return (Finding(Severity.NOTE, "NO-PROOF", "receipt", "none", "one", "IRS records page, 2025", f"{said}."),)


def _warning(code: str, field: str, value: Cents, limit: Cents, said: str) -> Finding:
    return Finding(Severity.WARNING, code, field, write_amount(value), write_amount(limit), "the books", f"{said}.")


def _some(amount: Cents) -> str:
    return write_amount(amount) if amount else "nothing"
