"""An order by questions: each answer is checked as it is typed, the total runs along, `back` changes the one before.

People and prescriptions that are not there yet are added on the way; of the order itself nothing is stored here. What
comes out is the same request that options or a file would make, looked at and said yes to.
"""

from __future__ import annotations

from dataclasses import dataclass, field, replace
from datetime import date
from functools import partial
from typing import TYPE_CHECKING, Final

import click

from shopledger.cli.begun import Begun
from shopledger.cli.lens_questions import refused, stop_at
from shopledger.cli.listings import accessories, frames, offers, wearers
from shopledger.cli.lists import words_of
from shopledger.cli.pair_questions import PairAnswers, PairQuestions
from shopledger.cli.params import DAY, Word
from shopledger.cli.person_questions import People
from shopledger.cli.prompts import ask, confirm, tell
from shopledger.cli.questions import LEAVING, YES_NO, Answers, MendError, Step, read_yes, walk
from shopledger.errors import RefusedError, ShopledgerError, listed
from shopledger.ledger.orders import (
    NOBODY,
    PAID_BY,
    AccessoryRequest,
    DemoLenses,
    FrameRequest,
    Method,
    OrderRequest,
    PaymentRequest,
)
from shopledger.ledger.stock import OutOfStockError
from shopledger.ledger.taxes import LONGEST_REASON
from shopledger.ledger.text import clean_text
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.amounts import read_typed_amount
from shopledger.typed.goods import read_goods

if TYPE_CHECKING:
    from shopledger.cli.context import Run
    from shopledger.desk.sales import SalePlan
    from shopledger.optics.findings import Finding

KEPT: Final = "What was answered is kept: 'shopledger sale record' offers to go on with it."
ALL: Final = "all"
"""Typed where the whole is paid."""
_METHODS: Final = Word(Method, PAID_BY)
_DEMO_LENSES: Final = Word(DemoLenses)
_AMOUNT: Final = "Dollars and cents, as in 12.50."


def asked_order(run: Run, begun: Begun, accept: frozenset[str]) -> OrderRequest:
    """Ask for a whole order, and give it once it was looked at and said yes to; what is left is kept."""
    tell(LEAVING)
    people = People(run, begun.answers)
    order = OrderQuestions(people, begun, set(accept))
    try:
        walk(order.first)
    except (click.Abort, KeyboardInterrupt):
        if people.customer is not None and begun.kept:
            tell(f"\n{KEPT}")
        raise
    return order.request()


