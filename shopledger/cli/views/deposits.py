"""Deposits of customers, and what was voided, shown."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.deposits import Deposit, DepositAccount
from shopledger.ledger.books.journal import Entry, Posting
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.deposits import DepositCard
    from shopledger.desk.books.voiding import VoidPlan


OUT = Outside(
    {
        Deposit: Shape(first=("number",), left_out={"customer_number", "note", "gives_back"}),
        Entry: Shape(keys=("reverses", "memo", "postings")),
        Posting: Shape(made={"account": lambda posting: posting.account.title}),
    }
)


def deposit_data(card: DepositCard) -> dict[str, Json]:
    """Give a deposit with what became of it as JSON."""
    account = card.account
    back: list[Json] = [
        {**OUT.of(each.deposit), "taken_back_on": day(each.voided_on) or None} for each in account.given_back
    ]
    return {
        **OUT.of(account.deposit),
        "customer": account.deposit.customer_number,
        "customer_name": card.customer.name,
        "note": account.deposit.note,
        "used": [{**OUT.of(use)} for use in account.uses],
        "given_back": back,
        "left": money(account.left),
        "taken_back_on": day(account.voided_on) or None,
    }


def handed_data(handed: Deposit) -> dict[str, Json]:
    """Give what would be handed back as JSON."""
    return {**OUT.of(handed), "gives_back": handed.gives_back}


def voided_data(plan: VoidPlan) -> dict[str, Json]:
    """Give the voiding of a document as JSON, with what its entries move."""
    return {
        "document": str(plan.taken.document),
        "day": day(plan.taken.day),
        "reason": plan.taken.reason,
        "entries": OUT.all(plan.entries),
    }


def deposit_blocks(card: DepositCard) -> tuple[Fields, Table] | tuple[Fields]:
    """Give a deposit for reading, with what became of it if anything did."""
    account, deposit = card.account, card.account.deposit
    head = Fields(
        f"Deposit {deposit.number}",
        (
            ("customer", card.customer.name),
            ("day", day(deposit.day)),
            ("amount", write_amount(deposit.amount)),
            ("by", f"{deposit.method.value} {deposit.reference}".strip()),
            ("note", deposit.note),
            ("voided", day(account.voided_on)),
            ("left", write_amount(account.left)),
        ),
    )
    events = list(_events(account))
    columns = (Column("day", whole=True), Column("what"), Column("amount", right=True))
    return (head, Table("What became of it", columns, events)) if events else (head,)


def deposit_table(cards: Sequence[DepositCard]) -> Table:
    """Give a list of deposits for reading."""
    columns = (
        Column("no.", right=True),
        Column("day", whole=True),
        Column("customer"),
        Column("by"),
        Column("amount", right=True),
        Column("left", right=True),
    )
    rows = [
        (
            str(card.account.deposit.number),
            day(card.account.deposit.day),
            card.customer.name,
            card.account.deposit.method.value,
            write_amount(card.account.deposit.amount),
            write_amount(card.account.left),
        )
        for card in cards
    ]
    return Table("Deposits", columns, rows, "none.")


def handed_fields(handed: Deposit) -> Fields:
    """Give what would be handed back for reading."""
    rows = (
        ("of deposit", str(handed.gives_back)),
        ("day", day(handed.day)),
        ("amount", write_amount(handed.amount)),
        ("by", f"{handed.method.value} {handed.reference}".strip()),
        ("note", handed.note),
    )
    return Fields("Given back", rows)


def voided_blocks(plan: VoidPlan) -> tuple[Fields, Table]:
    """Give the voiding of a document for reading."""
    head = (("document", str(plan.taken.document)), ("day", day(plan.taken.day)), ("reason", plan.taken.reason))
    columns = (
        Column("of entry", right=True),
        Column("account"),
        Column("debit", right=True),
        Column("credit", right=True),
    )
    rows = [
        (
            str(entry.reverses),
            each.account.title,
            write_amount(each.amount) if each.amount > 0 else "",
            write_amount(-each.amount) if each.amount < 0 else "",
        )
        for entry in plan.entries
        for each in entry.postings
    ]
    return Fields("Voided", head), Table("Reversed", columns, rows)


def _events(account: DepositAccount) -> Iterator[tuple[str, str, str]]:
    for use in account.uses:
        yield day(use.day), f"paid on order {use.order_number}", write_amount(-use.amount)
        for back in use.reversed:
            words = "put back, payment" if back.amount > 0 else "taken again, payment"
            yield day(back.day), f"{words} {use.payment_number} on order {use.order_number}", write_amount(back.amount)
        if use.put_back_on and use.standing:
            yield day(use.put_back_on), f"order {use.order_number} cancelled", write_amount(use.standing)
    for each in account.given_back:
        handed = each.deposit
        yield (
            day(handed.day),
            f"given back, {handed.method.value} (deposit {handed.number})",
            write_amount(-handed.amount),
        )
        if each.voided_on:
            yield day(each.voided_on), f"deposit {handed.number} voided", write_amount(handed.amount)
