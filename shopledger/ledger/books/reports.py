"""A report on a period as it is handed over: its head, where its rows come from, and what only a year has.

A year's figures hold no single sales: the database adds up first. What was taken back counts in the month it was taken
back.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from datetime import date
from enum import Enum
from itertools import groupby
from typing import Final, Protocol, TypeVar

from shopledger.ledger.audit import Looks
from shopledger.ledger.books.bank_reconciliation import MonthAtBank
from shopledger.ledger.books.disposals import EquipmentRow
from shopledger.ledger.books.figures import PeriodFigures
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.payee_forms import Limit, PayeeReport
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.spending_rows import PayeeRow
from shopledger.ledger.settings import Accounting, Advances, InventoryView
from shopledger.ledger.stock import StockReason
from shopledger.money.amount import Cents

_NO_CHANGES: Final[Mapping[Account, Cents]] = {}


class MoneyEvent(Enum):
    """What brought money of customers or of the card processor in or out."""

    PAYMENT = "payment"
    """Less what was recorded by mistake, which stands on the same day."""
    FROM_DEPOSIT = "payment from a deposit"
    """Less what was put back into it."""
    MOVED = "payment moved to another order"
    """No money: what one order lost the other got, but not the same sales tax in it."""
    PUT_RIGHT = "paid order put right"
    """No money, but other sales tax in what was paid."""
    BOUNCED = "payment sent back by the bank"
    """Below zero, as a dispute is."""
    DISPUTED = "payment disputed"
    DISPUTE_WON = "dispute won"
    DEPOSIT = "deposit taken"
    DEPOSIT_BACK = "deposit given back"
    REFUND = "refund"
    CANCELLED = "payment of a cancelled order"
    CANCELLED_DEPOSIT = "payment of a cancelled order, a deposit again"
    PAYOUT = "payout"
    """With the processor's fees, whether kept from a payout or taken without one."""
    RESERVED = "reserve held less released"
    CARD_OPENING = "owed by the processor when the books began"


@dataclass(frozen=True, slots=True)
class MoneyRow:
    """What one kind of event came to in a month, by method.

    `fee` is what the processor kept of its payouts, or what was taken for a payment that was sent back or disputed.

    `tax` is the sales tax in it that belongs to a state and `shipping` the shipping in it, both by proportion of the
    orders paid.
    """

    month: Month
    event: MoneyEvent
    method: str
    count: int
    amount: Cents
    fee: Cents = 0
    tax: Cents = 0
    shipping: Cents = 0


@dataclass(frozen=True, slots=True)
class YearBills:
    """Expenses that suppliers billed, by account: what was billed in the year, and what of all bills was paid in it."""

    billed: Mapping[Account, Cents] = field(default_factory=dict)
    paid: Mapping[Account, Cents] = field(default_factory=dict)


@dataclass(frozen=True, slots=True)
class YearFigures:
    """The ledger's own figures for a year: all that the worksheet is worked out from."""

    year: Period
    changes: Mapping[Month, Mapping[Account, Cents]]
    """What each account changed by in each month of the year and of the year before, debits less credits."""
    opening: Mapping[Account, Cents]
    """What each account stood at when the year before began, over all time."""
    goods: Mapping[StockReason, Cents]
    """Whole cost of the year's stock movements, in positive and out negative."""
    money: tuple[MoneyRow, ...] = ()
    bills: YearBills = field(default_factory=YearBills)
    tax_charged: Mapping[Month, Cents] = field(default_factory=dict)
    """Sales tax on sales less that on refunds and cancellations, laid on the buyer."""
    advances: Cents = 0
    """By how much more was paid ahead, without its sales tax, than a year ago; only where that counts when received."""

    timed: Mapping[Account, Cents] = field(default_factory=dict)
    """What adjusting entries of time alone moved each account of income and expense by, debits less credits."""

    taken_over: Cents = 0
    """What customers owed when the books began, taken over in the year, less what of it was cancelled in the year."""

    @property
    def owed_more(self) -> Cents:
        """Give by how much more customers owe of what these books sold."""
        return self.change(Account.RECEIVABLE) - self.taken_over

    def goods_against(self, account: Account) -> Cents:
        """Give the cost of the movements whose reason stands against an account."""
        return sum(cost for reason, cost in self.goods.items() if reason.account is account)

    def in_month(self, month: Month) -> Mapping[Account, Cents]:
        """Give what each account changed by in a month."""
        return self.changes.get(month, _NO_CHANGES)

    def change(self, *accounts: Account) -> Cents:
        """Give what these accounts changed by in the year."""
        return self._over(self.year, accounts)

    def change_before(self, *accounts: Account) -> Cents:
        """Give what these accounts changed by in the year before."""
        return self._over(self.year.year_before, accounts)

    def opened_at(self, *accounts: Account) -> Cents:
        """Give what these accounts stood at when the year began, over all time."""
        return sum(self.opening.get(account, 0) for account in accounts) + self.change_before(*accounts)

    def closed_at(self, *accounts: Account) -> Cents:
        """Give what these accounts stand at on the year's last day, over all time."""
        return self.opened_at(*accounts) + self.change(*accounts)

    def moved(self, *events: MoneyEvent, method: str | None = None) -> Cents:
        """Give what these events came to in the year, by one method or by all."""
        return sum(row.amount for row in self.of(events, method))

    def of(self, events: Iterable[MoneyEvent], method: str | None = None) -> Iterator[MoneyRow]:
        """Give the rows of these events, of one method or of all."""
        wanted = frozenset(events)
        return (row for row in self.money if row.event in wanted and method in {None, row.method})

    def _over(self, year: Period, accounts: tuple[Account, ...]) -> Cents:
        return sum(self.in_month(month).get(account, 0) for month in year.months for account in accounts)


