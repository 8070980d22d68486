"""The card processor: its reports taken in, its payouts recorded, its rows compared with the books."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import OptionSet, as_json, dry_run, option, options
from shopledger.cli.output import Json, display, show
from shopledger.cli.params import MONTH, Typed, Word
from shopledger.cli.prompts import DRY_RUN, accepted, confirm, only_asked, tell
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.statement_layout import DateOrder

if TYPE_CHECKING:
    from shopledger.desk.books.payouts import PayoutPlan
    from shopledger.desk.context import Desk

which_processor = click.option("--processor", "name", metavar="NAME", help="Which one. Otherwise the only one.")


def _period(typed: str, _field: str) -> Period:
    return Period.read(typed)


def _word(typed: str, _field: str) -> tuple[str, str]:
    word, _, kind = typed.rpartition("=")
    return word.strip(), kind.strip().replace("-", " ").casefold()


@click.group()
def processor() -> None:
    """Take in the card processor's reports, record its payouts, compare."""


class ReportColumnOptions(OptionSet):
    """Which column of a report says what, each by its heading."""

    payout: str = option("--payout", metavar="COLUMN", required=True, help="The processor's number of the payout.")
    payout_day: str = option("--paid", metavar="COLUMN", required=True, help="The day of the payout.")
    day_column: str = option("--day", metavar="COLUMN", required=True, help="The day of the transaction.")
    kind: str = option("--type", metavar="COLUMN", required=True, help="What a row is: charge, refund, fee and so on.")
    gross: str = option("--gross", metavar="COLUMN", required=True, help="The amount before the fee.")
    fee: str = option("--fee", metavar="COLUMN", required=True, help="The fee, above zero where it is taken.")
    net: str = option("--net", metavar="COLUMN", required=True, help="The amount less the fee: it proves the row.")
    transaction_id: str = option("--id", metavar="COLUMN", default="", help="The number of the transaction.")
    arrives_on: str = option("--arrives", metavar="COLUMN", default="", help="The day on which it is at the bank.")
    total: str = option("--total", metavar="COLUMN", default="", help="What the payout comes to: it proves its rows.")
    currency: str = option("--currency", metavar="COLUMN", default="", help="The currency, which has to be USD.")
    date_order: DateOrder = option(
        "--dates",
        type=Word(DateOrder),
        default=DateOrder.YEAR_FIRST,
        show_default="year-first",
        help="Order of a day.",
    )
    words: tuple[tuple[str, str], ...] = option(
        "--word",
        metavar="WORD=TYPE",
        type=Typed("word", _word),
        multiple=True,
        help="The processor's word for a type, as in chargeback=dispute; may be given again.",
    )


@processor.command("columns")
@click.argument("name")
@click.argument("file", type=click.Path(path_type=Path))
@options(ReportColumnOptions)
@dry_run
@as_json
@pass_run
def columns(run: Run, name: str, file: Path, given: ReportColumnOptions, dry_run: bool, as_json: bool) -> None:
    """Say which columns of a processor's payout reports are what.

    It is said once, tried on a report, and kept under your name for the processor. Columns are found by their headings,
    so the processor may add others. Days are taken as the report prints them, in no other time zone: if they are not
    the shop's, set the zone where you download it.

    The types are charge, refund, dispute, dispute-reversal, fee, adjustment, reserve, carried-balance and payout.

    Example:
    shopledger processor columns Cardwell june.csv --payout payout_id
        --paid payout_date --day created --type type --gross gross --fee fee
        --net net --id transaction_id --word chargeback=dispute
    """
    from shopledger.cli.views.processor import laid_out_blocks, laid_out_data
    from shopledger.desk.books.processor_reports import keep_columns
    from shopledger.ledger.books.processor_layout import ReportLayout

    named = {name: getattr(given, name) for name in given.declared if name != "day_column"}
    done = keep_columns(run.desk(), name, file, ReportLayout(day=given.day_column, **named), dry=dry_run)
    show(as_json, laid_out_data(done), *laid_out_blocks(done))
    tell(DRY_RUN if dry_run else f"The columns of {done.processor.name} were kept.")


@processor.command("import")
@click.argument("file", type=click.Path(path_type=Path))
@which_processor
@dry_run
@as_json
@pass_run
def take_in(run: Run, file: Path, name: str | None, dry_run: bool, as_json: bool) -> None:
    """Take in a payout report.

    All of it or nothing: each row's net is its gross less its fee, and each payout the sum of its rows. The same file
    again changes nothing. The books do not change: see 'shopledger processor record'.

    Example:
    shopledger processor import june.csv
    """
    from shopledger.cli.views.processor import import_data, import_fields
    from shopledger.desk.books.processor_reports import import_report, plan_report_import

    done = (plan_report_import if dry_run else import_report)(run.desk(), file, name)
    show(as_json, import_data(done), import_fields(done))
    if done.plan.waiting:
        tell(f"{len(done.plan.waiting)} of the rows are not paid out yet: no total proves that all of them are there.")
    if dry_run:
        tell(DRY_RUN)
    else:
        tell(f"{file.name} was taken in." if done.report else f"{file.name} is there already: nothing was changed.")


