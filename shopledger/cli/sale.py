"""Orders: recorded by questions, by options or from a file; shown, listed, shipped, cancelled; what one brought."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.opening_debts import owed_before
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    day_option,
    dry_run,
    existing_file,
    file_alone,
    needed,
    nothing_given,
    option,
    options,
    reason,
    some_changes,
)
from shopledger.cli.output import show
from shopledger.cli.pair_options import PairOptions
from shopledger.cli.params import AMOUNT, LINE_COUNT, TRACKING, Typed, Word, text
from shopledger.cli.people import AddressOptions
from shopledger.cli.prompts import accepted, lacking, tell
from shopledger.cli.putting_right import SALE_COMMANDS
from shopledger.ledger.orders import (
    PAID_BY,
    AccessoryRequest,
    DemoLenses,
    FrameRequest,
    Method,
    OrderRequest,
    PaymentRequest,
)
from shopledger.money.amount import Cents, write_amount
from shopledger.typed.goods import read_goods

LEFT_OUT = "Shipping and sales tax are left out; a frame counts once its order is shipped."
"""Told beside every margin."""


class OrderOptions(OptionSet):
    """An order, but for its pair and what is paid on it."""

    accessories: tuple[AccessoryRequest, ...] = option(
        "--accessory",
        type=Typed("code[=count]", read_goods),
        multiple=True,
        help="An accessory, as in CASE or CASE=2; may be given again.",
    )
    frames_only: tuple[str, ...] = option(
        "--frame-only",
        metavar="CODE",
        multiple=True,
        help="A frame sold without lenses; may be given again.",
    )
    goods_for: str = option(
        "--goods-for",
        metavar="NAME",
        default="",
        help="Whose accessories and frames alone are; 'nobody' for the customer's. Otherwise the one wearer's.",
    )
    demo_lenses: DemoLenses | None = option(
        "--demo-lenses",
        type=Word(DemoLenses),
        help="What became of the demo lenses of a frame sold without lenses: taken out, or marked as not to be worn.",
    )
    offers: tuple[str, ...] = option(
        "--offer", metavar="CODE", multiple=True, help="An offer to use; may be given again."
    )
    without_offers: tuple[str, ...] = option(
        "--without-offer", metavar="CODE", multiple=True, help="An offer not to use."
    )
    shipping: Cents | None = option(
        "--shipping", type=AMOUNT, help="What shipping is charged. Otherwise the shop's usual charge."
    )
    day: date | None = day("The day of the order.")
    note: str = option("--note", metavar="TEXT", default="", help="A note kept with the order.")
    tax_exempt: str = option(
        "--tax-exempt",
        metavar="TEXT",
        default="",
        help="Charge no sales tax; why, as in 'resale certificate 77-1042'.",
    )

    def goods(self) -> tuple[AccessoryRequest, ...]:
        """Give the accessories with whose they are."""
        if self.goods_for and not (self.accessories or self.frames_only):
            raise click.UsageError(
                "--goods-for belongs to --accessory and --frame-only. Name what is sold beside the glasses."
            )
        return tuple(replace(each, wearer=self.goods_for) for each in self.accessories)

    def frames(self, wearer: str) -> tuple[FrameRequest, ...]:
        """Give the frames that are sold without lenses; their demo lenses may not reach the customer as lenses."""
        if not self.frames_only:
            if self.demo_lenses is not None:
                raise click.UsageError(
                    "--demo-lenses belongs to --frame-only. Name the frame that is sold without lenses."
                )
            return ()
        if self.demo_lenses is None:
            lacking("--demo-lenses")
        return tuple(FrameRequest(code, self.demo_lenses, self.goods_for or wearer) for code in self.frames_only)


class PaidOptions(OptionSet):
    """What is paid on an order at once."""

    pay: Cents | None = option("--pay", type=AMOUNT, help="How much is paid at once.")
    method: Method | None = option("--method", type=Word(Method, PAID_BY), help="How it is paid.")
    reference: str = option(
        "--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits."
    )

    def requests(self) -> tuple[PaymentRequest, ...]:
        """Give the payment, if there is one."""
        if self.pay is None:
            return ()
        if self.method is None:
            lacking("--method")
        return (PaymentRequest(self.pay, self.method, self.reference),)


class ShipOptions(OptionSet):
    """How an order left."""

    carrier: str | None = option(
        "--carrier", metavar="NAME", help="Who carries it.", ask="Carrier", read=text("carrier", 60)
    )
    tracking: str | None = option(
        "--tracking",
        type=TRACKING,
        metavar="NUMBER",
        help="Tracking number.",
        ask="Tracking number",
        optional=True,
    )
    without_inspection: str = option(
        "--without-inspection", metavar="REASON", default="", help="Why a job leaves that has not passed."
    )
    day: date | None = day("The day it left, which a claim calls the date of service.")


class PackOptions(OptionSet):
    """What lies in one parcel."""

    jobs: tuple[int, ...] = option(
        "--job", metavar="JOB", type=int, multiple=True, help="Only this job with its frame; may be given again."
    )
    goods: tuple[tuple[int, int | None], ...] = option(
        "--line",
        type=LINE_COUNT,
        multiple=True,
        help="Goods of this line of the order, 3=2 for two of line 3; may be given again.",
    )


class CancelOptions(OptionSet):
    """Why and when an order was cancelled."""

    reason: str | None = reason("Why; it is kept with the order.", "Why it is cancelled")
    day: date | None = day("The day it was cancelled.")


@click.group()
def sale() -> None:
    """Record, show and ship orders."""


@sale.command()
@click.option("--from", "file", type=existing_file, help="Take the whole order from this file (TOML).")
@click.option("--customer", metavar="CUSTOMER", help="Who orders: number or name.")
@options(PairOptions, "pair")
@options(OrderOptions, "order")
@options(PaidOptions, "paid")
@accept
@dry_run
@as_json
@pass_run
def record(
    run: Run,
    file: Path | None,
    customer: str | None,
    pair: PairOptions,
    order: OrderOptions,
    paid: PaidOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Record an order, by questions, by options or from a file.

    Without options everything is asked. Options describe one pair; for more use the questions or a file. Nothing is
    stored until the whole order is.

    Example:
    shopledger sale record --customer Fernhollow --wearer Odalys --frame WREN-52 --lens SV-150 --extra AR --pd 63
        --height 19
    """
    from shopledger.cli.recording import record_request

    untouched = not customer and nothing_given(pair, order, paid)
    if file is not None:
        from shopledger.exchange.order_file import read_order_file

        file_alone(customer, pair, order, paid)
        record_request(run, read_order_file(file), accept, dry_run, as_json)
    elif untouched and run.asks:
        from shopledger.cli.begun import Begun
        from shopledger.cli.sale_questions import asked_order

        begun = Begun(run, kept=not dry_run)
        request = asked_order(run, begun, frozenset(accept))
        record_request(run, request, accept, dry_run, as_json, sending=None if dry_run else begun.sending())
    else:
        request = replace(order_request(customer, pair, order), payments=paid.requests())
        record_request(run, request, accept, dry_run, as_json)


