"""Orders: recorded by questions, by options or from a file; shown, listed and shipped."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path
from typing import Any

import click

from shopledger.cli.cancelling import cancel
from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import text
from shopledger.cli.margin import sale_margin
from shopledger.cli.options import (
    accept,
    as_json,
    code_options,
    day_option,
    dry_run,
    existing_file,
    measurement_options,
    take_measurements,
    together,
)
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Typed, Word
from shopledger.cli.prompts import Question, fill, lacking, tell
from shopledger.cli.sale_goods import read_goods
from shopledger.ledger.orders import (
    DemoLenses,
    FrameRequest,
    Method,
    OrderRequest,
    PairRequest,
    PaymentRequest,
)
from shopledger.optics.prescription import LensUse

pair_options = together(
    click.option("--wearer", metavar="NAME", help="Whose glasses they are."),
    click.option("--frame", metavar="CODE", help="The frame."),
    click.option("--own-frame", is_flag=True, help="The wearer has this frame already; it is not charged."),
    click.option("--lens", metavar="CODE", help="The lens."),
    click.option("--use", type=Word(LensUse), help="What single vision lenses are made for. Otherwise distance."),
    click.option("--extra", "extras", metavar="CODE", multiple=True, help="An upgrade or coating; may be given again."),
    click.option("--prescription", type=int, help="Number of the prescription. Otherwise the wearer's newest."),
    click.option("--without-prescription", is_flag=True, help="The pair has no power."),
    measurement_options,
    code_options,
)

order_options = together(
    click.option(
        "--accessory",
        "accessories",
        type=Typed("code[=count]", read_goods),
        multiple=True,
        help="An accessory, as in CASE or CASE=2; may be given again.",
    ),
    click.option(
        "--frame-only",
        "frames_only",
        metavar="CODE",
        multiple=True,
        help="A frame sold without lenses, for --wearer if one is named; may be given again.",
    ),
    click.option(
        "--demo-lenses",
        type=Word(DemoLenses),
        help="What became of the demo lenses of a frame sold without lenses: taken out, or marked as not to be worn.",
    ),
    click.option("--offer", "offers", metavar="CODE", multiple=True, help="An offer to use; may be given again."),
    click.option("--without-offer", "without_offers", metavar="CODE", multiple=True, help="An offer not to use."),
    click.option("--shipping", type=AMOUNT, help="What shipping is charged. Otherwise the shop's usual charge."),
    day_option("The day of the order."),
    click.option("--note", metavar="TEXT", default="", help="A note kept with the order."),
    click.option(
        "--tax-exempt", metavar="TEXT", default="", help="Charge no sales tax; why, as in 'resale certificate 77-1042'."
    ),
)

payment_options = together(
    click.option("--pay", type=AMOUNT, help="How much is paid at once."),
    click.option("--method", type=Word(Method), help="How it is paid."),
    click.option("--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits."),
)


SHIPPING_QUESTIONS = (
    Question("carrier", "--carrier", "Carrier", text("carrier", 60)),
    Question("tracking", "--tracking", "Tracking number", text("tracking number", 60), optional=True),
)


@click.group()
def sale() -> None:
    """Record, show and ship orders."""


@sale.command()
@click.option("--from", "file", type=existing_file, help="Take the whole order from this file (TOML).")
@click.option("--customer", metavar="CUSTOMER", help="Who orders: number or name.")
@pair_options
@order_options
@payment_options
@accept
@dry_run
@as_json
@pass_run
def record(
    run: Run,
    file: Path | None,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
    **given: Any,
) -> None:
    """Record an order, by questions, by options or from a file.

    Without options everything is asked. Options describe one pair; for more use the questions or a file. Nothing is
    stored until the whole order is.
    """
    from shopledger.cli.recording import settle

    said_yes = frozenset(accept)
    if file is not None:
        from shopledger.exchange.order_file import read_order_file

        file_alone(given)
        request = read_order_file(file)
        settle(run, replace(request, accept=request.accept | said_yes), dry_run, as_json)
    elif nothing_given(given) and run.asks:
        from shopledger.cli.sale_questions import asked_order

        settle(run, replace(asked_order(run), accept=said_yes), dry_run, as_json, ask_last=True)
    else:
        settle(run, order_from_options(given, said_yes), dry_run, as_json)


@sale.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_sale(run: Run, number: int, as_json: bool) -> None:
    """Show an order with its payments and shipment."""
    from shopledger.cli.views.orders import OUT, account_data, account_fields, order_blocks
    from shopledger.desk.inspecting import shipped_uninspected
    from shopledger.desk.sales import order_card

    desk = run.desk()
    account, customer = order_card(desk, number)
    omitted = shipped_uninspected(desk, account.order)
    blocks = order_blocks(account.order, customer.name)
    data = {**account_data(account, customer.name), "without_inspection": OUT.all(omitted)}
    show(as_json, data, *blocks[:3], account_fields(account, omitted))


@sale.command("list")
@click.option("--customer", metavar="CUSTOMER", help="Only this customer's: number or name.")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def list_sales(run: Run, customer: str | None, limit: int, as_json: bool) -> None:
    """List orders, newest first."""
    from shopledger.cli.views.orders import account_table, listed_data
    from shopledger.desk.sales import newest_orders

    found = newest_orders(run.desk(), customer, limit)
    show(as_json, {"orders": [listed_data(each, name) for each, name in found]}, account_table(found))


@sale.command()
@click.argument("number", type=int)
@click.option("--carrier", metavar="NAME", help="Who carries it.")
@click.option("--tracking", metavar="NUMBER", help="Tracking number.")
@click.option("--without-inspection", metavar="REASON", default="", help="Why a job leaves that has not passed.")
@day_option("The day it left, which a claim calls the date of service.")
@as_json
@pass_run
def ship(run: Run, number: int, as_json: bool, **given: Any) -> None:
    """Ship an order; it is shipped once.

    Each of its jobs has passed 'shopledger job inspect', or a reason is given, which is kept.
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.shipping import ship_order

    fill(run, given, SHIPPING_QUESTIONS)
    account = ship_order(
        run.desk(),
        number,
        given["carrier"],
        given["tracking"] or "",
        given["day"],
        without_inspection=given["without_inspection"],
    )
    show(as_json, account_data(account), account_fields(account))
    tell(f"Order {number} was shipped. Next: 'shopledger receipt issue {number} --wearer NAME --into FOLDER'.")


