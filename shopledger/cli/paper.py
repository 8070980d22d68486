"""Papers beside the claim receipt: for health accounts, for claim forms, for the parcel, for the customer."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from pathlib import Path
from typing import TYPE_CHECKING

import click

from shopledger.cli.context import Run, pass_run
from shopledger.cli.job import FORM, FORM_HELP
from shopledger.cli.options import (
    archive,
    as_json,
    existing_file,
    file_alone,
    into_paper_folder,
    made,
    options,
    together,
)
from shopledger.cli.output import Column, Drawing, Json, Table, show
from shopledger.cli.pair_options import PairOptions
from shopledger.cli.params import COMING_DAY, Word
from shopledger.cli.prompts import tell
from shopledger.cli.sale import OrderOptions, order_request
from shopledger.ledger.papers.issued import IssuedPaper, WaitingPaper

if TYPE_CHECKING:
    from shopledger.ledger.orders import OrderRequest

print_options = together(into_paper_folder, archive, as_json)
"""Where a paper goes and in which form."""


@click.group()
def paper() -> None:
    """Print statements, worksheets, slips, confirmations, quotes, years."""


@paper.command()
@click.argument("receipt", type=int)
@print_options
@pass_run
def statement(run: Run, receipt: int, folder: Path, archive: bool, as_json: bool) -> None:
    """Print a receipt's statement for a health account (HSA or FSA).

    Example:
    shopledger paper statement 5 --into papers
    """
    from shopledger.desk.papers import print_statement

    file = print_statement(run.desk(), receipt, made(folder), archive=archive)
    _show(as_json, file, {"paper": "statement", "receipt": receipt})
    tell("What the account pays, its administrator decides.")


@paper.command()
@click.argument("receipt", type=int)
@click.option(
    "--diagnosis",
    "diagnoses",
    metavar="CODE",
    multiple=True,
    help="A code from the prescriber's document that came after the receipt; may be given again.",
)
@print_options
@pass_run
def worksheet(run: Run, receipt: int, diagnoses: tuple[str, ...], folder: Path, archive: bool, as_json: bool) -> None:
    """Print what each box of a CMS-1500 claim form takes.

    Example:
    shopledger paper worksheet 5 --into papers
    """
    from shopledger.desk.papers import print_worksheet

    file = print_worksheet(run.desk(), receipt, made(folder), diagnoses, archive=archive)
    _show(as_json, file, {"paper": "worksheet", "receipt": receipt})
    tell("It is not the form: read its cautions before you copy anything into one.")


@paper.command()
@click.argument("order", type=int)
@click.option("--parcel", type=int, metavar="NUMBER", help="Of this parcel; otherwise of what leaves next.")
@print_options
@pass_run
def slip(run: Run, order: int, parcel: int | None, folder: Path, archive: bool, as_json: bool) -> None:
    """Print a packing slip: no prices, no prescription.

    Example:
    shopledger paper slip 12 --parcel 4 --into papers
    """
    _of_order(run, "packing", order, folder, archive, as_json, parcel)


@paper.command()
@click.argument("order", type=int)
@print_options
@pass_run
def confirmation(run: Run, order: int, folder: Path, archive: bool, as_json: bool) -> None:
    """Print an order's confirmation, which is no receipt.

    Example:
    shopledger paper confirmation 12 --into papers
    """
    _of_order(run, "confirmation", order, folder, archive, as_json)


@paper.command()
@click.option("--from", "file", type=existing_file, help="Take the whole order from this file (TOML).")
@click.option("--customer", metavar="CUSTOMER", help="Who asks: number or name.")
@click.option("--valid-until", type=COMING_DAY, required=True, help="Last day on which the prices hold.")
@options(PairOptions, "pair")
@options(OrderOptions, "order")
@print_options
@pass_run
def quote(
    run: Run,
    file: Path | None,
    customer: str | None,
    valid_until: date,
    pair: PairOptions,
    order: OrderOptions,
    folder: Path,
    archive: bool,
    as_json: bool,
) -> None:
    """Print what an order would cost; nothing is stored.

    The order comes from a file, or from options that describe one pair. What is not on the shelf can be quoted, and any
    day: a quote reserves nothing.

    Example:
    shopledger paper quote --from order.toml --valid-until 2026-04-01 --into papers
    """
    from shopledger.cli.views.figures import money
    from shopledger.cli.views.lenses import finding_data, finding_table
    from shopledger.desk.papers import print_quote

    request = _asked(file, customer, pair, order)
    printed = print_quote(run.desk(), request, valid_until, made(folder), archive=archive)
    plan = printed.plan
    what: dict[str, Json] = {
        "paper": "quote",
        "customer": plan.order.customer_number,
        "day": plan.order.day.isoformat(),
        "valid_until": valid_until.isoformat(),
        "total": money(plan.order.total),
        "findings": finding_data(plan.findings),
    }
    show(as_json, {**what, "file": str(printed.file)}, Drawing((str(printed.file),)), finding_table(plan.findings))
    tell("Nothing was stored or reserved: a quote is no order.")


@paper.command()
@click.argument("customer")
@click.argument("which", metavar="YEAR", type=click.IntRange(1900, 9999))
@print_options
@pass_run
def year(run: Run, customer: str, which: int, folder: Path, archive: bool, as_json: bool) -> None:
    """Print what a customer paid in a calendar year, by wearer.

    Example:
    shopledger paper year Fernhollow 2026 --into papers
    """
    from shopledger.desk.papers import print_year

    file = print_year(run.desk(), customer, which, made(folder), archive=archive)
    _show(as_json, file, {"paper": "year", "year": which})


@paper.command()
@print_options
@pass_run
def check(run: Run, folder: Path, archive: bool, as_json: bool) -> None:
    """Print every paper with invented content.

    Shows your changed wording before a customer sees it; a file with a slip is refused with its line.

    Example:
    shopledger paper check --into papers
    """
    from shopledger.desk.papers import print_samples

    files = print_samples(run.desk(), made(folder), archive=archive)
    papers = [(file.stem.removeprefix("sample-"), file) for file in files]
    table = Table("", (Column("paper", whole=True), Column("file")), papers)
    show(as_json, {"papers": [{"paper": name, "file": str(path)} for name, path in papers]}, table)


@paper.command()
@click.argument("kind", type=Word(IssuedPaper), required=False)
@click.argument("number", type=int, required=False)
@into_paper_folder
@click.option("--form", type=FORM, default="records", show_default=True, help=f"Of a lens order: {FORM_HELP.lower()}")
@archive
@as_json
@pass_run
def again(
    run: Run,
    kind: IssuedPaper | None,
    number: int | None,
    folder: Path,
    form: str,
    archive: bool,
    as_json: bool,
) -> None:
    """Print the first paper of what is stored and has none yet.

    Where a disk was full or the power went, the number was taken and its paper is still to come. Without KIND and
    NUMBER such papers are listed.

    Example:
    shopledger paper again receipt 5 --into papers
    """
    from shopledger.desk.outbox import print_waiting, waiting

    if kind is None or number is None:
        papers = waiting(run.desk())
        table = Table("", (Column("paper", whole=True), Column("since"), Column("type this")), _waiting_rows(papers))
        show(as_json, {"waiting": [{"paper": paper.kind.typed, "number": paper.number} for paper in papers]}, table)
        if not papers:
            tell("Every paper is in its place.")
        return
    files = print_waiting(run.desk(), WaitingPaper(kind, number), made(folder), form=form, archive=archive)
    shown: list[Json] = [str(file) for file in files]
    show(as_json, {"paper": kind.typed, "number": number, "files": shown}, Drawing(tuple(map(str, files))))


def _waiting_rows(papers: Sequence[WaitingPaper]) -> list[tuple[str, str, str]]:
    return [(paper.name, paper.entered.at if paper.entered else "", paper.command) for paper in papers]


def _asked(file: Path | None, customer: str | None, pair: PairOptions, order: OrderOptions) -> OrderRequest:
    """Give the order that a quote is for, from the file or from the options."""
    if file is None:
        return order_request(customer, pair, order)
    from shopledger.exchange.order_file import read_order_file

    file_alone(customer, pair, order)
    return read_order_file(file)


def _of_order(
    run: Run, key: str, order: int, folder: Path, archive: bool, as_json: bool, parcel: int | None = None
) -> None:
    """Print one of the papers of a recorded order and tell where it lies."""
    from shopledger.desk.papers import print_of_order

    file = print_of_order(run.desk(), key, order, made(folder), parcel=parcel, archive=archive)
    own: dict[str, Json] = {} if parcel is None else {"parcel": parcel}
    _show(as_json, file, {"paper": key, "order": order, **own})


def _show(as_json: bool, file: Path, what: dict[str, Json]) -> None:
    show(as_json, {**what, "file": str(file)}, Drawing((str(file),)))