@sale.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_sale(run: Run, number: int, as_json: bool) -> None:
    """Show an order with its payments and parcels.

    Example:
    shopledger sale show 12
    """
    from shopledger.cli.views.corrections import corrections_data, corrections_table
    from shopledger.cli.views.orders import OUT, account_data, account_fields, order_blocks
    from shopledger.desk.order_lookups import order_card, prescribed
    from shopledger.desk.orders import shipped_uninspected

    desk = run.desk()
    account, customer = order_card(desk, number)
    omitted = shipped_uninspected(desk, account.order)
    blocks = order_blocks(account, customer.name, prescribed(desk, account.order))
    data = {
        **account_data(account, customer.name),
        "corrections": corrections_data(account),
        "without_inspection": OUT.all(omitted),
    }
    show(as_json, data, *blocks[:4], *corrections_table(account), account_fields(account, omitted))


@sale.command("list")
@click.option("--customer", metavar="CUSTOMER", help="Only this customer's: number or name.")
@click.option("--limit", type=click.IntRange(1, 1000), default=20, show_default=True, help="Show at most this many.")
@as_json
@pass_run
def list_sales(run: Run, customer: str | None, limit: int, as_json: bool) -> None:
    """List orders, newest first.

    Example:
    shopledger sale list
    """
    from shopledger.cli.views.orders import account_table, listed_data
    from shopledger.desk.order_lookups import newest_orders

    found = newest_orders(run.desk(), customer, limit)
    show(as_json, {"orders": [listed_data(each, name) for each, name in found]}, account_table(found))


