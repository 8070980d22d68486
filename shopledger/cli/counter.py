"""The counter in the browser: started, or found where it runs already."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from pathlib import Path

import click

from shopledger.cli.context import Run, Surroundings, pass_run
from shopledger.cli.prompts import tell


@click.command()
@click.option("--port", type=click.IntRange(1024, 65535), help="Answer on this port.")
@click.option(
    "--address",
    metavar="ADDRESS",
    default="",
    help="Let other computers of the shop in at this one address of yours, encrypted and with a login.",
)
@click.option("--ask-nobody-here", is_flag=True, help="Ask for no passphrase on this computer any more.")
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
def counter(
    run: Run,
    port: int | None,
    address: str,
    ask_nobody_here: bool,
    no_browser: bool,
    bare_address: bool,
    papers: Path | None,
) -> None:
    """Open the shop in the browser: the whole day on pages, for who knows spectacles and no commands.

    The pages lie on this computer alone and need no network, unless an address is named under which other computers of
    the shop open them too. Where there is no ledger yet, the first page sets the shop up. A second start opens the
    browser again.

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
        way_for_others,
    )
    from shopledger.desk.context import ledger_place
    from shopledger.desk.counter_places import ask_here, certificate_file, counter_secret
    from shopledger.desk.paper_place import all_papers
    from shopledger.desk.shop import awaits_shop

    url = ledger_place(run.ledger).url
    if not awaits_shop(url):
        # Opened once here, so that an older ledger is brought up to date before any page, and what is wrong is said.
        run.desk()
    started = Surroundings()
    wanted = Wanted(url, run.operator, started.clock, papers or all_papers(), counter_secret(url))
    if ask_nobody_here:
        ask_here(url, asks=False)
    wanted = replace(wanted, port=port, away=address, host="" if bare_address else own_name(url))
    if run.today != run.now.date():
        wanted = replace(wanted, day=run.today)
    place = take_place(wanted)
    number = place.port if isinstance(place, Found) else place.getsockname()[1]
    page = address_of(wanted, number)
    if isinstance(place, Found):
        _tell_of_the_running_one(page, no_browser=no_browser, others=bool(address))
        return

    def opened() -> None:
        tell(f"The counter is open. Its page: {page}")
        tell("The address opens once, within five minutes. Ctrl-C closes the counter.")
        if way is not None:
            shown = way.proof.fingerprint
            tell(f"Other computers open https://{way.door.addresses[0].host} and log in.")
            tell(f"Their browsers warn once; compare the certificate's SHA-256 fingerprint there: {shown}")
        if not no_browser:
            open_browser(page)

    try:
        with closing(place):
            way = way_for_others(wanted, number, certificate_file())
            serve(place, station_at(wanted, number, way), opened, way)
    except KeyboardInterrupt:
        tell("The counter is closed.")


def _tell_of_the_running_one(page: str, *, no_browser: bool, others: bool) -> None:
    """Say that the counter runs already, and open its page again."""
    tell(f"The counter runs already. Its page: {page}" if no_browser else "The counter runs already; its page opens.")
    if not no_browser:
        import webbrowser

        webbrowser.open(page)
    if others:
        tell("Other computers are let in only from the start on: close the counter first, then start it again.")
