"""What a claim receipt says, frozen at issue: the first step of the paper, all words and amounts.

A receipt is for one wearer. Its content becomes canonical JSON with a SHA-256 when it is issued, and every
later print is made from that and from nothing else, so that a copy can never differ from the first.
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import date
from typing import Final, NamedTuple

from shopledger.errors import RefusedError
from shopledger.ledger.canonical import FIRST_DRAWING, frozen, left_unsaid, opened, thawed
from shopledger.ledger.catalogue import Reimbursement
from shopledger.money.amount import Cents

FORM: Final = 4
"""Version of the content's form; a later form must still print the earlier ones. Form 2 added refunds, diagnoses,
spellings, what a receipt replaces, and the paper and wording it is printed with. Form 3 added what each line gave back,
what will not be paid, the whole of a payment that is shared, and why a receipt is replaced with what changed by that;
one without a wearer is the customer's, and one of which nothing was kept says so. Form 4 says in words what each line
is, names the offer behind a reduction and until when a prescription may be used, and no longer prints how a line is
sorted."""

BETWEEN_PRESCRIBERS: Final = "; "

PAID_SINCE: Final = "paid in full since"
"""Why a receipt that was not paid in full gives its place to one that is."""

ISSUED_ANEW: Final = "issued anew, and not paid in full yet"
"""Why such a receipt gives its place to another such."""

_SINCE: Final[Mapping[int, frozenset[str]]] = {
    2: frozenset({"refunds", "diagnoses", "spellings", "replaces", "paper", "wording_sha256"}),
    3: frozenset({"replaces_because", "shipping_back", "tax_back", "written_off", "no_longer", "last_correction"}),
    4: frozenset({"prescription_expires"}),
}
"""Which fields came with which form: those of earlier forms are written without them."""
_OF_LINES_SINCE: Final[Mapping[int, frozenset[str]]] = {
    3: frozenset({"given_back", "units_back", "changed"}),
    4: frozenset({"words", "offer"}),
}
_OF_PAYMENTS_SINCE: Final[Mapping[int, frozenset[str]]] = {3: frozenset({"whole"})}


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
    """eligible, not eligible, or plan decides: for the shop's own questions, and printed up to form 3."""
    reason: str
    pair: int | None
    """Which pair of the order it belongs to, to group lines under one heading."""
    given_back: Cents = 0
    """What was given back of the charge, or taken off it without money; before form 3 it was not told."""
    units_back: int = 0
    """How many of the units came back."""
    changed: bool = False
    """Whether the receipt that this one replaces said otherwise."""
    words: str = ""
    """What it is, and what the shop calls it; before form 4 the description alone was told."""
    offer: str = ""
    """Name of the offer behind the reduction; before form 4 it was not told."""

    @property
    def kept(self) -> Cents:
        """What stands of the charge."""
        return self.charge - self.given_back

    @property
    def said(self) -> str:
        """What its paper calls it."""
        return self.words or self.description

    @property
    def eyewear(self) -> bool:
        """Whether it is a part of glasses made to a prescription, as every part of such a pair was sorted."""
        return self.pair is not None and self.reimbursement == Reimbursement.ELIGIBLE.value


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
    whole: Cents = 0
    """What the payment came to, of which the amount is a share; before form 3 it was not told."""

    @property
    def shared(self) -> bool:
        """Whether the rest of the payment is for others."""
        return self.whole not in {0, self.amount}


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
    """Empty for what belongs to nobody in particular, which is the customer's."""
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
    """For whom else the order is, and how shipping and payments were shared; empty where it is for nobody else."""
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
    replaces_because: str = ""
    """Why it does."""
    shipping_back: Cents = 0
    """What was given back of the shipping, or taken off it."""
    tax_back: Cents = 0
    """And of the tax."""
    written_off: Cents = 0
    """What is owed no longer although it was not paid."""
    no_longer: tuple[str, ...] = ()
    """What the earlier receipt had and the order has no more, since it was put right."""
    last_correction: int = 0
    """Number of the newest correction that it knows of; 0 where there was none."""
    prescription_expires: tuple[str, ...] = ()
    """Until when each prescription may be used, as written, in the order of their days; empty where none is written."""
    paper: str = ""
    """Paper size of every print; empty for a receipt of form 1, which is printed as the shop is set now."""
    wording_sha256: str = ""
    """Hash of the wording of every print, which the ledger keeps; empty for form 1."""
    drawing: int = FIRST_DRAWING
    """In which version papers were drawn when it was issued."""
    erased_on: str = ""
    """The day on which what named somebody was erased; empty while the receipt is whole."""
    erasure: int | None = None
    """By which erasure."""

    @property
    def several_prescribers(self) -> bool:
        """Whether more than one is named; up to form 3 a comma stood between them, as it may in a name."""
        return (BETWEEN_PRESCRIBERS if self.form > 3 else ", ") in self.prescriber

    @property
    def paid_in_full(self) -> bool:
        """Whether all that stands of the charges was paid."""
        return self.balance == 0 and not self.written_off

    @property
    def refunded(self) -> Cents:
        """What was given back."""
        return sum(refund.amount for refund in self.refunds)

    @property
    def kept(self) -> Cents:
        """What was paid and not given back."""
        return self.paid - self.refunded

    @property
    def given_back(self) -> Cents:
        """What was given back of charges, shipping and tax, or taken off them without money."""
        if self.form < 3:
            return self.refunded
        return sum(line.given_back for line in self.lines) + self.shipping_back + self.tax_back

    @property
    def stands(self) -> Cents:
        """What stands of the total."""
        return self.total - self.given_back

    @property
    def fully_refunded(self) -> bool:
        """Whether all that was paid was given back, as receipts say since form 3."""
        return self.form > 2 and self.paid_in_full and bool(self.refunds) and not self.stands

    @property
    def nothing_charged(self) -> bool:
        """Whether nothing stands and nothing was ever paid, as receipts say since form 3."""
        return self.form > 2 and not (self.stands or self.paid or self.refunds or self.written_off)

    @property
    def whose(self) -> str:
        """For whom it is: the wearer, or the customer where there is none."""
        return self.wearer or self.customer

    def canonical(self) -> str:
        """Give the content as JSON that never changes, with the keys of its own form."""
        of_rows = {"lines": _later(_OF_LINES_SINCE, self.form), "payments": _later(_OF_PAYMENTS_SINCE, self.form)}
        return frozen(self, without={*_later(_SINCE, self.form), *left_unsaid(self)}, of_rows=of_rows)


