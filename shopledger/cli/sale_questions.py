"""An order by questions: each answer is checked as it is typed, the total runs along, `back` changes the one before.

Nothing is stored here; what comes out is the same request that options or a file would make.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING

from shopledger.cli.context import Run
from shopledger.cli.params import Word
from shopledger.cli.prompts import BACK, ask, tell
from shopledger.cli.questions import (
    LEAVING,
    AgainError,
    Step,
    ask_heights,
    ask_near_pd,
    ask_pd,
    ask_wearer,
    read_use,
    read_wearer,
    read_yes,
    stop_at,
    walk,
)
from shopledger.errors import RefusedError, ShopledgerError, listed
from shopledger.ledger.catalogue import Extra, Frame, Lens
from shopledger.ledger.each_lens import BALANCE, OFF_STEP, sold_lenses
from shopledger.ledger.orders import (
    NOBODY,
    PAID_BY,
    AccessoryRequest,
    DemoLenses,
    EyeRequest,
    FrameRequest,
    Making,
    Method,
    OffStep,
    OrderRequest,
    PairRequest,
    PaymentRequest,
)
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.stock import OutOfStockError
from shopledger.ledger.taxes import LONGEST_REASON
from shopledger.ledger.text import clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.notation import read_power
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.amounts import read_typed_amount
from shopledger.typed.goods import read_goods

if TYPE_CHECKING:
    from collections.abc import Mapping

    from shopledger.desk.context import Desk
    from shopledger.optics.findings import Finding
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.power import SphereCylinder

OWN = "own"
"""Typed behind a frame's code when the wearer has the frame already."""

_METHODS = Word(Method, PAID_BY)
_OFF_STEPS = Word(OffStep)
_DEMO_LENSES = Word(DemoLenses)


def asked_order(run: Run) -> OrderRequest:
    """Ask for a whole order."""
    tell(LEAVING)
    questions = _Questions(run.desk())
    walk(questions.ask_customer)
    return questions.request()


@dataclass(slots=True)
class _PairAnswers:
    """What has been answered on one pair."""

    wearer: str = ""
    frame: Frame | None = None
    own: bool = False
    lens: Lens | None = None
    use: LensUse | None = None
    extras: tuple[Extra, ...] = ()
    pd: tuple[float, ...] = ()
    near: tuple[float, ...] = ()
    measurements: Measurements | None = None
    lenses: Mapping[Side, Lens] = field(default_factory=dict)
    """The lens of each eye that gets one."""
    balance: dict[Side, SphereCylinder] = field(default_factory=dict)
    off_step: OffStep | None = None

    @property
    def list_price(self) -> Cents:
        """What the answers come to so far, before any offer."""
        frame = self.frame.price if self.frame and not self.own and self.frame.owned_by is None else 0
        alone = len(self.lenses) == 1
        extras = sum(extra.each if alone else extra.price for extra in self.extras)
        return frame + extras + sum(sold.price for sold in sold_lenses(self.lenses))

    def request(self) -> PairRequest | None:
        """Give the pair; None while it is not whole."""
        if self.frame is None or self.lens is None:
            return None
        return PairRequest(
            wearer=self.wearer,
            lens=self.lens.code,
            frame=self.frame.code,
            use=self.use,
            extras=tuple(extra.code for extra in self.extras),
            measurements=self.measurements,
            frame_owned=self.own,
            right=self._eye(Side.RIGHT),
            left=self._eye(Side.LEFT),
            off_step=self.off_step,
        )

    def _eye(self, side: Side) -> EyeRequest:
        lens = self.lenses.get(side)
        if lens is None:
            return EyeRequest(Making.KEPT)
        other = "" if lens is self.lens else lens.code
        return EyeRequest(lens=other, balance=self.balance.get(side))


