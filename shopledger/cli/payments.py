"""Money of customers: payments on orders, refunds of their lines, and deposits that wait for an order."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import (
    SIGNED,
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    dry_run,
    needed,
    option,
    options,
    reason,
    reference,
)
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, Typed, Word
from shopledger.cli.payment_corrections import COMMANDS
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.errors import RefusedError
from shopledger.ledger.orders import PAID_BY, Method, OrderAccount, PaymentRequest
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.ledger.refunds import RefundedLine

METHOD = Word(Method)
PAID = Word(Method, PAID_BY)
"""By what money itself moves."""
_NUMBER_HELP = "A check's number, or a card's last four digits"


class PaymentOptions(OptionSet):
    """What was paid on an order, or the deposit that it is taken from."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="How much was paid.", ask="Amount")
    method: Method | None = option(
        "--method", type=PAID, help="How it was paid.", ask="Paid by (card, cash, check, transfer)"
    )
    reference: str | None = reference(_NUMBER_HELP, "; never more.")
    deposit: int | None = option(
        "--deposit", type=int, help="Take it from this deposit; without --amount as much as is owed."
    )
    day: date | None = day("The day it was paid.")


class DepositOptions(OptionSet):
    """How a deposit was paid, and what for."""

    method: Method | None = option(
        "--method", type=METHOD, help="How it was paid.", ask="Paid by (card, cash, check, transfer)"
    )
    reference: str | None = reference(_NUMBER_HELP, "; never more.")
    note: str = option("--note", metavar="TEXT", default="", help="What it is for.")
    day: date | None = day("The day it was paid.")


class GiveBackOptions(OptionSet):
    """How a deposit is given back, and why."""

    method: Method | None = option("--method", type=PAID, help="How it is given back. Otherwise the way it was paid.")
    reference: str = option("--reference", metavar="TEXT", default="", help=f"{_NUMBER_HELP}.")
    note: str = option("--note", metavar="TEXT", default="", help="Why.")
    day: date | None = day("The day it was given back.")


def read_line(typed: str, field: str) -> tuple[int, Cents | None]:
    """Read `3` for all that is left of a line, or `3=50.00` for some of it."""
    number, marked, amount = typed.partition("=")
    return _number(number, field, "as in 3 or 3=50.00"), AMOUNT.read(amount, field) if marked else None


def read_lens(typed: str, field: str) -> tuple[int, Side | None, Cents | None]:
    """Read a line as `read_line` does, or one lens of it, as in `3:right` or `3:right=50.00`."""
    named, marked, amount = typed.partition("=")
    number, lens, side = named.partition(":")
    sides = {each.value: each for each in Side}
    if lens and side.strip().casefold() not in sides:
        raise RefusedError(field, f"'{side.strip()}'", "a lens of a line is right or left", "Type it like 3:right.")
    line, net = read_line(f"{number}{marked}{amount}", field)
    return line, sides.get(side.strip().casefold()), net


def read_returned(typed: str, field: str) -> tuple[int, int]:
    """Read `3` for one that came back on a line, or `3=2` for two."""
    number, marked, count = typed.partition("=")
    form = "as in 3 or 3=2"
    return _number(number, field, form), _number(count, field, form) if marked else 1


def _number(typed: str, field: str, form: str) -> int:
    plain = typed.strip()
    if not (plain.isascii() and plain.isdigit() and len(plain) < 7):
        raise RefusedError(field, f"'{plain}'", f"it begins with the number of a line, {form}", "Type it so.")
    return int(plain)


class RefundOptions(OptionSet):
    """What is given back of an order, how and why."""

    lines: tuple[tuple[int, Side | None, Cents | None], ...] = option(
        "--line",
        type=Typed("line[:side][=amount]", read_lens),
        multiple=True,
        help="A line as 'sale show' counts it, or one lens of it, whole or some of its net charge; may be given again.",
    )
    returned: tuple[tuple[int, int], ...] = option(
        "--returned",
        type=Typed("line[=count]", read_returned),
        multiple=True,
        help="Goods of a line that came back; without --line the line is given back whole.",
    )
    method: Method | None = option(
        "--method",
        type=METHOD,
        help="How it is given back; credit waits for a later order.",
        ask="Given back by (card, cash, check, transfer, credit)",
    )
    reference: str = option("--reference", metavar="TEXT", default="", help=f"{_NUMBER_HELP}.")
    reason: str | None = reason("Why; it stands on the next receipt.", "Why it is given back")
    day: date | None = day("The day it was given back.")

    @property
    def refunded(self) -> tuple[RefundedLine, ...]:
        """The lines that money is given back on, each with what came back on it."""
        from shopledger.ledger.refunds import RefundedLine

        came_back = dict(self.returned)
        if len(came_back) < len(self.returned):
            raise click.UsageError("--returned names a line twice. Add the two counts up.")
        named = [RefundedLine(line, net, came_back.pop(line, 0), side) for line, side, net in self.lines]
        return (*named, *(RefundedLine(line, None, count) for line, count in came_back.items()))


