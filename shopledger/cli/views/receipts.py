"""Claim receipts, shown: what was issued, what it says, and what is not handed in yet."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from datetime import date
from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.ledger.receipt import IssuedReceipt
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.claims import OpenClaim
    from shopledger.desk.receipts import PrintedReceipt

_MONEY = (Column("list", right=True), Column("off", right=True), Column("net", right=True))


def receipt_data(receipt: IssuedReceipt, overtaken: Collection[int] = ()) -> dict[str, Json]:
    """Give an issued receipt as JSON, without its frozen content; `overtaken` holds the numbers of those that are."""
    content = receipt.content
    return {
        "number": receipt.number,
        "order": receipt.order_number,
        "wearer": content.wearer,
        "customer": content.customer,
        "issued_on": content.issued_on,
        "total": money(content.total),
        "paid": money(content.paid),
        "refunded": money(content.refunded),
        "balance": money(content.balance),
        "prints": receipt.prints,
        "replaced_by": receipt.replaced_by,
        "replaced_because": receipt.replaced_because,
        "overtaken": receipt.number in overtaken,
        "claimed_on": day(receipt.claimed_on) if receipt.claimed_on else None,
        "sha256": receipt.sha256,
    }


def receipt_table(receipts: Sequence[IssuedReceipt], overtaken: Collection[int] = ()) -> Table:
    """Give receipts for reading."""
    columns = (
        Column("no.", right=True),
        Column("order", right=True),
        Column("for"),
        Column("issued", whole=True),
        Column("total", right=True),
        Column("balance", right=True),
        Column("replaced", right=True),
    )
    rows = [
        (
            str(each.number),
            str(each.order_number),
            each.content.wearer or f"{each.content.customer} (customer)",
            each.content.issued_on,
            write_amount(each.content.total),
            write_amount(each.content.balance),
            f"by {each.replaced_by}" if each.replaced_by else "to replace" if each.number in overtaken else "",
        )
        for each in receipts
    ]
    return Table("Receipts", columns, rows, "none yet.")


def content_blocks(receipt: IssuedReceipt) -> tuple[Fields, Table, Fields]:
    """Give a receipt's frozen content for reading."""
    content = receipt.content
    head = (
        ("wearer", content.wearer or "nobody in particular"),
        ("customer", content.customer),
        ("order", f"{content.order_number} of {content.order_day}"),
        ("issued", content.issued_on),
        ("dispensed", content.dispensed_on or "not yet shipped"),
        ("prescriber", content.prescriber),
        ("printed", f"{receipt.prints} times"),
        ("diagnoses", ", ".join(content.diagnoses)),
        ("replaces", f"{content.replaces}: {content.replaces_because}".removesuffix(": ") if content.replaces else ""),
        ("replaced by", f"{receipt.replaced_by}: {receipt.replaced_because}" if receipt.replaced_by else ""),
        ("handed in", day(receipt.claimed_on) if receipt.claimed_on else ""),
        ("erased", f"on {content.erased_on}, by erasure {content.erasure}" if content.erased_on else ""),
    )
    columns = (Column("charge"), Column("code", whole=True), *_MONEY, Column("reimbursement"))
    rows = [
        (
            line.said,
            f"{line.code} {line.modifier}".strip(),
            write_amount(line.list_price),
            write_amount(-line.reduction) if line.reduction else "",
            write_amount(line.charge),
            line.reimbursement,
        )
        for line in content.lines
    ]
    sums = (
        ("shipping", write_amount(content.shipping)),
        ("sales tax", write_amount(content.tax)),
        ("total", write_amount(content.total)),
        ("paid", write_amount(content.paid)),
        ("given back", write_amount(content.refunded) if content.refunded else ""),
        ("balance", write_amount(content.balance)),
        ("ledger head", content.ledger_head),
    )
    return Fields(f"Receipt {receipt.number}", head), Table("", columns, rows), Fields("Sums", sums)


def printed_data(printed: PrintedReceipt, **more: Json) -> dict[str, Json]:
    """Give a receipt that was just printed as JSON."""
    return {**receipt_data(printed.receipt, _overtaken(printed)), **more, "file": str(printed.file)}


def printed_blocks(printed: PrintedReceipt) -> tuple[Block, ...]:
    """Give a receipt that was just printed for reading."""
    return receipt_table((printed.receipt,), _overtaken(printed)), Fields("", (("file", printed.file),))


def _overtaken(printed: PrintedReceipt) -> Collection[int]:
    return {printed.receipt.number} if printed.overtaken else ()


def claim_data(claim: OpenClaim, today: date) -> dict[str, Json]:
    """Give what is not handed in yet as JSON."""
    return {
        "order": claim.order_number,
        "customer": claim.customer,
        "wearer": claim.wearer,
        "amount": money(claim.amount),
        "receipt": claim.receipt,
        "overtaken": claim.overtaken,
        "shipped_on": day(claim.served_on) or None,
        "last_day": day(claim.last_day) or None,
        "days_left": claim.runs_out(today),
    }


def claim_table(claims: Sequence[OpenClaim], today: date) -> Table:
    """Give what is not handed in yet for reading."""
    columns = (
        Column("order", right=True),
        Column("wearer"),
        Column("amount", right=True),
        Column("receipt"),
        Column("last day", whole=True),
        Column("days left", right=True),
    )
    rows = []
    for claim in claims:
        left = claim.runs_out(today)
        receipt = "none" if claim.receipt is None else f"{claim.receipt}{', to replace' if claim.overtaken else ''}"
        until = day(claim.last_day) or ("not known" if claim.served_on else "not shipped")
        cells = (str(claim.order_number), claim.wearer, write_amount(claim.amount), receipt, until)
        rows.append((*cells, "" if left is None else "over" if left < 0 else str(left)))
    return Table("Not handed in", columns, rows, "nothing: all that is paid was handed in.")
