"""Stock: what is on hand, what came in, what was counted."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import accept, as_json, day_option
from shopledger.cli.output import Json, show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import Accessory, Frame
from shopledger.ledger.spending import SpendMethod
from shopledger.ledger.stock import StockedKind
from shopledger.money.amount import to_decimal

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
@click.option("--supplier", metavar="SUPPLIER", default="", help="Who sent them: number or name.")
@click.option("--invoice", metavar="NUMBER", default="", help="The supplier's own number of the bill.")
@click.option("--paid", type=Word(SpendMethod), help="Where the money came from, if they are paid at once.")
@accept
@as_json
@pass_run
def receive(run: Run, code: str, kind: StockedKind, accept: tuple[str, ...], as_json: bool, **given: Any) -> None:
    """Record goods that came in, as a bill of one line.

    For a bill of several lines, or with freight, use 'shopledger bill record'.
    """
    from shopledger.cli.views.goods import on_hand_fields
    from shopledger.desk.stocking import receive_stock

    done = receive_stock(run.desk(), kind, code, accept=frozenset(accept), **given)
    number, owed = done.account.bill.number, done.account.balance
    data: dict[str, Json] = {"code": code.upper(), "on_hand": done.on_hand, "bill": number}
    show(as_json, data, on_hand_fields(code.upper(), done.on_hand))
    pay = f" Next: 'shopledger bill pay {number} {to_decimal(owed)} --method bank'." if owed else ""
    tell(f"Bill {number} was recorded.{pay}")


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
