"""The counter in the browser: started, or found where it runs already."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import click

from shopledger.cli.context import Run, Surroundings, pass_run
from shopledger.cli.prompts import tell


@click.command()
@click.option("--port", type=click.IntRange(1024, 65535), help="Answer on this port.")
@click.option("--no-browser", is_flag=True, help="Say the address and open no browser.")
@click.option(
    "--bare-address", is_flag=True, help="Use 127.0.0.1 in place of a name, for a browser that does not find the name."
)
@click.option(
    "--papers",
    type=click.Path(file_okay=False, path_type=Path),
    help="Folder for papers, with one for each month in it. Otherwise 'Shop papers' among your documents.",
)
@pass_run
def counter(run: Run, port: int | None, no_browser: bool, bare_address: bool, papers: Path | None) -> None:
    """Open the shop in the browser: the whole day on pages, for who knows spectacles and no commands.

    The pages lie on this computer alone and need no network. Where there is no ledger yet, the first page sets the shop
    up. A second start opens the browser again.

    Example:
    shopledger counter
    """
    from shopledger.counter.serving import (
        Found,
        Wanted,
        address_of,
        open_browser,
        own_name,
        serve,
        station_at,
        take_place,
    )
    from shopledger.desk.context import ledger_place
    from shopledger.desk.counter_places import counter_secret
    from shopledger.desk.paper_place import all_papers
    from shopledger.desk.shop import awaits_shop

    url = ledger_place(run.ledger).url
    if not awaits_shop(url):
        # Opened once here, so that an older ledger is brought up to date before any page, and what is wrong is said.
        run.desk()
    started = Surroundings()
    wanted = Wanted(url, run.operator, started.clock, papers or all_papers(), counter_secret(url))
    wanted = replace(wanted, port=port, host="" if bare_address else own_name(url))
    if run.today != run.now.date():
        wanted = replace(wanted, day=run.today)
    place = take_place(wanted)
    number = place.port if isinstance(place, Found) else place.getsockname()[1]
    address = address_of(wanted, number)
    if isinstance(place, Found):
        tell(
            f"The counter runs already. Its page: {address}"
            if no_browser
            else "The counter runs already; its page opens."
        )
        if not no_browser:
            import webbrowser

            webbrowser.open(address)
        return
    tell(f"The counter is open. Its page: {address}")
    tell("The address opens once, within five minutes. Ctrl-C closes the counter.")
    try:
        serve(place, station_at(wanted, number), ready=lambda: None if no_browser else open_browser(address))
    except KeyboardInterrupt:
        tell("The counter is closed.")
