"""An order put right: cancelled, lowered, priced anew, goods added, lines taken out or exchanged, drafted once more."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Sequence
from dataclasses import replace
from typing import Any, Final

from flask import request

from shopledger.counter.addresses import draft_page, order_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, typed_now
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, form, line, tick, ticks, whole, word
from shopledger.counter.forms.filled import Filled, Values
from shopledger.counter.forms.picking import Known, pick_known
from shopledger.counter.pages.orders.card import pages
from shopledger.counter.pages.orders.deeds import BOTH, DAY, REASON, TERMS, about_order, put_right
from shopledger.counter.pages.selling.asked import Asked, pair_asked
from shopledger.counter.pages.selling.sheet import pair_fields, pair_typed
from shopledger.counter.pages.selling.shelf import shelf_now
from shopledger.counter.showing import money
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed, Reduction
from shopledger.desk.copying import copy_to_draft
from shopledger.desk.exchanging import Exchange
from shopledger.desk.known_people import customer_and_wearers
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order
from shopledger.desk.putting_right import CorrectionTerms
from shopledger.desk.selling import sale_card
from shopledger.errors import RefusedError
from shopledger.ledger.line_model import KeptLine
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import NOBODY, AccessoryRequest, DemoLenses, FrameRequest, OrderAccount
from shopledger.ledger.putting_right import standing_lines
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.sides import Side
from shopledger.store.refusals import NumberUnknownError

_COUNT: Final = whole("count", "How many", needed=False, hint="Left empty: all of it, or one.", about=("quantity",))
_PRICE: Final = amount("price", "Price agreed", needed=False, hint="Left empty: the catalogue's.", about=("price",))
_SHIPPING: Final = amount("shipping", "Shipping on top", needed=False)
_DEMO: Final = word("demo", "Of a frame: its demo lenses were", DemoLenses, needed=False, about=("its demo lenses",))
_BACK_HERE: Final = tick("came_back", "What it is exchanged for is here again, and fit to be sold")


@pages.route("/orders/<int:number>/cancel", methods=BOTH)
def cancel(number: int) -> Answer:
    """Take an order back that was not shipped."""

    def store(values: Values) -> Done:
        done = cancel_order(desk(), number, values.of(REASON), values.of(DAY))
        said = [f"Order {number} was cancelled."]
        said += [
            f"Pay back {money(each.amount)} by {each.method.value} {each.reference}".strip() + "."
            for each in done.repaid
        ]
        said += [f"{money(each.amount)} is in deposit {each.deposit_number} again." for each in done.put_back]
        said += [f"Receipt {each} holds no longer: ask for it back." for each in done.touched_receipts]
        return Done(order_page(number), " ".join(said))

    lead = "All is reversed: its goods are on the shelf again, and what was paid is to be paid back."
    return about_order(number, form(REASON, DAY), store, f"Cancel order {number}", "Cancel the order", lead=lead)


@pages.route("/orders/<int:number>/copy", methods=BOTH)
def copy(number: int) -> Answer:
    """Draft an order once more, for the same customer or another."""
    account = order_account(desk(), number)
    customer = line(
        "customer", "For which customer", hint="A part of the name, or the number.", about=("customer",), width="middle"
    )
    wearer = line(
        "wearer", "Whose the glasses are then", needed=False, hint="Where that is one person.", width="middle"
    )

    def store(values: Values) -> Done:
        made = copy_to_draft(desk(), number, values.of(customer), values.text(wearer))
        return Done(draft_page(made.number), f"Draft {made.number} was made. Order {number} stays as it is.")

    return about_order(
        number, form(customer, wearer), store, f"Order {number} once more", "Draft it",
        start={"customer": [str(account.order.customer_number)]},
        lead="For one that was recorded for the wrong customer or on the wrong day: cancel that, and record the draft.",
    )  # fmt: skip


@pages.route("/orders/<int:number>/reduce", methods=BOTH)
def reduce(number: int) -> Answer:
    """Lower what is still owed on lines, with goods that came back or without."""
    lines = standing_lines(order_account(desk(), number))
    groups = tuple((f"Line {each.place}: {each.line.description}", tuple(_lowered(each))) for each in lines)

    def make(values: Values) -> Callable[[CorrectionTerms], Reduction]:
        less = {each.place: given for each in lines if (given := values.read.get(f"line_{each.place}"))}
        back = {each.place: count for each in lines if (count := values.read.get(f"back_{each.place}"))}
        if not less and not back:
            raise RefusedError("lines", "empty", "nothing is named", "Type by how much less, or how many came back.")
        return lambda terms: Reduction(number, less, terms, back)

    return _righted(number, groups, make, f"Less is owed on order {number}", "Lower it")


@pages.route("/orders/<int:number>/price", methods=BOTH)
def price(number: int) -> Answer:
    """Give lines a price that was agreed afterwards."""
    lines = [each for each in standing_lines(order_account(desk(), number)) if each.kept or each.line.net]
    fields = tuple(
        amount(f"line_{each.place}", each.line.description, needed=False, about=(f"line {each.place}",))
        for each in lines
    )

    def make(values: Values) -> Callable[[CorrectionTerms], PricesAgreed]:
        given = ((each, values.read.get(f"line_{each.place}")) for each in lines)
        agreed = {each.place: net for each, net in given if net is not None and net != each.kept}
        if not agreed:
            raise RefusedError("prices", "as before", "no price is another", "Type the price that was agreed.")
        return lambda terms: PricesAgreed(number, agreed, terms)

    start = {f"line_{each.place}": [write_amount(each.kept)] for each in lines}
    return _righted(
        number, (("Prices before tax", fields),), make, f"Prices of order {number}", "Agree on them", start=start
    )


@pages.route("/orders/<int:number>/add", methods=BOTH)
def add(number: int) -> Answer:
    """Add goods or a frame without lenses before an order leaves."""
    account, shelf = order_account(desk(), number), shelf_now()
    frames = {each.key for each in shelf.frames_alone}
    what = pick_known("code", "What", lambda: [*shelf.goods, *shelf.frames_alone], about=("accessory", "frame"))
    whose = _whose(account)

    def make(values: Values) -> Callable[[CorrectionTerms], LinesAdded]:
        code, wearer, agreed = values.of(what), values.of(whose) or "", values.of(_PRICE)
        goods: tuple[AccessoryRequest, ...] = ()
        alone: tuple[FrameRequest, ...] = ()
        if code in frames:
            demo = values.of(_DEMO)
            if demo is None:
                raise RefusedError(
                    "its demo lenses", "open", "they may not reach the customer as lenses", "Choose one."
                )
            alone = (FrameRequest(code, demo, wearer),)
        else:
            goods = (AccessoryRequest(code, values.of(_COUNT) or 1, wearer),)
        prices: dict[str, Cents] = {} if agreed is None else {code: agreed}
        shipping = values.of(_SHIPPING) or 0
        return lambda terms: LinesAdded(
            number, _with(terms, prices), accessories=goods, frames=alone, shipping=shipping
        )  # fmt: skip

    groups = (("What comes in", (what, _COUNT, whose, _DEMO, _PRICE, _SHIPPING)),)
    _, wearers = customer_and_wearers(desk(), str(account.order.customer_number))
    ways = [(f"{order_page(number)}/add-pair/{each.number}", f"Glasses for {each.name}") for each in wearers]
    return _righted(
        number, groups, make, f"Something forgotten on order {number}", "Add it", template="order_add.html", ways=ways
    )


@pages.route("/orders/<int:number>/add-pair/<int:wearer>", methods=BOTH)
def add_pair(number: int, wearer: int) -> Answer:
    """Add a pair of glasses before an order leaves."""
    account, shelf = order_account(desk(), number), shelf_now()
    card = sale_card(desk(), str(account.order.customer_number))
    whose = next((each for each in card.wearers if each.wearer.number == wearer), None)
    if whose is None:
        raise NumberUnknownError("wearer of this customer", wearer)
    start = pair_typed(whose, "1")
    typed = typed_now() if request.method == "POST" else start
    fields = (*(replace(each, shared="") for each in pair_fields(card, shelf, typed, "1")), _SHIPPING)
    asked = Form((("Glasses", fields), TERMS))

    def store(values: Values) -> Done:
        filled = Filled(asked, typed)
        pair = pair_asked(Asked(filled, values), shelf, "1")
        shipping = values.of(_SHIPPING) or 0
        return put_right(values, lambda terms: LinesAdded(number, terms, pairs=(pair,), shipping=shipping), "p1")

    return about_order(
        number, asked, store, f"Glasses for {whose.wearer.name} on order {number}", "Add them",
        kind=f"glasses on order {number}", about=f"{number}-{wearer}", start=start, focus="p1_frame",
    )  # fmt: skip


@pages.route("/orders/<int:number>/take-out", methods=BOTH)
def take_out(number: int) -> Answer:
    """Take out goods, an upgrade or whole pairs before an order leaves."""
    account = order_account(desk(), number)
    lines = [each for each in standing_lines(account) if each.line.kind is not LineKind.SHIPPING]
    loose = [each for each in lines if each.line.pair is None or each.line.kind is LineKind.EXTRA]
    pairs = [
        Choice(str(pair.place), f"Job {pair.job_number} with all that is its", f"{pair.frame_code}, {pair.lens_code}")
        for pair in account.order.standing_pairs
    ]
    which = ticks("lines", "Goods or an upgrade", _choices(loose), about=("line",))
    whole_pairs = ticks("pairs", "Whole pairs", pairs)

    def make(values: Values) -> Callable[[CorrectionTerms], LinesTakenOut]:
        places, gone = [int(each) for each in values.of(which)], tuple(int(each) for each in values.of(whole_pairs))
        count = values.of(_COUNT)
        if not places and not gone:
            raise RefusedError("line", "none", "nothing is named", "Tick what is not wanted.")
        if count is not None and len(places) != 1:
            raise RefusedError("quantity", count, "it belongs to one line", "Take lines out one by one.")
        return lambda terms: LinesTakenOut(number, terms, dict.fromkeys(places, count), gone)

    groups = (("What is not wanted", (which, _COUNT, whole_pairs)),)
    return _righted(number, groups, make, f"Not wanted on order {number}", "Take it out")


@pages.route("/orders/<int:number>/exchange", methods=BOTH)
def exchange(number: int) -> Answer:
    """Exchange what a line sold for something of the same kind, once it left."""
    account, shelf = order_account(desk(), number), shelf_now()
    kinds = {LineKind.FRAME, LineKind.LENSES, LineKind.ACCESSORY}
    lines = [each for each in standing_lines(account) if each.line.kind in kinds]
    which: Field[int] = Field(
        "line", "What was sold", lambda typed, _: int(typed), Kind.SELECT, choices=_choices(lines), about=("exchange",)
    )
    lenses = [Known(each.code, f"{each.code}, {each.name}", money(each.price)) for each in shelf.lenses.values()]
    new = pick_known("code", "For what", lambda: [*shelf.frames_alone, *lenses, *shelf.goods], about=("frame", "lens"))
    codes = [
        line(f"{side.value}_code", f"Claim code you choose for the {side.value} lens", needed=False, width="middle")
        for side in Side
    ]

    def make(values: Values) -> Callable[[CorrectionTerms], Exchange]:
        chosen = {side: code for side, each in zip(Side, codes, strict=True) if (code := values.of(each))}
        place, code, count, agreed = values.of(which), values.of(new), values.of(_COUNT), values.of(_PRICE)
        here = values.of(_BACK_HERE)
        prices: dict[str, Cents] = {} if agreed is None else {code: agreed}
        return lambda terms: Exchange(number, place, code, _with(terms, prices), count, here, chosen)

    fields: tuple[Field[Any], ...] = (which, new, _COUNT, _BACK_HERE, _PRICE, *codes)
    groups = (("What is exchanged", fields),)
    return _righted(
        number, groups, make, f"Exchange on order {number}", "Exchange it", start={"came_back": ["yes"]}
    )  # fmt: skip


def _righted(
    number: int,
    groups: Sequence[tuple[str, tuple[Field[Any], ...]]],
    make: Callable[[Values], Callable[[CorrectionTerms], Any]],
    heading: str,
    button: str,
    **shown: Any,
) -> Answer:
    """Show a form that puts an order right; what it comes to is said before it is stored."""
    return about_order(
        number, Form((*groups, TERMS)), lambda values: put_right(values, make(values)), heading, button, **shown
    )


def _lowered(kept: KeptLine) -> Iterator[Field[Any]]:
    less = f"Less by, of {write_amount(kept.kept)} before tax"
    yield amount(f"line_{kept.place}", less, needed=False, about=(f"line {kept.place}",))
    if kept.line.kind in {LineKind.FRAME, LineKind.ACCESSORY} and kept.count:
        yield whole(f"back_{kept.place}", "How many came back", needed=False, hint=f"Of {kept.count}.")


def _choices(lines: Sequence[KeptLine]) -> list[Choice]:
    return [
        Choice(
            str(each.place), f"{each.line.description}{f', {each.count}' if each.count > 1 else ''}", money(each.kept)
        )
        for each in lines
    ]


def _whose(account: OrderAccount) -> Field[Any]:
    customer, wearers = customer_and_wearers(desk(), str(account.order.customer_number))
    people = [Choice(str(each.number), each.name) for each in wearers if not each.erased_on]
    choices = [*people, Choice(NOBODY, f"{customer.name}'s as the customer")]
    return Field("wearer", "Whose", lambda typed, _: typed, Kind.SELECT, needed=False, choices=choices, width="middle")


def _with(terms: CorrectionTerms, prices: dict[str, Cents]) -> CorrectionTerms:
    return replace(terms, prices=prices)
