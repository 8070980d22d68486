"""Offers: what each needs, what it reduces, and when it runs."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.options import as_json
from shopledger.cli.output import show
from shopledger.cli.params import AMOUNT, DAY, RATE, Typed, Word
from shopledger.cli.prompts import tell
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing


def read_matches(text: str, field: str) -> Matches:
    """Read which lines are meant: `frame`, `lenses`, `lenses:single-vision`, `extra:AR` (an item's code)."""
    kind, _, rest = text.partition(":")
    line = Word(LineKind).read(kind, field)
    if not rest:
        return Matches(line)
    if line is LineKind.LENSES:
        try:
            return Matches(line, design=Word(Design).read(rest, "design"))
        except RefusedError:
            return Matches(line, code=rest)
    return Matches(line, code=rest)


MATCHES = Typed("lines", read_matches)
"""Which lines of an order an offer means."""


@click.group()
def offer() -> None:
    """Keep offers: what they need and what they reduce."""


@offer.command()
@click.argument("code")
@click.option("--name", metavar="TEXT", required=True, help="What the offer is called on papers.")
@click.option("--kind", type=Word(OfferKind), required=True, help="How the reduction is worked out.")
@click.option(
    "--reduces",
    type=MATCHES,
    multiple=True,
    required=True,
    help="Which lines it reduces: a kind, with a design or a code after a colon; may be given again.",
)
@click.option("--needs", type=MATCHES, multiple=True, help="Which lines the pair must have; may be given again.")
@click.option("--percent", type=RATE, default="0", help="How much is taken off, for an offer of kind percent.")
@click.option("--price", type=AMOUNT, default="0", help="What all costs together, for an offer of kind package.")
@click.option(
    "--sharing", type=Word(Sharing), default=Sharing.REDUCED_LINES, help="Over which lines the reduction is spread."
)
@click.option("--when-named", is_flag=True, help="Try it only where an order names it.")
@click.option("--from-pair", type=click.IntRange(1), default=1, help="The first pair of the order that it holds for.")
@click.option("--starts", type=DAY, help="First day it runs.")
@click.option("--ends", type=DAY, help="Last day it runs.")
@as_json
@pass_run
def add(
    run: Run,
    code: str,
    name: str,
    kind: OfferKind,
    reduces: tuple[Matches, ...],
    needs: tuple[Matches, ...],
    percent: int,
    price: int,
    sharing: Sharing,
    when_named: bool,
    from_pair: int,
    starts: date | None,
    ends: date | None,
    as_json: bool,
) -> None:
    r"""Add an offer under a short code of your own.

    \b
    shopledger offer add SV-FREE --name "Single vision lenses included" \
        --kind included --needs frame --reduces lenses:single-vision
    """
    from shopledger.cli.views.goods import OUT, offer_fields
    from shopledger.desk.goods import add_offer

    asked = Offer(code, name, kind, reduces, needs, percent, price, sharing, not when_named, from_pair, starts, ends)
    added = add_offer(run.desk(), asked)
    show(as_json, OUT.of(added), offer_fields(added))


@offer.command("list")
@as_json
@pass_run
def list_offers(run: Run, as_json: bool) -> None:
    """List all offers."""
    from shopledger.cli.views.goods import OUT, offer_table
    from shopledger.desk.goods import offers

    found = offers(run.desk())
    show(as_json, {"offers": [OUT.of(each) for each in found]}, offer_table(found))


@offer.command("show")
@click.argument("code")
@as_json
@pass_run
def show_offer(run: Run, code: str, as_json: bool) -> None:
    """Show one offer."""
    from shopledger.cli.views.goods import OUT, offer_fields
    from shopledger.desk.goods import offer_called

    found = offer_called(run.desk(), code)
    show(as_json, OUT.of(found), offer_fields(found))


@offer.command()
@click.argument("code")
@click.option("--on", "day", type=DAY, help="The last day it runs. Otherwise today.")
@as_json
@pass_run
def end(run: Run, code: str, day: date | None, as_json: bool) -> None:
    """Let an offer run out.

    Orders already recorded keep their reduction.
    """
    from shopledger.cli.views.goods import OUT, offer_fields
    from shopledger.desk.goods import end_offer

    ended = end_offer(run.desk(), code, day or run.today)
    show(as_json, OUT.of(ended), offer_fields(ended))
    tell(f"Offer {ended.code} ends on {ended.ends}.")
