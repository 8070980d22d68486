"""Customers: who orders and pays."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import ADDRESS, ADDRESS_QUESTIONS, address_from, chosen, text
from shopledger.cli.options import address_options, as_json
from shopledger.cli.output import show
from shopledger.cli.prompts import Question, fill, tell

QUESTIONS = (
    Question("name", "--name", "Name of the customer", text("customer name")),
    *ADDRESS_QUESTIONS,
    Question("phone", "--phone", "Phone", text("phone", 40), optional=True),
    Question("email", "--email", "Mail address", text("email"), optional=True),
)


@click.group()
def customer() -> None:
    """Add and find customers, who order and pay."""


@customer.command()
@click.option("--name", metavar="TEXT", help="Name of the customer.")
@address_options
@click.option("--phone", metavar="TEXT", help="Phone number.")
@click.option("--email", metavar="TEXT", help="Mail address.")
@click.option("--printed-name", metavar="TEXT", help="Spelling for papers that cannot set the name's own letters.")
@click.option("--not-a-wearer", is_flag=True, help="The customer pays but wears no glasses from the shop.")
@as_json
@pass_run
def add(run: Run, not_a_wearer: bool, as_json: bool, **given: Any) -> None:
    """Add a customer.

    Usually the customer wears glasses too, and becomes a wearer at once.
    """
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import add_customer

    fill(run, given, QUESTIONS)
    desk = run.desk()
    phone, email = given["phone"] or "", given["email"] or ""
    spelled = given["printed_name"] or ""
    who = (given["name"], address_from(given), phone, email)
    added = add_customer(desk, *who, wears=not not_a_wearer, printed_name=spelled)
    show(as_json, OUT.of(added), customer_table((added,)))
    tell(f"Customer {added.number} was added.")


@customer.command()
@click.argument("who", metavar="CUSTOMER")
@click.option("--name", metavar="TEXT", help="Name of the customer.")
@address_options
@click.option("--phone", metavar="TEXT", help="Phone number.")
@click.option("--email", metavar="TEXT", help="Mail address.")
@click.option("--printed-name", metavar="TEXT", help="Spelling for papers that cannot set the name's own letters.")
@as_json
@pass_run
def change(run: Run, who: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Orders and papers already made keep what they said.
    """
    from dataclasses import replace

    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import change_customer

    new, moved = chosen(given, ("name", "phone", "email", "printed_name")), chosen(given, ADDRESS)
    if not new and not moved:
        raise click.UsageError("Nothing to change is given. Name it with an option, as in --phone 555-0142.")
    changed = change_customer(
        run.desk(), who, lambda found: replace(found, address=replace(found.address, **moved), **new)
    )
    show(as_json, OUT.of(changed), customer_table((changed,)))
    tell(f"Customer {changed.number} was changed.")


@customer.command()
@click.argument("words", metavar="TEXT", default="")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def find(run: Run, words: str, limit: int, as_json: bool) -> None:
    """Find customers by number or part of the name."""
    from shopledger.cli.views.people import OUT, customer_table
    from shopledger.desk.people import find_customers

    found = find_customers(run.desk(), words, limit)
    show(as_json, {"customers": [OUT.of(each) for each in found]}, customer_table(found))


@customer.command("show")
@click.argument("who", metavar="CUSTOMER")
@as_json
@pass_run
def show_customer(run: Run, who: str, as_json: bool) -> None:
    """Show a customer with wearers and prescriptions."""
    from shopledger.cli.views.people import card_blocks, card_data
    from shopledger.desk.people import customer_card

    card = customer_card(run.desk(), who)
    show(as_json, card_data(card), *card_blocks(card))
