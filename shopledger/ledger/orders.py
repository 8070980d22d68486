"""An order from the asking to the shipping: what was asked for, what it came to, what was paid.

A request names things as the owner does; a priced order holds the frozen result. Nothing here is
edited once stored: what follows (payment, parcel, cancellation) is an entry of its own.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from enum import Enum
from typing import Final

from shopledger.errors import RefusedError
from shopledger.ledger.again import Again
from shopledger.ledger.books.completeness import WithAccount
from shopledger.ledger.books.journal import Account
from shopledger.ledger.catalogue import Reimbursement, TaxCategory
from shopledger.ledger.corrections import Correction, LinePart
from shopledger.ledger.limits import MOVED, PRICE, hold_amount
from shopledger.ledger.offers import LineKind
from shopledger.ledger.parcels import OrderAddress, Parcel
from shopledger.ledger.parties import Address
from shopledger.ledger.taxes import LONGEST_REASON, ImposedOn
from shopledger.ledger.text import LONGEST_NOTE, clean_text, kept_reference
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import Rate
from shopledger.money.tax import TaxRounding
from shopledger.optics.measurements import Measurements
from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import LensUse, Prescription
from shopledger.optics.sides import Side


class Method(WithAccount):
    """How money came in: the word, and the account it comes into, and goes out of again."""

    CARD = "card", Account.CARD_CLEARING
    CASH = "cash", Account.CASH
    CHECK = "check", Account.BANK
    TRANSFER = "transfer", Account.BANK
    CREDIT = "credit", Account.CUSTOMER_DEPOSITS
    """No money at all: what an order gives back waits for another one, as a deposit does."""


PAID_BY: Final[tuple[Method, ...]] = tuple(method for method in Method if method is not Method.CREDIT)
"""The methods by which money itself moves."""


class DemoLenses(Enum):
    """What became of the lenses that a frame was shown with, where it is sold without others (21 CFR 801.410)."""

    REMOVED = "removed"
    MARKED = "marked"
    """Left in and marked as not to be worn."""


class Making(Enum):
    """What an eye of a pair gets."""

    NEW = "new"
    KEPT = "kept"
    """The lens that is in the frame stays."""
    NONE = "none"
    """No lens is made for it, and none is there."""


class OffStep(Enum):
    """What is made where a power worked out for its use lies between two quarters of a dioptre."""

    EXACT = "exact"
    LESS = "less"
    """The next quarter with less plus, or more minus."""
    MORE = "more"
    """The next quarter with more plus, or less minus."""


@dataclass(frozen=True, slots=True)
class EyeRequest:
    """What is asked for one eye of a pair alone; as it stands here, what is asked for the pair."""

    making: Making = Making.NEW
    lens: str = ""
    """Code of another lens than the pair's."""
    extras: tuple[str, ...] = ()
    """Upgrades on this lens alone, beside those on the pair."""
    balance: SphereCylinder | None = None
    """Power of a lens that only balances the other, where the prescription states none. [D]"""

    def __post_init__(self) -> None:
        """Refuse a lens that is asked for and not made."""
        asked = next(filter(None, (self.lens, *self.extras, "its power" if self.balance else "")), "")
        if self.making is not Making.NEW and asked:
            raise RefusedError(
                "lens of one eye",
                asked,
                f"that eye's lens is {self.making.value}, so nothing is made for it",
                "Leave it out, or make the lens new.",
            )


@dataclass(frozen=True, slots=True)
class PairRequest:
    """One pair as asked for: names and codes, not yet looked up."""

    wearer: str
    lens: str
    frame: str
    use: LensUse | None = None
    """None: distance for single vision, multifocal otherwise."""
    prescription: int | None = None
    """Number of the prescription; None means the wearer's newest."""
    without_prescription: bool = False
    extras: tuple[str, ...] = ()
    measurements: Measurements | None = None
    frame_owned: bool = False
    """The wearer has this frame already: it is neither charged nor taken from stock."""
    right_code: str = ""
    left_code: str = ""
    """Claim code chosen by the owner for a lens, where the published bands leave a gap or overlap."""
    note: str = ""
    right: EyeRequest = EyeRequest()
    left: EyeRequest = EyeRequest()
    off_step: OffStep | None = None
    """What is made where a power lies between two quarters; None asks."""

    def __post_init__(self) -> None:
        """Refuse a pair of no lens."""
        if Making.NEW not in {self.right.making, self.left.making}:
            raise RefusedError(
                "lenses", "none is new", "at least one lens is made", "Sell the frame without lenses, or make one new."
            )
        for side, code in ((Side.RIGHT, self.right_code), (Side.LEFT, self.left_code)):
            if code and self.eye(side).making is not Making.NEW:
                raise RefusedError(
                    f"{side.value} code", code, "no lens is made for that eye, so nothing is claimed", "Leave it out."
                )

    def eye(self, side: Side) -> EyeRequest:
        """Give what is asked for one eye alone."""
        return self.right if side is Side.RIGHT else self.left


