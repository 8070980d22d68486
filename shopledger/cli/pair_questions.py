"""One pair of a sale by questions: whose, which prescription, frame, lenses, extras, measurements, claim codes."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field, replace
from functools import partial
from typing import TYPE_CHECKING, Any, Final, Protocol

from shopledger.cli.adding import new_own_frame
from shopledger.cli.lens_questions import (
    ask_code,
    ask_extras_of_each,
    ask_heights,
    ask_near_pd,
    ask_pd,
    ask_use,
    refused,
    stop_at,
)
from shopledger.cli.listings import frames, lenses
from shopledger.cli.lists import words_of
from shopledger.cli.params import Word
from shopledger.cli.person_questions import People
from shopledger.cli.prompts import tell
from shopledger.cli.questions import Step
from shopledger.errors import RefusedError, ShopledgerError
from shopledger.ledger.catalogue import Extra, Frame, Lens
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.each_lens import BALANCE, OFF_STEP, sold_lenses
from shopledger.ledger.orders import EyeRequest, Making, OffStep, PairRequest
from shopledger.ledger.stock import OutOfStockError
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.notation import read_power
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.desk.prescribing import WearerCard
    from shopledger.desk.sales import SalePlan
    from shopledger.optics.findings import Finding
    from shopledger.optics.measurements import Measurements
    from shopledger.optics.power import SphereCylinder

OWN: Final = "own"
"""Typed behind a frame's code when the wearer has the frame already."""
_OFF_STEPS: Final = Word(OffStep)
_SIDES: Final = frozenset(side.value for side in Side)
_NOT_YET: Final = frozenset({"PD-MISSING"})
"""Findings on what is asked later."""


@dataclass(slots=True)
class PairAnswers:
    """What has been answered on one pair."""

    card: WearerCard | None = None
    prescription: int | None = None
    frame: Frame | None = None
    own: bool = False
    lens: Lens | None = None
    use: LensUse | None = None
    extras: tuple[Extra, ...] = ()
    own_extras: Mapping[Side, tuple[Extra, ...]] = field(default_factory=dict)
    """What is on one lens alone."""
    pd: tuple[float, ...] = ()
    near: tuple[float, ...] = ()
    measurements: Measurements | None = None
    lenses: Mapping[Side, Lens] = field(default_factory=dict)
    """The lens of each eye that gets one."""
    balance: dict[Side, SphereCylinder] = field(default_factory=dict)
    off_step: OffStep | None = None
    codes: dict[Side, str] = field(default_factory=dict)
    """Claim codes that the owner chose."""

    @property
    def wearer(self) -> str:
        """The wearer's number, as it is typed; nothing before it is known."""
        return str(self.card.wearer.number) if self.card else ""

    @property
    def list_price(self) -> Cents:
        """What the answers come to so far, before any offer."""
        frame = self.frame.price if self.frame and not self.own and self.frame.owned_by is None else 0
        alone = len(self.lenses) == 1
        extras = sum(extra.each if alone else extra.price for extra in self.extras)
        extras += sum(extra.each for own in self.own_extras.values() for extra in own)
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
            prescription=self.prescription,
            without_prescription=self.prescription is None,
            extras=tuple(extra.code for extra in self.extras),
            measurements=self.measurements,
            frame_owned=self.own,
            right_code=self.codes.get(Side.RIGHT, ""),
            left_code=self.codes.get(Side.LEFT, ""),
            right=self._eye(Side.RIGHT),
            left=self._eye(Side.LEFT),
            off_step=self.off_step,
        )

    def _eye(self, side: Side) -> EyeRequest:
        lens, own = self.lenses.get(side), tuple(extra.code for extra in self.own_extras.get(side, ()))
        if lens is None:
            return EyeRequest(Making.KEPT, extras=own)
        other = "" if lens is self.lens else lens.code
        return EyeRequest(lens=other, extras=own, balance=self.balance.get(side))


class Whole(Protocol):
    """The order that a pair is of."""

    people: People

    def planned(self, until: int | None = None) -> SalePlan:
        """Price the order so far, or its pairs before a place. Raises ShopledgerError where it cannot stand."""

    def priced(self, until: int | None = None) -> SalePlan:
        """Price it, and go back where something stops it."""

    def asked_of(self, code: str, until: int | None = None) -> int:
        """Say how many of a stocked frame the pairs take, or those before a place."""

    def told_so_far(self, place: int) -> None:
        """Say what the order comes to so far, at list price."""


