"""Stock: what is on hand and what it is worth, what came in, what left, what was counted."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.goods import first_goods, said_first
from shopledger.cli.options import OptionSet, accept, as_json, day, day_option, option, options
from shopledger.cli.output import Json, show
from shopledger.cli.params import AMOUNT, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.stock import FirstGoods, StockedKind, StockReason
from shopledger.money.amount import Cents, to_decimal

KIND_HELP = "What the code names, where a frame and an accessory are called the same."
kind_option = click.option("--kind", type=Word(StockedKind), help=KIND_HELP)


@click.group()
def stock() -> None:
    """See what is on hand, record what came in or was counted."""


@stock.command("list")
@as_json
@pass_run
def list_stock(run: Run, as_json: bool) -> None:
    """List frames and accessories: on hand, reserved, free, cost.

    Example:
    shopledger stock list
    """
    from shopledger.cli.views.stock import OUT, stock_table
    from shopledger.desk.books.shelf import stock_now

    found = stock_now(run.desk())
    show(as_json, {"stock": OUT.all(found)}, stock_table(found))


@stock.command()
@day_option("The day at whose end the goods are valued.", "--on")
@click.option("--lots", is_flag=True, help="Show every lot: what came in together, and what is left of it.")
@as_json
@pass_run
def value(run: Run, on: date | None, lots: bool, as_json: bool) -> None:
    """Say what the goods on hand cost on any day, first in first out.

    Example:
    shopledger stock value
    """
    from shopledger.cli.views.stock import worth_data, worth_tables
    from shopledger.desk.books.shelf import stock_value

    worth = stock_value(run.desk(), on)
    show(as_json, worth_data(worth, lots=lots), *worth_tables(worth, lots=lots))


@stock.command()
@click.argument("code")
@kind_option
@as_json
@pass_run
def history(run: Run, code: str, kind: StockedKind | None, as_json: bool) -> None:
    """List every movement of an item, with what was on hand after it.

    Example:
    shopledger stock history WREN-52
    """
    from shopledger.cli.views.stock import history_table, moved_data
    from shopledger.desk.books.shelf import stock_history

    named, moved = stock_history(run.desk(), kind, code)
    data = {"kind": named.value, "code": code.upper(), "movements": [moved_data(each) for each in moved]}
    show(as_json, data, history_table(code.upper(), moved))


@stock.command()
@click.option(
    "--below", type=int, metavar="N", default=1, show_default=True, help="List what has so many free, or fewer."
)
@as_json
@pass_run
def low(run: Run, below: int, as_json: bool) -> None:
    """List what to reorder: few are free, what sold most first.

    Example:
    shopledger stock low
    """
    from shopledger.cli.views.stock import low_data, low_table
    from shopledger.desk.books.shelf import low_stock

    found = low_stock(run.desk(), below)
    show(as_json, {"below": below, "stock": [low_data(each) for each in found]}, low_table(found, below))


@stock.command()
@day_option("The day on which the goods' age is told.", "--on")
@as_json
@pass_run
def ageing(run: Run, on: date | None, as_json: bool) -> None:
    """Show how long the goods on hand have lain there.

    Example:
    shopledger stock ageing
    """
    from shopledger.cli.views.stock import aged_data, aged_table
    from shopledger.desk.books.shelf import stock_ageing

    desk = run.desk()
    found = stock_ageing(desk, on)
    show(as_json, {"day": desk.past_day(on).isoformat(), "stock": aged_data(found)}, aged_table(found))


class ReceiveOptions(OptionSet):
    """Goods that came in, and whose bill they are on."""

    quantity: int = option("--quantity", type=int, required=True, help="How many came in.")
    unit_cost: Cents = option("--unit-cost", type=AMOUNT, required=True, help="What one of them cost.")
    kind: StockedKind | None = option("--kind", type=Word(StockedKind), help=KIND_HELP)
    day: date | None = day("The day they came in.")
    supplier: str = option("--supplier", metavar="SUPPLIER", default="", help="Who sent them: number or name.")
    invoice: str = option("--invoice", metavar="NUMBER", default="", help="The supplier's own number of the bill.")
    paid: SpendMethod | None = option(
        "--paid", type=Word(SpendMethod), help="Where the money came from, if they are paid at once."
    )


@stock.command()
@click.argument("code")
@options(ReceiveOptions)
@accept
@as_json
@pass_run
def receive(run: Run, code: str, given: ReceiveOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Record goods that came in, as a bill of one line.

    For a bill of several lines, or with freight, use 'shopledger bill record'.

    Example:
    shopledger stock receive CASE --quantity 3 --unit-cost 4.10 --paid bank
    """
    from shopledger.cli.views.goods import on_hand_fields
    from shopledger.desk.books.stocking import receive_stock

    done = receive_stock(
        run.desk(),
        code=code,
        quantity=given.quantity,
        unit_cost=given.unit_cost,
        kind=given.kind,
        day=given.day,
        supplier=given.supplier,
        invoice=given.invoice,
        paid=given.paid,
        accept=frozenset(accept),
    )
    number, owed = done.account.bill.number, done.account.balance
    data: dict[str, Json] = {"code": code.upper(), "on_hand": done.on_hand, "bill": number}
    show(as_json, data, on_hand_fields(code.upper(), done.on_hand))
    pay = f" Next: 'shopledger bill pay {number} {to_decimal(owed)} --method bank'." if owed else ""
    tell(f"Bill {number} was recorded.{pay}")