NOBODY: Final = "nobody"
"""Said in the place of a wearer: it is for nobody in particular, and so the customer's."""


@dataclass(frozen=True, slots=True)
class AccessoryRequest:
    """Goods beside the pairs, which stand on their wearer's receipt."""

    code: str
    quantity: int = 1
    wearer: str = ""
    """Whose they are: by name or number, or `nobody`; empty text is the order's only wearer."""

    def __post_init__(self) -> None:
        """Refuse a quantity that sells nothing."""
        object.__setattr__(self, "wearer", _whose(self.wearer))
        most = 999
        if not 1 <= self.quantity <= most:
            raise RefusedError("quantity", self.quantity, f"it must lie from 1 to {most}", "Type how many are sold.")


@dataclass(frozen=True, slots=True)
class FrameRequest:
    """A frame sold without lenses. Its demo lenses may not reach the customer as lenses (21 CFR 801.410)."""

    code: str
    demo_lenses: DemoLenses
    wearer: str = ""
    """Whose it is, as with an accessory."""

    def __post_init__(self) -> None:
        """Read whose it is."""
        object.__setattr__(self, "wearer", _whose(self.wearer))


def _whose(text: str) -> str:
    return NOBODY if text.strip().casefold() == NOBODY else text


def read_reference(what: str, method: Method, text: str) -> str:
    """Read the reference of a payment or refund: at most a card's last four digits or a check number."""
    return kept_reference(what, method.value, text)


@dataclass(frozen=True, slots=True)
class PaymentRequest:
    """Money handed over; the reference is at most a card's last four digits or a check number."""

    amount: Cents
    method: Method
    reference: str = ""
    day: date | None = None

    def __post_init__(self) -> None:
        """Refuse an amount that is none, and anything that looks like a whole card number."""
        if self.amount <= 0:
            raise RefusedError(
                "payment", write_amount(self.amount), "it must be more than 0", "A refund is an entry of its own."
            )
        hold_amount("payment", self.amount, MOVED)
        object.__setattr__(self, "reference", read_reference("payment", self.method, self.reference))


@dataclass(frozen=True, slots=True)
class OrderRequest:
    """A whole order as asked for, from prompts, options or an order file."""

    customer: str
    pairs: tuple[PairRequest, ...] = ()
    accessories: tuple[AccessoryRequest, ...] = ()
    day: date | None = None
    """None means today."""
    offers: tuple[str, ...] = ()
    """Offers asked for by code, beside the automatic ones."""
    without_offers: tuple[str, ...] = ()
    """Automatic offers that are not to be tried."""
    shipping: Cents | None = None
    """None means the shop's usual charge."""
    payments: tuple[PaymentRequest, ...] = ()
    accept: frozenset[str] = frozenset()
    """Codes of warnings that the owner accepts."""
    note: str = ""
    tax_exempt: str = ""
    """Why the whole order is exempt from sales tax, such as the number of a resale certificate."""
    frames: tuple[FrameRequest, ...] = ()
    """Frames sold without lenses."""

    def __post_init__(self) -> None:
        """Refuse an order of nothing."""
        object.__setattr__(self, "note", clean_text("note", self.note, LONGEST_NOTE, required=False))
        exempt = clean_text("reason for the exemption", self.tax_exempt, LONGEST_REASON, required=False)
        object.__setattr__(self, "tax_exempt", exempt)
        if not self.pairs and not self.accessories and not self.frames:
            raise RefusedError("order", "empty", "it needs at least one pair, frame or accessory", "Add what is sold.")
        if self.shipping is not None and self.shipping < 0:
            raise RefusedError("shipping", write_amount(self.shipping), "it may not be negative", "Type 0 or more.")
        hold_amount("shipping", self.shipping or 0, PRICE)