@dataclass(slots=True)
class _Questions:
    """The questions of one order, and what has been answered."""

    desk: Desk
    customer: Customer | None = None
    wearers: tuple[Wearer, ...] = ()
    pairs: list[_PairAnswers] = field(default_factory=list)
    accessories: tuple[AccessoryRequest, ...] = ()
    frames: tuple[FrameRequest, ...] = ()
    shipping: Cents | None = None
    tax_exempt: str = ""
    payments: tuple[PaymentRequest, ...] = ()
    before: Cents = 0
    """What the pairs before the one being asked about come to."""
    total: Cents = 0
    """What the whole order comes to."""
    findings: tuple[Finding, ...] = ()
    """What was found on it."""

    def request(self) -> OrderRequest:
        """Give the order as answered so far."""
        return OrderRequest(
            customer=str(self.customer.number) if self.customer else "",
            pairs=tuple(request for request in (pair.request() for pair in self.pairs) if request),
            accessories=self.accessories,
            frames=self.frames,
            shipping=self.shipping,
            payments=self.payments,
            tax_exempt=self.tax_exempt,
        )

    def ask_customer(self) -> Step:
        """Ask who orders."""
        from shopledger.desk.known_people import customer_and_wearers

        self.customer, self.wearers = ask("Customer, number or name", partial(customer_and_wearers, self.desk))
        tell(f"  {self.customer.name}, {self.customer.address.city}")
        return partial(self.ask_pair, 0)

    def ask_pair(self, place: int) -> Step:
        """Ask whether there is a pair, or one more."""
        words = f"Another pair, number {place + 1}?" if place else "A pair of glasses?"
        wanted = ask(f"{words} (y/n)", read_yes, default="n" if place else "y")
        del self.pairs[place:]
        if not wanted:
            return self.ask_frames
        self.pairs.append(_PairAnswers())
        return partial(self.ask_wearer, place)

    def ask_wearer(self, place: int) -> Step:
        """Ask whose glasses they are."""
        self.pairs[place].wearer = ask_wearer(self.wearers)
        self._tell_prescription(self.pairs[place].wearer)
        return partial(self.ask_frame, place)

    def ask_frame(self, place: int) -> Step:
        """Ask for the frame."""
        from shopledger.desk.goods import FRAMES

        def read(text: str) -> tuple[Frame, int, bool]:
            code, _, rest = text.strip().partition(" ")
            if rest and rest.strip().casefold() != OWN:
                raise RefusedError(
                    "frame", f"'{text}'", f"it is a code, with '{OWN}' behind it if need be", "Type it so."
                )
            frame, on_hand = FRAMES.called(self.desk, code)
            if not (on_hand or rest or frame.owned_by):
                raise OutOfStockError(frame.code, 1, on_hand)
            return frame, on_hand, bool(rest)

        frame, on_hand, own = ask(f"Frame code (with ' {OWN}' if the wearer has it already)", read)
        self.pairs[place].frame, self.pairs[place].own = frame, own
        tell(f"  {frame.description}: {write_amount(frame.price)}, {on_hand} on hand")
        return partial(self.ask_lens, place)

    def ask_lens(self, place: int) -> Step:
        """Ask for the lenses."""
        lenses = ask("Lens code (with ' right' or ' left' for one eye, RIGHT/LEFT for two codes)", self._read_lenses)
        answers, lens = self.pairs[place], next(iter(lenses.values()))
        answers.lenses, answers.lens = lenses, lens
        for sold in sold_lenses(lenses):
            alone = f", {sold.alone.value}" if sold.alone else ""
            tell(f"  {sold.goods.name}{alone}: {write_amount(sold.price)}")
        self._tell_so_far(place)
        if any(each.multifocal for each in lenses.values()):
            lens = answers.lens = next(each for each in lenses.values() if each.multifocal)
        if lens.multifocal:
            self.pairs[place].use = None
            return partial(self.ask_extras, place)
        return partial(self.ask_use, place)

    def ask_use(self, place: int) -> Step:
        """Ask what single vision lenses are made for."""
        self.pairs[place].use = ask("Made for (distance, reading, screen)", read_use, default=LensUse.DISTANCE.value)
        return partial(self.ask_extras, place)

    def ask_extras(self, place: int) -> Step:
        """Ask for upgrades and coatings."""
        from shopledger.desk.goods import EXTRAS

        def read(text: str) -> tuple[Extra, ...]:
            return tuple(EXTRAS.called(self.desk, code) for code in text.replace(",", " ").split())

        extras = ask("Extras, codes with spaces between (Enter for none)", read, default="")
        self.pairs[place].extras = extras
        for extra in extras:
            tell(f"  {extra.name}: {write_amount(extra.price)}")
        self._tell_so_far(place)
        return partial(self.ask_pd, place)

    def ask_pd(self, place: int) -> Step:
        """Ask for the PD."""
        answers = self.pairs[place]
        answers.pd, answers.near = ask_pd(), ()
        return partial(self.ask_heights if answers.use is LensUse.DISTANCE else self.ask_near, place)

    def ask_near(self, place: int) -> Step:
        """Ask for the near PD of a pair that is used near."""
        answers = self.pairs[place]
        answers.near = ask_near_pd(answers.pd)
        return partial(self.ask_heights, place)

    def ask_heights(self, place: int) -> Step:
        """Ask for the fitting height."""
        answers = self.pairs[place]
        answers.measurements = ask_heights(answers.pd, answers.near)
        answers.balance, answers.off_step = {}, None
        self.before = self._priced()
        open_powers = any(finding.code in {BALANCE, OFF_STEP} for finding in self.findings)
        return partial(self.ask_powers if open_powers else self.ask_pair, place if open_powers else place + 1)

    def ask_powers(self, place: int) -> Step:
        """Ask for each power that is not simply the prescription's: of a balance lens, or between two quarters."""
        answers, found = self.pairs[place], self.findings
        for side in Side:
            for finding in found:
                if finding.code == BALANCE and finding.field.startswith(side.value):
                    words = f"The {side.value} lens only balances the other; its power"
                    answers.balance[side] = ask(words, read_power, default=finding.value.removeprefix("balance "))
        steps = [finding for finding in found if finding.code == OFF_STEP]
        if steps:
            tell(f"  {steps[0].sentence}")
            words = "Make it (exact, less plus, more plus: exact, less, more)"
            answers.off_step = ask(words, lambda text: _OFF_STEPS.read(text, "off step"), default=OffStep.EXACT.value)
        if steps or answers.balance:
            self.before = self._priced()
        return partial(self.ask_pair, place + 1)

    def ask_frames(self) -> Step:
        """Ask for frames that are sold without lenses."""
        from shopledger.desk.goods import FRAMES

        def read(text: str) -> tuple[str, ...]:
            return tuple(FRAMES.called(self.desk, code)[0].code for code in text.replace(",", " ").split())

        codes = ask("Frames without lenses, by code (Enter for none)", read, default="")
        self.frames = ()
        return partial(self.ask_demo_lenses, codes) if codes else self.ask_accessories

    def ask_demo_lenses(self, codes: tuple[str, ...]) -> Step:
        """Ask what became of the demo lenses, which may not reach the customer as lenses."""
        became = ask("Their demo lenses (removed, marked)", lambda text: _DEMO_LENSES.read(text, "demo lenses"))
        self.frames = tuple(FrameRequest(code, became) for code in codes)
        return self.ask_accessories

    def ask_accessories(self) -> Step:
        """Ask for goods beside the glasses."""
        from shopledger.desk.goods import ACCESSORIES

        def read(text: str) -> tuple[AccessoryRequest, ...]:
            goods = tuple(read_goods(each, "accessory") for each in text.replace(",", " ").split())
            for each in goods:
                ACCESSORIES.called(self.desk, each.code)
            if not goods and not self.pairs and not self.frames:
                allowed = "it needs a pair, a frame or an accessory"
                raise RefusedError("order", "empty", allowed, "Name one, or type back.")
            return goods

        self.accessories = ask("Accessories, as in CASE CORD=2 (Enter for none)", read, default="")
        goods = bool(self.frames or self.accessories)
        return partial(self.ask_whose, 0) if goods and self.wearers else self.ask_shipping

    def ask_whose(self, place: int) -> Step:
        """Ask whose the goods beside the glasses are: all at once where the order has one wearer, else one by one."""
        glasses = list(dict.fromkeys(pair.wearer for pair in self.pairs))
        goods: tuple[FrameRequest | AccessoryRequest, ...] = (*self.frames, *self.accessories)
        alone = len(glasses) > 1
        places = [place] if alone else range(len(goods))
        names = [*(wearer.name for wearer in self.wearers), NOBODY]
        usual = None if alone else glasses[0] if glasses else NOBODY
        words = f"Whose: {', '.join(goods[at].code for at in places)} ({listed(names)})"
        wearer = ask(words, partial(read_wearer, names), default=usual)
        owned = [replace(each, wearer=wearer) if at in places else each for at, each in enumerate(goods)]
        self.frames = tuple(each for each in owned if isinstance(each, FrameRequest))
        self.accessories = tuple(each for each in owned if isinstance(each, AccessoryRequest))
        return partial(self.ask_whose, place + 1) if alone and place + 1 < len(goods) else self.ask_shipping

    def ask_shipping(self) -> Step:
        """Ask for the shipping charge."""

        def read(text: str) -> Cents | None:
            if not text.strip():
                return None
            amount = read_typed_amount(text, "shipping")
            if amount < 0:
                raise RefusedError("shipping", write_amount(amount), "it may not be negative", "Type 0 or more.")
            return amount

        self.shipping = ask("Shipping (Enter for the usual charge)", read, default="")
        return self.ask_exemption

    def ask_exemption(self) -> Step:
        """Ask whether the order is exempt from sales tax, and why."""
        read = partial(clean_text, "reason", longest=LONGEST_REASON, required=False)
        self.tax_exempt = ask("Exempt from sales tax: why (Enter if it is not)", read, default="")
        self.payments = ()
        self.total = self._priced()
        return self.ask_payment

    def ask_payment(self) -> Step | None:
        """Ask what is paid at once."""
        amount = ask("Paid now (Enter for nothing)", partial(_read_paid, self.total), default="")
        self.payments = ()
        return partial(self.ask_method, amount) if amount else None

    def ask_method(self, amount: Cents) -> Step:
        """Ask how it is paid."""
        method = ask("Paid by (card, cash, check, transfer)", lambda text: _METHODS.read(text, "method"))
        return partial(self.ask_reference, amount, method)

    def ask_reference(self, amount: Cents, method: Method) -> None:
        """Ask for the reference of the payment."""
        words = "Reference: a check's number, a card's last four digits (Enter for none)"
        self.payments = (ask(words, lambda text: PaymentRequest(amount, method, text), default=""),)

    def _read_lenses(self, text: str) -> dict[Side, Lens]:
        """Read one code for both eyes, one for one eye, or two."""
        from shopledger.desk.goods import LENSES

        code, _, alone = text.strip().partition(" ")
        right, slash, left = code.partition("/")
        if alone and (slash or alone.strip().casefold() not in {side.value for side in Side}):
            hint = "Type it like SV-150, SV-150 right, or SV-150/SV-160."
            raise RefusedError("lens", f"'{text}'", "it is one code for both eyes, one for one eye, or two", hint)
        found = {side: LENSES.called(self.desk, each) for side, each in zip(Side, (right, left or right), strict=True)}
        return {side: lens for side, lens in found.items() if not alone or side.value == alone.strip().casefold()}

    def _tell_prescription(self, wearer: str) -> None:
        """Say how old the wearer's prescription is, and what is to be asked about that."""
        from shopledger.desk.prescribing import newest_prescription
        from shopledger.optics.age import age_in_words

        if self.customer is None:
            return
        written, findings = newest_prescription(self.desk, self.customer, wearer)
        if written is None:
            tell("  No prescription yet: 'shopledger prescription add' records one.")
            return
        until = f", expires {written.expires_on.isoformat()}" if written.expires_on else ""
        tell(f"  Prescription {written.number}, {age_in_words(written.written_on, self.desk.today)}{until}")
        for finding in findings:
            tell(f"  {finding.severity.value.capitalize()}: {finding.sentence} [{finding.code}]")

    def _tell_so_far(self, place: int) -> None:
        so_far = self.before + self.pairs[place].list_price
        tell(f"  So far {write_amount(so_far)}, offers and tax not yet counted.")

    def _priced(self) -> Cents:
        """Say what the order comes to with offers, tax and shipping, and what was found on it."""
        from shopledger.desk.sales import plan_sale

        try:
            plan = plan_sale(self.desk, self.request())
        except ShopledgerError as error:
            tell(f"Error: {error} Type '{BACK}' to change what was answered before.")
            raise AgainError from error
        stop_at(plan.findings)
        self.findings = plan.findings
        tell(f"  So far {write_amount(plan.order.total)}, with offers, tax and shipping.")
        return plan.order.total


def _read_paid(owed: Cents, text: str) -> Cents:
    amount = read_typed_amount(text, "payment") if text.strip() else 0
    if amount > owed:
        raise RefusedError("payment", write_amount(amount), f"only {write_amount(owed)} is owed", "Type that or less.")
    if amount < 0:
        raise RefusedError(
            "payment", write_amount(amount), "it may not be negative", "A refund is an entry of its own."
        )
    return amount
