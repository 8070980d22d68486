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
from shopledger.paperwork.order_papers import CONFIRMATION, PACKING, QUOTE
from shopledger.paperwork.page import Document
from shopledger.paperwork.paper import document_of
from shopledger.paperwork.receipt import RECEIPT
from shopledger.paperwork.reorder import REORDER
from shopledger.paperwork.statement import STATEMENT
from shopledger.paperwork.worksheet import WORKSHEET
from shopledger.paperwork.year import YEAR

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
    first = RECEIPT.sample().lines[0]
    lines = tuple(replace(first, words=f"{case.item} {at + 1}", offer=case.item) for at in range(case.count))
    lines = (replace(lines[0], given_back=900), *lines[1:])
    total = sum(line.charge for line in lines)
    sample = RECEIPT.sample()
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
    item = replace(PACKING.sample().parcels[0].items[0], description=case.item)
    parcel = PackedFor(case.name, (item,) * case.count)
    slip = replace(PACKING.sample(), customer=case.name, ship_to=case.address, parcels=(parcel,), carrier=case.item)
    return document_of(PACKING, slip, size=case.paper)


def _year(case: Awkward) -> Document:
    year = YEAR.sample()
    row = replace(year.wearers[0].rows[0], sums=YearSums(1_234_567, 112_344, 54_321))
    sums = YearSums()
    for _ in range(case.count):
        sums = sums.plus(row.sums)
    wearer = YearWearer(case.name, (row,) * case.count, sums)
    changed = replace(year, customer=case.name, customer_lines=case.address, wearers=(wearer,), sums=sums)
    return document_of(YEAR, changed, size=case.paper)


def _reorder(case: Awkward) -> Document:
    """Give a record with so many priced lines and lenses to compare, and findings that speak of the item."""
    record = REORDER.sample()
    line, option = PriceLine(case.item, 1_234_567, 0, 1_234_567), record.options[0]
    named = (replace(option, name=case.item), *(replace(option, name=case.item, chosen=False),) * (case.count // 4))
    return document_of(
        REORDER,
        replace(
            record,
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
        size=case.paper,
    )


PAPERS: Mapping[str, Callable[[Awkward], Document]] = {
    "receipt": lambda case: document_of(RECEIPT, receipt_of(case), size=case.paper),
    "statement": lambda case: document_of(STATEMENT, account_statement(receipt_of(case)), size=case.paper),
    "worksheet": lambda case: document_of(WORKSHEET, claim_worksheet(receipt_of(case)), size=case.paper),
    "packing": _packing,
    "confirmation": lambda case: document_of(CONFIRMATION, _summary(CONFIRMATION.sample(), case), size=case.paper),
    "quote": lambda case: document_of(QUOTE, _summary(QUOTE.sample(), case), size=case.paper),
    "year": _year,
    "reorder": _reorder,
}
"""Each paper with names, made for an awkward customer."""