@processor.command("payouts")
@which_processor
@click.option("--month", "which", type=MONTH, help="One month. Otherwise all.")
@as_json
@pass_run
def list_payouts(run: Run, name: str | None, which: Month | None, as_json: bool) -> None:
    """List a processor's payouts, and by what they are recorded.

    Example:
    shopledger processor payouts
    """
    from shopledger.cli.views.processor import payouts_data, payouts_table
    from shopledger.desk.books.payouts import payouts

    found = payouts(run.desk(), name, which)
    show(as_json, payouts_data(found), payouts_table(found))


class RecordOptions(OptionSet):
    """How payouts are recorded."""

    yes: bool = option("--yes", is_flag=True, help="Record every payout that is not recorded, without asking.")
    accept: tuple[str, ...] = option(
        "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
    )
    dry_run: bool = option("--dry-run", is_flag=True, help="Show what would be stored, and store nothing.")
    as_json: bool = option("--json", is_flag=True, help="Print the result as JSON.")


@processor.command("record")
@click.argument("payout", required=False)
@which_processor
@options(RecordOptions)
@pass_run
def record(run: Run, payout: str | None, name: str | None, given: RecordOptions) -> None:
    """Record payouts by the reports that were taken in.

    What the processor paid out or took from the bank, with the fees of its month, on its day; fees earned in earlier
    months, in these; what it held back and released. Charges, refunds and disputes are in the books already, and are
    not moved again. Without a payout, each that is not recorded is shown and asked about.

    Example:
    shopledger processor record P-1042
    shopledger processor record --yes
    """
    from shopledger.cli.views.processor import payout_blocks, payout_data
    from shopledger.desk.books.payouts import payouts, plan_payout

    desk = run.desk()
    if payout is None and not (run.asks or given.yes or given.dry_run):
        message = (
            "Name a payout, or add --yes for all that are not recorded; 'shopledger processor payouts' lists them."
        )
        raise click.UsageError(message)
    waiting = [payout] if payout else [each.payout.name for each in payouts(desk, name) if not each.recorded]
    done: list[Json] = []
    for each in waiting:
        plan = plan_payout(desk, each, name)
        if given.dry_run or (payout is None and not given.yes):
            display(*payout_blocks(plan), err=given.as_json or not given.dry_run)
        if given.dry_run:
            done.append(payout_data(plan))
        elif payout is not None or given.yes or confirm(f"Record the payout {plan.payout.name}?"):
            done.append(_recorded(run, desk, plan, name, given))
    if given.as_json:
        show(True, {"payouts": done})
    tell(DRY_RUN if given.dry_run else f"{len(done)} recorded." if len(done) != 1 else "The payout was recorded.")


def _recorded(run: Run, desk: Desk, plan: PayoutPlan, name: str | None, given: RecordOptions) -> Json:
    from shopledger.cli.views.processor import payout_blocks, payout_data
    from shopledger.desk.books.payouts import record_payout

    asked = {finding.code for finding in plan.findings}
    # Of all payouts together each may ask something else.
    accept = tuple(code for code in given.accept if code in asked) if given.yes else given.accept
    only_asked(plan.findings, accept)
    stored = record_payout(desk, plan.payout.name, name, accepted(run, plan.findings, accept))
    if not given.as_json:
        display(*payout_blocks(stored))
    return payout_data(stored)


@processor.command("compare")
@click.argument("period", type=Typed("period", _period))
@as_json
@pass_run
def compare(run: Run, period: Period, as_json: bool) -> None:
    """Compare the reports with the card payments of the books.

    A row and a payment are the same where the processor's number says so, or where their amounts are the same, their
    days near, and neither could be anything else. What is left on either side is listed: a payment on no report, a row
    without a payment. A period is a year, a month, a quarter or two days.

    Example:
    shopledger processor compare 2026-06
    """
    from shopledger.cli.views.processor import compared_blocks, compared_data, compared_verdict
    from shopledger.desk.books.payouts import compare_cards

    found = compare_cards(run.desk(), period)
    show(as_json, compared_data(period, found), *compared_blocks(found))
    tell(compared_verdict(found))
