"""Frames of the catalogue, and frames that customers own."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen, text
from shopledger.cli.options import as_json, together
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, MM, read_decimal
from shopledger.cli.prompts import Question, fill, tell
from shopledger.money.amount import read_amount

VALUES = ("maker", "model", "colour", "eye_size", "bridge", "temple", "price", "cost")

frame_options = together(
    click.option("--maker", metavar="TEXT", help="Who makes the frame."),
    click.option("--model", metavar="TEXT", help="Its model."),
    click.option("--colour", metavar="TEXT", help="Its colour."),
    click.option("--eye-size", type=MM, help="Eye size as marked on the temple."),
    click.option("--bridge", type=MM, help="Bridge as marked."),
    click.option("--temple", type=MM, help="Temple length as marked."),
    click.option("--price", type=AMOUNT, help="What a customer pays for it."),
    click.option("--cost", type=AMOUNT, help="What the shop pays for it."),
)

QUESTIONS = (
    Question("maker", "--maker", "Maker", text("maker", 60)),
    Question("model", "--model", "Model", text("model", 60)),
    Question("colour", "--colour", "Colour", text("colour", 60)),
    Question("eye_size", "--eye-size", "Eye size", lambda typed: read_decimal(typed, "eye size")),
    Question("bridge", "--bridge", "Bridge", lambda typed: read_decimal(typed, "bridge")),
    Question("temple", "--temple", "Temple length", lambda typed: read_decimal(typed, "temple")),
    Question("price", "--price", "Price", lambda typed: read_amount(typed, "price")),
    Question("cost", "--cost", "Cost", lambda typed: read_amount(typed, "cost")),
)


@click.group()
def frame() -> None:
    """Keep frames: maker, model, size and price."""


@frame.command()
@click.argument("code")
@frame_options
@click.option("--count", type=click.IntRange(0), default=0, show_default=True, help="How many are on hand.")
@click.option("--owned-by", metavar="CUSTOMER", help="The customer whose own frame it is; it costs nothing then.")
@as_json
@pass_run
def add(run: Run, code: str, count: int, owned_by: str | None, as_json: bool, **given: Any) -> None:
    """Add a frame under a short code of your own, such as WREN-52."""
    from shopledger.cli.views.goods import frame_data, frame_fields
    from shopledger.desk.goods import add_frame
    from shopledger.ledger.catalogue import Frame

    if owned_by is not None:
        given = {**given, "price": given["price"] or 0, "cost": given["cost"] or 0}
    fill(run, given, QUESTIONS)
    added, on_hand = add_frame(run.desk(), Frame(code, **{name: given[name] for name in VALUES}), count, owned_by)
    show(as_json, frame_data(added, on_hand), frame_fields(added, on_hand))
    tell(f"Frame {added.code} was added. Next: 'shopledger trace add {added.code} FILE'.")


@frame.command()
@click.argument("code")
@frame_options
@as_json
@pass_run
def change(run: Run, code: str, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Orders already recorded keep their prices.
    """
    from shopledger.cli.views.goods import frame_data, frame_fields
    from shopledger.desk.goods import change_frame

    changed, on_hand = change_frame(run.desk(), code, chosen(given, VALUES))
    show(as_json, frame_data(changed, on_hand), frame_fields(changed, on_hand))


@frame.command("list")
@as_json
@pass_run
def list_frames(run: Run, as_json: bool) -> None:
    """List all frames with what is on hand."""
    from shopledger.cli.views.goods import frame_data, frame_table
    from shopledger.desk.goods import frames

    found = frames(run.desk())
    show(as_json, {"frames": [frame_data(each, count) for each, count in found]}, frame_table(found))


@frame.command("show")
@click.argument("code")
@as_json
@pass_run
def show_frame(run: Run, code: str, as_json: bool) -> None:
    """Show one frame."""
    from shopledger.cli.views.goods import frame_data, frame_fields
    from shopledger.desk.goods import frame_on_hand

    found, on_hand = frame_on_hand(run.desk(), code)
    show(as_json, frame_data(found, on_hand), frame_fields(found, on_hand))
