"""What is sold, but for lenses and offers: frames, extras, accessories; and the whole catalogue at once, from files."""

from __future__ import annotations

from collections.abc import Callable, Iterable
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.lists import words_of
from shopledger.cli.options import (
    Command,
    OptionSet,
    accept,
    as_json,
    asked,
    changes,
    dry_run,
    option,
    options,
    together,
)
from shopledger.cli.output import Fields, show
from shopledger.cli.params import AMOUNT, MM, PAIR_PRICE, Word, text
from shopledger.cli.prompts import DRY_RUN, accepted, only_asked, tell
from shopledger.ledger.catalogue import Accessory, Extra, ExtraKind, Frame, Reimbursement, TaxCategory
from shopledger.ledger.stock import FirstGoods, FirstGoodsError
from shopledger.money.amount import Cents

if TYPE_CHECKING:
    from shopledger.cli.views.goods import Goods
    from shopledger.ledger.usual import Priced

FIRST = Word(FirstGoods)
KINDS = ", ".join(kind.value for kind in ExtraKind)


def first_goods(words: str) -> Callable[[Command], Command]:
    """Make the option that says what the first goods of an item are."""
    return click.option("--as", "first", type=FIRST, help=words)


on_hand = together(
    click.option("--count", type=click.IntRange(0), default=0, show_default=True, help="How many are on hand."),
    first_goods("What those on hand are: opening (there before the books began), found or bought."),
)


class FrameOptions(OptionSet):
    """What is kept of a frame."""

    maker: str | None = option(
        "--maker", metavar="TEXT", help="Who makes the frame.", ask="Maker", read=text("maker", 60)
    )
    model: str | None = option("--model", metavar="TEXT", help="Its model.", ask="Model", read=text("model", 60))
    colour: str | None = option("--colour", metavar="TEXT", help="Its colour.", ask="Colour", read=text("colour", 60))
    eye_size: float | None = option("--eye-size", type=MM, help="Eye size as marked on the temple.", ask="Eye size")
    bridge: float | None = option("--bridge", type=MM, help="Bridge as marked.", ask="Bridge")
    temple: float | None = option("--temple", type=MM, help="Temple length as marked.", ask="Temple length")
    price: Cents | None = option("--price", type=AMOUNT, help="What a customer pays for it.", ask="Price")
    cost: Cents | None = option("--cost", type=AMOUNT, help="What the shop pays for it.", ask="Cost")


class ExtraOptions(OptionSet):
    """What is kept of an upgrade or coating."""

    name: str | None = option(
        "--name",
        metavar="TEXT",
        help="What it is called on papers.",
        ask="Name of the extra",
        read=text("extra name"),
    )
    kind: ExtraKind | None = option(
        "--kind",
        type=Word(ExtraKind),
        help=f"What it does to the lens, which decides the claim code: {KINDS}.",
        ask=f"Kind ({KINDS})",
    )
    price: Cents | None = option(
        "--price",
        type=PAIR_PRICE,
        help="What a customer pays for a pair, or for one lens, as in '64.98 each'.",
        ask="Price for a pair, or for one with 'each' behind it",
    )
    cost: Cents | None = option("--cost", type=AMOUNT, help="What the shop pays.", ask="Cost", optional=True)


class AccessoryOptions(OptionSet):
    """What is kept of an accessory."""

    name: str | None = option(
        "--name",
        metavar="TEXT",
        help="What it is called on papers.",
        ask="Name of the accessory",
        read=text("accessory name"),
    )
    price: Cents | None = option("--price", type=AMOUNT, help="What a customer pays.", ask="Price")
    cost: Cents | None = option("--cost", type=AMOUNT, help="What the shop pays.", ask="Cost")
    tax_category: TaxCategory | None = option(
        "--tax-category", type=Word(TaxCategory), help="What it is for the sales tax."
    )
    reimbursement: Reimbursement | None = option(
        "--reimbursement", type=Word(Reimbursement), help="What a plan is likely to make of it."
    )
    claim_code: str | None = option("--claim-code", metavar="CODE", help="Claim code, if it has one.")


@click.group()
def frame() -> None:
    """Keep frames: maker, model, size and price."""


