"""Printing the shop's other papers: statement, worksheet, packing slip, confirmation, quote, a customer's year.

Each is worded as the owner changed it, on the shop's paper, and is named by numbers alone. A paper is placed whole
before anything is noted or written, so that one which cannot be printed leaves nothing behind.
"""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.acceptance import settled
from shopledger.desk.context import Desk
from shopledger.desk.printing import pdf_of, written
from shopledger.desk.receipts import unaltered
from shopledger.desk.sales import SalePlan, planned_sale
from shopledger.errors import RefusedError
from shopledger.ledger.diagnosis import read_diagnosis
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Order, OrderRequest
from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.ledger.papers.names import OrderNames
from shopledger.ledger.papers.order_summary import OrderSummary, order_confirmation, quote
from shopledger.ledger.papers.packing_slip import packing_slip
from shopledger.ledger.papers.year_statement import year_statement
from shopledger.ledger.parties import Customer, Wearer, spellings_of
from shopledger.ledger.receipt import ReceiptContent
from shopledger.ledger.refunds import cancelled
from shopledger.paperwork.order_paper import order_document, wording_of
from shopledger.paperwork.packing import packing_document
from shopledger.paperwork.page import Document
from shopledger.paperwork.sample import sample_documents
from shopledger.paperwork.statement import statement_document
from shopledger.paperwork.wording import read_wording
from shopledger.paperwork.worksheet import worksheet_document
from shopledger.paperwork.year import year_document
from shopledger.store.work import Work

_EVERY: Final = 2**31 - 1
"""More orders than any customer has."""


@dataclass(frozen=True, slots=True)
class PrintedQuote:
    """A quote's file, and what was planned for it."""

    file: Path
    plan: SalePlan


def print_statement(desk: Desk, receipt_number: int, folder: Path, *, archive: bool = False) -> Path:
    """Print the health account's statement of an issued receipt; that it was looked at is noted."""
    wording = read_wording("statement", desk.own_templates)
    with desk.writing() as work:
        content = account_statement(_receipt(work, receipt_number, "statement"))
        document = statement_document(content, paper=work.shop.settings().paper, wording=wording)
        pdf = pdf_of(document, archive=archive)
        work.audit.note("prepared an account statement", f"receipt {receipt_number}")
    return written(pdf, folder / f"statement-{receipt_number:05d}.pdf")


def print_worksheet(
    desk: Desk, receipt_number: int, folder: Path, diagnoses: Sequence[str] = (), *, archive: bool = False
) -> Path:
    """Print the claim worksheet of an issued receipt; that it was looked at is noted.

    `diagnoses` are codes from the prescriber's document that came after the receipt.
    """
    wording = read_wording("worksheet", desk.own_templates)
    codes = [read_diagnosis(code).code for code in diagnoses]
    with desk.writing() as work:
        content = claim_worksheet(_receipt(work, receipt_number, "worksheet"), codes)
        document = worksheet_document(content, paper=work.shop.settings().paper, wording=wording)
        pdf = pdf_of(document, archive=archive)
        work.audit.note("prepared a claim worksheet", f"receipt {receipt_number}")
    return written(pdf, folder / f"worksheet-{receipt_number:05d}.pdf")


def print_packing_slip(desk: Desk, order_number: int, folder: Path, *, archive: bool = False) -> Path:
    """Print what lies in an order's parcel: no prices, nothing of a prescription."""
    wording = read_wording("packing", desk.own_templates)
    with desk.reading() as work:
        account = work.orders.account(order_number)
        people = _people(work, account.order.customer_number)
        names = _names(work, people[1:], account.order)
        content = packing_slip(account, work.shop.profile(), people[0], names, desk.today)
        paper = work.shop.settings().paper
    document = packing_document(content, paper=paper, wording=wording, spellings=dict(spellings_of(*people)))
    return written(pdf_of(document, archive=archive), folder / f"slip-{order_number:05d}.pdf")


def print_confirmation(desk: Desk, order_number: int, folder: Path, *, archive: bool = False) -> Path:
    """Print an order with its prices and what was paid on it so far; it says that it is no receipt."""
    with desk.reading() as work:
        account = work.orders.account(order_number)
        people = _people(work, account.order.customer_number)
        names = _names(work, people[1:], account.order)
        content = order_confirmation(account, work.shop.profile(), people[0], names)
        document = _order_document(desk, work, content, people)
    return written(pdf_of(document, archive=archive), folder / f"confirmation-{order_number:05d}.pdf")


