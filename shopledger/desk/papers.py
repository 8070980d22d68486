"""Printing the shop's other papers: statement, worksheet, packing slip, confirmation, quote, a customer's year.

Each is worded as the owner changed it, on the shop's size of paper, and its file is named by numbers alone.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final, TypeVar

from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of, placed, with_papers
from shopledger.desk.receipts import unaltered
from shopledger.desk.refusals import accepted_warnings, standing_order
from shopledger.desk.sales import SalePlan, not_on_shelf, priced_sale
from shopledger.errors import RefusedError
from shopledger.files.replacing import PAPER
from shopledger.files.writing import sheaf, write_whole
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.diagnosis import read_diagnosis
from shopledger.ledger.erasing import refuse_of_erased
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderAccount, OrderRequest
from shopledger.ledger.overtaken import overtaken
from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.ledger.papers.order_facts import OrderFacts, OrderNames
from shopledger.ledger.papers.order_summary import quote
from shopledger.ledger.papers.year_statement import year_statement
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.parties import Customer, Wearer, spellings_of
from shopledger.ledger.receipt import ReceiptContent
from shopledger.paperwork.order_papers import ORDER_PAPERS, QUOTE
from shopledger.paperwork.paper import Paper
from shopledger.paperwork.papers import PAPERS
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from shopledger.paperwork.year import YEAR
from shopledger.store.work import UnitOfWork

Content = TypeVar("Content")

_EVERY: Final = 2**31 - 1
"""More orders than any customer has."""


@dataclass(frozen=True, slots=True)
class PrintedQuote:
    """A quote's file, and what was planned for it."""

    file: Path
    plan: SalePlan


def print_statement(desk: Desk, receipt_number: int, folder: Path, *, archive: bool = False) -> Path:
    """Print the health account's statement of an issued receipt; that it was looked at is noted."""
    return _of_receipt(
        desk, STATEMENT, receipt_number, account_statement, folder, Deed.PREPARED_STATEMENT, archive=archive
    )


def print_worksheet(
    desk: Desk, receipt_number: int, folder: Path, diagnoses: Sequence[str] = (), *, archive: bool = False
) -> Path:
    """Print the claim worksheet of an issued receipt; that it was looked at is noted.

    `diagnoses` are codes from the prescriber's document that came after the receipt.
    """
    codes = [read_diagnosis(code).code for code in diagnoses]
    return _of_receipt(
        desk,
        WORKSHEET,
        receipt_number,
        lambda receipt: claim_worksheet(receipt, codes),
        folder,
        Deed.PREPARED_WORKSHEET,
        archive=archive,
    )


def _of_receipt(
    desk: Desk,
    paper: Paper[Content],
    number: int,
    make: Callable[[ReceiptContent], Content],
    folder: Path,
    deed: Deed,
    *,
    archive: bool,
) -> Path:
    """Print a paper made from an issued receipt alone."""
    with with_papers(desk, deed, Subject.RECEIPT, number) as outgoing:
        work = outgoing.work
        content = make(_receipt(work, number, paper.key))
        pdf = pdf_of(placed(work, desk, paper, content), archive=archive)
        return outgoing.add(pdf, folder / paper.file_name(number))


def print_of_order(
    desk: Desk, key: str, order_number: int, folder: Path, *, parcel: int | None = None, archive: bool = False
) -> Path:
    """Print one of the papers that a recorded order has, such as `packing` or `confirmation`.

    A packing slip can be that of one `parcel` of the order.
    """
    paper = ORDER_PAPERS[key]
    with desk.reading() as work:
        account = work.orders.account(order_number)
        people = _people(work, account.order.customer_number, account.order)
        refuse_of_erased(f"the {key} of order {order_number}", people[0])
        names = _names(work, people[1:], account.order)
        own = None if parcel is None else _parcel(account, parcel)
        benches = {job: work.inspections.history(job) for job in _jobs(account.order)}
        content = paper.make(OrderFacts(account, work.shop.profile(), people[0], names, desk.today, own, benches))
        pdf = pdf_of(placed(work, desk, paper, content, spellings_of(*people)), archive=archive)
    more = () if parcel is None else (f"parcel-{parcel:05d}",)
    return write_whole(pdf, folder / paper.file_name(order_number, *more), PAPER)


def _jobs(order: Order) -> tuple[int, ...]:
    return tuple(pair.job_number for pair in order.pairs if pair.job_number is not None)


def _parcel(account: OrderAccount, number: int) -> Parcel:
    """Give one of an order's parcels."""
    for parcel in account.parcels:
        if parcel.number == number:
            return parcel
    numbers = ", ".join(str(each.number) for each in account.parcels) or "none"
    said = f"the parcels of order {account.order.number} are: {numbers}"
    raise RefusedError("parcel", number, said, "Name one of them.")


