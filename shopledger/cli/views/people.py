"""The shop, customers, wearers and prescribers, shown."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day
from shopledger.ledger.canonical import Shape
from shopledger.ledger.parties import Address, Customer, Prescriber, Shop, Wearer
from shopledger.money.amount import write_amount
from shopledger.money.rate import write_rate

if TYPE_CHECKING:
    from shopledger.desk.known_people import CustomerCard
    from shopledger.ledger.settings import Settings


OUT = Outside(
    {
        Address: Shape(first=("street", "second_line"), renamed={"postcode": "zip"}),
        Shop: Shape(first=("name", "address", "phone", "email")),
        Customer: Shape(first=("number",)),
        Wearer: Shape(first=("number",)),
        Prescriber: Shape(first=("number",)),
    }
)


def shop_data(shop: Shop, settings: Settings) -> dict[str, Json]:
    """Give the shop with its settings as JSON."""
    return {**OUT.of(shop), "settings": OUT.of(settings)}


def card_data(card: CustomerCard) -> dict[str, Json]:
    """Give a customer with wearers and newest prescriptions as JSON."""
    from shopledger.cli.views.lenses import OUT as LENSES

    wearers: list[Json] = [
        {**OUT.of(wearer), "prescription": None if written is None else LENSES.of(written)}
        for wearer, written in card.wearers
    ]
    joined: list[Json] = [{"number": each.number, "name": each.name} for each in card.joined]
    return {**OUT.of(card.customer), "joined": joined, "wearers": wearers}


def shop_fields(shop: Shop, settings: Settings) -> tuple[Fields, Fields]:
    """Give the shop and its settings for reading."""
    profile = (
        ("address", ", ".join(shop.address.lines)),
        ("phone", shop.phone),
        ("email", shop.email),
        ("EIN", shop.ein),
        ("NPI", shop.npi),
        ("receipt wording", shop.receipt_wording),
    )
    chosen = (
        ("sales tax rounded per", settings.tax_rounding.value),
        ("progressive share", write_rate(settings.progressive_share)),
        ("screen share of the add", write_rate(settings.screen_share)),
        ("blank allowance", f"{settings.blank_allowance:g} mm"),
        ("shipping charge", write_amount(settings.shipping_charge)),
        ("paper", settings.paper),
        ("standard multifocals", "" if settings.standard_bifocal is None else write_amount(settings.standard_bifocal)),
        ("progressives coded as", settings.progressive_base.value),
        ("standard frame", "" if settings.standard_frame is None else write_amount(settings.standard_frame)),
        ("months and years on", settings.accounting.value),
        ("goods shown as", settings.inventory_view.value),
        ("paid ahead counts", settings.advances.value),
        ("prescriptions asked about", _months(settings.prescription_months)),
    )
    return Fields(shop.name, profile), Fields("Settings", chosen)


def _months(months: int | None) -> str:
    return "by their expiry as written" if months is None else f"after {months} months, or their expiry as written"


def customer_table(customers: Sequence[Customer]) -> Table:
    """Give customers for reading."""
    columns = (Column("no.", right=True), Column("name"), Column("city"), Column("state"), Column("phone", whole=True))
    rows = [(str(each.number), each.name, each.address.city, each.address.state, each.phone) for each in customers]
    return Table("Customers", columns, rows, "none found.")


def wearer_fields(wearer: Wearer) -> Fields:
    """Give a wearer for reading."""
    rows = (
        ("wearer", str(wearer.number)),
        ("customer", str(wearer.customer_number)),
        ("relationship", wearer.relationship.value),
        ("birth date", day(wearer.birth_date)),
        ("member id", wearer.member_id),
        ("printed as", wearer.printed_name),
        ("claim within", f"{wearer.claim_within_days} days of shipping" if wearer.claim_within_days else ""),
        ("erased on", day(wearer.erased_on)),
    )
    return Fields(wearer.name, rows)


def prescriber_table(prescribers: Sequence[Prescriber]) -> Table:
    """Give prescribers for reading."""
    columns = (Column("no.", right=True), Column("name"), Column("phone", whole=True), Column("NPI", whole=True))
    rows = [(str(each.number), each.name, each.phone, each.npi) for each in prescribers]
    return Table("Prescribers", columns, rows, "none yet.")


def card_blocks(card: CustomerCard) -> tuple[Fields, Table]:
    """Give a customer with wearers and newest prescriptions for reading."""
    from shopledger.optics.notation import write_eye

    customer = card.customer
    fields = (
        ("customer", str(customer.number)),
        ("address", ", ".join(customer.address.lines)),
        ("phone", customer.phone),
        ("email", customer.email),
        ("printed as", customer.printed_name),
        ("joined to it", ", ".join(f"{each.number} {each.name}" for each in card.joined)),
        ("erased on", day(customer.erased_on)),
    )
    rows = [
        (
            wearer.name,
            wearer.relationship.value,
            day(wearer.birth_date),
            day(written.written_on) if written else "none",
            f"R {write_eye(written.powers.right)}\nL {write_eye(written.powers.left)}" if written else "",
        )
        for wearer, written in card.wearers
    ]
    columns = (*map(Column, ("wearer", "relationship", "born", "prescription")), Column("powers", whole=True))
    return Fields(customer.name, fields), Table("Wearers", columns, rows, "none yet.")