@sale.command()
@click.argument("number", type=int)
@options(ShipOptions)
@options(PackOptions, "pack")
@accept
@as_json
@pass_run
def ship(run: Run, number: int, given: ShipOptions, pack: PackOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Ship what is left of an order in one parcel, or a part of it.

    Each job in it has passed 'shopledger job inspect', or a reason is given, which is kept.

    Example:
    shopledger sale ship 12 --carrier post --tracking K-2207
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.orders import ship_order
    from shopledger.desk.sending import like_card
    from shopledger.ledger.shipping import PackRequest, whole_content

    given = asked(run, given)
    said_yes = accepted(run, like_card(given.tracking or ""), accept)
    account = ship_order(
        run.desk(),
        number,
        needed(given.carrier),
        given.tracking or "",
        given.day,
        only=PackRequest(pack.jobs, pack.goods),
        without_inspection=given.without_inspection,
        accept=said_yes,
    )
    show(as_json, account_data(account), account_fields(account))
    parcel = account.parcels[-1].number
    if whole_content(account):
        tell(f"Parcel {parcel} left. The rest of order {number} goes with 'shopledger sale ship {number}'.")
    else:
        tell(f"Order {number} was shipped. Next: 'shopledger receipt issue {number} --wearer NAME'.")
    tell(f"Its slip: 'shopledger paper slip {number} --parcel {parcel}'.")


@sale.command()
@click.argument("number", type=int)
@options(AddressOptions)
@click.option("--reason", metavar="TEXT", default="", help="Why; it is kept with the order.")
@day_option("The day from which it holds.")
@accept
@as_json
@pass_run
def address(
    run: Run,
    number: int,
    given: AddressOptions,
    reason: str,
    day: date | None,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Correct where an order goes, as far as it has not left.

    What is not named stays as it was; parcels that left keep their address.

    Example:
    shopledger sale address 12 --street '9 New Street' --reason moved
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.order_lookups import order_account
    from shopledger.desk.parcels import address_findings, send_order_to

    (new,) = some_changes("--street '9 New Street'", given)
    desk = run.desk()
    account = order_account(desk, number)
    where = replace(account.ship_to, **new)
    said_yes = accepted(run, address_findings(account, where), accept)
    account = send_order_to(desk, number, where, reason, day, accept=said_yes)
    show(as_json, account_data(account), account_fields(account))
    tell(f"What is left of order {number} goes to {', '.join(where.lines)}.")


@sale.command()
@click.argument("number", type=int)
@options(CancelOptions)
@as_json
@pass_run
def cancel(run: Run, number: int, given: CancelOptions, as_json: bool) -> None:
    """Cancel an order that was not shipped.

    Every entry is reversed by a new one, the goods are on the shelf again, and what was paid is to be paid back.

    Example:
    shopledger sale cancel 12 --reason 'changed her mind'
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.desk.orders import cancel_order

    given = asked(run, given)
    done = cancel_order(run.desk(), number, needed(given.reason), given.day)
    data = {**account_data(done.account), "touched_receipts": list(done.touched_receipts)}
    show(as_json, data, account_fields(done.account))
    tell(f"Order {number} was cancelled.")
    for payment in done.repaid:
        tell(f"Pay back {write_amount(payment.amount)} by {payment.method.value} {payment.reference}".rstrip() + ".")
    for payment in done.put_back:
        tell(f"{write_amount(payment.amount)} is in deposit {payment.deposit_number} again.")
    for receipt in done.touched_receipts:
        tell(f"Receipt {receipt} holds no longer: ask for it back, and tell the plan if it was handed in.")


@sale.command("margin")
@click.argument("number", type=int)
@as_json
@pass_run
def sale_margin(run: Run, number: int, as_json: bool) -> None:
    """Show what an order brought, job by job.

    Example:
    shopledger sale margin 12
    """
    from shopledger.cli.views.margins import order_margin_data, order_margin_table
    from shopledger.desk.books.job_costs import margin_of_order

    found = margin_of_order(run.desk(), number)
    show(as_json, order_margin_data(found), order_margin_table(found))
    tell(LEFT_OUT)


def order_request(customer: str | None, pair: PairOptions, order: OrderOptions) -> OrderRequest:
    """Make the order of at most one pair that the options describe, without payments."""
    if not customer:
        lacking("--customer")
    glasses = pair.request(beside=bool(order.frames_only or (order.accessories and not pair.wearer)))
    return OrderRequest(
        customer=customer,
        pairs=(glasses,) if glasses else (),
        accessories=order.goods(),
        frames=order.frames("" if glasses else pair.wearer or ""),
        day=order.day,
        offers=order.offers,
        without_offers=order.without_offers,
        shipping=order.shipping,
        note=order.note,
        tax_exempt=order.tax_exempt,
    )


for command in (*SALE_COMMANDS, owed_before):
    sale.add_command(command)
