"""Payees that may need an information return, shown: never a whole tax number."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Fields, Json, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.payee_forms import W9, PayeeReport, ReportLimit, W9Erasure
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.payee_forms import PayeeList

OUT = Outside(
    {
        W9: Shape(first=("number",), left_out={"tax_number"}, made={"number_ends_in": lambda form: form.ending}),
        W9Erasure: Shape(first=("number",), renamed={"w9_number": "w9"}),
        ReportLimit: Shape(keys=("year", "amount")),
        PayeeReport: Shape(made={"w9_missing": lambda each: each.w9 is None}),
    }
)


def w9_fields(form: W9) -> Fields:
    """Give a W-9 for reading."""
    rows = (
        ("name on the W-9", form.name),
        ("address", ", ".join(form.address.lines)),
        ("kind", form.kind.value),
        ("tax number", f"ends in {form.ending}"),
        ("received", day(form.received_on)),
        ("backup withholding", "yes" if form.backup_withholding else "no"),
    )
    return Fields(f"W-9 of {form.payee}", rows)


def list_data(found: PayeeList) -> dict[str, Json]:
    """Give a year's payees as JSON."""
    return {
        "year": found.year,
        "limit": money(found.limit.amount),
        "limit_source": found.limit.source,
        "payees": OUT.all(found.payees),
    }


def list_table(found: PayeeList) -> Table:
    """Give a year's payees for reading."""
    columns = (
        Column("payee"),
        Column("form", whole=True),
        Column("paid, not by card", right=True),
        Column("standing"),
        Column("W-9", whole=True),
        Column("kind"),
    )
    rows = [
        (each.payee, each.form, write_amount(each.paid), each.standing.value, _received(each.w9), _kind(each.w9))
        for each in found.payees
    ]
    return Table(f"Payees of services and rent, {found.year}", columns, rows, "none.")


def limit_fields(limit: ReportLimit) -> Fields:
    """Give a year's limit for reading."""
    return Fields(f"Limit of {limit.year}", (("reported from", write_amount(limit.amount)),))


def erased_table(done: Sequence[W9Erasure]) -> Table:
    """Give what was erased for reading."""
    columns = (Column("W-9", whole=True), Column("day", whole=True), Column("reason"))
    return Table("Erased", columns, [(str(each.w9_number), day(each.day), each.reason) for each in done])


def _received(form: W9 | None) -> str:
    return f"{day(form.received_on)} ..{form.ending}" if form else "missing"


def _kind(form: W9 | None) -> str:
    if form is None:
        return ""
    return f"{form.kind.value}, backup withholding" if form.backup_withholding else form.kind.value
