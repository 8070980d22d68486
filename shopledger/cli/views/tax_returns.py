"""Sales tax by state, shown as a return asks for it."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Json, Table
from shopledger.cli.views.figures import day, money
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.ledger.books.tax_return import TaxReturn


def return_data(due: TaxReturn) -> dict[str, Json]:
    """Give a state's figures as JSON."""
    return {
        "state": due.state,
        "from": day(due.first),
        "to": day(due.last),
        "gross_sales": money(due.gross),
        "exempt": [{"reason": reason, "sales": money(amount)} for reason, amount in due.exempt],
        "taxable_sales": money(due.taxable),
        "tax_charged": money(due.charged),
        "taken_back": money(due.taken_back),
        "taxable_taken_back": money(due.taxable_taken_back),
        "tax_taken_back": money(due.tax_taken_back),
        "net_tax": money(due.net_tax),
        "paid": money(due.paid),
        "owed_at_end": money(due.owed_at_end),
    }


def return_table(due: TaxReturn) -> Table:
    """Give a state's figures for reading."""
    rows = [
        ("gross sales, shipping included", due.gross),
        *((f"not taxed: {reason}", -amount) for reason, amount in due.exempt),
        ("taxable sales", due.taxable),
        ("tax charged", due.charged),
        ("taxable sales refunded or cancelled", due.taxable_taken_back),
        ("tax given back on it", -due.tax_taken_back),
        ("net tax for these days", due.net_tax),
        ("handed on to the state in these days", due.paid),
        (f"owed to the state at the end of {day(due.last)}", due.owed_at_end),
    ]
    title = f"{due.state}, {day(due.first)} to {day(due.last)}"
    columns = (Column("what"), Column("amount", right=True))
    return Table(title, columns, [(words, write_amount(amount)) for words, amount in rows])
