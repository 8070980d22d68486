"""Commands that put an order or a job right after it was recorded; each shows first what it comes to."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import replace
from datetime import date
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.lens_options import CodeOptions, EachLensOptions, MeasurementOptions, power_alone
from shopledger.cli.lists import words_of
from shopledger.cli.options import (
    OptionSet,
    accept,
    as_json,
    asked,
    day,
    dry_run,
    inner,
    needed,
    option,
    options,
    reason,
)
from shopledger.cli.output import show
from shopledger.cli.pair_options import PairOptions
from shopledger.cli.params import AMOUNT, Typed, Word
from shopledger.cli.payments import METHOD, read_line, read_returned
from shopledger.cli.prompts import DRY_RUN, accepted, ask, lacking, only_asked, tell
from shopledger.errors import RefusedError
from shopledger.ledger.corrections import CorrectionKind
from shopledger.ledger.orders import AccessoryRequest, DemoLenses, FrameRequest, Making, Method
from shopledger.money.amount import Cents, write_amount
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.goods import read_goods

if TYPE_CHECKING:
    from shopledger.desk.changing_jobs import Remeasured
    from shopledger.desk.putting_right import CorrectionDone, CorrectionPlan, CorrectionRequest, CorrectionTerms


def read_price(typed: str, field: str) -> tuple[str, Cents]:
    """Read a price agreed for goods, as in `WREN-52=150`."""
    code, marked, amount = typed.partition("=")
    if not marked or not code.strip():
        raise RefusedError(field, f"'{typed}'", "it is a code and an amount", "Type it like WREN-52=150.")
    return code.strip(), AMOUNT.read(amount, field)


def read_amount_of_line(typed: str, field: str) -> tuple[int, Cents]:
    """Read a line of an order with an amount, as in `3=25`."""
    line, amount = read_line(typed, field)
    if amount is None:
        raise RefusedError(field, f"'{typed}'", "it is a line and an amount", "Type it like 3=25.00.")
    return line, amount


def read_count(typed: str, field: str) -> tuple[int, int | None]:
    """Read `3` for all of a line, or `3=2` for two of its goods."""
    line, count = read_returned(typed, field)
    return line, count if "=" in typed else None


class CorrectionOptions(OptionSet):
    """Why something is put right, and how money goes back where some does."""

    reason: str | None = reason("Why; it is kept with the order.", "Why it is put right")
    method: Method | None = option("--method", type=METHOD, help="How money is given back, where some is.")
    reference: str = option(
        "--reference", metavar="TEXT", default="", help="A check's number, or a card's last four digits."
    )
    day: date | None = day("The day it was put right.")


class PriceOptions(OptionSet):
    """What is charged for goods that come in."""

    prices: tuple[tuple[str, Cents], ...] = option(
        "--price",
        type=Typed("code=amount", read_price),
        multiple=True,
        help="A net price agreed for what comes in, as in WREN-52=150. Otherwise today's catalogue.",
    )
    offers: tuple[str, ...] = option(
        "--offer", metavar="CODE", multiple=True, help="An offer to use; may be given again."
    )
    without_offers: tuple[str, ...] = option(
        "--without-offer", metavar="CODE", multiple=True, help="An offer not to use."
    )


class JobOptions(OptionSet):
    """What is put right on a job."""

    wearer: str = option("--wearer", metavar="NAME", default="", help="Whose glasses they are.")
    prescription: int | None = option("--prescription", type=int, help="Number of the right prescription.")
    without_prescription: bool = option("--without-prescription", is_flag=True, help="The pair has no power.")
    frame: str = option("--frame", metavar="CODE", default="", help="The right frame.")
    own_frame: bool = option("--own-frame", is_flag=True, help="The wearer has the frame already; it is not charged.")
    lens: str = option("--lens", metavar="CODE", default="", help="The right lens.")
    use: LensUse | None = option("--use", type=Word(LensUse), help="What single vision lenses are made for.")
    extras: tuple[str, ...] = option(
        "--extra", metavar="CODE", multiple=True, help="An upgrade that comes in; may be given again."
    )
    without_extras: tuple[str, ...] = option(
        "--without-extra", metavar="CODE", multiple=True, help="An upgrade that is left out; may be given again."
    )
    measured: MeasurementOptions = inner(MeasurementOptions)
    each: EachLensOptions = inner(EachLensOptions)
    codes: CodeOptions = inner(CodeOptions)
    note: str | None = option("--note", metavar="TEXT", help="The note on the job's sheet.")


def put_right(
    run: Run,
    given: CorrectionOptions,
    make: Callable[[CorrectionTerms], CorrectionRequest],
    typed: tuple[str, ...],
    *,
    dry: bool,
    as_json: bool,
    prices: PriceOptions | None = None,
) -> None:
    """Show what a deed comes to and stop there, or store it; what is not said and needed is asked."""
    from shopledger.cli.views.corrections import change_table, done_data, plan_data, plan_fields
    from shopledger.cli.views.lenses import finding_table
    from shopledger.desk.putting_right import plan_correction, record_correction

    given = asked(run, given, "reason")
    terms = _terms(given, prices, typed)
    desk = run.desk()
    plan = plan_correction(desk, make(terms))
    findings = plan.change.findings
    only_asked(findings, typed)
    found = (finding_table(findings),) if findings else ()
    if dry:
        show(as_json, plan_data(plan), plan_fields(plan, plan.change.jobs), change_table(plan), *found)
        tell(DRY_RUN)
        return
    said_yes = accepted(run, findings, typed)
    terms = replace(terms, accept=said_yes, method=_method(run, plan, terms))
    done = record_correction(desk, make(terms))
    told = replace(plan, correction=done.correction, after=done.account)
    show(as_json, done_data(done, plan), plan_fields(told, done.jobs), change_table(plan), *found)
    _tell(done)


def _terms(given: CorrectionOptions, prices: PriceOptions | None, typed: tuple[str, ...]) -> CorrectionTerms:
    from shopledger.desk.putting_right import CorrectionTerms

    agreed = dict(prices.prices) if prices else {}
    if prices and len(agreed) < len(prices.prices):
        raise click.UsageError("--price names a code twice. Give one price for it.")
    return CorrectionTerms(
        needed(given.reason),
        given.method,
        given.reference,
        given.day,
        agreed,
        prices.offers if prices else (),
        prices.without_offers if prices else (),
        frozenset(typed),
    )


def _method(run: Run, plan: CorrectionPlan, terms: CorrectionTerms) -> Method | None:
    """Ask how money goes back where some does and nobody has said; elsewhere the desk says that it is missing."""
    if terms.method is not None or not plan.due_back or not run.asks:
        return terms.method
    words = f"{write_amount(plan.due_back)} goes back by (card, cash, check, transfer)"
    return ask(words, lambda text: METHOD.read(text, "method"), of=words_of("method", METHOD.words))


def _tell(done: CorrectionDone) -> None:
    """Say what is to be done next."""
    number = done.account.order.number
    if done.refund is not None:
        tell(f"{write_amount(done.refund.amount)} is given back by {done.refund.method.value}.")
    if done.account.balance:
        tell(f"Order {number} still owes {write_amount(done.account.balance)}.")
    for job in done.jobs:
        before = f"Job {job.again.job} is not to be made. " if job.again else ""
        if done.correction.kind is CorrectionKind.EXCHANGED:
            before = f"It leaves with 'shopledger sale ship {number}' once it is made. "
        tell(f"{before}Next: 'shopledger job sheet {job.job_number}'.")
    for receipt in done.touched_receipts:
        words = f"shopledger receipt replace {receipt} --reason 'a correction'"
        tell(f"Receipt {receipt} does not say so. Next: '{words}'.")


@click.command("put-right")
@click.argument("number", metavar="JOB", type=int)
@options(JobOptions, "job")
@options(PriceOptions, "prices")
@options(CorrectionOptions)
@accept
@dry_run
@as_json
@pass_run
def job_put_right(
    run: Run,
    number: int,
    job: JobOptions,
    prices: PriceOptions,
    given: CorrectionOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Put a job right that was not cut yet.

    What is not named stays as it is. Another job is made in its place; goods that stay keep their price, what comes in
    costs what the catalogue says today.

    Example:
    shopledger job put-right 5 --pd 62 --reason "misread"
    shopledger job put-right 5 --frame LARK-50 --reason "took the other one"
    """
    from shopledger.desk.changing_jobs import JobChange

    def make(terms: CorrectionTerms) -> JobChange:
        right, left = job.each.eyes()
        if Making.NEW not in {right.making, left.making} or job.each.only is not None:
            raise click.UsageError("--only is said with the sale. Take the pair out, and add the right one.")
        eyes = {Side.RIGHT: right, Side.LEFT: left}
        codes = {Side.RIGHT: job.codes.right_code, Side.LEFT: job.codes.left_code}
        balance = {Side.RIGHT: job.each.right_balance, Side.LEFT: job.each.left_balance}
        return JobChange(
            number,
            terms,
            wearer=job.wearer,
            prescription=job.prescription,
            without_prescription=job.without_prescription,
            frame=job.frame,
            own_frame=job.own_frame or None,
            lens=job.lens,
            own_lenses={side: eye.lens for side, eye in eyes.items() if eye.lens},
            use=job.use,
            extras=job.extras,
            without_extras=job.without_extras,
            own_extras={side: eye.extras for side, eye in eyes.items() if eye.extras},
            measured=_remeasured(job.measured),
            off_step=job.each.off_step,
            balance={side: power_alone(power) for side, power in balance.items() if power is not None},
            codes={side: code for side, code in codes.items() if code},
            note=job.note,
        )

    put_right(run, given, make, accept, dry=dry_run, as_json=as_json, prices=prices)