@dataclass(slots=True)
class OrderQuestions:
    """The questions of one order, and what has been answered."""

    people: People
    begun: Begun
    accept: set[str]
    """Codes of warnings that were said yes to before the questions."""
    day: date | None = None
    pairs: list[PairAnswers] = field(default_factory=list)
    accessories: tuple[AccessoryRequest, ...] = ()
    frames: tuple[FrameRequest, ...] = ()
    shipping: Cents | None = None
    tax_exempt: str = ""
    offers: tuple[str, ...] = ()
    payments: tuple[PaymentRequest, ...] = ()
    before: dict[int, Cents] = field(default_factory=dict)
    """What the pairs before each place come to."""
    total: Cents = 0
    """What the whole order comes to."""
    met: set[Finding] = field(default_factory=set)
    """Warnings that were said yes to at the end."""

    @property
    def answers(self) -> Answers:
        """What was typed so far."""
        return self.people.answers

    def request(self) -> OrderRequest:
        """Give the order as answered so far."""
        return OrderRequest(
            customer=self.people.number,
            pairs=tuple(request for request in (pair.request() for pair in self.pairs) if request),
            accessories=self.accessories,
            frames=self.frames,
            day=self.day,
            shipping=self.shipping,
            offers=self.offers,
            payments=self.payments,
            tax_exempt=self.tax_exempt,
            accept=frozenset(self.accept | {finding.code for finding in self.met}),
        )

    @property
    def first(self) -> Step:
        """The first question: the day, where no order can be recorded today, else the customer."""
        try:
            self._open(self.people.desk.today)
        except ShopledgerError as error:
            tell(f"  Today will not do: {error}")
            return self.ask_day
        return self.ask_customer

    def ask_day(self) -> Step:
        """Ask for the day of the order, in a month that is open."""

        def read(text: str) -> date:
            day = self.people.desk.day(DAY.read(text, "order day"), "order day")
            self._open(day)
            return day

        self.day = self.answers.ask("day", "Day of the order", read, hint="A day of a month that is not closed.")
        return self.ask_customer

    def _open(self, day: date) -> None:
        from shopledger.desk.books.closing import refuse_closed

        refuse_closed(self.people.desk, day)

    def ask_customer(self) -> Step:
        """Ask who orders."""
        self.begun.whose = self.people.ask_customer().name
        return partial(self.ask_pair, 0)

    def ask_pair(self, place: int) -> Step:
        """Ask whether there is a pair, or one more."""
        del self.pairs[place:]
        self.before[place] = self._told(self.priced(place)) if place else 0
        words = f"Another pair, number {place + 1}?" if place else "A pair of glasses?"
        wanted = self.answers.yes(f"pair {place + 1}", words, "n" if place else "y")
        if not wanted:
            return self.ask_frames
        asking = PairQuestions(self, place, partial(self.ask_pair, place + 1))
        self.pairs.append(asking.pair)
        return asking.ask_wearer

    def asked_of(self, code: str, until: int | None = None) -> int:
        """Say how many of a stocked frame the pairs take, or those before a place."""
        return sum(not pair.own for pair in self.pairs[:until] if pair.frame and pair.frame.code == code)

    def told_so_far(self, place: int) -> None:
        """Say what the order comes to so far, at list price."""
        so_far = self.before.get(place, 0) + self.pairs[place].list_price
        tell(f"  So far {write_amount(so_far)}, offers and tax not yet counted.")

    def ask_frames(self) -> Step:
        """Ask for frames that are sold without lenses."""
        from shopledger.desk.goods import FRAMES

        def read(text: str) -> tuple[str, ...]:
            codes = tuple(FRAMES.called(self.people.desk, code)[0] for code in text.replace(",", " ").split())
            for frame in codes:
                if frame.owned_by is not None:
                    raise RefusedError("frame", frame.code, "it is a customer's own", "Name one of the shop's frames.")
                asked = codes.count(frame) + self.asked_of(frame.code)
                free = FRAMES.free(self.people.desk, frame.code)
                if asked > free:
                    raise OutOfStockError(frame.code, asked, free)
            return tuple(frame.code for frame in codes)

        words = "Frames without lenses, by code"
        codes = self.answers.ask("frames alone", words, read, of=frames(self.people.desk), optional=True)
        self.frames = ()
        return partial(self.ask_demo_lenses, codes) if codes else self.ask_accessories

    def ask_demo_lenses(self, codes: tuple[str, ...]) -> Step:
        """Ask what became of the demo lenses, which may not reach the customer as lenses."""
        became = self.answers.ask(
            "demo lenses",
            "Their demo lenses (removed, marked)",
            lambda text: _DEMO_LENSES.read(text, "demo lenses"),
            of=words_of("demo lenses", DemoLenses),
        )
        self.frames = tuple(FrameRequest(code, became) for code in codes)
        return self.ask_accessories

    def ask_accessories(self) -> Step:
        """Ask for goods beside the glasses."""
        from shopledger.desk.goods import ACCESSORIES

        def read(text: str) -> tuple[AccessoryRequest, ...]:
            goods = tuple(read_goods(each, "accessory") for each in text.replace(",", " ").split())
            for each in goods:
                accessory, _ = ACCESSORIES.called(self.people.desk, each.code)
                asked = sum(other.quantity for other in goods if other.code.casefold() == each.code.casefold())
                free = ACCESSORIES.free(self.people.desk, accessory.code)
                if asked > free:
                    raise OutOfStockError(accessory.code, asked, free)
            if not goods and not self.pairs and not self.frames:
                allowed = "it needs a pair, a frame or an accessory"
                raise RefusedError("order", "empty", allowed, "Name one, or type back.")
            return goods

        words = "Accessories, as in CASE CORD=2"
        self.accessories = self.answers.ask("accessories", words, read, of=accessories(self.people.desk), optional=True)
        goods = bool(self.frames or self.accessories)
        return partial(self.ask_whose, 0) if goods and self.people.wearers else self.ask_shipping

    def ask_whose(self, place: int) -> Step:
        """Ask whose the goods beside the glasses are: all at once where the order has one wearer, else one by one."""
        glasses = list(dict.fromkeys(pair.card.wearer.name for pair in self.pairs if pair.card))
        goods: tuple[FrameRequest | AccessoryRequest, ...] = (*self.frames, *self.accessories)
        alone = len(glasses) > 1
        places = [place] if alone else range(len(goods))
        usual = None if alone else glasses[0] if glasses else NOBODY
        of = wearers(self.people.wearers, nobody=NOBODY)
        known = listed([row.code for row in of.rows("")])
        words = f"Whose: {', '.join(goods[at].code for at in places)} ({known})"
        wearer = self.answers.ask(f"whose {place + 1}", words, self._whose, usual, of=of)
        owned = [replace(each, wearer=wearer) if at in places else each for at, each in enumerate(goods)]
        self.frames = tuple(each for each in owned if isinstance(each, FrameRequest))
        self.accessories = tuple(each for each in owned if isinstance(each, AccessoryRequest))
        return partial(self.ask_whose, place + 1) if alone and place + 1 < len(goods) else self.ask_shipping

    def _whose(self, text: str) -> str:
        if text.strip().casefold() == NOBODY:
            return NOBODY
        return str(self.people.wearer_card(text).wearer.number)

    def ask_shipping(self) -> Step:
        """Ask for the shipping charge; nothing typed is the shop's usual one."""

        def read(text: str) -> Cents | None:
            if not text.strip():
                return None
            amount = read_typed_amount(text, "shipping")
            if amount < 0:
                raise RefusedError("shipping", write_amount(amount), "it may not be negative", "Type 0 or more.")
            return amount

        words = "Shipping (Enter for the usual charge)"
        self.shipping = self.answers.ask("shipping", words, read, "", hint=_AMOUNT)
        return self.ask_exemption

    def ask_exemption(self) -> Step:
        """Ask whether the order is exempt from sales tax, and why."""
        read = partial(clean_text, "reason", longest=LONGEST_REASON, required=False)
        words = "Exempt from sales tax: why"
        hint = "Why no sales tax is charged, as in 'resale certificate 77-1042'; nothing if it is."
        self.tax_exempt = self.answers.ask("exempt", words, read, hint=hint, optional=True)
        self.offers, self.payments = (), ()
        named = offers(self.people.desk, by_name=True)
        if named.rows(""):
            return self.ask_offers
        self.total = self._told(self.priced())
        return self.ask_payment

    def ask_offers(self) -> Step:
        """Ask for offers that are tried only where they are named."""
        from shopledger.desk.goods import OFFERS

        def read(text: str) -> tuple[str, ...]:
            return tuple(OFFERS.called(self.people.desk, code).code for code in text.replace(",", " ").split())

        words, of = "Offers that are asked for, by code", offers(self.people.desk, by_name=True)
        self.offers, self.payments = self.answers.ask("offers", words, read, of=of, optional=True), ()
        self.total = self._told(self.priced())
        return self.ask_payment

    def ask_payment(self) -> Step:
        """Ask what is paid at once."""
        read = partial(_read_paid, self.total)
        words, hint = f"Paid now ('{ALL}' for all of it)", f"{_AMOUNT} '{ALL}' is {write_amount(self.total)}."
        amount = self.answers.ask("paid", words, read, hint=hint, optional=True)
        self.payments = ()
        return partial(self.ask_method, amount) if amount else self.ask_review

    def ask_method(self, amount: Cents) -> Step:
        """Ask how it is paid."""
        method = self.answers.ask(
            "paid by",
            "Paid by (card, cash, check, transfer)",
            lambda text: _METHODS.read(text, "method"),
            of=words_of("method", PAID_BY),
        )
        return partial(self.ask_reference, amount, method)

    def ask_reference(self, amount: Cents, method: Method) -> Step:
        """Ask for the reference of the payment."""
        words = "Reference: a check's number, a card's last four digits"
        hint = "A check's number, or the last four digits of a card; never more."
        read = partial(PaymentRequest, amount, method)
        self.payments = (self.answers.ask("reference", words, read, hint=hint, optional=True),)
        return self.ask_review

    def ask_review(self) -> None:
        """Show the whole, ask what is to be asked about it, and whether it is recorded; `back` returns here too."""
        from shopledger.cli.output import display
        from shopledger.cli.recording import plan_blocks
        from shopledger.desk.refusals import unaccepted

        self.answers.keep(self.answers.texts, "review")
        plan = self.priced()
        for finding in unaccepted(plan.findings, frozenset(self.accept)):
            if finding not in self.met:
                tell(f"Warning: {finding.sentence} [{finding.code}]")
                if not confirm("Is it meant so? No leads back."):
                    raise MendError(*_mended(finding))
                self.met.add(finding)
        display(*plan_blocks(plan), err=True)
        words = f"Record it, {write_amount(plan.order.total)} in all? (y/n)"
        if not ask(words, read_yes, "y", of=YES_NO):
            raise click.Abort

    def planned(self, until: int | None = None) -> SalePlan:
        """Price the order so far, or its pairs before a place. Raises ShopledgerError where it cannot stand."""
        from shopledger.desk.sales import plan_sale

        request = self.request()
        if until is not None:
            request = replace(request, pairs=request.pairs[:until], frames=(), accessories=(), payments=())
        return plan_sale(self.people.desk, request)

    def priced(self, until: int | None = None) -> SalePlan:
        """Price the order, and go back where something stops it."""
        try:
            plan = self.planned(until)
        except ShopledgerError as error:
            refused(error)
            raise
        stop_at(plan.findings)
        return plan

    def _told(self, plan: SalePlan) -> Cents:
        """Say what the order comes to with offers, tax and shipping."""
        tell(f"  So far {write_amount(plan.order.total)}, with offers, tax and shipping.")
        return plan.order.total


def _mended(finding: Finding) -> tuple[str, ...]:
    from shopledger.cli.lens_questions import MENDED_BY

    return MENDED_BY.get(finding.field) or MENDED_BY.get(finding.field.rpartition(".")[2], ())


def _read_paid(owed: Cents, text: str) -> Cents:
    if text.strip().casefold() == ALL:
        return owed
    amount = read_typed_amount(text, "payment") if text.strip() else 0
    if amount > owed:
        raise RefusedError("payment", write_amount(amount), f"only {write_amount(owed)} is owed", "Type that or less.")
    if amount < 0:
        raise RefusedError(
            "payment", write_amount(amount), "it may not be negative", "A refund is an entry of its own."
        )
    return amount
