"""Sales tax rates: which counts where from when to when, and a new one."""

from __future__ import annotations

from typing import Final

from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Form, day, line, tick, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.fields import percent
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk.shop import shop_and_settings
from shopledger.desk.tax_rates import set_tax_rate, tax_rates
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import ImposedOn, TaxRate, spans

STATE: Final = line("state", "State", width="narrow", hint="Two letters, such as OH.")
PLACE: Final = line(
    "place",
    "Only in",
    needed=False,
    hint="A city, a ZIP code or a county. Left empty: the state's rest.",
    width="middle",
)
ZIPS: Final = line(
    "zips",
    "The county's ZIP codes",
    needed=False,
    longest=30_000,
    numbers=True,
    hint="Only for a county, such as 43001 43002.",
    about=("zip codes",),
    width="middle",
)
CATEGORY: Final = word("category", "What is taxed", TaxCategory, width="middle")
RATE: Final = percent(
    "rate",
    "All taxes there together",
    needed=False,
    hint="0 where nothing is charged.",
    about=("tax rate",),
)
AS_GOODS: Final = tick("as_goods", "Shipping is taxed as the goods are that it is for")
EXEMPT: Final = line(
    "exempt_reason", "Why nothing is charged", needed=False, longest=200, hint="Only with a rate of 0.", width="middle"
)
FROM: Final = day("valid_from", "From", hint="Left empty: today.", about=("days", "from"))
TO: Final = day("valid_to", "To", hint="Its last day, where one is known.", about=("last day",))
IMPOSED: Final = word(
    "imposed_on",
    "The law lays it on",
    ImposedOn,
    choices=(Choice("buyer", "the buyer", "as usual"), Choice("seller", "the shop", "part of the gross receipts")),
)

NEW_RATE: Final = Form(
    (
        ("Where", (STATE, PLACE, ZIPS)),
        ("How much", (CATEGORY, RATE, AS_GOODS, EXEMPT)),
        ("When", (FROM, TO, IMPOSED)),
    )
)


@pages.route("/rates", methods=BOTH)
def rates() -> Answer:
    """Show the rates, and set one."""
    found = tax_rates(desk())
    home = shop_and_settings(desk())[0].address.state

    def store(values: Values) -> Done:
        new = set_tax_rate(desk(), _rate(values), values.accept)
        return Done("/shop/rates", f"{new.category.value.capitalize()} in {new.whole_place}: {new.words} {new.days}.")

    return fill(
        NEW_RATE,
        store,
        "shop/rates.html",
        start={"state": [home], "imposed_on": ["buyer"]},
        keep=("new tax rate", ""),
        spans=tuple(spans(found)),
    )


def _rate(values: Values) -> TaxRate:
    rate, as_goods = values.of(RATE), values.of(AS_GOODS)
    if rate is None and not as_goods:
        raise RefusedError("rate", "empty", "a rate of 0 is typed too, since none is assumed", "Type it in per cent.")
    return TaxRate(
        state=values.of(STATE),
        category=values.of(CATEGORY),
        rate=rate or 0,
        valid_from=values.of(FROM) or station().today(),
        imposed_on=values.of(IMPOSED),
        exempt_reason=values.text(EXEMPT),
        place=values.text(PLACE),
        valid_to=values.of(TO),
        zips=values.text(ZIPS),
        as_goods=as_goods,
    )
