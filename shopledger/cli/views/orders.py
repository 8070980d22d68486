"""Orders, what was paid and shipped, receipts and drafts, shown."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from types import MappingProxyType
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.cli.views.lenses import OUT as LENSES
from shopledger.ledger.canonical import Shape
from shopledger.ledger.corrections import Correction
from shopledger.ledger.line_model import KeptLine, kept_lines
from shopledger.ledger.numbers import number_of
from shopledger.ledger.opening_debts import is_opening_debt
from shopledger.ledger.orders import (
    Cancellation,
    Charge,
    Draft,
    Order,
    OrderAccount,
    OrderLine,
    Pair,
    Payment,
    Refund,
)
from shopledger.ledger.pair_words import not_made
from shopledger.ledger.parcels import OrderAddress, Parcel, ParcelItem, ParcelReturn
from shopledger.ledger.payment_corrections import what_became
from shopledger.ledger.shipping import goods_beside, pairs_here, served_on, whole_content
from shopledger.money.amount import Cents, write_amount
from shopledger.money.rate import write_rate
from shopledger.optics.notation import write_eye
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.ledger.inspections import Omission
    from shopledger.optics.prescription import Prescription

_SUMS = ("list_total", "reduction_total", "net_total", "tax_total", "total")
_BACK = (Column("given back", right=True), Column("kept", right=True))
_MONEY = (Column("list", right=True), Column("off", right=True), Column("net", right=True), Column("tax", right=True))


OUT = Outside(
    {
        Order: Shape(
            first=("number", "customer_number", "day", "pairs", "lines", *_SUMS), left_out={"ship_to", "tax_rounding"}
        ),
        Pair: Shape(first=("position", "job_number")),
        OrderLine: Shape(
            first=(
                *("kind", "item_code", "description", "quantity", "pair", "wearer_number", "list_price", "reduction"),
                *(
                    "net",
                    "offer_code",
                    "tax_category",
                    "tax_rate",
                    "tax",
                    "tax_imposed_on",
                    "tax_reason",
                    "tax_place",
                    "tax_free",
                    "demo_lenses",
                ),
            ),
            renamed={"list_price": "list"},
        ),
        Charge: Shape(
            first=("description", "code", "modifier", "units"), renamed={"list_price": "list"}, left_out={"side"}
        ),
        Payment: Shape(left_out={"order_number", "deposit_number", "number"}),
        Correction: Shape(first=("number",), left_out={"order_number", "after_payment", "after_refund"}),
        Parcel: Shape(
            first=("number", "order_number", "day", "carrier", "tracking", "ship_to", "items", "came_back", "again_of")
        ),
        ParcelItem: Shape(),
        ParcelReturn: Shape(left_out={"parcel_number"}),
        OrderAddress: Shape(left_out={"order_number", "number"}),
        Cancellation: Shape(left_out={"order_number"}),
        Refund: Shape(
            first=("number",), last=("parts", "amount"), renamed={"parts": "lines"}, left_out={"order_number"}
        ),
        OrderAccount: Shape(
            keys=(
                *("payments", "paid", "refunds", "refunded", "given_way", "written_off", "balance", "corrections"),
                *("cancellation", "entered", "parcels", "shipped_on", "ship_to"),
            ),
            renamed={"cancellation": "cancelled"},
            made={"shipped_on": served_on},
        ),
        Draft: Shape(last=("body",), renamed={"order_number": "recorded_as", "body": "order_file"}),
    },
    LENSES,
)


def order_data(order: Order, customer: str = "") -> dict[str, Json]:
    """Give an order as JSON, with every charge as a claim counts it."""
    data = OUT.of(order)
    lines: list[Json] = [{"line": place, **OUT.of(line)} for place, line in enumerate(order.lines, start=1)]
    return {"number": data["number"], "customer": data["customer"], "customer_name": customer, **data, "lines": lines}


def account_data(account: OrderAccount, customer: str = "") -> dict[str, Json]:
    """Give an order with what happened to it as JSON; each line and charge with what was given back and is kept."""
    lines: list[Json] = [_kept_data(each) for each in kept_lines(account)]
    return {**order_data(account.order, customer), "lines": lines, **OUT.of(account)}


def _kept_data(kept: KeptLine) -> dict[str, Json]:
    charges: list[Json] = [
        {**OUT.of(each.charge), "given_back": money(each.given_back), "kept": money(each.kept)} for each in kept.charges
    ]
    return {
        "line": kept.place,
        **OUT.of(kept.line),
        "charges": charges,
        "given_back": money(kept.given_back),
        "tax_given_back": money(kept.tax_back),
        "kept": money(kept.kept),
        "tax_kept": money(kept.tax_kept),
    }


def listed_data(account: OrderAccount, customer: str) -> dict[str, Json]:
    """Give one row of a list of orders as JSON."""
    order = account.order
    return {
        "number": order.number,
        "day": day(order.day),
        "customer": order.customer_number,
        "customer_name": customer,
        "total": money(account.comes_to),
        "paid": money(account.paid),
        "refunded": money(account.refunded),
        "balance": money(account.balance),
        "shipped_on": day(served_on(account)) or None,
        "cancelled_on": day(account.cancellation.day) if account.cancellation else None,
    }


def refund_table(refund: Refund, order: Order) -> Table:
    """Give a refund for reading."""
    columns = (
        Column("line", right=True),
        Column("what"),
        Column("net", right=True),
        Column("tax", right=True),
        Column("goods back", right=True),
    )
    rows = [
        (
            str(part.line),
            order.lines[part.line - 1].description,
            write_amount(part.net),
            write_amount(part.tax) if part.tax else "",
            str(part.returned or ""),
        )
        for part in refund.parts
    ]
    return Table("Given back", columns, [*rows, ("", "in all", write_amount(refund.amount), "", "")])


def order_blocks(
    account: OrderAccount, customer: str = "", written: Mapping[int, Prescription] = MappingProxyType({})
) -> tuple[Fields, Table, Table, Table, Fields]:
    """Give an order for reading: its head, the lenses, the lines and the charges as they stand, the sums.

    `written` holds the prescriptions by number, to stand beside what is made from them.
    """
    order, kept = account.order, kept_lines(account)
    title = f"Order {order.number}" if order.number else "Order, not yet recorded"
    head = (
        ("customer", customer or str(order.customer_number)),
        ("day", day(order.day)),
        ("jobs", _jobs(order)),
        ("note", order.note),
        ("accepted", ", ".join(each.code for each in order.accepted)),
    )
    return Fields(title, head), lens_table(order, written), priced_table(kept), claim_table(kept), totals(order)


def lens_table(order: Order, written: Mapping[int, Prescription]) -> Table:
    """Give the power to make of each lens beside the prescription, and what is on that lens alone."""
    columns = (Column("pair", right=True), Column("eye"), Column("lens", whole=True), Column("power to make"))
    rows = [_lens_row(order, pair, side, written) for pair in order.standing_pairs for side in Side]
    return Table("", (*columns, Column("prescribed"), Column("alone has")), rows, "no lenses are sold.")


def _jobs(order: Order) -> str:
    """Name an order's jobs, and which of them was overtaken by which."""
    known = ((pair.job_number, order.next_pair(pair)) for pair in order.pairs if pair.job_number)
    return ", ".join(f"{job} (now {after.job_number})" if after else str(job) for job, after in known)