def _later(since: Mapping[int, frozenset[str]], form: int) -> frozenset[str]:
    """Give the fields that came after a form."""
    return frozenset(name for came, names in since.items() if came > form for name in names)


def refuse_unfit(content: ReceiptContent) -> None:
    """Refuse a paper for a plan or an account from a receipt of no wearer, or that tells not which lines gave back."""
    if content.form < 3 and content.refunds:
        raise RefusedError(
            "receipt",
            content.number,
            "it does not say which lines gave back what",
            f"Replace it first, with 'shopledger receipt replace {content.number}'.",
        )
    if not content.wearer:
        raise RefusedError(
            "receipt",
            content.number,
            "it is for no wearer, and this paper is for one",
            "Name the wearer when the goods are sold, with '--goods-for'.",
        )


class Replaced(NamedTuple):
    """The earlier receipt whose place a new one takes, and why it does."""

    number: int
    because: str
    content: ReceiptContent


class ReceiptSums(NamedTuple):
    """What a receipt comes to, as it says or as the order stands: where they differ, it was overtaken."""

    stands: Cents
    balance: Cents
    refunded: Cents
    written_off: Cents
    payments: tuple[Cents, ...]
    """What of each payment is for it, which changes where what is for others is put right."""
    last_correction: int

    @property
    def paid_in_full(self) -> bool:
        """Whether all that stands was paid."""
        return self.balance == 0 and not self.written_off


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
    wearer_number: int | None
    """None for what belongs to nobody in particular, which is the customer's."""
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
    def jobs(self) -> frozenset[int]:
        """The jobs whose glasses it tells of."""
        return frozenset(pair["job_number"] for pair in opened(ReceiptContent, self.canonical, "receipt")["pairs"])

    @property
    def sums(self) -> ReceiptSums:
        """What the content says it comes to, without making all of it."""
        body = opened(ReceiptContent, self.canonical, "receipt")
        refunded = sum(refund["amount"] for refund in body.get("refunds", ()))
        given_back = refunded
        if body["form"] > 2:
            given_back = sum(line["given_back"] for line in body["lines"]) + body["shipping_back"] + body["tax_back"]
        return ReceiptSums(
            body["total"] - given_back,
            body["balance"],
            refunded,
            body.get("written_off", 0),
            tuple(payment["amount"] for payment in body["payments"]),
            body.get("last_correction", 0),
        )
