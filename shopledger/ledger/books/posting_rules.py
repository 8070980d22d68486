"""Which accounts each kind of document moves, and by which of its amounts: the one table of it.

Entries are made of these rules (`postings.py`), and the proof that every document has its entry asks the database by
the same ones (`store/books/document_rows.py`). A leg moves an account, or the one that stands beside a word of the
document, by a named amount; debits are positive.
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from enum import Enum
from typing import Final, Literal

from shopledger.ledger.books.adjustments import ENTERED
from shopledger.ledger.books.bill_credits import REPRICED_ACCOUNTS
from shopledger.ledger.books.bills import BillLineKind
from shopledger.ledger.books.completeness import complete
from shopledger.ledger.books.documents import VOIDABLE, DocumentKind
from shopledger.ledger.books.journal import Account, Posting
from shopledger.ledger.books.money_moves import CashAccount, MoveKind
from shopledger.ledger.books.spending import ExpenseCategory, SpendMethod
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents

STANDS_ON: Final = (Account.RECEIVABLE, Account.PREPAYMENTS)
"""Where an order may stand: owed by its customer, or paid ahead of its goods."""
JOB_ACCOUNTS: Final = (Account.WORK_IN_PROGRESS, Account.LENSES, Account.SCRAP)
"""Where a job's costs may stand: before it leaves, after, and where its order was cancelled."""


@dataclass(frozen=True, slots=True)
class By:
    """The account that stands beside a word of the document."""

    word: str
    """What the document calls it, and the database its column."""
    accounts: Mapping[Enum, Account]


@dataclass(frozen=True, slots=True)
class Leg:
    """One account moved: by which amount of the document, and which way."""

    account: Account | By
    amount: str
    sign: Literal[1, -1] = 1


@dataclass(frozen=True, slots=True)
class Rule:
    """What a kind of document posts: its legs, and the opposite of what other documents posted.

    The ledger keeps not every amount by itself. Accounts that only such an amount tells apart are proven `together`,
    under the one they lead to.
    """

    legs: tuple[Leg, ...] = ()
    reverses: tuple[DocumentKind, ...] = ()
    together: Mapping[Account, Account] = field(default_factory=dict)


_METHOD: Final = By("method", {method: method.account for method in Method})
_SPENT: Final = By("method", {method: method.account for method in SpendMethod})
_CATEGORY: Final = By("category", {category: category.account for category in ExpenseCategory})
_REASON: Final = By("reason", {reason: reason.account for reason in StockReason})
_STANDING: Final = By("standing", {account: account for account in JOB_ACCOUNTS})
_TILL: Final = By("till", {till: till.account for till in CashAccount})
_AGAINST: Final = By("kind", {kind: kind.account for kind in MoveKind})
_REPRICED: Final = By("account", {account: account for account in REPRICED_ACCOUNTS})
_ADJUSTED: Final = By("account", {account: account for account in ENTERED})
_FEE: Final = By("kind", {kind: kind.fee_account for kind in MoveKind if kind.fee_account})

_JOBS: Final = {Account.LENSES: Account.WORK_IN_PROGRESS, Account.SCRAP: Account.WORK_IN_PROGRESS}
"""Where a job's costs stood on the day of a document is kept by the books alone."""
_SIDES: Final = {Account.PREPAYMENTS: Account.RECEIVABLE}
"""On which side an order stands hangs on all that happened to it by that day: see `prepaid.py`."""
_OFFERS: Final = {**_SIDES, Account.DISCOUNTS: Account.SALES}
"""The books once knew only what goods came to less their offers."""

BILL_LINES: Final[Mapping[BillLineKind, Account | By | None]] = complete(
    BillLineKind,
    {
        BillLineKind.STOCK: Account.INVENTORY,
        BillLineKind.JOB: _STANDING,
        BillLineKind.EXPENSE: _CATEGORY,
        BillLineKind.FREIGHT: None,
        BillLineKind.OPENING: Account.OPENING_BALANCES,
    },
    "say in BILL_LINES of shopledger/ledger/books/posting_rules.py which account it moves",
)
"""What each kind of line of a bill moves by its landed cost; freight lands in the others."""