def _lens_row(order: Order, standing: Pair, side: Side, written: Mapping[int, Prescription]) -> tuple[str, ...]:
    pair, place = order.pair_made(standing, side), str(standing.place)
    absent = not_made(pair, side)
    if absent:
        return place, side.value, "", absent, "", ""
    source = written.get(pair.prescription_number or 0)
    made = "no prescription" if pair.prescription_number is None else ""
    if pair.made:
        made = write_eye(pair.made.eye(side))
    prescribed = write_eye(source.eye(side)) if source else ""
    return place, side.value, pair.lens_of(side), made, prescribed, ", ".join(pair.own(side).extras)


def priced_table(lines: Sequence[KeptLine]) -> Table:
    """Give an order's lines with their prices for reading, and what was given back and is kept where any was."""
    more = _BACK if _some_back(lines) else ()
    columns = (Column("line", right=True), Column("pair", right=True), Column("what"), *_MONEY, *more)
    rows = [
        (str(each.place), *_line_row(each.line, gone=each.put_right), *_back_row(each.given_back, each.kept))
        for each in lines
    ]
    return Table("", columns, [row[: len(columns)] for row in rows])


def claim_table(lines: Sequence[KeptLine]) -> Table:
    """Give the claim codes and reimbursement of each charge for reading, and what is kept of each."""
    more = _BACK if _some_back(lines) else ()
    columns = (
        Column("pair", right=True),
        Column("charge"),
        Column("code", whole=True),
        Column("net", right=True),
        *more,
        Column("reimbursement"),
    )
    rows = [
        (
            str(each.line.pair or ""),
            kept.charge.description,
            f"{kept.charge.code or 'none'} {kept.charge.modifier}".strip(),
            write_amount(kept.charge.net),
            *_back_row(kept.given_back, kept.kept)[: len(more)],
            _claim_words(each.line, kept.charge),
        )
        for each in lines
        if not each.put_right
        for kept in each.charges
    ]
    return Table("For a claim", columns, rows)