def print_quote(
    desk: Desk, request: OrderRequest, valid_until: date, folder: Path, *, archive: bool = False
) -> PrintedQuote:
    """Print what an order would cost until a day, without storing anything; payments in the request are left out.

    Errors on a lens stop it as they would stop the sale. Warnings need no yes yet; they come back with the plan.
    """
    with desk.reading() as work:
        plan = planned_sale(work, desk, replace(request, payments=()))
        settled(plan.findings, frozenset(finding.code for finding in plan.findings))
        number = number_of(plan.customer)
        people = _people(work, number)
        names = _names(work, people[1:], plan.order)
        day = plan.order.day
        content = quote(plan.order, work.shop.profile(), plan.customer, names, day=day, valid_until=valid_until)
        document = _order_document(desk, work, content, people)
    file = folder / f"quote-{number:05d}-{day.isoformat()}.pdf"
    return PrintedQuote(written(pdf_of(document, archive=archive), file), plan)


def print_year(desk: Desk, customer: str, year: int, folder: Path, *, archive: bool = False) -> Path:
    """Print what a customer paid in a calendar year for each wearer; that it was looked at is noted."""
    wording = read_wording("year", desk.own_templates)
    with desk.writing() as work:
        number = number_of(work.customers.pick(customer))
        payer, *wearers = people = _people(work, number)
        accounts = [work.orders.account(number_of(order)) for order in work.orders.of_customer(number, _EVERY)]
        content = year_statement(
            year, accounts, work.shop.profile(), payer, _wearer_names(wearers),
            made_on=desk.today, ledger_head=str(work.journal.head()),
        )  # fmt: skip
        spellings = dict(spellings_of(*people))
        document = year_document(content, paper=work.shop.settings().paper, wording=wording, spellings=spellings)
        pdf = pdf_of(document, archive=archive)
        work.audit.note("prepared a year statement", f"customer {number}, {year}")
    return written(pdf, folder / f"year-{number:05d}-{year}.pdf")


def print_samples(desk: Desk, folder: Path, *, archive: bool = False) -> tuple[Path, ...]:
    """Print every paper with invented content in the owner's wording; a slip in one leaves no file behind."""
    with desk.reading() as work:
        paper = work.shop.settings().paper
    placed = sample_documents(desk.own_templates, paper=paper)
    pdfs = {name: pdf_of(document, archive=archive) for name, document in placed.items()}
    return tuple(written(pdf, folder / f"sample-{name}.pdf") for name, pdf in pdfs.items())


def _receipt(work: Work, number: int, what: str) -> ReceiptContent:
    """Give the frozen content of the receipt that holds; one that was overtaken or meddled with is refused."""
    receipt = unaltered(work.receipts.get(number))
    if receipt.replaced_by is not None:
        raise RefusedError(
            "receipt",
            number,
            f"receipt {receipt.replaced_by} took its place",
            f"Print the {what} of {receipt.replaced_by}.",
        )
    account = work.orders.account(receipt.order_number)
    if account.cancellation is not None:
        raise cancelled(what, account)
    return receipt.content


def _people(work: Work, customer_number: int) -> tuple[Customer, *tuple[Wearer, ...]]:
    """Give a customer and the customer's wearers."""
    return work.customers.get(customer_number), *work.customers.wearers(customer_number)


def _wearer_names(wearers: Iterable[Wearer]) -> dict[int, str]:
    return {number_of(wearer): wearer.name for wearer in wearers}


def _names(work: Work, wearers: Iterable[Wearer], order: Order) -> OrderNames:
    """Look up the names of all that stands on an order."""
    pairs, shelf = order.pairs, work.catalogue
    return OrderNames(
        wearers=_wearer_names(wearers),
        frames={code: shelf.frame(code).description for code in {pair.frame_code for pair in pairs}},
        lenses={code: shelf.lens(code).name for code in {pair.lens_code for pair in pairs}},
        extras={code: shelf.extra(code).name for code in {code for pair in pairs for code in pair.extras}},
    )


def _order_document(desk: Desk, work: Work, content: OrderSummary, people: Sequence[Customer | Wearer]) -> Document:
    wording = read_wording(wording_of(content), desk.own_templates)
    spellings = dict(spellings_of(*people))
    return order_document(content, paper=work.shop.settings().paper, wording=wording, spellings=spellings)
