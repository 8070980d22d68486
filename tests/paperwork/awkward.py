"""Every paper made from the same awkward customer: odd names, long addresses, many lines."""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, replace

from shopledger.ledger.papers.account_statement import account_statement
from shopledger.ledger.papers.claim_worksheet import claim_worksheet
from shopledger.ledger.papers.order_summary import OrderSummary, SummaryGroup
from shopledger.ledger.papers.packing_slip import PackedFor
from shopledger.ledger.papers.reorder_record import PriceLine, RecordFinding, RecordPrice
from shopledger.ledger.papers.year_statement import YearSums, YearWearer
from shopledger.ledger.receipt import ReceiptContent, ReceiptRefund
from shopledger.paperwork.order_paper import order_document
from shopledger.paperwork.packing import packing_document
from shopledger.paperwork.page import Document
from shopledger.paperwork.receipt import receipt_document
from shopledger.paperwork.reorder import reorder_document
from shopledger.paperwork.sample_content import (
    sample_confirmation,
    sample_packing,
    sample_quote,
    sample_receipt,
    sample_year,
)
from shopledger.paperwork.reorder_sample import sample_reorder
from shopledger.paperwork.statement import statement_document
from shopledger.paperwork.worksheet import worksheet_document
from shopledger.paperwork.year import year_document

PLAIN = "Ilse Marrowdene"
LONG_NAME = (
    "Maximiliana-Theodora Featherstonehaugh-Wolfeschlegelsteinhausenbergerdorff von und zu Example-Hohenfels, the Third"
)
LONG_ADDRESS = (
    "Supercalifragilisticexpialidocious-and-much-more-and-more Street 12345, Building C, Apartment 678",
    "Łódź",
)
LONG_ITEM = "A frame with a description that goes on and on, in a colour with a long name, with every size written out"


@dataclass(frozen=True, slots=True)
class Awkward:
    """What is unusual about the customer; the rest of each paper is the sample's."""

    name: str = PLAIN
    address: tuple[str, ...] = ("30 Orchard Close", "Millbrae, OH 43002")
    item: str = "Harrow Row Finch, moss"
    count: int = 3
    paper: str = "letter"


def receipt_of(case: Awkward) -> ReceiptContent:
    """Give a receipt with so many coded lines, amounts and refund fitting."""
    first = sample_receipt().lines[0]
    lines = tuple(replace(first, description=f"{case.item} {at + 1}") for at in range(case.count))
    total = sum(line.charge for line in lines)
    sample = sample_receipt()
    return replace(
        sample,
        wearer=case.name,
        customer=case.name,
        customer_lines=case.address,
        prescriber=case.name,
        pairs=sample.pairs[:1],
        lines=lines,
        shipping=0,
        tax=0,
        total=total,
        payments=(replace(sample.payments[0], amount=total),),
        paid=total,
        refunds=(ReceiptRefund("2026-03-13", "card", "4242", 900, case.item),),
    )


def _summary(order: OrderSummary, case: Awkward) -> OrderSummary:
    line = replace(order.groups[0].lines[0], description=case.item)
    group = SummaryGroup(1, case.item, case.name, (line,) * case.count)
    net = line.net * case.count
    total = net + order.tax
    return replace(
        order, customer=case.name, customer_lines=case.address, ship_to=case.address, groups=(group,), list_total=net,
        reduction_total=0, net_total=net, total=total, paid=0, balance=total,
    )  # fmt: skip


def _packing(case: Awkward) -> Document:
    item = replace(sample_packing().parcels[0].items[0], description=case.item)
    parcel = PackedFor(case.name, (item,) * case.count)
    slip = replace(sample_packing(), customer=case.name, ship_to=case.address, parcels=(parcel,), carrier=case.item)
    return packing_document(slip, paper=case.paper)


def _year(case: Awkward) -> Document:
    year = sample_year()
    row = replace(year.wearers[0].rows[0], sums=YearSums(1_234_567, 99_999, 12_345, 54_321))
    sums = YearSums()
    for _ in range(case.count):
        sums = sums.plus(row.sums)
    wearer = YearWearer(case.name, (row,) * case.count, sums)
    changed = replace(year, customer=case.name, customer_lines=case.address, wearers=(wearer,), sums=sums)
    return year_document(changed, paper=case.paper)


def _reorder(case: Awkward) -> Document:
    """Give a record with so many priced lines and lenses to compare, and findings that speak of the item."""
    sheet = sample_reorder()
    line, option = PriceLine(case.item, 1_234_567, 0, 1_234_567), sheet.options[0]
    named = (replace(option, name=case.item), *(replace(option, name=case.item, chosen=False),) * (case.count // 4))
    return reorder_document(
        replace(
            sheet,
            customer=case.name,
            wearer=case.name,
            customer_lines=case.address,
            prescriber=case.name,
            frame=case.item,
            trace_origin=case.item,
            lens=case.item,
            extras=(case.item,) * 3,
            right_change=case.item,
            findings=(RecordFinding("error", case.item), RecordFinding("note", case.name)),
            options=named,
            price=RecordPrice((line,) * case.count, 0, 1_234_567 * case.count),
        ),
        paper=case.paper,
    )


PAPERS: Mapping[str, Callable[[Awkward], Document]] = {
    "receipt": lambda case: receipt_document(receipt_of(case), paper=case.paper),
    "statement": lambda case: statement_document(account_statement(receipt_of(case)), paper=case.paper),
    "worksheet": lambda case: worksheet_document(claim_worksheet(receipt_of(case)), paper=case.paper),
    "packing": _packing,
    "confirmation": lambda case: order_document(_summary(sample_confirmation(), case), paper=case.paper),
    "quote": lambda case: order_document(_summary(sample_quote(), case), paper=case.paper),
    "year": _year,
    "reorder": _reorder,
}
"""Each paper with names, made for an awkward customer."""