def _some_back(lines: Sequence[KeptLine]) -> bool:
    return any(each.given_back or each.tax_back for each in lines)


def _back_row(back: Cents, kept: Cents) -> tuple[str, str]:
    return write_amount(-back) if back else "", write_amount(kept)


def totals(order: Order) -> Fields:
    """Give an order's sums for reading."""
    rows = (
        ("list prices", write_amount(order.list_total)),
        ("reductions", write_amount(-order.reduction_total) if order.reduction_total else ""),
        ("sales tax", write_amount(order.tax_total)),
        ("taxed for", _tax_places(order)),
        ("exempt from sales tax", order.tax_exempt),
        ("total", write_amount(order.total)),
    )
    return Fields("Sums", rows)


def _tax_places(order: Order) -> str:
    """Name the places whose own rates the order was taxed by; nothing where the state's held for all of it."""
    places = dict.fromkeys((line.tax_place, line.tax_rate) for line in order.lines if line.tax_place and line.tax_rate)
    return ", ".join(f"{place} ({write_rate(rate)})" for place, rate in places)


def account_fields(account: OrderAccount, omitted: Sequence[Omission] = ()) -> Fields:
    """Give what was paid and shipped for reading; `omitted` says why jobs left without a passed inspection."""
    paid = "; ".join(payment_words(account, payment) for payment in account.payments)
    rows = (
        ("total", write_amount(account.comes_to)),
        ("payments", paid),
        ("paid", write_amount(account.paid)),
        ("refunds", _refund_words(account)),
        ("written off", write_amount(account.written_off) if account.written_off else ""),
        ("balance", write_amount(account.balance)),
        ("ships to", ", ".join(account.ship_to.lines) if whole_content(account) else ""),
        ("shipped", _shipped_words(account)),
        *((f"parcel {parcel.number}", parcel_words(parcel)) for parcel in account.parcels),
        ("not inspected", "; ".join(f"job {each.job_number}: {each.reason}" for each in omitted)),
        ("cancelled", _cancelled_words(account)),
        ("recorded", f"by {account.entered.operator} at {account.entered.at}" if account.entered else ""),
    )
    return Fields("Account", rows)


