"""Sales tax: rates as the owner sets them, returns by state, place and rate, limits of states to watch."""

from __future__ import annotations

from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import OptionSet, as_json, into_folder, made, option, options
from shopledger.cli.output import Drawing, Json, show
from shopledger.cli.params import AMOUNT, COMING_DAY, DAY, MONTH, PERIOD, Typed, Word
from shopledger.cli.prompts import accepted, only_asked, tell
from shopledger.cli.year import YEAR
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate, read_rate

if TYPE_CHECKING:
    from shopledger.ledger.books.period import Month, Period

AS_GOODS = "as-goods"
STATE_OPTION = click.option(
    "--state", metavar="CODE", default="", help="One state alone. Otherwise each one with sales or payments."
)


def _rate_or_goods(text: str, field: str) -> Rate | None:
    """Read a rate; None says that shipping is taxed as the goods are."""
    return None if text.strip().casefold().replace(" ", "-") == AS_GOODS else read_rate(text, field)


@click.group()
def tax() -> None:
    """Set sales tax rates, none of which is assumed, and see what is due."""


class RateOptions(OptionSet):
    """What is said of a rate beside its state, category and per cent."""

    place: str = option(
        "--place", metavar="TEXT", default="", help="A city, a ZIP code or a county in it. Otherwise its whole rest."
    )
    zips: str = option(
        "--zips", metavar="LIST", default="", help="The ZIP codes by which a county is found, such as '43001 43002'."
    )
    valid_from: date | None = option("--from", type=COMING_DAY, help="The day from which it holds. Otherwise today.")
    valid_to: date | None = option("--to", type=COMING_DAY, help="Its last day, where one is known.")
    imposed_on: ImposedOn = option(
        "--imposed-on",
        type=Word(ImposedOn),
        default=ImposedOn.BUYER,
        help="On whom the law lays it: the buyer, as usual, or the seller; then it is part of the gross receipts.",
    )
    exempt_reason: str = option(
        "--exempt-reason", metavar="TEXT", default="", help="Why nothing is charged; only with a rate of 0."
    )
    accept: tuple[str, ...] = option(
        "--accept", metavar="CODE", multiple=True, help="Say yes to the warning with this code; may be given again."
    )
    as_json: bool = option("--json", is_flag=True, help="Print the result as JSON.")


@tax.command("set")
@click.argument("state")
@click.argument("category", type=Word(TaxCategory))
@click.argument("rate", type=Typed(f"percent|{AS_GOODS}", _rate_or_goods))
@options(RateOptions)
@pass_run
def set_rate(run: Run, state: str, category: TaxCategory, rate: Rate | None, given: RateOptions) -> None:
    """Set a rate for its days; orders keep the rate they were priced with.

    Set what all taxes of a place come to together. A ZIP code is nearer than a city, a city than the state. Frame,
    lenses and coating are taxed as prescription eyewear until they have a rate of their own. Where days of an older
    rate are met, it is asked.

    Example:
    shopledger tax set OH accessory 7.25 --from 2026-01-01
    shopledger tax set OH prescription-eyewear 0 --exempt-reason "eyewear"
    shopledger tax set CO coating 8.81 --place Aldervale --to 2026-12-31
    shopledger tax set OH accessory 7 --place Alder --zips "43001 43002"
    shopledger tax set OH shipping as-goods
    """
    from shopledger.cli.views.goods import OUT, tax_table
    from shopledger.desk.tax_rates import plan_tax_rates, set_tax_rate
    from shopledger.ledger.taxes import TaxRate

    new = TaxRate(
        state=state,
        category=category,
        rate=rate or 0,
        valid_from=given.valid_from or run.today,
        imposed_on=given.imposed_on,
        exempt_reason=given.exempt_reason,
        place=given.place,
        valid_to=given.valid_to,
        zips=given.zips,
        as_goods=rate is None,
    )
    desk = run.desk()
    findings = plan_tax_rates(desk, (new,))
    only_asked(findings, given.accept)
    stored = set_tax_rate(desk, new, accepted(run, findings, given.accept))
    show(given.as_json, OUT.of(stored), tax_table((stored,)))
    if stored.place:
        tell(
            "A place is found by the ZIP code or the city of the address: look whether that is the place's own border."
        )
    tell("Your state's rules decide which rate is right; ask your tax preparer.")


@tax.command("list")
@as_json
@pass_run
def list_rates(run: Run, as_json: bool) -> None:
    """List all rates that were set, and from when to when each counts.

    Example:
    shopledger tax list
    """
    from shopledger.cli.views.goods import OUT, tax_table
    from shopledger.desk.tax_rates import tax_rates

    found = tax_rates(run.desk())
    show(as_json, {"rates": [OUT.of(each) for each in found]}, tax_table(found))


