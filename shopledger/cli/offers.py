"""Offers: what each needs, what it reduces, when it runs."""

from __future__ import annotations

from datetime import date

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.goods import add_listing
from shopledger.cli.options import OptionSet, as_json, option, options
from shopledger.cli.params import AMOUNT, COMING_DAY, RATE, Typed, Word
from shopledger.cli.prompts import tell
from shopledger.ledger.offers import Matches, Offer, OfferKind, Sharing
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate
from shopledger.typed.offers import read_matches

MATCHES = Typed("lines", read_matches)
"""Which lines of an order an offer means."""


@click.group()
def offer() -> None:
    """Keep offers: what they need and what they reduce."""


class OfferOptions(OptionSet):
    """What an offer needs and does."""

    name: str = option("--name", metavar="TEXT", required=True, help="What the offer is called on papers.")
    kind: OfferKind = option("--kind", type=Word(OfferKind), required=True, help="How the reduction is worked out.")
    reduces: tuple[Matches, ...] = option(
        "--reduces",
        type=MATCHES,
        multiple=True,
        required=True,
        help="Which lines it reduces: a kind, with a design or a code after a colon; may be given again.",
    )
    needs: tuple[Matches, ...] = option(
        "--needs", type=MATCHES, multiple=True, help="Which lines the pair must have; may be given again."
    )
    percent: Rate = option(
        "--percent", type=RATE, default="0", help="How much is taken off, for an offer of kind percent."
    )
    price: Cents = option(
        "--price", type=AMOUNT, default="0", help="What all costs together, for an offer of kind package."
    )
    sharing: Sharing = option(
        "--sharing",
        type=Word(Sharing),
        default=Sharing.REDUCED_LINES,
        help="Over which lines the reduction is spread.",
    )
    when_named: bool = option("--when-named", is_flag=True, help="Try it only where an order names it.")
    from_pair: int = option(
        "--from-pair", type=click.IntRange(1), default=1, help="The first pair of the order that it holds for."
    )
    starts: date | None = option("--starts", type=COMING_DAY, help="First day it runs.")
    ends: date | None = option("--ends", type=COMING_DAY, help="Last day it runs.")


@offer.command()
@click.argument("code")
@options(OfferOptions)
@as_json
@pass_run
def add(run: Run, code: str, given: OfferOptions, as_json: bool) -> None:
    """Add an offer under a short code of your own.

    Example:
    shopledger offer add SV-FREE --name "Single vision lenses included"
        --kind included --needs frame --reduces lenses:single-vision
    """
    from shopledger.cli.views.goods import OFFERS
    from shopledger.desk import goods

    new = Offer(
        code,
        given.name,
        given.kind,
        given.reduces,
        given.needs,
        given.percent,
        given.price,
        given.sharing,
        not given.when_named,
        given.from_pair,
        given.starts,
        given.ends,
    )
    OFFERS.show(as_json, goods.OFFERS.add(run.desk(), new))


add_listing(offer, "offers", "List all offers.", "Show one offer.", "SV-FREE")


@offer.command()
@click.argument("code")
@click.option("--on", "day", type=COMING_DAY, help="The last day it runs. Otherwise today.")
@as_json
@pass_run
def end(run: Run, code: str, day: date | None, as_json: bool) -> None:
    """Let an offer run out.

    Orders already recorded keep their reduction.

    Example:
    shopledger offer end SV-FREE --on 2026-12-31
    """
    from shopledger.cli.views.goods import OFFERS
    from shopledger.desk.goods import end_offer

    ended = end_offer(run.desk(), code, day or run.today)
    OFFERS.show(as_json, ended)
    tell(f"Offer {ended.code} ends on {ended.ends}.")