@frame.command("add")
@click.argument("code")
@options(FrameOptions)
@on_hand
@click.option("--owned-by", metavar="CUSTOMER", help="The customer whose own frame it is; it costs nothing then.")
@accept
@as_json
@pass_run
def add_frame(
    run: Run,
    code: str,
    given: FrameOptions,
    count: int,
    first: FirstGoods | None,
    owned_by: str | None,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Add a frame under a short code of your own, such as WREN-52.

    Example:
    shopledger frame add WREN-52 --maker Thistledown --model Wren --count 3 --as opening
    """
    from shopledger.cli.views.goods import FRAMES
    from shopledger.desk.goods import add_frame

    if owned_by is not None:
        given = given.but(price=given.price or 0, cost=given.cost or 0)
    given = asked(run, given)
    what = FirstGoods.OPENING if owned_by is not None else said_first(run, code, first, count)
    new = Frame(code, **changes(given))
    added, here = add_frame(run.desk(), new, count, owned_by, what, said_yes(run, new, accept))
    FRAMES.show(as_json, (added, here))
    if owned_by is None:
        _tell_none_counted(added.code, here)
    tell(f"Frame {added.code} was added. Next: 'shopledger trace add {added.code} FILE'.")


@click.group()
def extra() -> None:
    """Keep upgrades and coatings on lenses."""


@extra.command("add")
@click.argument("code")
@options(ExtraOptions)
@accept
@as_json
@pass_run
def add_extra(run: Run, code: str, given: ExtraOptions, accept: tuple[str, ...], as_json: bool) -> None:
    """Add an upgrade or coating under a short code of your own.

    Example:
    shopledger extra add AR --name 'Anti-reflective coating' --kind anti-reflective
    """
    from shopledger.cli.views.goods import EXTRAS
    from shopledger.desk import goods

    new = Extra(code, **changes(asked(run, given)))
    EXTRAS.show(as_json, goods.EXTRAS.add(run.desk(), new, said_yes(run, new, accept)))


@click.group()
def accessory() -> None:
    """Keep goods beside the glasses."""


@accessory.command("add")
@click.argument("code")
@options(AccessoryOptions)
@on_hand
@accept
@as_json
@pass_run
def add_accessory(
    run: Run,
    code: str,
    given: AccessoryOptions,
    count: int,
    first: FirstGoods | None,
    accept: tuple[str, ...],
    as_json: bool,
) -> None:
    """Add an accessory under a short code of your own, such as CASE.

    Example:
    shopledger accessory add CASE --name 'Hard case' --price 12.00 --cost 4.00
    """
    from shopledger.cli.views.goods import ACCESSORIES
    from shopledger.desk import goods

    item = Accessory(code, **changes(asked(run, given)))
    what = said_first(run, code, first, count)
    added = goods.ACCESSORIES.add(run.desk(), item, count, what, said_yes(run, item, accept))
    ACCESSORIES.show(as_json, added)
    _tell_none_counted(added[0].code, added[1])


def said_yes(run: Run, item: Priced, accept: Iterable[str]) -> frozenset[str]:
    """Ask about goods that cost the shop more than a customer pays."""
    from shopledger.ledger.usual import sold_below_cost

    return accepted(run, sold_below_cost(item), accept)


def _tell_none_counted(code: str, on_hand: int) -> None:
    """Say of new goods without a count that none are on hand, and how they are counted."""
    if not on_hand:
        tell(
            f"{code} counts as 0 on hand. What lies on the shelf already is counted with "
            f"'shopledger stock count {code} --counted NUMBER --as opening'."
        )


def said_first(run: Run, code: str, first: FirstGoods | None, count: int) -> FirstGoods:
    """Give what the first goods of an item are: as it was typed, or as the person answers; else it has to be typed."""
    from shopledger.cli.prompts import ask

    if not count:
        if first is not None:
            raise click.UsageError("--as says what counted goods are, and none are counted. Leave it out.")
        return FirstGoods.OPENING
    if first is not None:
        return first
    if not run.asks:
        raise FirstGoodsError(code.strip().upper())
    kinds = ", ".join(each.value for each in FirstGoods)
    words = f"No {code.strip().upper()} ever came in. What are these: {kinds}"
    return ask(words, lambda typed: FIRST.read(typed, "first goods"), of=words_of("first goods", FirstGoods))


def add_listing(group: click.Group, many: str, list_help: str, show_help: str, like: str) -> None:
    """Put on a group of goods how all of them are listed and one is shown, with an example `like` which one may be."""

    @group.command("list", help=f"{list_help}\n\nExample:\nshopledger {group.name} list")
    @as_json
    @pass_run
    def list_all(run: Run, as_json: bool) -> None:
        _goods(many).list(as_json, run.desk())

    @group.command("show", help=f"{show_help}\n\nExample:\nshopledger {group.name} show {like}")
    @click.argument("code")
    @as_json
    @pass_run
    def show_one(run: Run, code: str, as_json: bool) -> None:
        goods = _goods(many)
        goods.show(as_json, goods.found(run.desk(), code))


CHANGE_HELP = """Change what the options name.

Orders already recorded keep their prices.

Example:
shopledger {noun} change {like} --price {price}"""


def add_change(group: click.Group, kind: type[OptionSet], many: str, like: str, price: str) -> None:
    """Put on a group of goods how one of them is changed by the options that it is added with."""

    @group.command(help=CHANGE_HELP.format(noun=group.name, like=like, price=price))
    @click.argument("code")
    @options(kind)
    @accept
    @as_json
    @pass_run
    def change(run: Run, code: str, given: OptionSet, accept: tuple[str, ...], as_json: bool) -> None:
        from shopledger.cli.views.goods import GOODS, KEPT

        desk, kept, new = run.desk(), KEPT[many], changes(given)
        yes = accepted(run, kept.asked_of_change(desk, code, new), accept)
        GOODS[many].show(as_json, kept.change(desk, code, new, yes))


def _goods(many: str) -> Goods:
    from shopledger.cli.views.goods import GOODS

    return GOODS[many]


add_change(frame, FrameOptions, "frames", "WREN-52", "185.00")
add_listing(frame, "frames", "List all frames with what is on hand.", "Show one frame.", "WREN-52")
add_change(extra, ExtraOptions, "extras", "AR", "'64.98 each'")
add_listing(extra, "extras", "List all upgrades and coatings.", "Show one upgrade or coating.", "AR")
add_change(accessory, AccessoryOptions, "accessories", "CASE", "13.00")
add_listing(accessory, "accessories", "List all accessories with what is on hand.", "Show one accessory.", "CASE")


@click.group()
def catalogue() -> None:
    """Load the whole catalogue from files."""


@catalogue.command()
@click.argument("path", type=click.Path(exists=True, path_type=Path))
@accept
@dry_run
@as_json
@pass_run
def load(run: Run, path: Path, accept: tuple[str, ...], dry_run: bool, as_json: bool) -> None:
    """Load a file, or a folder of files: all rows, or none.

    Frames, lenses, extras, accessories, offers and tax rates are read.

    Example:
    shopledger catalogue load catalogue.csv --dry-run
    """
    from shopledger.desk.goods import load_catalogue
    from shopledger.desk.tax_rates import plan_tax_rates
    from shopledger.exchange.catalogue_file import read_catalogue
    from shopledger.ledger.usual import sold_below_cost

    read = read_catalogue(path)
    kept = read.catalogue
    if not dry_run:
        desk = run.desk()
        counted: list[Priced] = [*(each for each, _ in kept.frames), *(each for each, _ in kept.accessories)]
        rates = plan_tax_rates(desk, read.taxes) if read.taxes else ()
        findings = (*sold_below_cost(*counted, *kept.lenses, *kept.extras), *rates)
        only_asked(findings, accept)
        load_catalogue(desk, read.catalogue, read.offers, read.taxes, accepted(run, findings, accept))
    counts = {
        "frames": len(kept.frames),
        "lenses": len(kept.lenses),
        "extras": len(kept.extras),
        "accessories": len(kept.accessories),
        "offers": len(read.offers),
        "tax_rates": len(read.taxes),
    }
    rows = [(name.replace("_", " "), str(count)) for name, count in counts.items()]
    show(as_json, {**counts, "stored": not dry_run}, Fields("", rows))
    tell(DRY_RUN if dry_run else "All of it was stored.")
