"""Which accounts the owner's own events touch: expenses, money that moves, deposits of customers."""

from __future__ import annotations

from shopledger.ledger.books.deposits import Deposit
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.books.money_moves import MoneyMove, MoveKind
from shopledger.ledger.books.postings import MONEY_ACCOUNTS
from shopledger.ledger.books.spending import Expense
from shopledger.ledger.numbers import number_of


def expense_entry(expense: Expense) -> Entry:
    """Post an expense: its category is debited, and where the money came from credited."""
    return Entry(
        expense.day,
        f"{expense.category.value}: {expense.payee}",
        Document(DocumentKind.EXPENSE, number_of(expense)),
        (Posting(expense.category.account, expense.amount), Posting(expense.method.account, -expense.amount)),
    )


def move_entry(move: MoneyMove) -> Entry:
    """Post money that moved between the tills, the card processor, the owner, a state or elsewhere."""
    return Entry(move.day, move.words, Document(DocumentKind.MONEY, number_of(move)), _moved(move))


def deposit_entry(deposit: Deposit) -> Entry:
    """Post a deposit: money in by its method, owed to the customer; or given back, the other way round."""
    amount = deposit.amount if deposit.gives_back is None else -deposit.amount
    words = "deposit" if deposit.gives_back is None else f"giving back of deposit {deposit.gives_back}"
    return Entry(
        deposit.day,
        f"{deposit.method.value} {words}, customer {deposit.customer_number}",
        Document(DocumentKind.DEPOSIT, number_of(deposit)),
        (Posting(MONEY_ACCOUNTS[deposit.method], amount), Posting(Account.CUSTOMER_DEPOSITS, -amount)),
    )


def _moved(move: MoneyMove) -> tuple[Posting, ...]:
    amount, fee, moved, till = move.amount, move.fee, move.moved, move.till.account
    return {
        MoveKind.PAYOUT: (
            Posting(till, moved),
            Posting(Account.FEES, fee),
            Posting(Account.CARD_CLEARING, -amount),
        ),
        MoveKind.BANKED: (Posting(Account.BANK, amount), Posting(Account.CASH, -amount)),
        MoveKind.FETCHED: (Posting(Account.CASH, amount), Posting(Account.BANK, -amount)),
        MoveKind.CARD_PAID: (Posting(Account.CREDIT_CARD, amount), Posting(till, -amount)),
        MoveKind.CONTRIBUTION: (Posting(till, amount), Posting(Account.CONTRIBUTIONS, -amount)),
        MoveKind.DRAW: (Posting(Account.DRAWS, amount), Posting(till, -amount)),
        MoveKind.TAX_PAID: (
            Posting(Account.SALES_TAX_PAYABLE, amount),
            Posting(till, -moved),
            Posting(Account.OTHER_INCOME, -fee),
        ),
        MoveKind.OTHER_INCOME: (Posting(till, amount), Posting(Account.OTHER_INCOME, -amount)),
        MoveKind.OPENING: (Posting(till, amount), Posting(Account.OPENING_BALANCES, -amount)),
    }[move.kind]
