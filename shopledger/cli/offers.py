"""Offers: what each needs, what it reduces, when it runs; and sales tax: rates as the owner sets them, what is due."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.goods import add_listing
from shopledger.cli.options import OptionSet, as_json, option, options
from shopledger.cli.output import Json, show
from shopledger.cli.params import AMOUNT, DAY, MONTH, RATE, Typed, Word
from shopledger.cli.prompts import tell
from shopledger.cli.year import YEAR
from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Design, TaxCategory
from shopledger.ledger.offers import LineKind, Matches, Offer, OfferKind, Sharing
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents
from shopledger.money.rate import Rate

if TYPE_CHECKING:
    from shopledger.ledger.books.period import Month, Period


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
    starts: date | None = option("--starts", type=DAY, help="First day it runs.")
    ends: date | None = option("--ends", type=DAY, help="Last day it runs.")


@offer.command()
@click.argument("code")
@options(OfferOptions)
@as_json
@pass_run
def add(run: Run, code: str, given: OfferOptions, as_json: bool) -> None:
    r"""Add an offer under a short code of your own.

    \b
    shopledger offer add SV-FREE --name "Single vision lenses included" \
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


add_listing(offer, "offers", "List all offers.", "Show one offer.")


@offer.command()
@click.argument("code")
@click.option("--on", "day", type=DAY, help="The last day it runs. Otherwise today.")
@as_json
@pass_run
def end(run: Run, code: str, day: date | None, as_json: bool) -> None:
    """Let an offer run out.

    Orders already recorded keep their reduction.
    """
    from shopledger.cli.views.goods import OFFERS
    from shopledger.desk.goods import end_offer

    ended = end_offer(run.desk(), code, day or run.today)
    OFFERS.show(as_json, ended)
    tell(f"Offer {ended.code} ends on {ended.ends}.")


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
    run: Run,
    state: str,
    category: TaxCategory,
    rate: Rate,
    valid_from: date | None,
    imposed_on: ImposedOn,
    exempt_reason: str,
    as_json: bool,
) -> None:
    r"""Set a rate from a day on; orders keep the rate they were priced with.

    \b
    shopledger tax set OH accessory 7.25 --from 2026-01-01
    shopledger tax set OH prescription-eyewear 0 --exempt-reason "eyewear"
    """
    from shopledger.cli.views.goods import OUT, tax_table
    from shopledger.desk.goods import set_tax_rate
    from shopledger.ledger.taxes import TaxRate

    new = TaxRate(state, category, rate, valid_from or run.today, imposed_on, exempt_reason)
    set_tax_rate(run.desk(), new)
    show(as_json, OUT.of(new), tax_table((new,)))
    tell("Your state's rules decide which rate is right; ask your tax preparer.")


@tax.command("list")
@as_json
@pass_run
def list_rates(run: Run, as_json: bool) -> None:
    """List all rates that were set."""
    from shopledger.cli.views.goods import OUT, tax_table
    from shopledger.desk.goods import tax_rates

    found = tax_rates(run.desk())
    show(as_json, {"rates": [OUT.of(each) for each in found]}, tax_table(found))


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
    from shopledger.cli.views.tax_returns import OUT, return_table
    from shopledger.desk.books.reports import tax_due
    from shopledger.ledger.books.tax_forms import CAUTION

    period = _period(month, first, last)
    found = tax_due(run.desk(), period, state)
    data: dict[str, Json] = {"states": OUT.all(found), "caution": CAUTION}
    show(as_json, data, *(return_table(each) for each in found))
    if not found:
        tell(f"Nothing was sold and nothing paid from {period.first.isoformat()} to {period.last.isoformat()}.")
    tell(CAUTION)


@tax.command()
@click.argument("state")
@click.option("--sales", type=AMOUNT, help="Net sales of a year from which on the state has to be looked at.")
@click.option("--orders", type=int, metavar="N", help="Orders of a year from which on it has to be.")
@click.option("--both", "needs_both", is_flag=True, help="Both have to be reached. Otherwise either is enough.")
@click.option("--from", "valid_from", type=DAY, help="The day from which it holds. Otherwise today.")
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
    r"""Set a state's limit to watch.

    Without sales and orders the state is watched no more. No state's limit is known here: ask its tax office or your
    tax preparer. Then see 'shopledger tax watch'.

    \b
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
    """Show a year's states beside the limits that were set."""
    from shopledger.cli.views.nexus import OUT, watch_table
    from shopledger.desk.books.reports import states_watched
    from shopledger.ledger.nexus import CAUTION

    found = states_watched(run.desk(), which)
    show(as_json, {"year": str(which), "states": OUT.all(found), "caution": CAUTION}, watch_table(which, found))
    tell(CAUTION)


def _period(month: Month | None, first: date | None, last: date | None) -> Period:
    from shopledger.ledger.books.period import Period

    if month is not None and first is None and last is None:
        return month.days
    if month is None and first is not None and last is not None:
        return Period(first, last)
    raise click.UsageError("Give --month, or --from and --to together.")
