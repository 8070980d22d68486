"""Suppliers: who sends frames, lenses, lab work, and their bills."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.prompts import Question, fill, tell

FIELDS = ("name", "account", "phone", "email", "note")
QUESTIONS = (
    Question("name", "--name", "Name of the supplier", text("supplier")),
    Question("account", "--account", "Your customer number there", text("account number", 40), optional=True),
    Question("phone", "--phone", "Phone", text("phone", 40), optional=True),
    Question("email", "--email", "Mail address", text("email"), optional=True),
)

supplier_options = together(
    click.option("--name", metavar="TEXT", help="Name of the supplier."),
    click.option("--account", metavar="TEXT", help="Your customer number with the supplier."),
    click.option("--phone", metavar="TEXT", help="Phone number."),
    click.option("--email", metavar="TEXT", help="Mail address."),
    click.option("--note", metavar="TEXT", help="A note kept with it."),
)


@click.group()
def supplier() -> None:
    """Keep suppliers: who sends goods, lab work and bills."""


@supplier.command()
@supplier_options
@as_json
@pass_run
def add(run: Run, as_json: bool, **given: Any) -> None:
    """Add a supplier; a lens laboratory is one too."""
    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.books.supplying import add_supplier
    from shopledger.ledger.books.suppliers import Supplier

    fill(run, given, QUESTIONS)
    name, account, phone, email, note = (given[field] or "" for field in FIELDS)
    added = add_supplier(run.desk(), Supplier(name, account, phone, email, note))
    show(as_json, OUT.of(added), supplier_table((added,)))
    tell(f"Supplier {added.number} was added.")


@supplier.command()
@click.argument("who", metavar="SUPPLIER")
@supplier_options
@as_json
@pass_run
def change(run: Run, who: str, as_json: bool, **given: Any) -> None:
    """Change what the options name; bills keep pointing at the supplier."""
    from dataclasses import replace

    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.books.supplying import change_supplier

    new = chosen(given, FIELDS)
    if not new:
        raise click.UsageError("Nothing to change is given. Name it with an option, as in --phone 555-0142.")
    changed = change_supplier(run.desk(), who, lambda found: replace(found, **new))
    show(as_json, OUT.of(changed), supplier_table((changed,)))
    tell(f"Supplier {changed.number} was changed.")


@supplier.command("list")
@as_json
@pass_run
def list_suppliers(run: Run, as_json: bool) -> None:
    """List all suppliers."""
    from shopledger.cli.views.bills import OUT, supplier_table
    from shopledger.desk.books.supplying import suppliers

    found = suppliers(run.desk())
    show(as_json, {"suppliers": [OUT.of(each) for each in found]}, supplier_table(found))


@supplier.command("show")
@click.argument("who", metavar="SUPPLIER")
@as_json
@pass_run
def show_supplier(run: Run, who: str, as_json: bool) -> None:
    """Show a supplier with the bills that are open."""
    from shopledger.cli.views.bills import card_blocks, card_data
    from shopledger.desk.books.supplying import supplier_card

    card = supplier_card(run.desk(), who)
    show(as_json, card_data(card), *card_blocks(card, run.today))
