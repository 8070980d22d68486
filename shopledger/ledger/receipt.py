"""What a claim receipt says, frozen at issue: the first step of the paper, all words and amounts.

A receipt is for one wearer. Its content becomes canonical JSON with a SHA-256 when it is issued, and every
later print is made from that and from nothing else, so that a copy can never differ from the first.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date
from typing import Final, NamedTuple

from shopledger.ledger.canonical import frozen, only_erased, opened, thawed
from shopledger.money.amount import Cents

FORM: Final = 2
"""Version of the content's form; a later form must still print the earlier ones. Form 2 added refunds, diagnoses,
spellings, what a receipt replaces, and the paper and wording it is printed with."""

PAID_SINCE: Final = "paid in full since"
"""Why a receipt that was not paid in full gives its place to one that is."""

_SINCE_FORM_2: Final = frozenset({"refunds", "diagnoses", "spellings", "replaces", "paper", "wording_sha256"})


@dataclass(frozen=True, slots=True)
class ReceiptLine:
    """One charge as the clerk reads it."""

    description: str
    code: str
    modifier: str
    units: int
    list_price: Cents
    reduction: Cents
    charge: Cents
    reimbursement: str
    """eligible, not eligible, or plan decides."""
    reason: str
    pair: int | None
    """Which pair of the order it belongs to, to group lines under one heading."""


@dataclass(frozen=True, slots=True)
class ReceiptPair:
    """The heading of a pair: what it is, and the powers made."""

    position: int
    job_number: int
    title: str
    right: str
    left: str


@dataclass(frozen=True, slots=True)
class ReceiptPayment:
    """The wearer's share of one payment on the order."""

    day: str
    method: str
    reference: str
    amount: Cents


@dataclass(frozen=True, slots=True)
class ReceiptRefund:
    """The wearer's share of one refund on the order."""

    day: str
    method: str
    reference: str
    amount: Cents
    reason: str


@dataclass(frozen=True, slots=True)
class ReceiptContent:
    """Everything on a claim receipt. Days are ISO text, amounts whole cents, absent things empty text."""

    number: int
    issued_on: str
    shop_name: str
    shop_lines: tuple[str, ...]
    shop_phone: str
    shop_email: str
    ein: str
    npi: str
    wording: str
    wearer: str
    wearer_birth_date: str
    customer: str
    customer_lines: tuple[str, ...]
    relationship: str
    member_id: str
    order_number: int
    order_day: str
    dispensed_on: str
    """Day of shipping, the date of service; empty until shipped."""
    prescriber: str
    prescriber_npi: str
    prescription_day: str
    pairs: tuple[ReceiptPair, ...]
    lines: tuple[ReceiptLine, ...]
    shipping: Cents
    tax: Cents
    total: Cents
    payments: tuple[ReceiptPayment, ...]
    paid: Cents
    balance: Cents
    shared_note: str
    """How shipping, tax or payments were shared when the order has several wearers; empty otherwise."""
    ledger_head: str
    code_release: str
    form: int = FORM
    refunds: tuple[ReceiptRefund, ...] = ()
    diagnoses: tuple[str, ...] = ()
    """Codes as the prescriber's document gave them; empty where it gave none."""
    spellings: tuple[tuple[str, str], ...] = ()
    """How a name is printed whose own letters the papers cannot set: the name, then its spelling."""
    replaces: int | None = None
    """The earlier receipt whose place this one takes."""
    paper: str = ""
    """Paper size of every print; empty for a receipt of form 1, which is printed as the shop is set now."""
    wording_sha256: str = ""
    """Hash of the wording of every print, which the ledger keeps; empty for form 1."""
    erased_on: str = ""
    """The day on which what named somebody was erased; empty while the receipt is whole."""
    erasure: int | None = None
    """By which erasure."""

    @property
    def paid_in_full(self) -> bool:
        """Whether nothing is owed."""
        return self.balance == 0

    @property
    def refunded(self) -> Cents:
        """What was given back."""
        return sum(refund.amount for refund in self.refunds)

    def canonical(self) -> str:
        """Give the content as JSON that never changes, with the keys of its own form."""
        return frozen(self, without={*(_SINCE_FORM_2 if self.form == 1 else ()), *only_erased(self)})


class ReceiptSums(NamedTuple):
    """What was owed and what was given back on the day of issue."""

    balance: Cents
    refunded: Cents


@dataclass(frozen=True, slots=True)
class Unclaimed:
    """One wearer's part of an order of which no receipt was handed in, whether it is paid or not."""

    order_number: int
    wearer_number: int
    customer: str
    wearer: str
    claim_within_days: int | None
    served_on: date | None
    """Day of shipping; None until then."""


@dataclass(frozen=True, slots=True)
class IssuedReceipt:
    """A receipt in the ledger: its frozen content, hash, how often it was printed, and what replaced it."""

    number: int
    order_number: int
    wearer_number: int
    canonical: str
    sha256: str
    prints: int = 0
    replaced_by: int | None = None
    replaced_because: str = ""
    claimed_on: date | None = None
    """The day the customer handed it in, as told to the shop."""

    @property
    def content(self) -> ReceiptContent:
        """The frozen content."""
        return thawed(ReceiptContent, self.canonical, "receipt")

    @property
    def sums(self) -> ReceiptSums:
        """What the content says was owed and given back, without making all of it."""
        body = opened(ReceiptContent, self.canonical, "receipt")
        return ReceiptSums(body["balance"], sum(refund["amount"] for refund in body.get("refunds", ())))
