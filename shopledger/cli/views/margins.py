"""Margins of jobs and orders, shown."""

from __future__ import annotations

from collections.abc import Sequence

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, money
from shopledger.ledger.books.margins import JobMargin, Margin, OrderMargin
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

_FIGURES = (
    Column("net charge", right=True),
    Column("frame", right=True),
    Column("lenses", right=True),
    Column("margin", right=True),
    Column("per cent", right=True),
)


OUT = Outside(
    {
        Margin: Shape(
            last=("amount", "per_cent"),
            renamed={"amount": "margin"},
            made={"per_cent": lambda margin: _tenths(margin.tenths) or None},
        ),
    }
)


def job_margin_data(job: JobMargin) -> dict[str, Json]:
    """Give a job's margin as JSON."""
    return {
        "job": job.job_number,
        "order": job.order_number,
        **OUT.of(job.margin),
        "scrapped": money(job.scrapped),
        "marks": list(job.marks),
    }


def order_margin_data(order: OrderMargin) -> dict[str, Json]:
    """Give an order's margin as JSON."""
    return {
        "order": order.order_number,
        "jobs": [job_margin_data(job) for job in order.jobs],
        "other_goods": OUT.of(order.others),
        "whole": OUT.of(order.whole),
    }


def margin_fields(job: JobMargin) -> Fields:
    """Give one job's margin for reading."""
    rows = (
        ("order", str(job.order_number)),
        ("net charge", write_amount(job.margin.net)),
        ("frame", write_amount(job.margin.goods)),
        ("lenses and lab work", write_amount(job.margin.lenses)),
        ("of it scrapped", write_amount(job.scrapped) if job.scrapped else ""),
        ("margin", write_amount(job.margin.amount)),
        ("per cent", _per_cent(job.margin)),
        ("note", ", ".join(job.marks)),
    )
    return Fields(f"Job {job.job_number}", rows)


def margins_table(jobs: Sequence[JobMargin]) -> Table:
    """Give several jobs' margins for reading."""
    columns = (Column("job", right=True), Column("order", right=True), *_FIGURES, Column("note"))
    rows = [(str(job.job_number), str(job.order_number), *_cells(job.margin), ", ".join(job.marks)) for job in jobs]
    return Table("Margins", columns, rows, "no jobs yet.")


def order_margin_table(order: OrderMargin) -> Table:
    """Give an order's margin for reading, job by job."""
    rows = [(f"job {job.job_number}", *_cells(job.margin), ", ".join(job.marks)) for job in order.jobs]
    if order.others.net or order.others.goods:
        rows.append(("other goods", *_cells(order.others), ""))
    rows.append(("all", *_cells(order.whole), ""))
    return Table(f"Margin of order {order.order_number}", (Column("for"), *_FIGURES, Column("note")), rows)


def _cells(margin: Margin) -> tuple[str, ...]:
    figures = (margin.net, margin.goods, margin.lenses, margin.amount)
    return (*(write_amount(cents) for cents in figures), _tenths(margin.tenths))


def _per_cent(margin: Margin) -> str:
    return f"{_tenths(margin.tenths)} %" if margin.tenths is not None else ""


def _tenths(tenths: int | None) -> str:
    """Write tenths of a per cent as `51.7`."""
    if tenths is None:
        return ""
    whole, rest = divmod(abs(tenths), 10)
    return f"{'-' if tenths < 0 else ''}{whole}.{rest}"