R = TypeVar("R")


class Rows(Protocol):
    """Gives the rows of one record, each once and in the order of their days."""

    def __call__(self, record: type[R], /) -> Iterator[R]:
        """Begin with the first row."""


@dataclass(frozen=True, slots=True)
class ReportState:
    """Whether a period may be handed over: it is over, and every month of it with entries is closed."""

    open_months: tuple[Month, ...] = ()
    over: bool = True
    noun: str = "year"
    """What such a period is called."""

    @property
    def draft(self) -> bool:
        """Whether figures may still change."""
        return bool(self.open_months) or not self.over

    @property
    def sentence(self) -> str:
        """Say why it is a draft, or that it is none."""
        if not self.draft:
            return "Every month with entries is closed."
        why = [] if self.over else [f"the {self.noun} is not over"]
        if self.open_months:
            why.append(f"not closed: {', '.join(_spans(self.open_months))}")
        return f"DRAFT, figures may still change: {'; '.join(why)}."


def _spans(months: tuple[Month, ...]) -> Iterator[str]:
    """Say months in order, those that follow one another from the first to the last."""
    for _, run in groupby(enumerate(months), key=lambda placed: placed[1].year * 12 + placed[1].number - placed[0]):
        first, *rest = (month for _, month in run)
        yield f"{first} to {rest[-1]}" if rest else str(first)


@dataclass(frozen=True, slots=True)
class Report:
    """Whose books over which days, and on which state of them."""

    period: Period
    shop_name: str
    ein: str
    """The shop's own number at the tax office, as it stands now."""
    as_of: date
    """The day whose state it shows: that of the closing, or of today while figures may still change."""
    ledger_head: str
    accounting: Accounting
    """Which view stands first."""
    rows: Rows


@dataclass(frozen=True, slots=True)
class PeriodReport(Report):
    """Any span of days with all that happened in it."""

    state: str
    """Whether the period is open or closed, in a sentence."""
    figures: PeriodFigures
    looks: tuple[Looks, ...] = ()
    """How often each operator looked at private things in it."""
    bank: MonthAtBank | None = None
    """A month's bank reconciliation, where a statement tells of the month."""


@dataclass(frozen=True, slots=True)
class YearReport(Report):
    """A calendar year on the lines of its tax forms."""

    state: ReportState
    inventory_view: InventoryView
    advances: Advances
    view_before: InventoryView | None
    """How the year before was handed over; None where that is not known."""
    figures: YearFigures
    months: tuple[PeriodFigures, ...]
    """Each month's own figures, which the year must be the sum of."""
    payees: tuple[PayeeRow, ...]
    limit: Limit
    """From which sum on a payee is reported."""
    payee_reports: tuple[PayeeReport, ...]
    equipment: tuple[EquipmentRow, ...]
    """What was there on the last day, and what had gone by then."""