def _remeasured(given: MeasurementOptions) -> Remeasured:
    from shopledger.desk.changing_jobs import Remeasured

    right, left = (one if one is not None else given.height for one in (given.height_right, given.height_left))
    return Remeasured(given.pd, given.pd_right, given.pd_left, given.near_pd or (), right, left)


@click.command("frame-broken")
@click.argument("number", metavar="JOB", type=int)
@click.option("--frame", metavar="CODE", default="", help="The frame that takes its place. Otherwise another of them.")
@options(CorrectionOptions)
@accept
@dry_run
@as_json
@pass_run
def frame_broken(
    run: Run, number: int, frame: str, given: CorrectionOptions, accept: tuple[str, ...], dry_run: bool, as_json: bool
) -> None:
    """Replace a frame that broke in work, without charge.

    The customer's own frame or the shop's; the shop's is written off. The job is made anew in the other frame.

    Example:
    shopledger job frame-broken 5 --reason "temple snapped"
    shopledger job frame-broken 5 --frame LARK-50 --reason "rim cracked"
    """
    from shopledger.desk.changing_jobs import FrameBroken

    put_right(run, given, lambda terms: FrameBroken(number, terms, frame), accept, dry=dry_run, as_json=as_json)


_lines_with_amounts = click.option(
    "--line",
    "lines",
    type=Typed("line=amount", read_amount_of_line),
    multiple=True,
    required=True,
    help="A line as 'sale show' counts it, with an amount before tax; may be given again.",
)


