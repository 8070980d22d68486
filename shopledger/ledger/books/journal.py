"""The books: balanced double entries, each chained to the one before by a hash.

Accounts are few and tied to the Schedule C line where one fits (IRS Publication 334, chapter 9). A
posting's amount is positive for a debit and negative for a credit, so an entry balances when its postings sum to zero.
The chain proves that nothing between two printed heads was changed; `HEAD` at any time is (count, hash).
"""

from __future__ import annotations

import hashlib
import json
from dataclasses import dataclass
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import LedgerError
from shopledger.ledger.books.documents import Document
from shopledger.money.amount import Cents, write_amount


class AccountKind(Enum):
    """What an account is in a trial balance; income, cost and expense begin each year at zero."""

    ASSET = "asset"
    LIABILITY = "liability"
    EQUITY = "equity"
    INCOME = "income"
    COST = "cost of goods"
    EXPENSE = "expense"

    @property
    def lasts(self) -> bool:
        """Whether its balance is carried from year to year."""
        return self in {AccountKind.ASSET, AccountKind.LIABILITY, AccountKind.EQUITY}


class Account(Enum):
    """The chart of accounts: name in the books, what it is, and the Schedule C line it goes to, or empty.

    Lines 1 to 7 and Part III follow IRS Publication 334; the numbers of the expense lines are values from memory, after
    the form of 2024. "48" is Part V, other expenses.
    """

    RECEIVABLE = ("receivable", AccountKind.ASSET, "")
    CASH = ("cash", AccountKind.ASSET, "")
    CARD_CLEARING = ("card clearing", AccountKind.ASSET, "")
    CARD_RESERVE = ("card reserve", AccountKind.ASSET, "")
    """Held back by the card processor for a while: the shop's all the same, and paid out later."""
    BANK = ("bank", AccountKind.ASSET, "")
    INVENTORY = ("inventory", AccountKind.ASSET, "41")
    WORK_IN_PROGRESS = ("jobs in work", AccountKind.ASSET, "41")
    """Lenses and lab work billed for jobs that have not left yet."""
    PREPAID = ("prepaid expenses", AccountKind.ASSET, "")
    """Paid for days that are yet to come."""
    EQUIPMENT = ("equipment", AccountKind.ASSET, "13")
    """Bought to last; how it is written off is the tax preparer's."""
    ACCUMULATED_DEPRECIATION = ("accumulated depreciation", AccountKind.ASSET, "")
    """What of the equipment was written off so far: below zero."""

    ACCOUNTS_PAYABLE = ("bills to pay", AccountKind.LIABILITY, "")
    CREDIT_CARD = ("credit card owed", AccountKind.LIABILITY, "")
    CUSTOMER_DEPOSITS = ("customer deposits", AccountKind.LIABILITY, "")
    PREPAYMENTS = ("customer prepayments", AccountKind.LIABILITY, "")
    """Paid on orders of which so much did not leave yet."""
    SALES_TAX_PAYABLE = ("sales tax payable", AccountKind.LIABILITY, "")
    ACCRUED = ("accrued expenses", AccountKind.LIABILITY, "")
    """Used up and not billed yet, such as wages and interest."""
    LOANS = ("loans", AccountKind.LIABILITY, "")

    CONTRIBUTIONS = ("owner contributions", AccountKind.EQUITY, "")
    DRAWS = ("owner draws", AccountKind.EQUITY, "")
    OPENING_BALANCES = ("opening balances", AccountKind.EQUITY, "")
    CAPITAL = ("owner capital", AccountKind.EQUITY, "")
    EQUIPMENT_GAINS = ("gain or loss on equipment", AccountKind.EQUITY, "")
    """What equipment brought above what was left of its cost, or below it: apart from the result of the trade, since it
    stands on no line of Schedule C. Form 4797 is the tax preparer's."""

    SALES = ("sales", AccountKind.INCOME, "1")
    DISCOUNTS = ("offers and discounts", AccountKind.INCOME, "1")
    SHIPPING_INCOME = ("shipping income", AccountKind.INCOME, "1")
    SELLERS_TAX_CHARGED = ("tax charged as seller", AccountKind.INCOME, "1")
    """Sales tax that the law lays on the seller: what the customer paid of it is part of the gross receipts."""
    RETURNS = ("returns and allowances", AccountKind.INCOME, "2")
    OTHER_INCOME = ("other income", AccountKind.INCOME, "6")

    COST_OF_GOODS = ("cost of goods sold", AccountKind.COST, "42")
    LENSES = ("lenses and lab work", AccountKind.COST, "42")
    SCRAP = ("scrap and remakes", AccountKind.COST, "42")
    STOCK_DIFFERENCES = ("stock differences", AccountKind.COST, "42")
    """Found missing or found over at a count, and goods sent back for another price than they cost."""
    WRITTEN_OFF = ("stock written off", AccountKind.COST, "42")
    PURCHASE_ALLOWANCES = ("purchase discounts and allowances", AccountKind.COST, "42")
    """What suppliers took off, or charged more, for goods that had left by then: purchases count at their net price."""

    ADVERTISING = ("advertising", AccountKind.EXPENSE, "8")
    SAMPLES = ("samples and gifts", AccountKind.EXPENSE, "8")
    CAR = ("car and truck", AccountKind.EXPENSE, "9")
    FEES = ("commissions and fees", AccountKind.EXPENSE, "10")
    CONTRACT_LABOUR = ("contract labour", AccountKind.EXPENSE, "11")
    DEPRECIATION = ("depreciation", AccountKind.EXPENSE, "13")
    INSURANCE = ("insurance", AccountKind.EXPENSE, "15")
    INTEREST = ("interest", AccountKind.EXPENSE, "16b")
    PROFESSIONAL = ("legal and professional services", AccountKind.EXPENSE, "17")
    OFFICE = ("office expense", AccountKind.EXPENSE, "18")
    RENT_EQUIPMENT = ("rent of equipment", AccountKind.EXPENSE, "20a")
    RENT = ("rent of premises", AccountKind.EXPENSE, "20b")
    REPAIRS = ("repairs and maintenance", AccountKind.EXPENSE, "21")
    SUPPLIES = ("supplies", AccountKind.EXPENSE, "22")
    TAXES = ("taxes and licences", AccountKind.EXPENSE, "23")
    TRAVEL = ("travel", AccountKind.EXPENSE, "24a")
    MEALS = ("meals", AccountKind.EXPENSE, "24b")
    UTILITIES = ("utilities", AccountKind.EXPENSE, "25")
    WAGES = ("wages", AccountKind.EXPENSE, "26")
    POSTAGE = ("postage and shipping out", AccountKind.EXPENSE, "48")
    SOFTWARE = ("software and services", AccountKind.EXPENSE, "48")
    TRAINING = ("training and licences", AccountKind.EXPENSE, "48")
    NEVER_PAID = ("sales never paid", AccountKind.EXPENSE, "48")
    """Written off: on accrual a bad debt; on the cash basis it was never income, so it is no loss either
    (IRS Publication 334, bad debts; value from memory)."""
    OVER_SHORT = ("cash over and short", AccountKind.EXPENSE, "48")
    """What the drawer held less than it should, or below zero more."""
    OTHER = ("other expense", AccountKind.EXPENSE, "48")

    def __init__(self, title: str, kind: AccountKind, schedule_c: str) -> None:
        self.title = title
        self.kind = kind
        self.schedule_c = schedule_c