sale.add_command(cancel)
sale.add_command(sale_margin)


def nothing_given(given: dict[str, Any]) -> bool:
    """Tell whether no option of an order was typed."""
    return not any(value not in (None, (), False, "") for value in given.values())


def file_alone(given: dict[str, Any]) -> None:
    """Refuse options of an order beside a file that holds it."""
    if not nothing_given(given):
        message = "--from is given with other options. Write them into the file, or leave the file out."
        raise click.UsageError(message, click.get_current_context())


def order_from_options(given: dict[str, Any], accept: frozenset[str]) -> OrderRequest:
    """Make the order of at most one pair that the options describe."""
    if not given["customer"]:
        lacking("--customer")
    pair = _pair(given)
    return OrderRequest(
        customer=given["customer"],
        pairs=(pair,) if pair else (),
        accessories=given["accessories"],
        frames=_frames(given, pair),
        day=given["day"],
        offers=given["offers"],
        without_offers=given["without_offers"],
        shipping=given["shipping"],
        payments=_payments(given),
        accept=accept,
        note=given["note"],
        tax_exempt=given["tax_exempt"],
    )


def _frames(given: dict[str, Any], pair: PairRequest | None) -> tuple[FrameRequest, ...]:
    """Make the frames that are sold without lenses; their demo lenses may not reach the customer as lenses."""
    codes, became = given["frames_only"], given["demo_lenses"]
    if codes and became is None:
        lacking("--demo-lenses")
    if became is not None and not codes:
        raise click.UsageError("--demo-lenses belongs to --frame-only. Name the frame that is sold without lenses.")
    wearer = "" if pair else given["wearer"] or ""
    return tuple(FrameRequest(code, became, wearer) for code in codes)


def _pair(given: dict[str, Any]) -> PairRequest | None:
    """Make the pair; an order of accessories alone has none."""
    measurements = take_measurements(given)
    wanted = {name: given[name] for name in ("wearer", "frame", "lens")}
    if not any(wanted.values()) and given["accessories"]:
        return None
    if given["frames_only"] and not given["frame"] and not given["lens"]:
        return None
    for name, value in wanted.items():
        if not value:
            lacking(f"--{name}")
    return PairRequest(
        **wanted,
        use=given["use"],
        prescription=given["prescription"],
        without_prescription=given["without_prescription"],
        extras=given["extras"],
        measurements=measurements,
        frame_owned=given["own_frame"],
        right_code=given["right_code"],
        left_code=given["left_code"],
    )


def _payments(given: dict[str, Any]) -> tuple[PaymentRequest, ...]:
    if given["pay"] is None:
        return ()
    if given["method"] is None:
        lacking("--method")
    return (PaymentRequest(given["pay"], given["method"], given["reference"]),)