@tax.command()
@click.argument("which", metavar="[PERIOD]", type=PERIOD, required=False)
@click.option("--month", type=MONTH, help="A month.")
@click.option("--from", "first", type=DAY, help="The first day, with --to.")
@click.option("--to", "last", type=DAY, help="The last day.")
@STATE_OPTION
@as_json
@pass_run
def due(
    run: Run,
    which: Period | None,
    month: Month | None,
    first: date | None,
    last: date | None,
    state: str,
    as_json: bool,
) -> None:
    """Show what each state's return asks for.

    Refunds and cancellations count on their own day, not on that of the sale.

    Example:
    shopledger tax due 2026-Q1
    shopledger tax due --month 2026-03
    shopledger tax due --state OH --from 2026-01-01 --to 2026-03-31
    """
    from shopledger.cli.views.tax_returns import OUT, return_blocks
    from shopledger.desk.books.reports import tax_due
    from shopledger.ledger.books.tax_returns import CAUTION

    period = _period(which, month, first, last)
    found = tax_due(run.desk(), period, state)
    data: dict[str, Json] = {"states": OUT.all(found), "caution": CAUTION}
    show(as_json, data, *(block for each in found for block in return_blocks(each)))
    if not found:
        tell(f"Nothing was sold and nothing paid from {period.first.isoformat()} to {period.last.isoformat()}.")
    for each in found:
        if each.use_sentence:
            tell(each.use_sentence)
    tell(CAUTION)


@tax.command()
@click.argument("which", metavar="PERIOD", type=PERIOD)
@STATE_OPTION
@into_folder
@click.option("--csv", "as_csv", is_flag=True, help="Write each sheet as a CSV file too.")
@as_json
@pass_run
def export(run: Run, which: Period, state: str, folder: Path, as_csv: bool, as_json: bool) -> None:
    """Write each state's return into a workbook.

    Example:
    shopledger tax export 2026-Q1 --into returns
    shopledger tax export 2026-03 --state OH --into returns --csv
    """
    from shopledger.desk.books.reports import export_returns
    from shopledger.ledger.books.tax_returns import CAUTION

    written = export_returns(run.desk(), which, made(folder), state, as_csv=as_csv)
    files = [str(file) for _, each in written for file in each]
    data: dict[str, Json] = {
        "period": str(which),
        "returns": [{"state": due.state, "files": [str(file) for file in each]} for due, each in written],
    }
    show(as_json, data, Drawing(files))
    if not written:
        tell(f"Nothing was sold and nothing paid in {which}.")
    for due, _ in written:
        if due.use_sentence:
            tell(due.use_sentence)
    tell(CAUTION)


@tax.command()
@click.argument("state")
@click.option("--sales", type=AMOUNT, help="Net sales of a year from which on the state has to be looked at.")
@click.option("--orders", type=int, metavar="N", help="Orders of a year from which on it has to be.")
@click.option("--both", "needs_both", is_flag=True, help="Both have to be reached. Otherwise either is enough.")
@click.option("--from", "valid_from", type=COMING_DAY, help="The day from which it holds. Otherwise today.")
@as_json
@pass_run
def limit(
    run: Run,
    state: str,
    sales: Cents | None,
    orders: int | None,
    needs_both: bool,
    valid_from: date | None,
    as_json: bool,
) -> None:
    """Set a state's limit to watch.

    Without sales and orders the state is watched no more. No state's limit is known here: ask its tax office or your
    tax preparer. Then see 'shopledger tax watch'.

    Example:
    shopledger tax limit VT --sales 100000 --orders 200
    """
    from shopledger.cli.views.nexus import OUT, limit_table
    from shopledger.desk.books.reports import set_state_limit
    from shopledger.ledger.nexus import NexusLimit

    new = NexusLimit(state, valid_from or run.today, sales, orders, needs_both)
    set_state_limit(run.desk(), new)
    show(as_json, OUT.of(new), limit_table((new,)))


@tax.command()
@click.argument("which", metavar="YYYY", type=YEAR)
@as_json
@pass_run
def watch(run: Run, which: Period, as_json: bool) -> None:
    """Show a year's states beside the limits that were set.

    Example:
    shopledger tax watch 2026
    """
    from shopledger.cli.views.nexus import OUT, watch_table
    from shopledger.desk.books.reports import states_watched
    from shopledger.ledger.nexus import CAUTION

    found = states_watched(run.desk(), which)
    show(as_json, {"year": str(which), "states": OUT.all(found), "caution": CAUTION}, watch_table(which, found))
    tell(CAUTION)


def _period(which: Period | None, month: Month | None, first: date | None, last: date | None) -> Period:
    from shopledger.ledger.books.period import Period

    if which is not None and month is None and first is None and last is None:
        return which
    if which is None and month is not None and first is None and last is None:
        return month.days
    if which is None and month is None and first is not None and last is not None:
        return Period(first, last)
    raise click.UsageError("Give a period such as 2026-Q1, or --month, or --from and --to together.")
