"""Payments of an order and what became of them, what putting one right would store, and card payments by day."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.cli.views.lenses import finding_data, finding_table
from shopledger.cli.views.orders import OUT, account_data
from shopledger.ledger.books.customer_rows import CardDayRow
from shopledger.ledger.books.period import Period
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount, Payment
from shopledger.ledger.payment_corrections import what_became
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.payment_corrections import PaymentPlan, PaymentPutRight


def payments_data(account: OrderAccount) -> dict[str, Json]:
    """Give an order's payments as JSON, each with what stands of it and what became of it."""
    return {
        "order": account.order.number,
        "payments": [
            {
                **payment_data(payment),
                "deposit": payment.deposit_number,
                "stands": money(_standing(account, payment)),
                "became": list(what_became(account, number_of(payment))),
            }
            for payment in account.payments
        ],
        "paid": money(account.paid),
        "refunded": money(account.refunded),
        "written_off": money(account.written_off),
        "balance": money(account.balance),
    }


def payment_data(payment: Payment) -> dict[str, Json]:
    """Give one payment as JSON, with its number and its order."""
    return {"number": payment.number, "order": payment.order_number, **OUT.of(payment)}


def payments_table(account: OrderAccount) -> Table:
    """Give an order's payments for reading."""
    columns = (
        Column("no.", right=True),
        Column("day", whole=True),
        Column("by"),
        Column("amount", right=True),
        Column("stands", right=True),
        Column("what became of it"),
    )
    rows = [
        (
            str(payment.number),
            day(payment.day),
            f"{payment.method.value} {payment.reference}".strip(),
            write_amount(payment.amount),
            write_amount(_standing(account, payment)),
            "; ".join((*_origin(payment), *what_became(account, number_of(payment)))),
        )
        for payment in account.payments
    ]
    return Table(f"Payments on order {account.order.number}", columns, rows, "none.")


def _standing(account: OrderAccount, payment: Payment) -> int:
    return 0 if account.cancellation else account.standing(number_of(payment))


def _origin(payment: Payment) -> tuple[str, ...]:
    """Say where a payment comes from that did not come in by itself."""
    told = (
        (payment.deposit_number, "from deposit"),
        (payment.moved_from, "moved here, payment"),
        (payment.corrects, "in the place of payment"),
    )
    return tuple(f"{words} {number}" for number, words in told if number is not None)


def plan_data(plan: PaymentPlan) -> dict[str, Json]:
    """Give what would be stored as JSON."""
    return {
        "correction": OUT.of(plan.correction),
        "payment": None if plan.payment is None else payment_data(plan.payment),
        "charge": None if plan.charge is None else money(plan.charge.net),
        "findings": finding_data(plan.findings),
    }


def plan_blocks(plan: PaymentPlan) -> tuple[Fields | Table, ...]:
    """Give what would be stored for reading."""
    new, payment = plan.correction, plan.payment
    rows = (
        ("order", str(new.order_number)),
        ("day", day(new.day)),
        ("what", new.kind.value),
        ("payment", str(new.payment_number or "")),
        ("amount", write_amount(new.amount) if new.amount else ""),
        ("fee", write_amount(new.fee) if new.fee else ""),
        ("charged to the customer", write_amount(plan.charge.net) if plan.charge else ""),
        ("reason", new.reason),
        ("in its place", _payment_words(payment) if payment else ""),
    )
    findings = (finding_table(plan.findings),) if plan.findings else ()
    return (Fields("Put right", rows), *findings)


def _payment_words(payment: Payment) -> str:
    head = f"{write_amount(payment.amount)} {payment.method.value} {payment.reference}".strip()
    return f"{head} on {day(payment.day)}, order {payment.order_number}"


def done_data(done: PaymentPutRight) -> dict[str, Json]:
    """Give what was stored as JSON, with the order as it stands now."""
    return {
        "correction": OUT.of(done.correction),
        "payment": None if done.payment is None else payment_data(done.payment),
        "deposit": done.deposit_number,
        "touched_receipts": list(done.touched_receipts),
        "order": account_data(done.account),
        "other_order": None if done.other is None else account_data(done.other),
    }


def card_days_data(period: Period, rows: Sequence[CardDayRow]) -> dict[str, Json]:
    """Give the card payments of each day as JSON."""
    return {
        "first": day(period.first),
        "last": day(period.last),
        "days": [{"day": day(row.day), "count": row.count, "gross": money(row.amount)} for row in rows],
        "months": {month: money(amount) for month, amount in _by_month(rows).items()},
        "count": sum(row.count for row in rows),
        "gross": money(sum(row.amount for row in rows)),
    }


def card_days_blocks(period: Period, rows: Sequence[CardDayRow]) -> tuple[Table, Table]:
    """Give the card payments of each day and of each month for reading."""
    columns = (Column("day", whole=True), Column("transactions", right=True), Column("gross", right=True))
    days = [(day(row.day), str(row.count), write_amount(row.amount)) for row in rows]
    sums = ("in all", str(sum(row.count for row in rows)), write_amount(sum(row.amount for row in rows)))
    by_month = [(month, write_amount(amount)) for month, amount in _by_month(rows).items()]
    return (
        Table(f"Card payments, {period}", columns, [*days, sums] if days else [], "none."),
        Table("By month", (Column("month", whole=True), Column("gross", right=True)), by_month, "none."),
    )


def _by_month(rows: Sequence[CardDayRow]) -> dict[str, int]:
    found: dict[str, int] = {}
    for row in rows:
        month = f"{row.day:%Y-%m}"
        found[month] = found.get(month, 0) + row.amount
    return found
