"""Sales tax by state, shown as a return asks for it."""

from __future__ import annotations

from shopledger.cli.output import Column, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.tax_forms import TaxReturn
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount

OUT = Outside(
    {
        TaxReturn: Shape(
            keys=(
                *("state", "first", "last", "gross", "exempt", "taxable", "charged", "taken_back"),
                *("taxable_taken_back", "tax_taken_back", "net_tax", "paid", "owed_at_end"),
            ),
            renamed={
                "first": "from",
                "last": "to",
                "gross": "gross_sales",
                "taxable": "taxable_sales",
                "charged": "tax_charged",
            },
            made={"exempt": lambda due: [{"reason": reason, "sales": money(amount)} for reason, amount in due.exempt]},
        )
    }
)


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