@dataclass(frozen=True, slots=True)
class Charge:
    """The part of a line that a claim form counts by itself: one lens, one side, one code."""

    description: str
    side: Side | None
    code: str
    """Claim code, or empty where none exists."""
    list_price: Cents
    reduction: Cents
    net: Cents
    units: int = 1
    note: str = ""
    """Why this code, where the choice was not plain."""
    chosen: bool = False
    """Whether the owner chose the code; who and when stand on the order's entry."""
    release: str = ""
    """Release of the table that the code was picked from; empty without a code."""

    @property
    def modifier(self) -> str:
        """RT or LT for a lens, empty otherwise (HCPCS Level II modifiers)."""
        return {Side.RIGHT: "RT", Side.LEFT: "LT", None: ""}[self.side]


@dataclass(frozen=True, slots=True)
class OrderLine:
    """One line: list price, reduction, net charge, tax, and what a plan may make of it."""

    kind: LineKind
    item_code: str
    description: str
    list_price: Cents
    reduction: Cents
    net: Cents
    tax_category: TaxCategory
    reimbursement: Reimbursement
    reimbursement_reason: str
    tax_rate: Rate = 0
    tax: Cents = 0
    quantity: int = 1
    pair: int | None = None
    """Position of the pair in the order, from 1."""
    wearer_number: int | None = None
    offer_code: str = ""
    tax_imposed_on: ImposedOn = ImposedOn.BUYER
    tax_reason: str = ""
    """Why no tax is charged, where the owner gave a reason."""
    demo_lenses: DemoLenses | None = None
    """What became of its demo lenses, where a frame is sold without lenses."""
    added_by: int | None = None
    """Number of the correction that added it; None for a line of the sale itself."""
    charges: tuple[Charge, ...] = ()
    tax_place: str = ""
    """The place in the state whose rate it is; empty where the state's own holds, or none."""
    tax_free: Cents = 0
    """What of the net of shipping that is taxed as the goods goes with goods that are not; the rate is on the rest."""

    def __post_init__(self) -> None:
        """Hold the line's sums: net is list less reduction, and the charges add up to the line."""
        if self.net != self.list_price - self.reduction or self.net < 0 or self.reduction < 0:
            raise RefusedError(
                "order line",
                self.description,
                "net must be list less reduction, none of them negative",
                "This is a fault of the program.",
            )
        if not 0 <= self.tax_free <= self.net:
            raise RefusedError(
                "order line",
                self.description,
                "its untaxed part is a part of its net",
                "This is a fault of the program.",
            )
        if self.charges and sum(charge.net for charge in self.charges) != self.net:
            raise RefusedError(
                "order line", self.description, "its charges must add up to its net", "This is a fault of the program."
            )


@dataclass(frozen=True, slots=True)
class OwnLens:
    """What one eye of a pair has of its own; as it stands here, it has what the pair has."""

    making: Making = Making.NEW
    lens_code: str = ""
    extras: tuple[str, ...] = ()

    def __bool__(self) -> bool:
        """Tell whether there is anything."""
        return self != OwnLens()


