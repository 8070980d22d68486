"""Suppliers and their bills, shown."""

from __future__ import annotations

from collections.abc import Sequence
from datetime import date
from typing import TYPE_CHECKING

from shopledger.cli.output import Block, Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.bill_credits import BillCredit
from shopledger.ledger.books.bills import BillAccount, BillLine, BillLineKind, BillPayment, SupplierCredit
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import Cents, write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.bill_credits import CreditPlan
    from shopledger.desk.people import SupplierCard

NUMBER = Column("no.", right=True)
DAY = Column("day", whole=True)
AMOUNT = Column("amount", right=True)


OUT = Outside(
    {
        Supplier: Shape(first=("number",)),
        BillLine: Shape(last=("amount", "landed")),
        BillPayment: Shape(first=("number",), left_out={"bill_number"}),
        SupplierCredit: Shape(left_out={"bill_number"}),
        BillCredit: Shape(first=("number", "bill_number"), left_out={"parts"}),
    }
)


def listed_data(account: BillAccount) -> dict[str, Json]:
    """Give a bill as JSON: whose it is, and what is owed on it."""
    bill = account.bill
    return {
        "number": bill.number,
        "supplier": {"number": bill.supplier_number or None, "name": account.supplier},
        "invoice": bill.invoice,
        "day": day(bill.day),
        "due": day(bill.due_on) or None,
        "total": money(bill.total),
        "paid": money(account.paid),
        "credited": money(account.credited),
        "changed": money(account.changed),
        "balance": money(account.balance),
        "taken_back": {"day": day(account.voided), "reason": account.why_voided} if account.voided else None,
    }


def bill_data(account: BillAccount, file: str) -> dict[str, Json]:
    """Give a bill with all that happened to it as JSON."""
    return {
        **listed_data(account),
        "note": account.bill.note,
        "file": file or None,
        "lines": OUT.all(account.bill.lines),
        "payments": OUT.all(account.payments),
        "sent_back": OUT.all(account.credits),
        "changes": OUT.all(account.changes),
    }


def change_data(plan: CreditPlan) -> dict[str, Json]:
    """Give what changes a bill as JSON: itself, and which accounts take what of it."""
    return {**OUT.of(plan.credit), "shares": {title: money(cents) for title, cents in _shares(plan)}}


def change_fields(plan: CreditPlan) -> Fields:
    """Give what changes a bill for reading: itself, and which accounts take what of it."""
    credit = plan.credit
    title = f"Bill credit {credit.number}" if credit.number else "Bill credit, not recorded"
    rows = (
        ("what", credit.kind.value),
        ("amount", write_amount(credit.amount)),
        ("day", day(credit.day)),
        ("to", credit.method.value if credit.method else ""),
        ("bill", str(credit.other_bill or "")),
        ("reason", credit.reason),
        *((f"off {account}", write_amount(cents)) for account, cents in _shares(plan)),
    )
    return Fields(title, rows)


def _shares(plan: CreditPlan) -> list[tuple[str, Cents]]:
    """Give what of a change each account takes; goods on the shelf first."""
    parts = [(part.account, part.amount) for part in plan.credit.parts if part.account is not Account.INVENTORY]
    whole = ((Account.INVENTORY, plan.on_shelf), *parts)
    return [(account.title, cents) for account, cents in whole if cents]


def card_data(card: SupplierCard) -> dict[str, Json]:
    """Give a supplier with the open bills as JSON."""
    return {**OUT.of(card.supplier), "owed": money(card.owed), "open_bills": list(map(listed_data, card.open_bills))}


def bills_data(found: Sequence[BillAccount], today: date) -> dict[str, Json]:
    """Give a list of bills as JSON."""
    rows: list[Json] = [{**listed_data(account), "overdue": overdue(account, today)} for account in found]
    return {"bills": rows, "owed": money(sum(account.balance for account in found))}


def supplier_table(found: Sequence[Supplier]) -> Table:
    """Give suppliers for reading."""
    columns = (NUMBER, Column("supplier"), Column("account"), Column("phone"), Column("mail"), Column("note"))
    rows = [(str(each.number), each.name, each.account, each.phone, each.email, each.note) for each in found]
    return Table("Suppliers", columns, rows, "none yet.")