@stock.command()
@click.argument("code")
@click.option("--counted", type=int, required=True, help="How many lie on the shelf, goods reserved among them.")
@click.option("--note", metavar="TEXT", default="", help="Why it differs, as far as you know.")
@first_goods("What the first goods of an item are: opening (there before the books began), found or bought.")
@kind_option
@day_option("The day at whose end they were counted.")
@accept
@as_json
@pass_run
def count(
    run: Run,
    code: str,
    counted: int,
    note: str,
    first: FirstGoods | None,
    kind: StockedKind | None,
    day: date | None,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Record what was counted on the shelf; the difference is posted.

    Example:
    shopledger stock count CASE --counted 13
    """
    from shopledger.cli.views.goods import on_hand_fields
    from shopledger.cli.views.stock import counted_data
    from shopledger.desk.books.stocking import count_stock, needs_first

    desk = run.desk()
    if first is None and counted > 0 and run.asks and needs_first(desk, kind, code):
        first = said_first(run, code, first, counted)
    found = count_stock(
        desk, code=code, counted=counted, note=note, kind=kind, day=day, first=first, accept=frozenset(accept)
    )
    show(as_json, counted_data(found), on_hand_fields(found.level.item_code, found.level.on_hand))
    tell(f"The books were off by {found.difference:+d}; now they agree." if found.difference else "As in the books.")


@stock.command("write-off")
@click.argument("code")
@click.option("--quantity", type=int, default=1, show_default=True, help="How many are broken, lost or unsaleable.")
@click.option("--reason", "note", metavar="TEXT", required=True, help="What became of them.")
@kind_option
@day_option("The day it happened.")
@accept
@as_json
@pass_run
def write_off(
    run: Run,
    code: str,
    quantity: int,
    note: str,
    kind: StockedKind | None,
    day: date | None,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Take goods out that are broken, lost or unsaleable.

    Example:
    shopledger stock write-off CASE --reason broken
    """
    _leave(run, StockReason.WRITTEN_OFF, code, quantity, note, kind, day, as_json, accept)


@stock.command()
@click.argument("code")
@click.option("--quantity", type=int, default=1, show_default=True, help="How many.")
@click.option("--note", metavar="TEXT", default="", help="To whom, and what for.")
@kind_option
@day_option("The day they left.")
@as_json
@pass_run
def give(
    run: Run, code: str, quantity: int, note: str, kind: StockedKind | None, day: date | None, as_json: bool
) -> None:
    """Give goods away as a gift or a sample, an expense of the shop.

    Example:
    shopledger stock give CASE --note 'to a customer, with a repair'
    """
    _leave(run, StockReason.GIVEN, code, quantity, note, kind, day, as_json)


@stock.command("take-home")
@click.argument("code")
@click.option("--quantity", type=int, default=1, show_default=True, help="How many.")
@click.option("--note", metavar="TEXT", default="", help="What for.")
@kind_option
@day_option("The day they left.")
@as_json
@pass_run
def take_home(
    run: Run, code: str, quantity: int, note: str, kind: StockedKind | None, day: date | None, as_json: bool
) -> None:
    """Take goods for your own use: a draw, not an expense.

    Example:
    shopledger stock take-home CASE
    """
    _leave(run, StockReason.OWN_USE, code, quantity, note, kind, day, as_json)


def _leave(
    run: Run,
    reason: StockReason,
    code: str,
    quantity: int,
    note: str,
    kind: StockedKind | None,
    day: date | None,
    as_json: bool,
    accept: tuple[str, ...] = (),
) -> None:
    from shopledger.cli.views.stock import left_data, left_fields
    from shopledger.desk.books.stocking import Leaving, let_leave

    left = let_leave(run.desk(), Leaving(kind, code, quantity, reason, note, day, frozenset(accept)))
    show(as_json, left_data(left), left_fields(left))
