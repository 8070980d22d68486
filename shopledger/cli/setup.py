"""Setting up: a new ledger with the shop's name and numbers, from questions, options or a file."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.fields import chosen
from shopledger.cli.options import as_json, existing_file
from shopledger.cli.output import show
from shopledger.cli.profile import PROFILE_QUESTIONS, SETTINGS, changed, profile_options, shop_from
from shopledger.cli.prompts import fill, tell
from shopledger.ledger.parties import Shop
from shopledger.ledger.settings import Settings


@click.command()
@profile_options
@click.option("--from", "file", type=existing_file, help="Take everything from this file (TOML).")
@as_json
@pass_run
def setup(run: Run, file: Path | None, as_json: bool, **given: Any) -> None:
    """Make a new ledger with the shop's name and numbers.

    What is not given is asked for. An existing ledger is never touched.
    """
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.opening import ledger_place, refuse_existing
    from shopledger.desk.shop import set_up_shop

    place = ledger_place(run.ledger)
    refuse_existing(run.ledger)
    shop, settings = _from_file(file, given) if file else _from_answers(run, given)
    set_up_shop(place.url, shop, settings, run.operator, run.now)
    show(as_json, {**shop_data(shop, settings), "ledger": place.shown}, *shop_fields(shop, settings))
    tell(f"{shop.name} is set up in {place.shown}.")
    tell("Next: load your catalogue with 'shopledger catalogue load FOLDER', or add items with 'shopledger frame add'.")


def _from_file(file: Path, given: dict[str, Any]) -> tuple[Shop, Settings]:
    """Read the file; an option given beside it wins."""
    from shopledger.exchange.shop_file import read_shop_file

    read = read_shop_file(file)
    return changed(read.shop, read.settings, given)


def _from_answers(run: Run, given: dict[str, Any]) -> tuple[Shop, Settings]:
    settings = Settings(**chosen(given, SETTINGS))
    fill(run, given, PROFILE_QUESTIONS)
    return shop_from(given), settings