EVENED: Final = "evened"
"""What a document moves from prepayments to receivable, so that an order stands on one side alone."""
_EVENED: Final = (Leg(Account.RECEIVABLE, EVENED), Leg(Account.PREPAYMENTS, EVENED, -1))
_EARNED: Final = (
    Leg(Account.RECEIVABLE, "charged"),
    Leg(Account.DISCOUNTS, "offers"),
    Leg(Account.SALES, "listed", -1),
    Leg(Account.SHIPPING_INCOME, "shipping", -1),
    Leg(Account.SALES_TAX_PAYABLE, "tax", -1),
    Leg(Account.TAXES, "sellers_tax"),
    Leg(Account.SELLERS_TAX_CHARGED, "sellers_tax", -1),
    Leg(Account.RETURNS, "net_back"),
    Leg(Account.SALES_TAX_PAYABLE, "tax_back"),
    Leg(Account.SELLERS_TAX_CHARGED, "sellers_tax_back"),
    Leg(Account.TAXES, "sellers_tax_back", -1),
    *_EVENED,
)
"""What lines move that count as sold, and that give up what counted: `ledger/earning.py`."""

RULES: Final[Mapping[DocumentKind, Rule]] = complete(
    DocumentKind,
    {
        # Once an order counted when it was recorded; now only its goods do, when they leave.
        DocumentKind.ORDER: Rule(_EARNED, together=_OFFERS),
        DocumentKind.PUT_OFF: Rule(_EARNED, together=_OFFERS),
        DocumentKind.OPENING_DEBT: Rule(
            (Leg(Account.RECEIVABLE, "charged"), Leg(Account.OPENING_BALANCES, "charged", -1), *_EVENED),
            together=_SIDES,
        ),
        DocumentKind.PAYMENT: Rule(
            (
                Leg(_METHOD, "received"),
                Leg(Account.CUSTOMER_DEPOSITS, "from_deposit"),
                Leg(Account.RECEIVABLE, "paid", -1),
                *_EVENED,
            ),
            together=_SIDES,
        ),
        DocumentKind.REFUND: Rule(
            (*_EARNED, Leg(Account.RECEIVABLE, "repaid"), Leg(_METHOD, "repaid", -1)), together=_OFFERS
        ),
        DocumentKind.CORRECTION: Rule(
            (
                *_EARNED,
                Leg(Account.RECEIVABLE, "unpaid"),
                Leg(_METHOD, "reversed", -1),
                Leg(Account.CUSTOMER_DEPOSITS, "to_deposit", -1),
                Leg(Account.NEVER_PAID, "written_off"),
                Leg(Account.RECEIVABLE, "written_off", -1),
            ),
            together=_OFFERS,
        ),
        DocumentKind.CORRECTION_FEE: Rule((Leg(Account.FEES, "fee"), Leg(_METHOD, "fee", -1))),
        DocumentKind.CANCELLATION: Rule(
            (Leg(Account.SCRAP, "jobs"), Leg(Account.WORK_IN_PROGRESS, "jobs", -1)),
            reverses=(
                *(DocumentKind.ORDER, DocumentKind.OPENING_DEBT, DocumentKind.PUT_OFF),
                *(DocumentKind.PAYMENT, DocumentKind.CORRECTION),
            ),
            together={**_OFFERS, **_JOBS},
        ),
        DocumentKind.SHIPMENT: Rule(
            (
                Leg(Account.COST_OF_GOODS, "goods"),
                Leg(Account.INVENTORY, "goods", -1),
                Leg(Account.LENSES, "jobs"),
                Leg(Account.WORK_IN_PROGRESS, "jobs", -1),
            ),
            together=_JOBS,
        ),
        # What a job was made again for, and so where its costs go, is kept by the books alone.
        DocumentKind.PARCEL: Rule(
            (
                *_EARNED,
                Leg(Account.COST_OF_GOODS, "goods"),
                Leg(Account.INVENTORY, "goods", -1),
                Leg(Account.LENSES, "jobs"),
                Leg(Account.SCRAP, "remade"),
                Leg(Account.WORK_IN_PROGRESS, "jobs", -1),
                Leg(Account.WORK_IN_PROGRESS, "remade", -1),
            ),
            together={**_OFFERS, **_JOBS},
        ),
        # Its goods are movements of their own.
        DocumentKind.PARCEL_RETURN: Rule(
            (
                *_EARNED,
                Leg(Account.WORK_IN_PROGRESS, "jobs"),
                Leg(Account.WORK_IN_PROGRESS, "remade"),
                Leg(Account.LENSES, "jobs", -1),
                Leg(Account.SCRAP, "remade", -1),
            ),
            together={**_OFFERS, **_JOBS},
        ),
        # What a supplier takes off for goods sent back is kept by the books alone.
        DocumentKind.MOVEMENT: Rule(
            (
                Leg(Account.ACCOUNTS_PAYABLE, "credit"),
                Leg(Account.STOCK_DIFFERENCES, "lost"),
                Leg(Account.INVENTORY, "cost"),
                Leg(_REASON, "against", -1),
            ),
            together={Account.STOCK_DIFFERENCES: Account.ACCOUNTS_PAYABLE},
        ),
        DocumentKind.REMAKE: Rule(
            (Leg(Account.SCRAP, "cost"), Leg(_STANDING, "cost", -1)),
            together={Account.LENSES: Account.WORK_IN_PROGRESS},
        ),
        DocumentKind.EXPENSE: Rule((Leg(_CATEGORY, "amount"), Leg(_SPENT, "amount", -1))),
        DocumentKind.BILL: Rule(
            (
                *(Leg(account, kind.value) for kind, account in BILL_LINES.items() if account),
                Leg(Account.ACCOUNTS_PAYABLE, "billed", -1),
            ),
            together=_JOBS,
        ),
        DocumentKind.BILL_PAYMENT: Rule((Leg(Account.ACCOUNTS_PAYABLE, "amount"), Leg(_SPENT, "amount", -1))),
        # What is set against another bill leaves one for the other: both stand in the same account.
        DocumentKind.BILL_CREDIT: Rule(
            (
                Leg(Account.ACCOUNTS_PAYABLE, "lowered"),
                Leg(_REPRICED, "share", -1),
                Leg(_SPENT, "came"),
                Leg(Account.ACCOUNTS_PAYABLE, "came", -1),
                Leg(Account.ACCOUNTS_PAYABLE, "set_against"),
                Leg(Account.ACCOUNTS_PAYABLE, "set_against", -1),
            )
        ),
        DocumentKind.ADJUSTMENT: Rule((Leg(_ADJUSTED, "amount"),)),
        DocumentKind.DISPOSAL: Rule(
            (
                Leg(Account.ACCUMULATED_DEPRECIATION, "depreciation"),
                Leg(_TILL, "proceeds"),
                Leg(Account.EQUIPMENT_GAINS, "gain", -1),
                Leg(Account.EQUIPMENT, "cost", -1),
            )
        ),
        DocumentKind.MONEY: Rule(
            (
                Leg(_AGAINST, "went_out"),
                Leg(_TILL, "moved"),
                Leg(_FEE, "fee"),
                Leg(_AGAINST, "came_in", -1),
            )
        ),
        DocumentKind.DEPOSIT: Rule((Leg(_METHOD, "amount"), Leg(Account.CUSTOMER_DEPOSITS, "amount", -1))),
        **{kind.voiding: Rule(reverses=(kind,)) for kind in VOIDABLE},
        # By the time a bill is voided, its jobs' costs may stand elsewhere than it put them.
        DocumentKind.BILL_VOIDED: Rule(
            tuple(Leg(account, account.title) for account in JOB_ACCOUNTS),
            reverses=(DocumentKind.BILL,),
            together=_JOBS,
        ),
    },
    "say in RULES of shopledger/ledger/books/posting_rules.py which accounts it moves",
)