def print_quote(
    desk: Desk, request: OrderRequest, valid_until: date, folder: Path, *, archive: bool = False
) -> PrintedQuote:
    """Print what an order would cost until a day, without storing or reserving anything; its payments are left out.

    What is not on the shelf can be quoted, and a closed month too. Errors on a lens stop a quote as they would stop the
    sale. Warnings need no yes yet; they come back with the plan.
    """
    with desk.reading() as work:
        plan = priced_sale(work, request, request.day or desk.today)
        plan = replace(plan, findings=(*plan.findings, *not_on_shelf(work, plan.order)))
        accepted_warnings(plan.findings, frozenset(finding.code for finding in plan.findings))
        number = number_of(plan.customer)
        people = _people(work, number)
        names = _names(work, people[1:], plan.order)
        day = plan.order.day
        content = quote(plan.order, work.shop.profile(), plan.customer, names, day=day, valid_until=valid_until)
        pdf = pdf_of(placed(work, desk, QUOTE, content, spellings_of(*people)), archive=archive)
    return PrintedQuote(write_whole(pdf, folder / QUOTE.file_name(number, day.isoformat()), PAPER), plan)


def print_year(desk: Desk, customer: str, year: int, folder: Path, *, archive: bool = False) -> Path:
    """Print what a customer paid in a calendar year for each wearer; that it was looked at is noted."""
    with with_papers(desk) as outgoing:
        work = outgoing.work
        number = number_of(work.customers.pick(customer))
        accounts = work.orders.newest_accounts(number, _EVERY)
        payer, *wearers = people = _people(work, number, *(account.order for account in accounts))
        content = year_statement(
            year, accounts, work.shop.profile(), payer, _wearer_names(wearers),
            made_on=desk.today, ledger_head=str(work.seals.of_customers(work.joins.group(number))),
        )  # fmt: skip
        pdf = pdf_of(placed(work, desk, YEAR, content, spellings_of(*people)), archive=archive)
        work.audit.note(Deed.PREPARED_YEAR, Subject.CUSTOMER, number, detail=str(year))
        return outgoing.add(pdf, folder / YEAR.file_name(number, str(year)))


def print_samples(desk: Desk, folder: Path, *, archive: bool = False) -> tuple[Path, ...]:
    """Print every paper with invented content in the owner's wording; a slip in one leaves no file behind."""
    with desk.reading() as work:
        documents = {key: placed(work, desk, paper, paper.sample()) for key, paper in PAPERS.items()}
    pdfs = {key: pdf_of(document, archive=archive) for key, document in documents.items()}
    with sheaf() as files:
        written = tuple(files.add(pdf, folder / f"sample-{key}.pdf", PAPER) for key, pdf in pdfs.items())
        files.deliver()
    return written


def _receipt(work: UnitOfWork, number: int, what: str) -> ReceiptContent:
    """Give the frozen content of the receipt that holds; one that was overtaken or meddled with is refused."""
    receipt = unaltered(work.receipts.get(number))
    if receipt.replaced_by is not None:
        raise RefusedError(
            "receipt",
            number,
            f"receipt {receipt.replaced_by} took its place",
            f"Print the {what} of {receipt.replaced_by}.",
        )
    standing_order(work, receipt.order_number, what)
    if overtaken([receipt], work.orders.sums([receipt.order_number])):
        raise RefusedError(
            "receipt",
            number,
            "the order has changed since it was issued",
            f"Replace it first, with 'shopledger receipt replace {number}', and print the {what} of the new one.",
        )
    return receipt.content


def _people(work: UnitOfWork, customer_number: int, *orders: Order) -> tuple[Customer, *tuple[Wearer, ...]]:
    """Give a customer, who may have been joined to another since, and all wearers, who may have left since."""
    leading, *_ = work.joins.group(customer_number)
    wearers = work.customers.wearers(leading)
    known = {wearer.number for wearer in wearers}
    left = {number for order in orders for number in order.wearer_numbers} - known
    gone = tuple(work.customers.many_wearers(sorted(left)).values())
    every: tuple[Wearer, ...] = (*wearers, *gone)
    return work.customers.get(leading), *every


def _wearer_names(wearers: Iterable[Wearer]) -> dict[int, str]:
    return {number_of(wearer): wearer.name for wearer in wearers}


def _names(work: UnitOfWork, wearers: Iterable[Wearer], order: Order) -> OrderNames:
    """Look up the names of all that stands on an order."""
    pairs, shelf = order.pairs, work.catalogue
    lenses = {code: shelf.lens(code) for code in {code for pair in pairs for code in pair.lens_codes}}
    return OrderNames(
        wearers=_wearer_names(wearers),
        frames={code: shelf.frame(code).description for code in {pair.frame_code for pair in pairs}},
        lenses={code: lens.name for code, lens in lenses.items()},
        designs={code: lens.design for code, lens in lenses.items()},
        extras={code: shelf.extra(code).name for code in {code for pair in pairs for code in pair.extras}},
    )