@click.group()
def payment() -> None:
    """Take payments on orders, and put them right."""


for _command in COMMANDS:
    payment.add_command(_command)


@payment.command("take")
@click.argument("order", type=int)
@options(PaymentOptions)
@accept
@as_json
@pass_run
def take_payment(run: Run, order: int, given: PaymentOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Take a payment; more than is owed is refused.

    A deposit of another customer, such as a gift card, is asked about.

    Example:
    shopledger payment take 12 --amount 129.95 --method card --reference 4242
    shopledger payment take 12 --deposit 3
    """
    from shopledger.cli.views.orders import account_data, account_fields
    from shopledger.ledger.opening_debts import is_opening_debt

    if given.deposit is None:
        only_asked((), accept)
        account = _paid(run, order, given)
    else:
        account = _used(run, order, given.deposit, given, accept)
    show(as_json, account_data(account), account_fields(account))
    if account.balance:
        tell(f"Order {order} still owes {write_amount(account.balance)}.")
    elif account.written_off:
        tell(f"Nothing more is owed on order {order}; {write_amount(account.written_off)} of it is written off.")
    elif is_opening_debt(account.order):
        tell(f"What was owed as order {order} is paid in full.")
    else:
        tell(f"Order {order} is paid in full. Next: 'shopledger receipt issue {order} --wearer NAME'.")


def _paid(run: Run, order: int, given: PaymentOptions) -> OrderAccount:
    from shopledger.desk.orders import take_payment

    given = asked(run, given)
    request = PaymentRequest(needed(given.amount), needed(given.method), given.reference or "", given.day)
    return take_payment(run.desk(), order, request)


def _used(run: Run, order: int, deposit: int, given: PaymentOptions, accept: tuple[str, ...]) -> OrderAccount:
    from shopledger.desk.books.deposits import deposit_findings, pay_from_deposit

    if given.method is not None or given.reference is not None:
        raise click.UsageError("--deposit says how it was paid. Leave out --method and --reference.")
    desk = run.desk()
    said_yes = accepted(run, deposit_findings(desk, order, deposit), accept)
    return pay_from_deposit(desk, order, deposit, given.amount, given.day, said_yes)


@click.group()
def refund() -> None:
    """Give money back on orders."""


@refund.command()
@click.argument("order", type=int)
@options(RefundOptions)
@dry_run
@as_json
@pass_run
def give(run: Run, order: int, given: RefundOptions, dry_run: bool, as_json: bool) -> None:
    """Give money back; without lines all that is left.

    Tax goes back in proportion. Goods that came back go on the shelf at the cost they left at. Given back as credit,
    no money moves: it waits as a deposit, to be used with 'payment take --deposit'.

    Example:
    shopledger refund give 12 --line 3=50.00 --method card --reason "scratched"
    shopledger refund give 12 --line 2:right --method card --reason "a flaw"
    shopledger refund give 12 --returned 1 --method check --reason "too small"
    shopledger refund give 12 --line 3=20.00 --method credit --reason "a flaw"
    """
    from shopledger.cli.views.orders import OUT, account_fields, refund_table
    from shopledger.desk.order_lookups import order_account
    from shopledger.desk.orders import give_refund, planned_refund
    from shopledger.ledger.refunds import RefundRequest

    given = asked(run, given, "reason", "method")
    request = RefundRequest(needed(given.method), needed(given.reason), given.refunded, given.reference, given.day)
    desk = run.desk()
    if dry_run:
        planned = planned_refund(desk, order, request)
        show(as_json, OUT.of(planned), refund_table(planned, order_account(desk, order).order))
        tell(DRY_RUN)
        return
    done = give_refund(desk, order, request)
    data = {**OUT.of(done.refund), "touched_receipts": list(done.touched_receipts), "credit": done.credit}
    show(as_json, data, refund_table(done.refund, done.account.order), account_fields(done.account))
    if done.credit is None:
        tell(f"{write_amount(done.refund.amount)} is given back by {done.refund.method.value}.")
    else:
        words = f"shopledger payment take ORDER --deposit {done.credit}"
        tell(f"{write_amount(done.refund.amount)} waits as credit, deposit {done.credit}. Use it with '{words}'.")
    for receipt in done.touched_receipts:
        words = f"shopledger receipt replace {receipt} --reason 'a refund'"
        tell(f"Receipt {receipt} does not say so. Next: '{words}'.")


@click.group()
def deposit() -> None:
    """Take money before there is an order, and hand it back."""


@deposit.command("take", context_settings=SIGNED)
@click.argument("customer")
@click.argument("amount", type=AMOUNT)
@options(DepositOptions)
@as_json
@pass_run
def take_deposit(run: Run, customer: str, amount: Cents, given: DepositOptions, as_json: bool) -> None:
    """Take a customer's money before there is an order.

    It is owed to the customer until an order uses it.

    Example:
    shopledger deposit take Fernhollow 50 --method cash
    shopledger payment take 12 --deposit 1
    """
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data
    from shopledger.desk.books.deposits import DepositRequest, take_deposit

    given = asked(run, given)
    request = DepositRequest(customer, amount, needed(given.method), given.reference or "", given.note, given.day)
    card = take_deposit(run.desk(), request)
    number = card.account.deposit.number
    show(as_json, deposit_data(card), *deposit_blocks(card))
    tell(f"Deposit {number} was taken. Use it with 'shopledger payment take ORDER --deposit {number}'.")


@deposit.command("list")
@click.option("--customer", metavar="CUSTOMER", help="Of one customer, number or name. Otherwise of all.")
@click.option("--all", "used_up", is_flag=True, help="Also those of which nothing is left.")
@as_json
@pass_run
def list_deposits(run: Run, customer: str | None, used_up: bool, as_json: bool) -> None:
    """List deposits of which something is left.

    Example:
    shopledger deposit list
    """
    from shopledger.cli.views.deposits import deposit_data, deposit_table
    from shopledger.desk.books.deposits import deposits

    found = deposits(run.desk(), customer, used_up=used_up)
    show(as_json, {"deposits": [deposit_data(each) for each in found]}, deposit_table(found))


@deposit.command("show")
@click.argument("number", type=int)
@as_json
@pass_run
def show_deposit(run: Run, number: int, as_json: bool) -> None:
    """Show one deposit with what became of it.

    Example:
    shopledger deposit show 1
    """
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data
    from shopledger.desk.books.deposits import deposit_card

    card = deposit_card(run.desk(), number)
    show(as_json, deposit_data(card), *deposit_blocks(card))


@deposit.command("give-back", context_settings=SIGNED)
@click.argument("number", type=int)
@click.argument("amount", type=AMOUNT, required=False)
@options(GiveBackOptions)
@accept
@dry_run
@as_json
@pass_run
def give_back(
    run: Run,
    number: int,
    amount: Cents | None,
    given: GiveBackOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Hand a deposit back, or a part of it.

    Without an amount it is all that is left.

    Example:
    shopledger deposit give-back 1 10.00
    """
    from shopledger.cli.views.deposits import deposit_blocks, deposit_data, handed_data, handed_fields
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.books.deposits import GiveBackRequest, plan_give_back
    from shopledger.desk.books.deposits import give_back as hand_back

    request = GiveBackRequest(amount, given.method, given.reference, given.note, given.day, frozenset(accept))
    plan = plan_give_back(run.desk(), number, request)
    only_asked(plan.findings, accept)
    if dry_run:
        blocks = (finding_table(plan.findings),) if plan.findings else ()
        data = {**handed_data(plan.handed), "findings": finding_data(plan.findings)}
        show(as_json, data, handed_fields(plan.handed), *blocks)
        tell(DRY_RUN)
        return
    said_yes = accepted(run, plan.findings, request.accept)
    card = hand_back(run.desk(), number, replace(request, accept=said_yes))
    show(as_json, deposit_data(card), *deposit_blocks(card))
    tell(f"{write_amount(plan.handed.amount)} is given back by {plan.handed.method.value}.")
