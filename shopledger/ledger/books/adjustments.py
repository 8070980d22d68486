"""Adjusting entries: what the owner or the tax preparer posts by account, guarded against what documents own.

They are for loans, depreciation, prepaid and accrued expenses, cash over and short, and what the year's end asks for.
What they move of income and expense counts in both views, on accrual and on cash, as it stands; but an entry that is a
matter of time alone counts on accrual, and not on cash: on cash an expense counts as it is paid, and income as it comes
in (IRS Publication 334, chapter 2). So what is paid, ahead or late, is a spend or a bill of its own, and the entry only
moves it to the days that it is for. What entries move of equipment itself counts in neither view.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from datetime import date
from typing import Final

from shopledger.errors import RefusedError, listed, nearest
from shopledger.ledger.books.completeness import complete
from shopledger.ledger.books.journal import Account
from shopledger.ledger.identifiers import read_state
from shopledger.ledger.limits import MOVED, hold_amount
from shopledger.ledger.text import LONGEST_NOTE, clean_text
from shopledger.money.amount import Cents, write_amount

_ORDERS: Final = "orders, payments and refunds post there: see 'shopledger fix'"
_GOODS: Final = "goods are counted lot by lot there: see 'shopledger stock --help'"
_BILLS: Final = "bills of suppliers post there, each with what is owed on it: see 'shopledger bill --help'"
_JOBS: Final = "lens bills and jobs post there: see 'shopledger bill --help' and 'shopledger job --help'"

OWNED: Final[Mapping[Account, str]] = {
    Account.RECEIVABLE: _ORDERS,
    Account.PREPAYMENTS: _ORDERS,
    Account.CUSTOMER_DEPOSITS: "deposits post there, each a customer's: see 'shopledger deposit --help'",
    Account.CARD_CLEARING: "card payments and payouts meet there: see 'shopledger money payout'",
    Account.CARD_RESERVE: "what the card processor holds back stands there: see 'shopledger money reserve'",
    Account.INVENTORY: _GOODS,
    Account.WORK_IN_PROGRESS: _JOBS,
    Account.ACCOUNTS_PAYABLE: _BILLS,
    Account.SALES_TAX_PAYABLE: "sales tax is owed state by state there: see 'shopledger money pay-tax'",
    Account.OPENING_BALANCES: "only what the books began with stands there: see 'shopledger money open'",
    Account.EQUIPMENT_GAINS: "equipment that is gone posts there: see 'shopledger equipment dispose'",
    Account.SALES: _ORDERS,
    Account.DISCOUNTS: _ORDERS,
    Account.SHIPPING_INCOME: _ORDERS,
    Account.SELLERS_TAX_CHARGED: _ORDERS,
    Account.RETURNS: _ORDERS,
    Account.COST_OF_GOODS: _GOODS,
    Account.LENSES: _JOBS,
    Account.SCRAP: _JOBS,
    Account.STOCK_DIFFERENCES: _GOODS,
    Account.WRITTEN_OFF: _GOODS,
    Account.PURCHASE_ALLOWANCES: _BILLS,
    Account.SAMPLES: _GOODS,
    Account.NEVER_PAID: _ORDERS,
}
"""The accounts that documents own, and why no entry by hand goes there."""

ADJUSTABLE: Final = tuple(account for account in Account if account not in OWNED)
"""The accounts that an adjusting entry may move."""

OPENED: Final = (
    *(Account.CASH, Account.BANK, Account.CARD_CLEARING, Account.PREPAID, Account.EQUIPMENT),
    *(Account.ACCUMULATED_DEPRECIATION, Account.CREDIT_CARD, Account.SALES_TAX_PAYABLE, Account.ACCRUED, Account.LOANS),
)
"""The accounts of an opening position; goods, bills and what the shop began with otherwise have deeds of their own."""

TIMED: Final = (Account.PREPAID, Account.ACCRUED)
"""The accounts where expenses and income wait that count on other days than they are paid."""

MONEY: Final = (
    *(Account.CASH, Account.BANK, Account.CARD_CLEARING, Account.CARD_RESERVE),
    *(Account.CREDIT_CARD, Account.LOANS),
)
"""The accounts of money, lent money among them: an entry that moves one of them says what was paid or came in."""

ENTERED: Final = tuple(account for account in Account if account in ADJUSTABLE or account in OPENED)
"""All that adjusting entries and the opening position move."""

complete(Account, {**OWNED, **dict.fromkeys(ADJUSTABLE, "")}, "say in OWNED of adjustments.py whether documents own it")


@dataclass(frozen=True, slots=True)
class AdjustmentLine:
    """One account of an adjusting entry: debit above zero, credit below."""

    account: Account
    amount: Cents
    state: str = ""
    """To which state sales tax was owed when the books began."""

    def __post_init__(self) -> None:
        """Refuse a line of nothing."""
        if self.state:
            object.__setattr__(self, "state", read_state(self.state))
        if not self.amount:
            raise RefusedError(
                f"amount of {self.account.title}", write_amount(0), "it may not be 0", "Leave the account out."
            )
        hold_amount(f"amount of {self.account.title}", abs(self.amount), MOVED)


@dataclass(frozen=True, slots=True)
class Adjustment:
    """An adjusting entry of the owner's own; it may reverse an earlier one, as an accrual is a month later."""

    day: date
    reason: str
    lines: tuple[AdjustmentLine, ...]
    reverses: int | None = None
    opening: bool = False
    """Whether it is what the shop had and owed when the books began, balanced into the owner's capital."""
    number: int | None = None

    def __post_init__(self) -> None:
        """Refuse an entry out of balance, an account that it may not move or names twice, and no reason."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        for line in self.lines:
            self._hold(line)
        debits = sum(line.amount for line in self.lines if line.amount > 0)
        credited = -sum(line.amount for line in self.lines if line.amount < 0)
        if debits != credited or not debits:
            given = f"debits of {write_amount(debits)} and credits of {write_amount(credited)}"
            hint = "Type accounts with --debit and --credit until both come to the same."
            raise RefusedError("entry", given, "both must be the same, and more than 0", hint)
        accounts = [(line.account, line.state) for line in self.lines]
        twice = [each[0].title for each in dict.fromkeys(accounts) if accounts.count(each) > 1]
        if twice:
            raise RefusedError(
                "account", f"'{twice[0]}'", "each account stands once in an entry", "Add its amounts up."
            )

    @property
    def total(self) -> Cents:
        """What its debits come to."""
        return sum(line.amount for line in self.lines if line.amount > 0)

    @property
    def of_time_alone(self) -> bool:
        """Whether it only moves expenses or income in time, and no money: then it counts on accrual, not on cash."""
        moved = {line.account for line in self.lines}
        return not self.opening and not moved.isdisjoint(TIMED) and moved.isdisjoint(MONEY)

    def _hold(self, line: AdjustmentLine) -> None:
        """Refuse an account that documents own, or that no shop begins with; and a tax of no state."""
        account = line.account
        if self.opening and account not in OPENED and account is not Account.CAPITAL:
            hint = f"It may name {listed([each.title for each in OPENED])}; the owner's capital follows."
            raise RefusedError("account", f"'{account.title}'", "no opening position names it", hint)
        if not self.opening and account in OWNED:
            allowed = f"an adjusting entry never goes there: {OWNED[account]}"
            raise RefusedError("account", f"'{account.title}'", allowed, "See 'shopledger adjust accounts'.")
        if (account is Account.SALES_TAX_PAYABLE) != bool(line.state):
            hint = "Type it with --tax, as in --tax OH=44.10."
            raise RefusedError("state", f"'{line.state}'", "sales tax is owed to a state, and nothing else is", hint)

    @classmethod
    def opening_of(cls, day: date, lines: Sequence[AdjustmentLine]) -> Adjustment:
        """Give an opening position: what is there and owed, with the difference as the owner's capital."""
        capital = -sum(line.amount for line in lines)
        rest = (AdjustmentLine(Account.CAPITAL, capital),) if capital else ()
        return cls(day, "opening position", (*lines, *rest), opening=True)

    def reversed_on(self, day: date, number: int) -> Adjustment:
        """Give the entry that reverses this one, of that number, on a day: debits and credits change places."""
        lines = tuple(AdjustmentLine(line.account, -line.amount) for line in self.lines)
        return Adjustment(day, f"reversal of adjustment {number}: {self.reason}"[:LONGEST_NOTE], lines, number)


def read_account(text: str) -> Account:
    """Read the name of an account, typed with spaces or hyphens; its first words will do if no other begins so."""
    typed = " ".join(text.casefold().replace("-", " ").split())
    known = {account.title: account for account in Account}
    begun = [title for title in known if title.startswith(f"{typed} ")]
    if typed in known:
        return known[typed]
    if len(begun) == 1:
        return known[begun[0]]
    near = nearest(typed, known)
    hint = f"Did you mean {listed(near)}?" if near else "See 'shopledger adjust accounts'."
    raise RefusedError("account", f"'{text}'", "the books have no such account", hint)
