"""Who the shop is and what it has set, as fields: asked at its first day, and changed later."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any, Final

from shopledger.counter.forms.fields import (
    Choice,
    Field,
    Form,
    Kind,
    amount,
    chosen,
    length,
    line,
    whole,
    word,
)
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.people import CITY, MAIL, SECOND, STATE, STREET, ZIP
from shopledger.ledger.catalogue import Design
from shopledger.ledger.forms import Typed
from shopledger.ledger.parties import Address, Shop
from shopledger.ledger.settings import Accounting, Advances, InventoryView, Settings
from shopledger.money.amount import write_amount
from shopledger.money.rate import Rate, read_rate, write_rate
from shopledger.money.tax import TaxRounding
from shopledger.typed.words import typed_word

NEVER: Final = "Left empty: never."


def percent(name: str, label: str, *, needed: bool = True, **shown: Any) -> Field[Rate]:
    """Ask for a share or a rate, in per cent."""
    return Field(name, label, read_rate, Kind.NUMBER, needed, **{"unit": "%", "width": "narrow", **shown})


NAME: Final = line("name", "Name of the shop", purpose="organization", about=("shop name",), hint="As on every paper.")
PHONE: Final = line("phone", "Phone", numbers=True, longest=40, purpose="tel", width="middle")
EIN: Final = line(
    "ein",
    "Employer identification number (EIN)",
    numbers=True,
    longest=20,
    hint="Such as 12-3456789; never a social security number.",
    about=("ein",),
    width="middle",
)
NPI: Final = line(
    "npi",
    "National provider identifier (NPI)",
    needed=False,
    numbers=True,
    longest=20,
    about=("npi",),
    width="middle",
)
RECEIPT_WORDING: Final = line(
    "receipt_wording", "A sentence of your own at the foot of each receipt", needed=False, longest=400
)
SHIPPING: Final = amount("shipping_charge", "What an order is usually charged for shipping", width="middle")
PAPER: Final = chosen("paper", "Paper in the printer", (Choice("letter", "Letter"), Choice("a4", "A4")))

WHO: Final = (NAME, STREET, SECOND, CITY, STATE, ZIP, PHONE, MAIL)
NUMBERS: Final = (EIN, NPI)

TAX_ROUNDING: Final = word(
    "tax_rounding",
    "Sales tax is rounded",
    TaxRounding,
    choices=(Choice("line", "on each line"), Choice("order", "once an order")),
)
ALLOWANCE: Final = length("blank_allowance", "Added to the smallest blank", hint="2 is usual.")
SCREEN: Final = percent(
    "screen_share",
    "Share of the add in a pair for the screen",
    hint="Where no intermediate is written; half is usual.",
    width="middle",
)
PROGRESSIVE: Final = percent(
    "progressive_share",
    "Share of a progressive lens's price that is its design",
    hint="Where neither the catalogue nor a standard multifocal's price says it.",
    width="middle",
)
BIFOCAL: Final = amount(
    "standard_bifocal",
    "A pair of standard multifocals costs",
    needed=False,
    hint="A progressive's price above it is its design. Left empty: the share counts.",
    width="middle",
)
BASE: Final = word(
    "progressive_base",
    "Whose base codes a progressive takes on a claim",
    Design,
    only=(Design.BIFOCAL, Design.TRIFOCAL),
)
DELUXE: Final = amount(
    "standard_frame",
    "A standard frame costs",
    needed=False,
    hint="A dearer one is split into frame and deluxe frame. Left empty: never split.",
    width="middle",
)
ACCOUNTING: Final = word(
    "accounting",
    "Months and years show first",
    Accounting,
    hint="The other view stands beside it.",
    choices=(
        Choice("accrual", "what was sold and bought", "accrual"),
        Choice("cash", "what was paid", "cash"),
    ),
)
INVENTORY: Final = word(
    "inventory_view",
    "The year's worksheet shows goods as",
    InventoryView,
    hint="Ask your tax preparer, and keep it from year to year.",
    choices=(
        Choice("inventory", "inventory", "opening stock, purchases, closing stock"),
        Choice("materials", "materials", "deducted as they go to customers"),
    ),
)
ADVANCES: Final = word(
    "advances",
    "In the year's worksheet, what was paid ahead counts",
    Advances,
    hint="Ask your tax preparer, and keep it from year to year.",
    choices=(Choice("with-goods", "as the goods leave"), Choice("received", "when it is paid")),
)
OLD: Final = whole(
    "prescription_months",
    "Ask about prescriptions without an expiry that are older than",
    needed=False,
    unit="months",
    hint=f"Your own choice; local rules decide. {NEVER}",
    width="middle",
)

FIRST_DAY: Final = Form(
    (
        ("The shop as its papers name it", WHO),
        ("Its numbers", NUMBERS),
        ("Orders and papers", (SHIPPING, PAPER)),
    )
)
PROFILE: Final = Form((("As papers name it", WHO), ("Its numbers", NUMBERS), ("Receipts", (RECEIPT_WORDING,))))
SETTINGS: Final = Form(
    (
        ("Orders and papers", (SHIPPING, PAPER, TAX_ROUNDING)),
        ("Claims", (BIFOCAL, PROGRESSIVE, BASE, DELUXE)),
        ("Lenses and prescriptions", (ALLOWANCE, SCREEN, OLD)),
        ("Months and years", (ACCOUNTING, INVENTORY, ADVANCES)),
    )
)


def shop_of(values: Values, receipt_wording: str | None = None) -> Shop:
    """Make the shop of what was typed; a wording that was not asked for stays as given."""
    where = Address(values.of(STREET), values.of(CITY), values.of(STATE), values.of(ZIP), values.text(SECOND))
    said = values.text(RECEIPT_WORDING) if receipt_wording is None else receipt_wording
    return Shop(values.of(NAME), where, values.of(PHONE), values.of(EIN), values.text(MAIL), values.text(NPI), said)


def settings_of(values: Values) -> Settings:
    """Make the settings of what was typed."""
    return Settings(
        tax_rounding=values.of(TAX_ROUNDING),
        progressive_share=values.of(PROGRESSIVE),
        screen_share=values.of(SCREEN),
        blank_allowance=values.of(ALLOWANCE),
        shipping_charge=values.of(SHIPPING),
        paper=values.of(PAPER),
        standard_bifocal=values.of(BIFOCAL),
        progressive_base=values.of(BASE),
        standard_frame=values.of(DELUXE),
        accounting=values.of(ACCOUNTING),
        inventory_view=values.of(INVENTORY),
        prescription_months=values.of(OLD),
        advances=values.of(ADVANCES),
    )


def shop_as_typed(shop: Shop) -> Typed:
    """Give what stands in the fields of a shop."""
    where = shop.address
    return {
        "name": [shop.name],
        "street": [where.street],
        "second_line": [where.second_line],
        "city": [where.city],
        "state": [where.state],
        "postcode": [where.postcode],
        "phone": [shop.phone],
        "email": [shop.email],
        "ein": [shop.ein],
        "npi": [shop.npi],
        "receipt_wording": [shop.receipt_wording],
    }


def settings_as_typed(settings: Settings) -> Typed:
    """Give what stands in the fields of the settings."""
    written: dict[str, Callable[[Any], str]] = {
        "shipping_charge": write_amount,
        "standard_bifocal": write_amount,
        "standard_frame": write_amount,
        "progressive_share": write_rate,
        "screen_share": write_rate,
        "blank_allowance": lambda value: f"{value:g}",
        "prescription_months": str,
        "paper": str,
    }
    typed: dict[str, list[str]] = {}
    for field in SETTINGS.fields:
        value = getattr(settings, field.name)
        typed[field.name] = ["" if value is None else written.get(field.name, typed_word)(value)]
    return typed
