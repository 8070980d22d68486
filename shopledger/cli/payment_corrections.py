"""Commands that put payments right: sent back, disputed, mistaken, moved, written off; and what became of each."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import OptionSet, accept, as_json, asked, day, dry_run, needed, option, options, reason
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, DAY, Word
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.ledger.orders import PAID_BY, Method
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.desk.payment_corrections import PaymentPlan, PaymentPutRight
    from shopledger.ledger.payment_corrections import Outcome

NEVER_INCOME = (
    "On the cash basis it was never income, so it is no loss there; on accrual it is one. Sales tax on it stays owed "
    "to the state, unless the state gives credit for it: ask your tax preparer."
)


class ReversalOptions(OptionSet):
    """What the bank or the processor took back, what it kept for that, and what the customer is charged."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="How much is disputed. Otherwise all that stands.")
    fee: Cents = option("--fee", type=AMOUNT, default="0", help="What the bank or the processor took for it.")
    charge: Cents = option(
        "--charge", type=AMOUNT, default="0", help="What the customer is charged for it, as far as the law allows."
    )
    reason: str | None = reason("Why; it is kept with the order.", "Why it was taken back")
    day: date | None = day("The day it was taken back.")


class WonOptions(OptionSet):
    """What came again of a dispute."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="How much came again. Otherwise all of it.")
    fee: Cents = option("--fee", type=AMOUNT, default="0", help="What came back of the processor's fee.")
    reason: str | None = reason("What was decided; it is kept with the order.", "What was decided")
    day: date | None = day("The day it came.")


class LostOptions(OptionSet):
    """Why a dispute was lost."""

    reason: str | None = reason("What was decided; it is kept with the order.", "What was decided")
    day: date | None = day("The day it was decided.")


class ChangeOptions(OptionSet):
    """What a payment should have been."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="What was paid; 0 if it never came in.")
    method: Method | None = option("--method", type=Word(Method, PAID_BY), help="How it was paid.")
    reference: str | None = option(
        "--reference", metavar="TEXT", help="A check's number, or a card's last four digits; empty for none."
    )
    day: date | None = option("--day", type=DAY, help="The day it was paid.")
    reason: str | None = reason("What was wrong; it is kept with the order.", "What was wrong")


class MoveOptions(OptionSet):
    """How much of a payment is moved, and why."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="How much. Otherwise what stands and is owed there.")
    reason: str | None = reason("Why; it is kept with the order.", "Why it is moved")
    day: date | None = day("The day it is moved.")


class RestOptions(OptionSet):
    """How much of a rest, and why."""

    amount: Cents | None = option("--amount", type=AMOUNT, help="How much. Otherwise all of it.")
    reason: str | None = reason("Why; it is kept with the order.", "Why")
    day: date | None = day("The day it is decided.")


@click.command("list")
@click.argument("order", type=int)
@as_json
@pass_run
def list_payments(run: Run, order: int, as_json: bool) -> None:
    """List an order's payments, and what became of each.

    Example:
    shopledger payment list 12
    """
    from shopledger.cli.views.payments import payments_data, payments_table
    from shopledger.desk.payment_corrections import paid_order

    account = paid_order(run.desk(), order)
    show(as_json, payments_data(account), payments_table(account))


@click.command()
@click.argument("payment", type=int)
@options(ReversalOptions)
@dry_run
@as_json
@pass_run
def reverse(run: Run, payment: int, given: ReversalOptions, dry_run: bool, as_json: bool) -> None:
    """Record that the bank or the processor took a payment back.

    A check that was not paid, or a card payment that its holder disputes. The order owes it again. The bank's fee is an
    expense, and may be charged on. 'shopledger payment list ORDER' gives the payment's number.

    Example:
    shopledger payment reverse 3 --fee 12 --charge 12 --reason "not enough funds"
    """
    from shopledger.desk.payment_corrections import plan_payment_reversal, reverse_payment
    from shopledger.ledger.payment_corrections import Reversal

    given = asked(run, given)
    request = Reversal(payment, needed(given.reason), given.amount, given.fee, given.charge, given.day)
    if dry_run:
        _planned(plan_payment_reversal(run.desk(), request), as_json)
        return
    _done(reverse_payment(run.desk(), request), as_json)


@click.command("dispute-won")
@click.argument("payment", type=int)
@options(WonOptions)
@dry_run
@as_json
@pass_run
def dispute_won(run: Run, payment: int, given: WonOptions, dry_run: bool, as_json: bool) -> None:
    """Record that a dispute was won, and its money came again.

    Example:
    shopledger payment dispute-won 3 --reason 'proof of delivery'
    """
    from shopledger.ledger.payment_corrections import Outcome

    given = asked(run, given)
    request = Outcome(
        payment, won=True, reason=needed(given.reason), amount=given.amount, fee_back=given.fee, day=given.day
    )
    _ended(run, request, dry_run, as_json)


@click.command("dispute-lost")
@click.argument("payment", type=int)
@options(LostOptions)
@dry_run
@as_json
@pass_run
def dispute_lost(run: Run, payment: int, given: LostOptions, dry_run: bool, as_json: bool) -> None:
    """Record that a dispute was lost; its money stays away.

    Example:
    shopledger payment dispute-lost 3 --reason 'no proof of delivery'
    """
    from shopledger.ledger.payment_corrections import Outcome

    given = asked(run, given)
    _ended(run, Outcome(payment, won=False, reason=needed(given.reason), day=given.day), dry_run, as_json)


@click.command()
@click.argument("payment", type=int)
@options(ChangeOptions)
@dry_run
@as_json
@pass_run
def correct(run: Run, payment: int, given: ChangeOptions, dry_run: bool, as_json: bool) -> None:
    """Put a payment right that was recorded by mistake.

    Its amount, method, reference or day, while the month of its day is open. The wrong one stays, with the new one in
    its place.

    Example:
    shopledger payment correct 3 --method check --reason "was a check"
    """
    from shopledger.desk.payment_corrections import correct_payment, plan_payment_change
    from shopledger.ledger.payment_corrections import Change

    given = asked(run, given)
    request = Change(payment, needed(given.reason), given.amount, given.method, given.reference, given.day)
    if dry_run:
        _planned(plan_payment_change(run.desk(), request), as_json)
        return
    _done(correct_payment(run.desk(), request), as_json)


@click.command()
@click.argument("payment", type=int)
@click.argument("order", type=int)
@options(MoveOptions)
@accept
@dry_run
@as_json
@pass_run
def move(
    run: Run, payment: int, order: int, given: MoveOptions, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Let a payment, or part of it, count for another order.

    No money moves, and what the card processor saw stays as it was.

    Example:
    shopledger payment move 3 13 --reason "typed on the wrong order"
    """
    from shopledger.desk.payment_corrections import move_payment, plan_payment_move
    from shopledger.ledger.payment_corrections import Move

    given = asked(run, given)
    request = Move(payment, order, needed(given.reason), given.amount, given.day, frozenset(accept))
    plan = plan_payment_move(run.desk(), request)
    only_asked(plan.findings, accept)
    if dry_run:
        _planned(plan, as_json)
        return
    said_yes = accepted(run, plan.findings, request.accept)
    _done(move_payment(run.desk(), replace(request, accept=said_yes)), as_json)


