"""People: customers, who order and pay; wearers, whose eyes the glasses are for; prescribers."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.erasing import for_customers, for_wearers
from shopledger.cli.listings import customers
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    changes,
    inner,
    name_from,
    needed,
    option,
    options,
    some_changes,
)
from shopledger.cli.output import show
from shopledger.cli.params import BIRTH_DAY, DAYS_OR_OFF, NPI, STATE, ZIP, Off, Word, email_typed, phone_typed, text
from shopledger.cli.prompts import accepted, tell
from shopledger.ledger.parties import Address, Customer, Relationship


class AddressOptions(OptionSet):
    """An address in the country."""

    street: str | None = option("--street", metavar="TEXT", help="Street and number.", ask="Street and number")
    second_line: str | None = option(
        "--second-line",
        metavar="TEXT",
        help="Second line of the address.",
        ask="Second address line",
        read=text("second address line"),
        optional=True,
    )
    city: str | None = option("--city", metavar="TEXT", help="City.", ask="City")
    state: str | None = option(
        "--state", type=STATE, help="State, as its two-letter postal code.", ask="State, two letters"
    )
    postcode: str | None = option("--zip", type=ZIP, help="ZIP code.", ask="ZIP code")

    @property
    def whole(self) -> Address:
        """The address, once all that it needs was given or asked."""
        return Address(
            self.street or "", self.city or "", self.state or "", self.postcode or "", self.second_line or ""
        )


class CustomerOptions(OptionSet):
    """Who a customer is."""

    name: str | None = option(
        "--name", metavar="TEXT", help="Name of the customer.", ask="Name of the customer", read=text("customer name")
    )
    address: AddressOptions = inner(AddressOptions)
    phone: str | None = option(
        "--phone", metavar="TEXT", help="Phone number.", ask="Phone", read=phone_typed, optional=True
    )
    email: str | None = option(
        "--email", metavar="TEXT", help="Mail address.", ask="Mail address", read=email_typed, optional=True
    )
    printed_name: str | None = option(
        "--printed-name", metavar="TEXT", help="Spelling for papers that cannot set the name's own letters."
    )


class WearerOptions(OptionSet):
    """Who a wearer is."""

    name: str | None = option(
        "--name", metavar="TEXT", help="Name of the wearer.", ask="Name of the wearer", read=text("wearer name")
    )
    relationship: Relationship | None = option(
        "--relationship",
        type=Word(Relationship),
        help="What the wearer is to the customer.",
        ask="What the wearer is to the customer (self, spouse, child, other)",
    )
    birth_date: date | None = option(
        "--born",
        type=BIRTH_DAY,
        help="Birth date, which many plans ask for on a receipt.",
        ask="Birth date",
        optional=True,
    )
    member_id: str | None = option(
        "--member-id",
        metavar="TEXT",
        help="The plan's number for the member.",
        ask="The plan's number for the member",
        read=text("member id", 40),
        optional=True,
    )
    printed_name: str | None = option(
        "--printed-name", metavar="TEXT", help="Spelling for papers that cannot set the name's own letters."
    )
    claim_within_days: int | Off | None = option(
        "--claim-within",
        type=DAYS_OR_OFF,
        help="The plan's filing limit as the customer told it, counted from shipping.",
    )


class NewWearerOptions(OptionSet):
    """Who a wearer is, and who pays."""

    customer: str | None = option(
        "--customer",
        metavar="CUSTOMER",
        help="Who pays: number or name.",
        ask="Who pays, number or name",
        lists=lambda run, _before: customers(run),
    )
    wearer: WearerOptions = inner(WearerOptions)


class PrescriberOptions(OptionSet):
    """Who writes prescriptions."""

    name: str | None = option(
        "--name",
        metavar="TEXT",
        help="Name of the prescriber, with the title.",
        ask="Name of the prescriber, with the title",
        read=text("prescriber name"),
    )
    phone: str | None = option(
        "--phone", metavar="TEXT", help="Phone number.", ask="Phone", read=phone_typed, optional=True
    )
    npi: str | None = option("--npi", type=NPI, help="National provider identifier.", ask="NPI", optional=True)


@click.group()
def customer() -> None:
    """Add and find customers, who order and pay."""


@customer.command("add")
@options(CustomerOptions)
@click.option("--not-a-wearer", is_flag=True, help="The customer pays but wears no glasses from the shop.")
@accept
@as_json
@pass_run
def add_customer(run: Run, given: CustomerOptions, not_a_wearer: bool, accept: tuple[str, ...], as_json: bool) -> None:
    """Add a customer.

    Usually the customer wears glasses too, and becomes a wearer at once. One with the phone, the mail address, or the
    name and ZIP code of another is asked about, and so is a ZIP code of another state.

    Example:
    shopledger customer add --name 'Odalys Fernhollow' --phone 555-0142
    """
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import add_customer, like_customers

    given, desk = asked(run, given), run.desk()
    who = (needed(given.name), given.address.whole, given.phone or "", given.email or "")
    yes = accepted(run, like_customers(desk, *who), accept)
    added = add_customer(desk, *who, wears=not not_a_wearer, printed_name=given.printed_name or "", accept=yes)
    show(as_json, OUT.of(added), customer_table((added,)))
    tell(f"Customer {added.number} was added.")


@customer.command("change")
@click.argument("who", metavar="CUSTOMER")
@options(CustomerOptions)
@name_from
@accept
@as_json
@pass_run
def change_customer(
    run: Run, who: str, given: CustomerOptions, name_from: date | None, accept: tuple[str, ...], as_json: bool
) -> None:
    """Change what the options name.

    Orders and papers already made keep what they said; a closed month keeps the name of its last day.

    Example:
    shopledger customer change Fernhollow --phone 555-0143
    """
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import change_customer, changed_address

    new, moved = some_changes("--phone 555-0142", given, given.address)

    def change(found: Customer) -> Customer:
        return replace(found, address=replace(found.address, **moved), **new)

    desk = run.desk()
    yes = accepted(run, changed_address(desk, who, change), accept)
    changed = change_customer(desk, who, change, name_from, yes)
    show(as_json, OUT.of(changed), customer_table((changed,)))
    tell(f"Customer {changed.number} was changed.")


@customer.command()
@click.argument("words", metavar="TEXT", default="")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def find(run: Run, words: str, limit: int, as_json: bool) -> None:
    """Find customers by number or part of the name.

    Example:
    shopledger customer find fern
    """
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.known_people import find_customers

    found = find_customers(run.desk(), words, limit)
    show(as_json, {"customers": OUT.all(found)}, customer_table(found))


@customer.command("show")
@click.argument("who", metavar="CUSTOMER")
@as_json
@pass_run
def show_customer(run: Run, who: str, as_json: bool) -> None:
    """Show a customer with wearers and prescriptions.

    Example:
    shopledger customer show Fernhollow
    """
    from shopledger.cli.views.people import card_blocks, card_data
    from shopledger.desk.known_people import customer_card

    card = customer_card(run.desk(), who)
    show(as_json, card_data(card), *card_blocks(card))


@customer.command("join")
@click.argument("who", metavar="CUSTOMER")
@click.option("--into", "into", metavar="CUSTOMER", required=True, help="Who leads from then on: number or name.")
@click.option("--reason", metavar="TEXT", required=True, help="Why they are one; it is kept with them.")
@accept
@as_json
@pass_run
def join(run: Run, who: str, into: str, reason: str, accept: tuple[str, ...], as_json: bool) -> None:
    """Join a customer who was recorded twice to the other.

    Nothing is moved: both numbers stay, and each finds the orders, wearers and deposits of both. New ones are recorded
    for the one that leads.

    Example:
    shopledger customer join 8 --into 7 --reason 'recorded twice'
    """
    from shopledger.cli.views.people import card_blocks, card_data
    from shopledger.desk.people import join_customers, join_findings

    desk = run.desk()
    card = join_customers(desk, who, into, reason, accepted(run, join_findings(desk, who, into), accept))
    show(as_json, card_data(card), *card_blocks(card))
    tell(f"Customer {card.customer.number} leads now. Back with 'shopledger customer part NUMBER --reason TEXT'.")


@customer.command("part")
@click.argument("who", metavar="CUSTOMER")
@click.option("--reason", metavar="TEXT", required=True, help="Why they are two; it is kept with them.")
@as_json
@pass_run
def part(run: Run, who: str, reason: str, as_json: bool) -> None:
    """Part a customer again who was joined by mistake.

    Example:
    shopledger customer part 8 --reason 'two after all'
    """
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import part_customers

    parted = part_customers(run.desk(), who, reason)
    show(as_json, OUT.of(parted), customer_table((parted,)))
    tell(f"Customer {parted.number} stands alone again.")


for_customers(customer)


@click.group()
def wearer() -> None:
    """Add wearers, whose eyes the glasses are for."""


@wearer.command("add")
@options(NewWearerOptions)
@as_json
@pass_run
def add_wearer(run: Run, given: NewWearerOptions, as_json: bool) -> None:
    """Add somebody whose glasses a customer pays for.

    Example:
    shopledger wearer add --customer Fernhollow --name 'Wren Fernhollow' --relationship child
    """
    from shopledger.cli.views.people import OUT, wearer_fields
    from shopledger.desk.people import add_wearer

    given = asked(run, given)
    new = given.wearer
    added = add_wearer(
        run.desk(),
        needed(given.customer),
        needed(new.name),
        needed(new.relationship),
        new.birth_date,
        new.member_id or "",
        printed_name=new.printed_name or "",
        claim_within_days=changes(new).get("claim_within_days"),
    )
    show(as_json, OUT.of(added), wearer_fields(added))
    tell(f"{added.name} was added. Next: 'shopledger prescription add'.")


@wearer.command("change")
@click.argument("who", metavar="WEARER")
@click.option("--customer", metavar="CUSTOMER", required=True, help="Who pays: number or name.")
@options(WearerOptions)
@name_from
@as_json
@pass_run
def change_wearer(
    run: Run, who: str, customer: str, given: WearerOptions, name_from: date | None, as_json: bool
) -> None:
    """Change what the options name.

    Papers already issued keep what they said.

    Example:
    shopledger wearer change Wren --customer Fernhollow --born 5/9/2015
    """
    from shopledger.cli.views.people import OUT, wearer_fields
    from shopledger.desk.people import change_wearer

    (new,) = some_changes("--claim-within 365", given)
    changed = change_wearer(run.desk(), customer, who, lambda found: replace(found, **new), name_from)
    show(as_json, OUT.of(changed), wearer_fields(changed))
    tell(f"{changed.name} was changed.")


class ReachedOptions(OptionSet):
    """How a new customer is reached."""

    phone: str | None = option("--phone", metavar="TEXT", help="Phone number.")
    email: str | None = option("--email", metavar="TEXT", help="Mail address.")


@wearer.command("become-customer")
@click.argument("who", metavar="WEARER")
@click.option("--customer", metavar="CUSTOMER", required=True, help="Who paid so far: number or name.")
@options(AddressOptions, "place")
@options(ReachedOptions)
@accept
@as_json
@pass_run
def become_customer(
    run: Run,
    who: str,
    customer: str,
    place: AddressOptions,
    given: ReachedOptions,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Make a wearer a customer, such as a child who has grown up.

    Prescriptions and own frames go along. What was ordered before stays with who paid. The address is the same as
    before where no other is given.

    Example:
    shopledger wearer become-customer Wren --customer Fernhollow --phone 555-0160
    """
    from shopledger.cli.views.people import card_blocks, card_data
    from shopledger.desk.people import NewCustomerRequest, become_customer, like_new_customer

    desk, moved = run.desk(), changes(place)
    asked = NewCustomerRequest(
        customer, who, lambda address: replace(address, **moved), given.phone or "", given.email or ""
    )
    card, frames = become_customer(desk, asked, accepted(run, like_new_customer(desk, asked), accept))
    show(as_json, {**card_data(card), "frames": list(frames)}, *card_blocks(card))
    along = f" Frames that went along: {', '.join(frames)}." if frames else ""
    tell(f"{card.customer.name} is customer {card.customer.number} now.{along}")


for_wearers(wearer)


@click.group()
def prescriber() -> None:
    """Add and list prescribers."""


@prescriber.command("add")
@options(PrescriberOptions)
@as_json
@pass_run
def add_prescriber(run: Run, given: PrescriberOptions, as_json: bool) -> None:
    """Add a prescriber.

    Example:
    shopledger prescriber add --name 'Dr. Imre Castellane' --phone 555-0177
    """
    from shopledger.cli.views.people import OUT, prescriber_table
    from shopledger.desk.people import add_prescriber

    given = asked(run, given)
    added = add_prescriber(run.desk(), needed(given.name), given.phone or "", given.npi or "")
    show(as_json, OUT.of(added), prescriber_table((added,)))
    tell(f"Prescriber {added.number} was added.")


@prescriber.command("list")
@as_json
@pass_run
def list_prescribers(run: Run, as_json: bool) -> None:
    """List all prescribers.

    Example:
    shopledger prescriber list
    """
    from shopledger.cli.views.people import OUT, prescriber_table
    from shopledger.desk.known_people import prescribers

    found = prescribers(run.desk())
    show(as_json, {"prescribers": OUT.all(found)}, prescriber_table(found))