NET_SALES: Final = (Account.SALES, Account.DISCOUNTS, Account.SHIPPING_INCOME, Account.RETURNS)
"""The accounts that net sales are the sum of: what goods and shipping came to, less what was given back."""


class UnbalancedError(LedgerError):
    """An entry whose debits and credits differ."""

    memo: str
    difference: Cents

    def __str__(self) -> str:
        out = write_amount(self.difference)
        return f"the entry '{self.memo}' is out of balance by {out}; debits must equal credits."


@dataclass(frozen=True, slots=True)
class Posting:
    """One account touched: debit positive, credit negative."""

    account: Account
    amount: Cents


@dataclass(frozen=True, slots=True)
class Entry:
    """One event in the books; zero postings are left out, the rest must balance."""

    day: date
    memo: str
    document: Document
    """What it stands on."""
    postings: tuple[Posting, ...]
    reverses: int | None = None
    """Number of the entry that this one takes back."""

    def __post_init__(self) -> None:
        """Drop empty postings and refuse an entry out of balance."""
        kept = tuple(posting for posting in self.postings if posting.amount)
        object.__setattr__(self, "postings", kept)
        difference = sum(posting.amount for posting in kept)
        if difference:
            raise UnbalancedError(self.memo, difference)

    def opposite(self, number: int, day: date, document: Document) -> Entry:
        """Give the entry that takes this one, of that number, back: it stands on a document of its own."""
        postings = tuple(Posting(posting.account, -posting.amount) for posting in self.postings)
        return Entry(day, f"taken back: {self.memo}", document, postings, reverses=number)

    def canonical(self) -> bytes:
        """Give the entry as bytes that never change: keys in a fixed order, no spare space, UTF-8."""
        body: dict[str, object] = {
            "day": self.day.isoformat(),
            "document": str(self.document),
            "memo": self.memo,
            "postings": [[posting.account.title, posting.amount] for posting in self.postings],
        }
        if self.reverses is not None:
            body["reverses"] = self.reverses
        return json.dumps(body, ensure_ascii=False, separators=(",", ":"), sort_keys=True).encode()


@dataclass(frozen=True, slots=True)
class Head:
    """How many entries the journal holds and the hash of the last: proof of all before it."""

    count: int
    hash: str

    def __str__(self) -> str:
        """Write the head as printed on papers: count and the first sixteen hex digits."""
        return f"{self.count}-{self.hash[:16]}"


EMPTY_HEAD: Final = Head(0, "0" * 64)


def chained(head: Head, entry: Entry) -> Head:
    """Give the head after this entry: SHA-256 over the hash before and the entry's canonical form."""
    digest = hashlib.sha256(bytes.fromhex(head.hash) + entry.canonical()).hexdigest()
    return Head(head.count + 1, digest)