@click.command("write-off")
@click.argument("order", type=int)
@options(RestOptions)
@dry_run
@as_json
@pass_run
def write_off(run: Run, order: int, given: RestOptions, dry_run: bool, as_json: bool) -> None:
    """Write off what will not be paid on an order.

    Example:
    shopledger payment write-off 12 --reason 'moved away'
    """
    from shopledger.desk.payment_corrections import plan_writing_off, write_rest_off
    from shopledger.ledger.payment_corrections import WriteOff

    given = asked(run, given)
    request = WriteOff(order, needed(given.reason), given.amount, given.day)
    if dry_run:
        _planned(plan_writing_off(run.desk(), request), as_json)
    else:
        _done(write_rest_off(run.desk(), request), as_json)
    tell(NEVER_INCOME)


@click.command()
@click.argument("order", type=int)
@options(RestOptions)
@dry_run
@as_json
@pass_run
def revive(run: Run, order: int, given: RestOptions, dry_run: bool, as_json: bool) -> None:
    """Let what was written off on an order be owed again.

    Example:
    shopledger payment revive 12 --reason 'she wrote'
    """
    from shopledger.desk.payment_corrections import plan_reviving, revive_rest
    from shopledger.ledger.payment_corrections import WriteOff

    given = asked(run, given)
    request = WriteOff(order, needed(given.reason), given.amount, given.day)
    if dry_run:
        _planned(plan_reviving(run.desk(), request), as_json)
        return
    _done(revive_rest(run.desk(), request), as_json)


COMMANDS = (list_payments, reverse, dispute_won, dispute_lost, correct, move, write_off, revive)
"""What the group of payments has beside taking them."""


def _ended(run: Run, request: Outcome, dry_run: bool, as_json: bool) -> None:
    from shopledger.desk.payment_corrections import end_dispute, plan_dispute_outcome

    if dry_run:
        _planned(plan_dispute_outcome(run.desk(), request), as_json)
        return
    _done(end_dispute(run.desk(), request), as_json)


def _planned(plan: PaymentPlan, as_json: bool) -> None:
    from shopledger.cli.views.payments import plan_blocks, plan_data

    show(as_json, plan_data(plan), *plan_blocks(plan))
    tell(DRY_RUN)


def _done(done: PaymentPutRight, as_json: bool) -> None:
    """Show what was stored, and what is to be done next."""
    from shopledger.cli.views.orders import account_fields
    from shopledger.cli.views.payments import done_data, payments_table

    account = done.account
    number = account.order.number
    show(as_json, done_data(done), payments_table(account), account_fields(account))
    tell(f"Correction {done.correction.number}, {done.correction.kind.value}, stands on order {number}.")
    if done.other:
        tell(f"Payment {done.payment.number if done.payment else ''} stands on order {done.other.order.number}.")
    for moved in done.moved_before:
        words = f"{write_amount(moved.amount)} of it counts for order {moved.order_number}, as payment {moved.number}"
        tell(f"{words}: if that was taken back too, 'shopledger payment reverse {moved.number}'.")
    if account.balance:
        tell(f"Order {number} owes {write_amount(account.balance)}.")
    if done.deposit_number is not None:
        tell(
            f"The money is in deposit {done.deposit_number} again. Where the bank or the processor took it, record "
            f"that with 'shopledger deposit give-back {done.deposit_number}'."
        )
    for receipt in done.touched_receipts:
        words = f"shopledger receipt replace {receipt} --reason TEXT"
        tell(f"Receipt {receipt} does not say so. Next: '{words}'.")
