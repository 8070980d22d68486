"""Money that moves without a sale or a bill: payouts, banking, the owner, sales tax handed on, other income."""

from __future__ import annotations

from collections.abc import Callable
from copy import copy
from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import SIGNED, Command, OptionSet, as_json, day, option, options
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, DAY, MONTH, PERIOD, STATE, Word
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month, Period
from shopledger.money.amount import Cents

amount_argument = click.argument("amount", type=AMOUNT)
note_option = click.option("--note", metavar="TEXT", default="", help="Anything to remember.")


class MoveOptions(OptionSet):
    """What every move of money takes: its number and day, and how it is recorded and shown."""

    reference: str = option("--reference", metavar="TEXT", default="", help="Number of the payout, slip or transfer.")
    day: date | None = day("The day it moved.")
    accept: tuple[str, ...] = option(
        "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
    )
    dry_run: bool = option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")
    as_json: bool = option("--json", is_flag=True, help="Print the result as JSON.")


def cash_account_option(words: str) -> Callable[[Command], Command]:
    """Make the option for where the money lies, which is named each time."""
    return click.option("--till", type=Word(CashAccount), required=True, help=words)


def cash_account_or_bank(words: str) -> Callable[[Command], Command]:
    """Make the option for where the money lies: the bank, unless the cash is named."""
    return click.option("--till", type=Word(CashAccount), default=CashAccount.BANK, show_default="bank", help=words)


@click.group()
def money() -> None:
    """Record payouts, banking, the owner's money, sales tax handed on."""


@money.command(context_settings=SIGNED)
@amount_argument
@click.option("--fee", type=AMOUNT, default="0", help="What the processor kept of it.")
@note_option
@options(MoveOptions)
@pass_run
def payout(run: Run, amount: Cents, fee: Cents, note: str, given: MoveOptions) -> None:
    """Record a payout of the card processor.

    The amount is the whole, before its fee. It is below zero where refunds and disputes were more than sales: then the
    processor takes the amount and its fee from the bank.

    Example:
    shopledger money payout 1240.00 --fee 36.26
    shopledger money payout -49.99 --fee 0.30
    """
    _record(run, given, MoveKind.PAYOUT, amount, CashAccount.BANK, note, fee=fee)


