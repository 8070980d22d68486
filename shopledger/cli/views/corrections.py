"""What was put right on an order, shown: before it is stored, once it is, and in the account of its order."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.cli.views.lenses import finding_data
from shopledger.cli.views.orders import OUT
from shopledger.ledger.line_model import kept_lines
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.putting_right import CorrectionDone, CorrectionPlan
    from shopledger.ledger.corrections import Correction
    from shopledger.ledger.orders import OrderAccount, Pair

_MONEY = (Column("net", right=True), Column("tax", right=True))


def plan_data(plan: CorrectionPlan) -> dict[str, Json]:
    """Give what a deed would store as JSON."""
    change = plan.change
    return {
        **_correction_data(plan.correction, change.account),
        "taken_out": _out_data(plan),
        "added": _added_data(plan),
        "jobs": [_job_data(job) for job in change.jobs],
        "taken_out_jobs": [pair.job_number for pair in change.gone],
        "difference": money(plan.difference),
        "due_back": money(plan.due_back),
        "balance": money(plan.after.balance),
        "findings": finding_data(change.findings),
    }


def done_data(done: CorrectionDone, plan: CorrectionPlan) -> dict[str, Json]:
    """Give what a deed stored as JSON."""
    return {
        **plan_data(plan),
        "number": done.correction.number,
        "jobs": [_job_data(job) for job in done.jobs],
        "refund": done.refund.number if done.refund else None,
        "balance": money(done.account.balance),
        "touched_receipts": list(done.touched_receipts),
    }


def change_table(plan: CorrectionPlan) -> Table:
    """Give the lines that give way and come in for reading."""
    rows = [*_out_rows(plan), *_added_rows(plan)]
    columns = (Column(""), Column("line", right=True), Column("what"), *_MONEY, Column("goods", right=True))
    return Table("Lines", columns, rows, "none changes.")


def plan_fields(plan: CorrectionPlan, jobs: Sequence[Pair]) -> Fields:
    """Give what a deed comes to for reading."""
    correction = plan.correction
    rows = (
        ("order", str(correction.order_number)),
        ("day", day(correction.day)),
        ("reason", correction.reason),
        ("jobs", "; ".join(_job_words(job) for job in jobs)),
        ("taken out", ", ".join(f"job {pair.job_number}" for pair in plan.change.gone)),
        ("the order comes to", _signed(plan.difference)),
        ("given back", write_amount(plan.due_back) if plan.due_back else ""),
        ("balance", write_amount(plan.after.balance)),
    )
    title = f"Correction {correction.number}" if correction.number else "Correction, not yet recorded"
    return Fields(f"{title}: {correction.kind.value}", rows)


def corrections_data(account: OrderAccount) -> list[Json]:
    """Give all that was put right on an order as JSON."""
    return [
        {
            **_correction_data(each, account),
            "payment": each.payment_number,
            "amount": money(each.amount),
            "fee": money(each.fee),
            "taken_out": OUT.all(each.parts),
            "added": _added_by(account, each),
        }
        for each in account.corrections
    ]


def corrections_table(account: OrderAccount) -> tuple[Table, ...]:
    """Give all that was put right on an order for reading; nothing where nothing was."""
    if not account.corrections:
        return ()
    columns = (Column("no.", right=True), Column("day", whole=True), Column("kind", whole=True), Column("reason"))
    rows = [
        (str(each.number or ""), day(each.day), each.kind.value, each.reason, _what_words(account, each))
        for each in account.corrections
    ]
    return (Table("Put right since", (*columns, Column("what")), rows),)


def _correction_data(correction: Correction, account: OrderAccount) -> dict[str, Json]:
    return {
        "number": correction.number,
        "order": account.order.number,
        "day": day(correction.day),
        "kind": correction.kind.value,
        "reason": correction.reason,
    }


def _out_data(plan: CorrectionPlan) -> list[Json]:
    lines = plan.change.account.order.lines
    return [{"description": lines[part.line - 1].description, **OUT.of(part)} for part in plan.change.out]


def _added_data(plan: CorrectionPlan) -> list[Json]:
    first = len(plan.change.account.order.lines) + 1
    return [{"line": place, **OUT.of(line)} for place, line in enumerate(plan.change.added, start=first)]


def _job_data(job: Pair) -> dict[str, Json]:
    again = job.again
    return {"job": job.job_number, "in_place_of": again.job if again else None, "pair": job.place if again else None}


def _job_words(job: Pair) -> str:
    number = f"job {job.job_number}" if job.job_number else "a job"
    return f"{number} in the place of job {job.again.job}" if job.again else f"{number} more"


def _out_rows(plan: CorrectionPlan) -> Iterator[tuple[str, ...]]:
    kept = kept_lines(plan.change.account)
    for part in plan.change.out:
        line = kept[part.line - 1]
        word = "out" if (part.net, part.tax) == (line.kept, line.tax_kept) else "less"
        goods = f"-{part.returned}" if part.returned else ""
        yield word, str(part.line), line.line.description, _minus(part.net), _minus(part.tax), goods


def _added_rows(plan: CorrectionPlan) -> Iterator[tuple[str, ...]]:
    first = len(plan.change.account.order.lines) + 1
    for place, line in enumerate(plan.change.added, start=first):
        tax = write_amount(line.tax) if line.tax else ""
        count = f"+{line.quantity}" if line.quantity > 1 else ""
        yield "in", str(place), line.description, write_amount(line.net), tax, count


def _minus(amount: int) -> str:
    return write_amount(-amount) if amount else ""


def _signed(amount: int) -> str:
    if not amount:
        return "as much as before"
    return f"{write_amount(abs(amount))} {'more' if amount > 0 else 'less'}"


def _added_by(account: OrderAccount, correction: Correction) -> list[Json]:
    lines = enumerate(account.order.lines, start=1)
    return [place for place, line in lines if line.added_by == correction.number]


def _what_words(account: OrderAccount, correction: Correction) -> str:
    out = ", ".join(str(part.line) for part in correction.parts)
    added = ", ".join(str(place) for place in _added_by(account, correction))
    jobs = [
        f"job {pair.job_number} in the place of {pair.again.job}"
        for pair in account.order.pairs
        if pair.again and pair.again.correction == correction.number
    ]
    gone = [
        f"job {each.job_number} taken out" for each in account.order.pairs if each.taken_out_by == correction.number
    ]
    payment = f"payment {correction.payment_number}" if correction.payment_number else ""
    amount = write_amount(correction.amount) if correction.amount else ""
    fee = f"fee {write_amount(correction.fee)}" if correction.fee else ""
    less = "less" if correction.kind.value == "reduced" else "out"
    lines = [f"line {out} {less}" if out else "", f"line {added} in" if added else ""]
    return "; ".join(filter(None, [*lines, *jobs, *gone, f"{payment} {amount}".strip(), fee]))