def payment_words(account: OrderAccount, payment: Payment) -> str:
    """Say a payment in one line, with what became of it."""
    head = f"{write_amount(payment.amount)} {payment.method.value} {payment.reference}".strip()
    became = "; ".join(what_became(account, number_of(payment)))
    return f"{head} on {day(payment.day)}{f' ({became})' if became else ''}"


def account_table(accounts: Sequence[tuple[OrderAccount, str]]) -> Table:
    """Give several orders for reading."""
    columns = (
        Column("order", right=True),
        Column("day", whole=True),
        Column("customer"),
        Column("total", right=True),
        Column("balance", right=True),
        Column("shipped", whole=True),
    )
    rows = [
        (
            str(each.order.number),
            day(each.order.day),
            name,
            write_amount(each.comes_to),
            write_amount(each.balance),
            _state(each),
        )
        for each, name in accounts
    ]
    return Table("Orders", columns, rows, "none found.")


def _state(account: OrderAccount) -> str:
    if account.cancellation is not None:
        return "cancelled"
    if is_opening_debt(account.order):
        return "before"
    left = day(served_on(account))
    if left:
        return left
    return "in part" if account.away else "no"


def _shipped_words(account: OrderAccount) -> str:
    """Say when the last of what was sold left, and what is still here."""
    if is_opening_debt(account.order):
        return "before these books began"
    left, here = day(served_on(account)), [f"job {pair.job_number}" for pair in pairs_here(account)]
    if not left:
        return f"in part; here: {_here_words(account)}" if account.away else "not yet"
    return f"{left}; here: {', '.join(here)}" if here and account.away else left


def _here_words(account: OrderAccount) -> str:
    jobs = (f"job {pair.job_number}" for pair in pairs_here(account))
    goods = (f"{each.count} × {each.line.description}" for each in goods_beside(account))
    return ", ".join((*jobs, *goods))


def parcel_words(parcel: Parcel) -> str:
    """Say when a parcel left, and that it came back."""
    said = f"{day(parcel.day)} by {parcel.carrier} {parcel.tracking}".strip()
    jobs = ", ".join(f"job {job}" for job in parcel.jobs)
    said = f"{said}, {jobs}" if jobs else said
    back = parcel.came_back
    return f"{said}; came back on {day(back.day)}: {back.reason}" if back else said


def _refund_words(account: OrderAccount) -> str:
    return "; ".join(
        f"{write_amount(refund.amount)} {refund.method.value} on {day(refund.day)}: {refund.reason}"
        for refund in account.refunds
    )


def _cancelled_words(account: OrderAccount) -> str:
    if account.cancellation is None:
        return ""
    return f"on {day(account.cancellation.day)}: {account.cancellation.reason}"


def draft_table(drafts: Sequence[Draft]) -> Table:
    """Give drafts for reading."""
    columns = (
        Column("draft", right=True),
        Column("day", whole=True),
        Column("customer", right=True),
        Column("reason"),
        Column("recorded as order", right=True),
    )
    rows = [
        (str(each.number), day(each.day), str(each.customer_number), each.reason, str(each.order_number or ""))
        for each in drafts
    ]
    return Table("Drafts", columns, rows, "none.")


def _line_row(line: OrderLine, *, gone: bool = False) -> tuple[str, ...]:
    words = f"{line.quantity} × {line.description}" if line.quantity > 1 else line.description
    off = write_amount(-line.reduction) if line.reduction else ""
    whose = f"for wearer {line.wearer_number}" if line.pair is None and line.wearer_number is not None else ""
    what = [words, f"offer {line.offer_code}" if line.offer_code else "", whose, "taken out" if gone else ""]
    return (
        str(line.pair or ""),
        "\n".join(filter(None, what)),
        write_amount(line.list_price),
        off,
        write_amount(line.net),
        write_amount(line.tax) if line.tax else "",
    )


def _claim_words(line: OrderLine, charge: Charge) -> str:
    words = line.reimbursement.value
    return f"{words}; {charge.note}" if charge.note else words