@dataclass(frozen=True, slots=True)
class Pair:
    """One wearer, one frame, one prescription, one set of measurements: a job at the bench."""

    position: int
    wearer_number: int
    frame_code: str
    lens_code: str
    """The lens of both eyes, but for one that has its own."""
    use: LensUse
    extras: tuple[str, ...] = ()
    """Upgrades on each lens that is made."""
    prescription_number: int | None = None
    made: Prescription | None = None
    """The powers to make, worked out from the prescription for the use; None without a prescription."""
    measurements: Measurements | None = None
    note: str = ""
    job_number: int | None = None
    right: OwnLens = OwnLens()
    left: OwnLens = OwnLens()
    again: Again | None = None
    """In whose place it is made, where it is made in the place of another."""
    taken_out_by: int | None = None
    """Number of the correction that took it out of its order, with nothing in its place."""

    @property
    def place(self) -> int:
        """Where it stands in its order, by the position of the first pair that stood there: lines name it."""
        return self.again.place if self.again else self.position

    def own(self, side: Side) -> OwnLens:
        """Give what one eye has of its own."""
        return self.right if side is Side.RIGHT else self.left

    @property
    def sides(self) -> tuple[Side, ...]:
        """The eyes for which a lens is made, right first."""
        return tuple(side for side in Side if self.own(side).making is Making.NEW)

    def lens_of(self, side: Side) -> str:
        """Give the code of one eye's lens."""
        return self.own(side).lens_code or self.lens_code

    def extras_of(self, side: Side) -> tuple[str, ...]:
        """Give what is on one eye's lens, each once."""
        return tuple(dict.fromkeys((*self.extras, *self.own(side).extras)))

    def with_eye(self, side: Side, own: OwnLens, made: Prescription | None) -> Pair:
        """Give the pair with another lens before one eye, made as that eye's part of a prescription."""
        powers = self.made
        if powers is not None and made is not None:
            powers = replace(powers, **{side.value: made.eye(side)})
        right, left = (own, self.left) if side is Side.RIGHT else (self.right, own)
        return replace(self, made=powers, right=right, left=left)

    @property
    def lens_codes(self) -> tuple[str, ...]:
        """Which lenses are made, right first, each once."""
        return tuple(dict.fromkeys(self.lens_of(side) for side in self.sides))


@dataclass(frozen=True, slots=True)
class AcceptedWarning:
    """A warning that the owner said yes to, kept with the order."""

    code: str
    sentence: str


@dataclass(frozen=True, slots=True)
class Order:
    """A priced order; prices, tax and codes are frozen on it."""

    customer_number: int
    day: date
    ship_to: Address
    pairs: tuple[Pair, ...]
    lines: tuple[OrderLine, ...]
    tax_rounding: TaxRounding
    accepted: tuple[AcceptedWarning, ...] = ()
    note: str = ""
    tax_exempt: str = ""
    """Why the whole order is exempt from sales tax, as the owner gives it; empty where it is not."""
    number: int | None = None

    @property
    def wearer_numbers(self) -> frozenset[int]:
        """The wearers whom something on the order is for."""
        named = {pair.wearer_number for pair in self.pairs} | {line.wearer_number for line in self.lines}
        return frozenset(number for number in named if number is not None)

    @property
    def standing_pairs(self) -> tuple[Pair, ...]:
        """The pairs in whose place no other is made and that were not taken out, by their place."""
        standing = (pair for pair in self.pairs if self.next_pair(pair) is None and pair.taken_out_by is None)
        return tuple(sorted(standing, key=lambda pair: (pair.place, pair.position)))

    def next_pair(self, pair: Pair) -> Pair | None:
        """Give the pair that is made in the place of another; None where that one stands."""
        made = (each for each in self.pairs if each.again and each.again.job == pair.job_number)
        return next(made, None)

    def pairs_at(self, place: int | None) -> tuple[Pair, ...]:
        """Give the pairs that stood in a place one after the other; none for what belongs to no pair."""
        return tuple(pair for pair in self.pairs if pair.place == place)

    def pair_made(self, pair: Pair, side: Side) -> Pair:
        """Give the pair with which an eye's lens was made: an earlier one of its place where that lens was kept."""
        while pair.again is not None and pair.own(side).making is Making.KEPT:
            before = pair.again.job
            pair = next(each for each in self.pairs if each.job_number == before)
        return pair

    def worn(self, pair: Pair) -> Pair:
        """Give a pair as it is worn: an eye whose lens it keeps has what an earlier pair of its place gave it."""
        for side in Side:
            source = self.pair_made(pair, side)
            if source is not pair:
                own = OwnLens(source.own(side).making, source.lens_of(side), source.extras_of(side))
                pair = pair.with_eye(side, own, source.made)
        return pair

    @property
    def list_total(self) -> Cents:
        """Sum of list prices."""
        return sum(line.list_price for line in self.lines)

    @property
    def reduction_total(self) -> Cents:
        """Sum of reductions."""
        return sum(line.reduction for line in self.lines)

    @property
    def net_total(self) -> Cents:
        """Sum of net charges before tax, shipping included."""
        return sum(line.net for line in self.lines)

    @property
    def tax_total(self) -> Cents:
        """Sum of sales tax."""
        return sum(line.tax for line in self.lines)

    @property
    def total(self) -> Cents:
        """What the customer owes for the order."""
        return self.net_total + self.tax_total


