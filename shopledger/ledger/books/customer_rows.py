"""The rows of a period that customers make: what was sold, paid, given back and taxed, and their deposits.

What was taken back counts on the day it was taken back: a cancellation or refund never changes the period of the sale.
Each row's fields stand in the order in which its query gives them.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.money.amount import Cents


class SaleEvent(Enum):
    """Why a line counts as sold, or below zero counts no longer."""

    SOLD = "sold"
    """Its goods left."""
    ADDED = "added"
    TAKEN_OUT = "taken out"
    CAME_BACK = "came back"
    """In its parcel, which did not arrive."""
    CANCELLED = "cancelled"
    PUT_OFF = "put off"
    """It counted when its order was recorded, and counts with its goods since."""


class GivenUpCause(Enum):
    """Why a line gave up some of its charge after it was sold."""

    REFUND = "refund"
    """With money."""
    REDUCED = "reduced"
    EXCHANGED = "exchanged"
    CANCELLED = "cancelled"
    """Below zero, as the next two are: what was given up of what counts no longer."""
    CAME_BACK = "came back"
    PUT_OFF = "put off"


class PaymentEvent(Enum):
    """What brought money onto an order, or took it off again."""

    PAID = "paid"
    CORRECTED = "paid, put right"
    """In the place of one that was recorded by mistake."""
    MOVED_HERE = "moved from another order"
    BOUNCED = "sent back by the bank"
    DISPUTED = "disputed"
    DISPUTE_WON = "dispute won"
    MISTAKEN = "recorded by mistake"
    MOVED_AWAY = "moved to another order"
    PUT_RIGHT = "order put right"
    """No money: the order was changed, and with it what sales tax its payments carry."""


class MoneyBackCause(Enum):
    """Why money went back to a customer."""

    REFUND = "refund"
    CANCELLATION = "cancellation"


@dataclass(frozen=True, slots=True)
class SalesRow:
    """What of one line counts as sold in the period; or, below zero, what counts no longer."""

    day: date
    order_number: int
    customer: str
    state: str
    kind: str
    item_code: str
    description: str
    quantity: int
    list_price: Cents
    reduction: Cents
    net: Cents
    tax_category: str
    tax: Cents
    event: SaleEvent = SaleEvent.SOLD


@dataclass(frozen=True, slots=True)
class RefundRow:
    """What one line gave up in the period of what counted as sold, and how many of its goods came back."""

    day: date
    order_number: int
    customer: str
    state: str
    kind: str
    description: str
    tax_category: str
    net: Cents
    tax: Cents
    method: str
    """Empty where no money went."""
    reason: str
    returned: int
    cause: GivenUpCause = GivenUpCause.REFUND


@dataclass(frozen=True, slots=True)
class PaymentRow:
    """One payment on an order in the period: new money, or money that lay there as a deposit; or what fell away of one.

    Its taxes are its share of the order's, worked out on all that was paid so far less what went before, so that all
    payments of an order carry exactly its tax. What fell away stands below zero, on the day it did.
    """

    day: date
    order_number: int
    customer: str
    method: str
    reference: str
    amount: Cents
    deposit_number: int | None = None
    tax: Cents = 0
    """Sales tax in it that belongs to the state."""
    sellers_tax: Cents = 0
    """Sales tax in it that is laid on the shop: part of what the shop takes in, and owed to the state."""
    event: PaymentEvent = PaymentEvent.PAID

    @property
    def from_deposit(self) -> Cents:
        """What of it came in earlier, as a deposit."""
        return 0 if self.deposit_number is None else self.amount

    @property
    def money(self) -> Cents:
        """What of it came in with it."""
        return self.amount - self.from_deposit


@dataclass(frozen=True, slots=True)
class MoneyBackRow:
    """Money given back in the period: one refund, or one payment of a cancelled order."""

    day: date
    order_number: int
    customer: str
    cause: MoneyBackCause
    method: str
    reference: str
    amount: Cents
    to_deposit: Cents = 0
    """What became a deposit again instead of leaving the shop."""
    tax: Cents = 0
    """Sales tax in both that the shop owes no longer."""
    sellers_tax: Cents = 0


@dataclass(frozen=True, slots=True)
class TaxRow:
    """What one state's category came to at one rate: sold, refunded and cancelled, each with its tax."""

    state: str
    category: str
    rate_millionths: int
    sales: Cents
    tax: Cents
    refunds: Cents = 0
    refunds_tax: Cents = 0
    cancellations: Cents = 0
    cancellations_tax: Cents = 0
    imposed_on: str = "buyer"
    exempt_reason: str = ""

    @property
    def net_sales(self) -> Cents:
        """Sales less what was refunded and cancelled."""
        return self.sales - self.refunds - self.cancellations

    @property
    def taxable(self) -> Cents:
        """The part of the net sales on which tax is due: all of it, or nothing where the rate is zero."""
        return self.net_sales if self.rate_millionths else 0

    @property
    def exempt(self) -> Cents:
        """The part on which none is due."""
        return self.net_sales - self.taxable

    @property
    def net_tax(self) -> Cents:
        """Tax charged less that on what was refunded and cancelled."""
        return self.tax - self.refunds_tax - self.cancellations_tax


@dataclass(frozen=True, slots=True)
class CardDayRow:
    """What the card processor processed on one day, as a 1099-K counts it: before disputes, refunds and fees."""

    day: date
    count: int
    amount: Cents


class DepositEvent(Enum):
    """What happened to a deposit."""

    BEFORE = "left from before"
    TAKEN = "taken"
    CREDITED = "credited by a refund"
    """No money came in: what an order gave back waits."""
    GIVEN_BACK = "given back"
    USED = "used for an order"
    PUT_BACK = "put back, order cancelled"
    REVERSED = "put back, payment put right"
    MISTAKE = "voided as a mistake"


@dataclass(frozen=True, slots=True)
class DepositRow:
    """What became of a deposit on a day of the period, or what was left of it before."""

    day: date | None
    deposit_number: int
    customer: str
    event: DepositEvent
    order_number: int | None
    method: str
    reference: str
    before: Cents = 0
    taken: Cents = 0
    given_back: Cents = 0
    used: Cents = 0

    @property
    def left(self) -> Cents:
        """What the row adds to what is still the customer's."""
        return self.before + self.taken - self.given_back - self.used


@dataclass(frozen=True, slots=True)
class CustomerRow:
    """What one customer bought in the period."""

    number: int
    name: str
    state: str
    orders: int
    sales: Cents
    refunds: Cents
    cancellations: Cents

    @property
    def net_sales(self) -> Cents:
        """Sales less what was refunded and cancelled."""
        return self.sales - self.refunds - self.cancellations