@dataclass(slots=True)
class PairQuestions:
    """The questions of one pair of an order."""

    order: Whole
    place: int
    then: Step
    """What is asked after the pair."""
    pair: PairAnswers = field(default_factory=PairAnswers)

    def ask_wearer(self) -> Step:
        """Ask whose glasses they are."""
        self.pair.card = self.order.people.ask_wearer(self._name("wearer"))
        return self.ask_prescription

    def ask_prescription(self) -> Step:
        """Ask by which prescription they are made."""
        card = self._card()
        found = self.order.people.ask_prescription(self._name("prescription"), card, none=True)
        self.pair.prescription = found.number if found else None
        return self.ask_frame

    def ask_frame(self) -> Step:
        """Ask for the frame."""
        people = self.order.people
        frame, own = self._ask(
            "frame",
            f"Frame (with ' {OWN}' if the wearer has it already)",
            self._read_frame,
            of=replace(frames(people.desk, beside=(OWN,), of_customer=self._group()), add=self._new_frame),
        )
        self.pair.frame, self.pair.own = frame, own
        return self.ask_lens

    def _read_frame(self, text: str) -> tuple[Frame, bool]:
        from shopledger.desk.pairs import frame_for

        code, _, rest = text.strip().partition(" ")
        if rest and rest.strip().casefold() != OWN:
            raise RefusedError("frame", f"'{text}'", f"it is a code, with '{OWN}' behind it if need be", "Type it so.")
        customer = self.order.people.customer
        if customer is None:
            raise RefusedError("frame", code, "whose it is must be known", "Name the customer first.")
        frame, on_hand, free = frame_for(self.order.people.desk, customer, code)
        asked = self.order.asked_of(frame.code, self.place) + 1
        if not (rest or frame.owned_by) and free < asked:
            raise OutOfStockError(frame.code, asked, free)
        promised = "" if free == on_hand else f", {free} of them free"
        tell(f"  {frame.description}: {write_amount(frame.price)}, {on_hand} on hand{promised}")
        return frame, bool(rest)

    def _new_frame(self) -> str:
        people = self.order.people
        return new_own_frame(people.run, people.number, people.answers)

    def _group(self) -> frozenset[int]:
        from shopledger.desk.known_people import joined_numbers

        customer = self.order.people.customer
        return joined_numbers(self.order.people.desk, customer) if customer else frozenset()

    def ask_lens(self) -> Step:
        """Ask for the lenses."""
        pair = self.pair
        pair.lenses = self._ask(
            "lens",
            "Lens (with ' right' or ' left' for one eye, RIGHT/LEFT for two codes)",
            self._read_lenses,
            of=lenses(self.order.people.desk, beside=_SIDES),
        )
        pair.lens = next((each for each in pair.lenses.values() if each.multifocal), next(iter(pair.lenses.values())))
        pair.use, pair.extras, pair.own_extras, pair.measurements = None, (), {}, None
        pair.codes, pair.balance, pair.off_step = {}, {}, None
        for sold in sold_lenses(pair.lenses):
            alone = f", {sold.alone.value}" if sold.alone else ""
            tell(f"  {sold.goods.name}{alone}: {write_amount(sold.price)}")
        self.order.told_so_far(self.place)
        if pair.lens.multifocal:
            return self._checked(lambda _plan: self.ask_extras)
        return self.ask_use

    def _read_lenses(self, text: str) -> dict[Side, Lens]:
        """Read one code for both eyes, one for one eye, or two."""
        from shopledger.desk.goods import LENSES

        code, _, alone = text.strip().partition(" ")
        right, slash, left = code.partition("/")
        if alone and (slash or alone.strip().casefold() not in _SIDES):
            hint = "Type it like SV-150, SV-150 right, or SV-150/SV-160."
            raise RefusedError("lens", f"'{text}'", "it is one code for both eyes, one for one eye, or two", hint)
        desk = self.order.people.desk
        found = {side: LENSES.called(desk, each) for side, each in zip(Side, (right, left or right), strict=True)}
        return {side: lens for side, lens in found.items() if not alone or side.value == alone.strip().casefold()}

    def ask_use(self) -> Step:
        """Ask what single vision lenses are made for."""
        self.pair.use = ask_use(self.order.people.answers, self._name("use"), LensUse.DISTANCE)
        return self._checked(lambda _plan: self.ask_extras)

    def ask_code(self, open_code: UnsettledCodeError, then: Callable[[SalePlan], Step]) -> Step:
        """Ask which claim code a lens takes that the published bands leave open."""
        people, side = self.order.people, open_code.side
        name = self._name(f"claim code {side.value}")
        self.pair.codes[side] = ask_code(people.desk, people.answers, name, open_code, self.pair.lenses[side])
        return self._checked(then)

    def ask_extras(self) -> Step:
        """Ask for upgrades and coatings."""
        people, pair = self.order.people, self.pair
        pair.balance, pair.off_step = {}, None
        pair.extras, pair.own_extras = ask_extras_of_each(people.desk, people.answers, self._name("extras"))
        self.order.told_so_far(self.place)
        return self._checked(self._after_extras)

    def _after_extras(self, plan: SalePlan) -> Step:
        """Go on with each power that is not simply the prescription's: of a balance lens, or between two quarters."""
        if self.pair.prescription is None:
            return self.then
        mine = plan.pairs[self.place].findings
        balances = [finding for finding in mine if finding.code == BALANCE]
        steps = [finding for finding in mine if finding.code == OFF_STEP]
        return self._powers((*balances, *steps[:1]))

    def _powers(self, left: tuple[Finding, ...]) -> Step:
        return partial(self.ask_power, left[0], left[1:]) if left else self.ask_pd

    def ask_power(self, finding: Finding, left: tuple[Finding, ...]) -> Step:
        """Ask for the power of a balance lens, or what is made of one between two quarters."""
        if finding.code == BALANCE:
            side = next(side for side in Side if finding.field.startswith(side.value))
            words = f"The {side.value} lens only balances the other; its power"
            usual = finding.value.removeprefix("balance ")
            self.pair.balance[side] = self._ask(f"balance {side.value}", words, read_power, usual)
        else:
            tell(f"  A power comes to {finding.value}, which is no quarter of a dioptre: {finding.limit} are.")
            words = "Make it (exact, less plus, more plus: exact, less, more)"
            read = partial(_OFF_STEPS.read, field="off step")
            self.pair.off_step = self._ask(
                "off step", words, read, OffStep.EXACT.value, of=words_of("off step", OffStep)
            )
        return self._powers(left)

    def ask_pd(self) -> Step:
        """Ask for the PD; as it was measured last is usual."""
        pair = self.pair
        last = self._card().last
        pair.pd = ask_pd(self.order.people.answers, self._name("PD"), last.measurements if last else None)
        pair.near = ()
        return self.ask_heights if pair.use is LensUse.DISTANCE else self.ask_near

    def ask_near(self) -> Step:
        """Ask for the near PD of a pair that is used near."""
        self.pair.near = ask_near_pd(self.order.people.answers, self._name("near PD"), self.pair.pd)
        return self.ask_heights

    def ask_heights(self) -> Step:
        """Ask for the fitting height; that of the same frame is usual."""
        pair = self.pair
        last = self._card().last
        same = last.measurements if last and pair.frame and last.frame_code == pair.frame.code else None
        pair.measurements = ask_heights(self.order.people.answers, self._name("height"), pair.pd, pair.near, same)
        self.order.priced(self.place + 1)
        return self.then

    def _checked(self, then: Callable[[SalePlan], Step]) -> Step:
        """Look at the order so far; what the bands leave open is asked, what cannot stand is said and asked again."""
        try:
            plan = self.order.planned(self.place + 1)
        except UnsettledCodeError as error:
            return partial(self.ask_code, error, then)
        except ShopledgerError as error:
            refused(error)
            raise
        stop_at(plan.findings, lambda finding: finding.code not in _NOT_YET)
        return then(plan)

    def _card(self) -> WearerCard:
        if self.pair.card is None:
            raise RefusedError("wearer", "missing", "it is asked first", "This is a fault of the program.")
        return self.pair.card

    def _name(self, what: str) -> str:
        return f"pair {self.place + 1} {what}"

    def _ask(self, what: str, words: str, read: Callable[[str], Any], usual: str | None = None, **more: Any) -> Any:
        return self.order.people.answers.ask(self._name(what), words, read, usual, **more)