@money.command("fee", context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def processor_fee(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record a fee that the card processor takes from what it owes.

    It is for fees billed by the month, on the last day of the month in which they were earned, so that a payout of
    January does not take a fee of December into the new year. Below zero it is a fee given back.

    Example:
    shopledger money fee 20.00 --day 2026-12-31
    """
    _record(run, given, MoveKind.PROCESSOR_FEE, amount, CashAccount.BANK, note)


@money.command(context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def reserve(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record what the card processor holds back of its payouts.

    It stays the shop's, in an account of its own: 'shopledger money show' says how much it is.

    Example:
    shopledger money reserve 120.00
    """
    _record(run, given, MoveKind.RESERVED, amount, CashAccount.BANK, note)


@money.command(context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def release(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record that the card processor owes again what it held back.

    Example:
    shopledger money release 120.00
    """
    _record(run, given, MoveKind.RELEASED, amount, CashAccount.BANK, note)


@money.command(context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def bank(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record cash taken to the bank.

    Example:
    shopledger money bank 250.00
    """
    _record(run, given, MoveKind.BANKED, amount, CashAccount.BANK, note)


@money.command(context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def withdraw(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record cash fetched from the bank.

    Example:
    shopledger money withdraw 100.00
    """
    _record(run, given, MoveKind.WITHDRAWAL, amount, CashAccount.CASH, note)


@money.command("pay-card", context_settings=SIGNED)
@amount_argument
@note_option
@options(MoveOptions)
@pass_run
def pay_card(run: Run, amount: Cents, note: str, given: MoveOptions) -> None:
    """Record that the shop's credit card was paid from the bank.

    Example:
    shopledger money pay-card 310.20
    """
    _record(run, given, MoveKind.CARD_PAID, amount, CashAccount.BANK, note)


@money.command(context_settings=SIGNED)
@amount_argument
@cash_account_option("Where it went.")
@note_option
@options(MoveOptions)
@pass_run
def contribute(run: Run, amount: Cents, till: CashAccount, note: str, given: MoveOptions) -> None:
    """Record money that the owner put in; it is no income.

    Example:
    shopledger money contribute 5000.00 --till bank
    """
    _record(run, given, MoveKind.CONTRIBUTION, amount, till, note)


@money.command(context_settings=SIGNED)
@amount_argument
@cash_account_option("Where it came from.")
@note_option
@options(MoveOptions)
@pass_run
def draw(run: Run, amount: Cents, till: CashAccount, note: str, given: MoveOptions) -> None:
    """Record money that the owner took out; it is no expense.

    Example:
    shopledger money draw 800.00 --till bank
    """
    _record(run, given, MoveKind.DRAW, amount, till, note)


@money.command("pay-tax", context_settings=SIGNED)
@click.argument("state", type=STATE)
@amount_argument
@click.option("--kept", "fee", type=AMOUNT, default="0", help="What the state lets the shop keep of it.")
@cash_account_or_bank("Where it was paid from.")
@note_option
@options(MoveOptions)
@pass_run
def pay_tax(run: Run, state: str, amount: Cents, fee: Cents, till: CashAccount, note: str, given: MoveOptions) -> None:
    """Record sales tax handed on to a state.

    The amount is what was owed, before what the state lets the shop keep.

    Example:
    shopledger money pay-tax OH 212.40 --kept 1.59
    """
    _record(run, given, MoveKind.TAX_PAID, amount, till, note, fee=fee, state=state)


@money.command("other-income", context_settings=SIGNED)
@amount_argument
@click.option("--from", "note", metavar="TEXT", required=True, help="Who it is from, and what for.")
@cash_account_or_bank("Where it came in.")
@options(MoveOptions)
@pass_run
def other_income(run: Run, amount: Cents, note: str, till: CashAccount, given: MoveOptions) -> None:
    """Record income that is no sale, such as interest.

    Example:
    shopledger money other-income 2.50 --from interest
    """
    _record(run, given, MoveKind.OTHER_INCOME, amount, till, note)


@money.command("open", context_settings=SIGNED)
@amount_argument
@cash_account_option("Where it lay.")
@note_option
@options(MoveOptions)
@pass_run
def open_with(run: Run, amount: Cents, till: CashAccount, note: str, given: MoveOptions) -> None:
    """Record what lay there when the books began.

    Example:
    shopledger money open 150.00 --till cash
    """
    _record(run, given, MoveKind.OPENING, amount, till, note)


@money.command("list")
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@as_json
@pass_run
def list_moves(run: Run, which: Month | None, as_json: bool) -> None:
    """List money that moved.

    What was voided stands below zero on that day.

    Example:
    shopledger money list
    """
    from shopledger.cli.views.money import moves_data, moves_table
    from shopledger.desk.books.banking import moves

    found = moves(run.desk(), which)
    show(as_json, moves_data(found), moves_table(found))


@money.command("show")
@click.option("--on", type=DAY, help="At the end of this day. Otherwise with all that is recorded.")
@as_json
@pass_run
def show_balances(run: Run, on: date | None, as_json: bool) -> None:
    """Show what lies where, and what is owed.

    Example:
    shopledger money show --on 2026-03-31
    """
    from shopledger.cli.views.money import balances_data, balances_fields
    from shopledger.desk.books.banking import balances

    found = balances(run.desk(), on)
    show(as_json, balances_data(found, on), *balances_fields(found, on))


@money.command("cards")
@click.argument("period", type=PERIOD)
@as_json
@pass_run
def list_card_days(run: Run, period: Period, as_json: bool) -> None:
    """List what the card processor processed, day by day.

    Each payment counts once, on the day it came in, before disputes, refunds and fees: as a 1099-K counts it. One that
    was moved stays where it was, one recorded by mistake never was. A period is a year, a month, a quarter or two days.

    Below stands what the processor owes at the period's end, or today: by the books, and by its reports where some were
    taken in with 'shopledger processor import'.

    Example:
    shopledger money cards 2026
    shopledger money cards 2026-03-15..2026-03-20
    """
    from shopledger.cli.views.payments import card_days_blocks, card_days_data
    from shopledger.cli.views.processor import owed_data, owed_fields
    from shopledger.desk.books.payouts import cards_owed
    from shopledger.desk.books.reports import card_days

    desk = run.desk()
    rows, owed = card_days(desk, period), cards_owed(desk, min(period.last, run.today))
    data = {**card_days_data(period, rows), "owed": owed_data(owed)}
    show(as_json, data, *card_days_blocks(period, rows), owed_fields(owed))


for _former, _command in (("fetch", withdraw), ("put-in", contribute), ("take-out", draw)):
    _hidden = copy(_command)
    _hidden.hidden = True
    money.add_command(_hidden, _former)


def _record(
    run: Run,
    given: MoveOptions,
    kind: MoveKind,
    amount: Cents,
    till: CashAccount,
    note: str,
    *,
    fee: Cents = 0,
    state: str = "",
) -> None:
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.cli.views.money import OUT, move_fields
    from shopledger.desk.books.banking import plan_move, record_move

    new = MoneyMove(given.day or run.today, kind, till, amount, fee, state, given.reference, note)
    plan = plan_move(run.desk(), new)
    only_asked(plan.findings, given.accept)
    if given.dry_run:
        blocks = (finding_table(plan.findings),) if plan.findings else ()
        data = {**OUT.of(plan.move), "findings": finding_data(plan.findings)}
        show(given.as_json, data, move_fields(plan.move), *blocks)
        tell(DRY_RUN)
        return
    move = record_move(run.desk(), new, accepted(run, plan.findings, given.accept)).move
    show(given.as_json, OUT.of(move), move_fields(move))
    tell(f"Money {move.number} was recorded.")
