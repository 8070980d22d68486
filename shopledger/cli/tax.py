"""Sales tax rates, as the owner sets them: nothing is assumed."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.params import DAY, RATE, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.catalogue import TaxCategory


@click.group()
def tax() -> None:
    """Set sales tax rates; none is assumed."""


@tax.command("set")
@click.argument("state")
@click.argument("category", type=Word(TaxCategory))
@click.argument("rate", type=RATE)
@click.option("--from", "valid_from", type=DAY, help="The day from which it holds. Otherwise today.")
@as_json
@pass_run
def set_rate(run: Run, state: str, category: TaxCategory, rate: int, valid_from: date | None, as_json: bool) -> None:
    """Set a rate, as in: tax set OH accessory 7.25."""
    from shopledger.cli.views.goods import tax_data, tax_table
    from shopledger.desk.goods import set_tax_rate
    from shopledger.ledger.taxes import TaxRate

    new = TaxRate(state, category, rate, valid_from or run.today)
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
