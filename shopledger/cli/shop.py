"""The shop's profile and settings: showing and changing them."""

from __future__ import annotations

from typing import Any

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.profile import changed, profile_options
from shopledger.cli.prompts import tell


@click.group()
def shop() -> None:
    """Show and change the shop's name, numbers and settings."""


@shop.command("show")
@as_json
@pass_run
def show_shop(run: Run, as_json: bool) -> None:
    """Show the shop's name, numbers and settings."""
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.shop import shop_and_settings

    found = shop_and_settings(run.desk())
    show(as_json, shop_data(*found), *shop_fields(*found))


@shop.command("change")
@profile_options
@as_json
@pass_run
def change(run: Run, as_json: bool, **given: Any) -> None:
    """Change what the options name.

    Papers already issued keep what they said.
    """
    from shopledger.cli.views.people import shop_data, shop_fields
    from shopledger.desk.shop import change_shop, shop_and_settings

    if all(value is None for value in given.values()):
        raise click.UsageError("Nothing to change is given. Name it with an option, as in --phone 555-0100.")
    desk = run.desk()
    new = changed(*shop_and_settings(desk), given)
    change_shop(desk, *new)
    show(as_json, shop_data(*new), *shop_fields(*new))
    tell("The shop was changed.")