@dataclass(frozen=True, slots=True)
class Payment:
    """Money received on an order."""

    order_number: int
    day: date
    amount: Cents
    method: Method
    reference: str = ""
    deposit_number: int | None = None
    """The deposit it was taken from: no new money came in."""
    moved_from: int | None = None
    """Number of the payment on another order whose money it is: no new money came in either."""
    corrects: int | None = None
    """Number of the payment in whose place it stands, since that was recorded by mistake."""
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Refund:
    """Money given back on an order, line by line, with the reason."""

    order_number: int
    day: date
    method: Method
    reference: str
    reason: str
    parts: tuple[LinePart, ...]
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text to its rules, and refuse a refund of nothing."""
        object.__setattr__(self, "reference", read_reference("refund", self.method, self.reference))
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))
        if self.amount <= 0:
            raise RefusedError("refund", write_amount(self.amount), "it must be more than 0", "Say what is given back.")

    @property
    def net(self) -> Cents:
        """What is given back of net charges."""
        return sum(part.net for part in self.parts)

    @property
    def tax(self) -> Cents:
        """What is given back of sales tax."""
        return sum(part.tax for part in self.parts)

    @property
    def amount(self) -> Cents:
        """What the customer gets back."""
        return self.net + self.tax


@dataclass(frozen=True, slots=True)
class Cancellation:
    """That an order was taken back whole before it was shipped, and all payments with it."""

    order_number: int
    day: date
    reason: str

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "reason", clean_text("reason", self.reason, LONGEST_NOTE))


@dataclass(frozen=True, slots=True)
class Entered:
    """Who recorded an order, and when (UTC); a code chosen on it was chosen by that hand."""

    operator: str
    at: str


@dataclass(frozen=True, slots=True)
class OrderAccount:
    """An order with all that happened to it since."""

    order: Order
    payments: tuple[Payment, ...] = ()
    parcels: tuple[Parcel, ...] = ()
    refunds: tuple[Refund, ...] = ()
    cancellation: Cancellation | None = None
    corrections: tuple[Correction, ...] = ()
    addresses: tuple[OrderAddress, ...] = ()
    """Where what had not left was to go instead, one after the other."""
    entered: Entered | None = field(default=None, compare=False)

    @property
    def away(self) -> tuple[Parcel, ...]:
        """The parcels that left and did not come back."""
        return tuple(parcel for parcel in self.parcels if parcel.came_back is None)

    @property
    def ship_to(self) -> Address:
        """Where what has not left goes."""
        return self.addresses[-1].ship_to if self.addresses else self.order.ship_to

    @property
    def paid(self) -> Cents:
        """Sum of the payments that stand, before anything was given back."""
        return sum(payment.amount for payment in self.payments) - sum(each.taken_from_paid for each in self.corrections)

    @property
    def refunded(self) -> Cents:
        """What was given back: by refunds, or everything by the cancellation."""
        return self.paid if self.cancellation else sum(refund.amount for refund in self.refunds)

    @property
    def given_way(self) -> Cents:
        """What lines gave way without money, tax included."""
        return sum(each.given_way for each in self.corrections)

    @property
    def comes_to(self) -> Cents:
        """What the order comes to as it was put right, before anything was given back in money."""
        return self.order.total - self.given_way

    @property
    def written_off(self) -> Cents:
        """What will not be paid."""
        return sum(each.written_off for each in self.corrections)

    @property
    def balance(self) -> Cents:
        """What is still owed; a refund lowers the charge and what was kept by as much, so it changes nothing here."""
        return 0 if self.cancellation else self.comes_to - self.paid - self.written_off

    def standing(self, payment_number: int) -> Cents:
        """Give what stands of a payment: its amount less what was reversed or moved away and did not come back."""
        amount = sum(payment.amount for payment in self.payments if payment.number == payment_number)
        return amount - sum(each.taken_from_paid for each in self.corrections if each.payment_number == payment_number)


@dataclass(frozen=True, slots=True)
class Draft:
    """An order file's text with why it was drafted; `order_number` is the order it became, or None while open."""

    number: int
    customer_number: int
    day: date
    reason: str
    body: str
    order_number: int | None = None
