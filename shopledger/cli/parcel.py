"""Parcels: listed and shown, taken in when they come back, sent again."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import OptionSet, accept, as_json, asked, day, needed, options, reason
from shopledger.cli.output import show
from shopledger.cli.prompts import accepted, tell
from shopledger.cli.sale import ShipOptions


class ReturnOptions(OptionSet):
    """Why and when a parcel came back."""

    reason: str | None = reason("Why; it is kept with the parcel.", "Why it came back")
    day: date | None = day("The day it came back.")


@click.group()
def parcel() -> None:
    """See parcels, take back what came back, send it again."""


@parcel.command("list")
@click.option("--order", type=int, metavar="NUMBER", help="Only this order's.")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def list_parcels(run: Run, order: int | None, limit: int, as_json: bool) -> None:
    """List parcels, newest first.

    Example:
    shopledger parcel list
    """
    from shopledger.cli.views.orders import OUT
    from shopledger.cli.views.parcels import parcels_table
    from shopledger.desk.parcels import parcels

    found = parcels(run.desk(), order, limit)
    show(as_json, {"parcels": OUT.all(found)}, parcels_table(found))


@parcel.command("show")
@click.argument("number", metavar="PARCEL", type=int)
@as_json
@pass_run
def show_parcel(run: Run, number: int, as_json: bool) -> None:
    """Show a parcel with its content.

    Example:
    shopledger parcel show 4
    """
    from shopledger.cli.views.parcels import parcel_data, parcel_fields
    from shopledger.desk.parcels import parcel_card

    card = parcel_card(run.desk(), number)
    show(as_json, parcel_data(card), parcel_fields(card))


@parcel.command()
@click.argument("number", metavar="PARCEL", type=int)
@options(ReturnOptions)
@as_json
@pass_run
def returned(run: Run, number: int, given: ReturnOptions, as_json: bool) -> None:
    """Record that a parcel came back.

    Its goods lie on the shelf for their order again, at what they cost. What a customer gives back is a refund instead.

    Example:
    shopledger parcel returned 4 --reason 'nobody at home'
    """
    from shopledger.cli.views.parcels import parcel_data, parcel_fields
    from shopledger.desk.parcels import parcel_back

    given = asked(run, given)
    card = parcel_back(run.desk(), number, needed(given.reason), given.day)
    show(as_json, parcel_data(card), parcel_fields(card))
    order = card.parcel.order_number
    tell(f"Next: 'shopledger sale address {order}' where it was wrong, then 'shopledger parcel send-again {number}'.")


@parcel.command()
@click.argument("number", metavar="PARCEL", type=int)
@options(ShipOptions)
@accept
@as_json
@pass_run
def send_again(run: Run, number: int, given: ShipOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Send what came back in a parcel once more.

    It goes to where the order goes now, as 'shopledger sale address' says.

    Example:
    shopledger parcel send-again 4 --carrier post
    """
    from shopledger.cli.views.parcels import parcel_data, parcel_fields
    from shopledger.desk.parcels import send_again
    from shopledger.desk.sending import like_card

    given = asked(run, given)
    said_yes = accepted(run, like_card(given.tracking or ""), accept)
    card = send_again(
        run.desk(),
        number,
        needed(given.carrier),
        given.tracking or "",
        given.day,
        without_inspection=given.without_inspection,
        accept=said_yes,
    )
    show(as_json, parcel_data(card), parcel_fields(card))
    sent, order = card.parcel.number, card.parcel.order_number
    tell(f"Parcel {sent} left. Its slip: 'shopledger paper slip {order} --parcel {sent}'.")