def card_blocks(card: SupplierCard, today: date) -> tuple[Block, ...]:
    """Give a supplier with the open bills for reading."""
    supplier = card.supplier
    rows = (
        ("supplier", supplier.name),
        ("account", supplier.account),
        ("phone", supplier.phone),
        ("mail", supplier.email),
        ("note", supplier.note),
        ("owed", write_amount(card.owed)),
    )
    return Fields(f"Supplier {supplier.number}", rows), bills_table(card.open_bills, today)


def bills_table(found: Sequence[BillAccount], today: date) -> Table:
    """Give a list of bills for reading."""
    columns = (
        NUMBER,
        DAY,
        Column("supplier"),
        Column("invoice"),
        Column("total", right=True),
        Column("owed", right=True),
        Column("due", whole=True),
        Column("note"),
    )
    rows = [
        (
            str(account.bill.number),
            day(account.bill.day),
            account.supplier,
            account.bill.invoice,
            write_amount(account.bill.total),
            write_amount(account.balance),
            day(account.bill.due_on),
            _mark(account, today),
        )
        for account in found
    ]
    return Table("Bills", columns, rows, "none.")


def bill_blocks(account: BillAccount, file: str) -> tuple[Block, ...]:
    """Give a bill with its lines, payments and what went back for reading."""
    bill = account.bill
    title = f"Bill {bill.number}" if bill.number else "Bill, not recorded"
    head = (
        ("supplier", account.supplier),
        ("invoice", bill.invoice),
        ("day", day(bill.day)),
        ("due", day(bill.due_on)),
        ("note", bill.note),
        ("file", file),
        ("voided", f"{day(account.voided)}, {account.why_voided}" if account.voided else ""),
    )
    blocks: list[Block] = [Fields(title, head), _lines_table(bill.lines), account_fields(account)]
    if account.payments:
        blocks.append(_payments_table(account))
    if account.credits:
        blocks.append(_credits_table(account))
    if account.changes:
        blocks.append(_changes_table(account))
    return tuple(blocks)


def account_fields(account: BillAccount) -> Fields:
    """Give what a bill comes to and what is owed on it for reading."""
    balance = account.balance
    rows = (
        ("total", write_amount(account.bill.total)),
        ("paid", write_amount(account.paid)),
        ("sent back", write_amount(account.credited) if account.credited else ""),
        ("less owed since", write_amount(account.changed) if account.changed else ""),
        ("owed", write_amount(balance) if balance >= 0 else ""),
        ("in the shop's favour", write_amount(-balance) if balance < 0 else ""),
    )
    return Fields("", rows)


def overdue(account: BillAccount, today: date) -> bool:
    """Tell whether a bill should have been paid."""
    due = account.bill.due_on
    return account.balance > 0 and due is not None and due < today


def _mark(account: BillAccount, today: date) -> str:
    if account.voided:
        return "voided"
    if account.balance < 0:
        return "in credit"
    return "overdue" if overdue(account, today) else ""


def _lines_table(lines: Sequence[BillLine]) -> Table:
    columns = (Column("for"), Column("what"), AMOUNT, Column("landed", right=True))
    rows = [
        (
            line.words,
            line.description if line.kind is not BillLineKind.FREIGHT else "carried by goods and jobs",
            write_amount(line.amount),
            write_amount(line.landed) if line.kind is not BillLineKind.FREIGHT else "",
        )
        for line in lines
    ]
    return Table("", columns, rows)


def _payments_table(account: BillAccount) -> Table:
    columns = (NUMBER, DAY, Column("from"), Column("reference"), AMOUNT)
    rows = [
        (str(each.number or ""), day(each.day), each.method.value, each.reference, write_amount(each.amount))
        for each in account.payments
    ]
    return Table("Payments", columns, rows)


def _changes_table(account: BillAccount) -> Table:
    columns = (NUMBER, DAY, Column("what"), Column("less owed", right=True), Column("reason"))
    rows = [
        (
            str(each.number),
            day(each.day),
            each.kind.value,
            write_amount(each.off(account.bill.number or 0)),
            each.reason if each.other_bill is None else f"bill {each.bill_number} against bill {each.other_bill}",
        )
        for each in account.changes
    ]
    return Table("Changed since", columns, rows)


def _credits_table(account: BillAccount) -> Table:
    columns = (DAY, Column("what"), Column("cost", right=True), Column("credit", right=True), Column("reason"))
    rows = [
        (
            day(each.day),
            f"{each.quantity} {each.item_code}",
            write_amount(each.cost),
            write_amount(each.credit),
            each.reason,
        )
        for each in account.credits
    ]
    return Table("Sent back", columns, rows)
