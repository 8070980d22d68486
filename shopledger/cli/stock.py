"""Stock: what is on hand, what came in, what was counted."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json, day_option
from shopledger.cli.output import Json, show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import Accessory, Frame
from shopledger.ledger.stock import StockedKind

kind_option = click.option(
    "--kind", type=Word(StockedKind), default=StockedKind.FRAME, show_default="frame", help="What the code names."
)


@click.group()
def stock() -> None:
    """See what is on hand, record what came in or was counted."""


@stock.command("list")
@as_json
@pass_run
def list_stock(run: Run, as_json: bool) -> None:
    """List frames and accessories with what is on hand."""
    from shopledger.cli.views.goods import stock_data, stock_table
    from shopledger.desk.goods import accessories, frames

    desk = run.desk()
    found: list[tuple[Frame | Accessory, int]] = [*frames(desk), *accessories(desk)]
    show(as_json, {"stock": [stock_data(*each) for each in found]}, stock_table(found))


@stock.command()
@click.argument("code")
@click.option("--quantity", type=int, required=True, help="How many came in.")
@click.option("--unit-cost", type=AMOUNT, required=True, help="What one of them cost.")
@kind_option
@day_option("The day they came in.")
@as_json
@pass_run
def receive(
    run: Run, code: str, quantity: int, unit_cost: int, kind: StockedKind, day: date | None, as_json: bool
) -> None:
    """Record goods that came in."""
    from shopledger.cli.views.goods import on_hand_fields
    from shopledger.desk.stocking import receive_stock

    on_hand = receive_stock(run.desk(), kind, code, quantity, unit_cost, day)
    show(as_json, {"code": code.upper(), "on_hand": on_hand}, on_hand_fields(code.upper(), on_hand))


@stock.command()
@click.argument("code")
@click.option("--counted", type=int, required=True, help="How many lie on the shelf.")
@click.option("--note", metavar="TEXT", default="", help="Why it differs, as far as you know.")
@kind_option
@as_json
@pass_run
def count(run: Run, code: str, counted: int, note: str, kind: StockedKind, as_json: bool) -> None:
    """Record what was counted on the shelf."""
    from shopledger.cli.views.goods import on_hand_fields
    from shopledger.desk.stocking import count_stock

    difference = count_stock(run.desk(), kind, code, counted, note)
    data: dict[str, Json] = {"code": code.upper(), "on_hand": counted, "difference": difference}
    show(as_json, data, on_hand_fields(code.upper(), counted))
    tell("As in the books." if not difference else f"The books were off by {difference:+d}; now they agree.")