@dataclass(frozen=True, slots=True)
class Amounts:
    """What one row of a document comes to, by the names in its rule, and the words that choose its accounts."""

    amounts: Mapping[str, Cents]
    words: Mapping[str, Enum] = field(default_factory=dict)


def posted(kind: DocumentKind, *rows: Amounts) -> tuple[Posting, ...]:
    """Give what a document posts, leg by leg; rows that move the same account by one leg are one posting.

    So is all that moves one of the two sides on which an order may stand.
    """
    postings = tuple(_moved(RULES[kind].legs, rows))
    sides = {each.account: 0 for each in postings if each.account in STANDS_ON}
    for each in postings:
        if each.account in sides:
            sides[each.account] += each.amount
    one_by_one = dict.fromkeys(each.account if each.account in sides else place for place, each in enumerate(postings))
    return tuple(
        Posting(where, sides[where]) if isinstance(where, Account) else postings[where] for where in one_by_one
    )


def _moved(legs: tuple[Leg, ...], rows: tuple[Amounts, ...]) -> Iterator[Posting]:
    for leg in legs:
        sums: Counter[Account] = Counter()
        for row in rows:
            amount = row.amounts.get(leg.amount, 0)
            if amount:
                sums[_account(leg.account, row.words)] += leg.sign * amount
        yield from (Posting(account, amount) for account, amount in sums.items())


def _account(account: Account | By, words: Mapping[str, Enum]) -> Account:
    return account if isinstance(account, Account) else account.accounts[words[account.word]]
