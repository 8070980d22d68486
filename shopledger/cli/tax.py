"""Sales tax: rates as the owner sets them, and what is due to each state."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING, Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import Json, show
from shopledger.cli.params import DAY, MONTH, RATE, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.taxes import ImposedOn

if TYPE_CHECKING:
    from shopledger.ledger.books.period import Month, Period


@click.group()
def tax() -> None:
    """Set sales tax rates, none of which is assumed, and see what is due."""


@tax.command("set")
@click.argument("state")
@click.argument("category", type=Word(TaxCategory))
@click.argument("rate", type=RATE)
@click.option("--from", "valid_from", type=DAY, help="The day from which it holds. Otherwise today.")
@click.option(
    "--imposed-on",
    type=Word(ImposedOn),
    default=ImposedOn.BUYER,
    help="On whom the law lays it: the buyer, as usual, or the seller; then it is part of the gross receipts.",
)
@click.option("--exempt-reason", metavar="TEXT", default="", help="Why nothing is charged; only with a rate of 0.")
@as_json
@pass_run
def set_rate(
    run: Run, state: str, category: TaxCategory, rate: int, valid_from: date | None, as_json: bool, **given: Any
) -> None:
    r"""Set a rate from a day on; orders keep the rate they were priced with.

    \b
    shopledger tax set OH accessory 7.25 --from 2026-01-01
    shopledger tax set OH prescription-eyewear 0 --exempt-reason "eyewear"
    """
    from shopledger.cli.views.goods import tax_data, tax_table
    from shopledger.desk.goods import set_tax_rate
    from shopledger.ledger.taxes import TaxRate

    new = TaxRate(state, category, rate, valid_from or run.today, **given)
    set_tax_rate(run.desk(), new)
    show(as_json, tax_data(new), tax_table((new,)))
    tell("Your state's rules decide which rate is right; ask your tax preparer.")


@tax.command("list")
@as_json
@pass_run
def list_rates(run: Run, as_json: bool) -> None:
    """List all rates that were set."""
    from shopledger.cli.views.goods import tax_data, tax_table
    from shopledger.desk.goods import tax_rates

    found = tax_rates(run.desk())
    show(as_json, {"rates": [tax_data(each) for each in found]}, tax_table(found))


@tax.command()
@click.option("--month", type=MONTH, help="A month.")
@click.option("--from", "first", type=DAY, help="The first day, with --to.")
@click.option("--to", "last", type=DAY, help="The last day.")
@click.option("--state", metavar="CODE", default="", help="One state alone. Otherwise each one with sales or payments.")
@as_json
@pass_run
def due(run: Run, month: Month | None, first: date | None, last: date | None, state: str, as_json: bool) -> None:
    r"""Show what each state's return asks for.

    Refunds and cancellations count on their own day, not on that of the sale.

    \b
    shopledger tax due --month 2026-03
    shopledger tax due --state OH --from 2026-01-01 --to 2026-03-31
    """
    from shopledger.cli.views.tax_returns import return_data, return_table
    from shopledger.desk.books.reports import tax_due
    from shopledger.ledger.books.tax_forms import CAUTION

    period = _period(month, first, last)
    found = tax_due(run.desk(), period, state)
    data: dict[str, Json] = {"states": [return_data(each) for each in found], "caution": CAUTION}
    show(as_json, data, *(return_table(each) for each in found))
    if not found:
        tell(f"Nothing was sold and nothing paid from {period.first.isoformat()} to {period.last.isoformat()}.")
    tell(CAUTION)


def _period(month: Month | None, first: date | None, last: date | None) -> Period:
    from shopledger.ledger.books.period import Period

    if month is not None and first is None and last is None:
        return month.days
    if month is None and first is not None and last is not None:
        return Period(first, last)
    raise click.UsageError("Give --month, or --from and --to together.")