@click.command("reduce")
@click.argument("order", type=int)
@click.option(
    "--line",
    "lines",
    type=Typed("line=amount", read_amount_of_line),
    multiple=True,
    help="A line as 'sale show' counts it, with an amount before tax; may be given again.",
)
@click.option(
    "--returned",
    type=Typed("line[=count]", read_returned),
    multiple=True,
    help="Goods of a line that came back before they were paid; without --line they count for what they came to.",
)
@options(CorrectionOptions)
@dry_run
@as_json
@pass_run
def reduce_sale(
    run: Run,
    order: int,
    lines: tuple[tuple[int, Cents], ...],
    returned: tuple[tuple[int, int], ...],
    given: CorrectionOptions,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Lower what is still owed on lines, with goods or without.

    Tax falls in proportion. What was paid is given back with 'shopledger refund give'.

    Example:
    shopledger sale reduce 12 --line 3=25 --reason "late"
    shopledger sale reduce 12 --returned 3=2 --reason "too small"
    """
    from shopledger.desk.changing_orders import Reduction

    each, back = _once(lines), _once(returned)
    if not each and not back:
        lacking("--line", "Name what is lowered with --line, or what came back with --returned.")
    put_right(run, given, lambda terms: Reduction(order, each, terms, back), (), dry=dry_run, as_json=as_json)


@click.command("price")
@click.argument("order", type=int)
@_lines_with_amounts
@options(CorrectionOptions)
@dry_run
@as_json
@pass_run
def agree_price(
    run: Run,
    order: int,
    lines: tuple[tuple[int, Cents], ...],
    given: CorrectionOptions,
    dry_run: bool,
    as_json: bool,
) -> None:
    """Give lines a price that was agreed afterwards.

    A lower one lowers what is owed, and gives back what was paid above it; a higher one is charged before the order
    leaves.

    Example:
    shopledger sale price 12 --line 1=150 --reason "agreed by phone"
    """
    from shopledger.desk.changing_orders import PricesAgreed

    each = _once(lines)
    put_right(run, given, lambda terms: PricesAgreed(order, each, terms), (), dry=dry_run, as_json=as_json)


def _once(lines: tuple[tuple[int, Cents], ...]) -> Mapping[int, Cents]:
    if len(dict(lines)) < len(lines):
        raise click.UsageError("--line names a line twice. Give one amount for it.")
    return dict(lines)


class AddedOptions(OptionSet):
    """What comes in beside a pair."""

    accessories: tuple[AccessoryRequest, ...] = option(
        "--accessory",
        type=Typed("code[=count]", read_goods),
        multiple=True,
        help="An accessory, as in CASE or CASE=2; may be given again.",
    )
    frames_only: tuple[str, ...] = option(
        "--frame-only", metavar="CODE", multiple=True, help="A frame sold without lenses; may be given again."
    )
    demo_lenses: DemoLenses | None = option(
        "--demo-lenses", type=Word(DemoLenses), help="What became of the demo lenses of a frame without others."
    )
    shipping: Cents = option("--shipping", type=AMOUNT, default="0", help="What is charged for shipping on top.")


@click.command("add")
@click.argument("order", type=int)
@options(PairOptions, "pair")
@options(AddedOptions, "added")
@options(PriceOptions, "prices")
@options(CorrectionOptions)
@accept
@dry_run
@as_json
@pass_run
def add_to_sale(
    run: Run,
    order: int,
    pair: PairOptions,
    added: AddedOptions,
    prices: PriceOptions,
    given: CorrectionOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Add goods or a pair before an order leaves.

    With --frame and --lens it is a pair for --wearer; otherwise --wearer is whose the goods are.

    Example:
    shopledger sale add 12 --accessory CASE --reason "forgotten"
    """
    from shopledger.desk.changing_orders import LinesAdded

    glasses = pair.request(beside=bool(added.accessories or added.frames_only or added.shipping))
    beside = "" if glasses else pair.wearer or ""
    if added.frames_only and added.demo_lenses is None:
        lacking("--demo-lenses", "--demo-lenses is missing. Say what became of the demo lenses of the frame.")
    goods = tuple(replace(each, wearer=beside) for each in added.accessories)
    frames = tuple(FrameRequest(code, needed(added.demo_lenses), beside) for code in added.frames_only)
    pairs = (glasses,) if glasses else ()

    def make(terms: CorrectionTerms) -> LinesAdded:
        return LinesAdded(order, terms, pairs, goods, frames, added.shipping)

    put_right(run, given, make, accept, dry=dry_run, as_json=as_json, prices=prices)


@click.command("take-out")
@click.argument("order", type=int)
@click.option(
    "--line",
    "lines",
    type=Typed("line[=count]", read_count),
    multiple=True,
    help="A line as 'sale show' counts it, or 3=1 for one of its goods; may be given again.",
)
@click.option("--pair", "pairs", type=int, multiple=True, help="A whole pair, with all its lines; may be given again.")
@options(CorrectionOptions)
@accept
@dry_run
@as_json
@pass_run
def take_out_of_sale(
    run: Run,
    order: int,
    lines: tuple[tuple[int, int | None], ...],
    pairs: tuple[int, ...],
    given: CorrectionOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Take goods or a pair out before an order leaves.

    An upgrade is taken off its pair, of which another job is made.

    Example:
    shopledger sale take-out 12 --line 5 --reason "not wanted"
    shopledger sale take-out 12 --pair 2 --reason "ordered twice"
    """
    from shopledger.desk.changing_orders import LinesTakenOut

    if not lines and not pairs:
        lacking("--line", "--line is missing. Name a line, or a pair with --pair.")
    if len(dict(lines)) < len(lines):
        raise click.UsageError("--line names a line twice. Add the two counts up.")

    def make(terms: CorrectionTerms) -> LinesTakenOut:
        return LinesTakenOut(order, terms, dict(lines), tuple(dict.fromkeys(pairs)))

    put_right(run, given, make, accept, dry=dry_run, as_json=as_json)


class ExchangeOptions(OptionSet):
    """What is exchanged for what."""

    line: int = option("--line", type=int, required=True, help="The line, as 'sale show' counts it.")
    code: str = option("--for", metavar="CODE", required=True, help="What is sent in its place, of the same kind.")
    count: int | None = option("--count", type=int, help="How many of the line's goods. Otherwise all.")
    came_back: bool = option(
        "--came-back/--not-back",
        default=True,
        show_default="came back",
        help="Whether the old goods are here again, to be sold.",
    )
    codes: CodeOptions = inner(CodeOptions)


@click.command("exchange")
@click.argument("order", type=int)
@options(ExchangeOptions, "exchanged")
@options(PriceOptions, "prices")
@options(CorrectionOptions)
@accept
@dry_run
@as_json
@pass_run
def exchange_goods(
    run: Run,
    order: int,
    exchanged: ExchangeOptions,
    prices: PriceOptions,
    given: CorrectionOptions,
    accept: tuple[str, ...],
    dry_run: bool,
    as_json: bool,
) -> None:
    """Exchange goods, a frame or lenses that left.

    Each for its own kind, with the difference charged or given back. A new frame or lens makes a new job of the pair,
    which leaves in a parcel of its own.

    Example:
    shopledger sale exchange 12 --line 1 --for LARK-50 --reason "too wide"
    """
    from shopledger.desk.exchanging import Exchange

    codes = {Side.RIGHT: exchanged.codes.right_code, Side.LEFT: exchanged.codes.left_code}

    def make(terms: CorrectionTerms) -> Exchange:
        return Exchange(
            order,
            exchanged.line,
            exchanged.code,
            terms,
            exchanged.count,
            exchanged.came_back,
            {side: code for side, code in codes.items() if code},
        )

    put_right(run, given, make, accept, dry=dry_run, as_json=as_json, prices=prices)


SALE_COMMANDS = (reduce_sale, agree_price, add_to_sale, take_out_of_sale, exchange_goods)
JOB_COMMANDS = (job_put_right, frame_broken)
