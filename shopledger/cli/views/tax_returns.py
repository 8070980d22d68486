"""Sales tax by state, place and rate, shown as a return asks for it."""

from __future__ import annotations

from collections.abc import Iterator

from shopledger.cli.output import Column, Table
from shopledger.cli.views.figures import Outside, day, money
from shopledger.ledger.books.tax_returns import (
    PlaceReturn,
    TaxedAt,
    TaxReturn,
    UsedGoods,
    beside_lines,
    return_lines,
)
from shopledger.ledger.canonical import Shape
from shopledger.money.amount import write_amount
from shopledger.money.rate import write_rate


def _exempt(made: TaxReturn | PlaceReturn) -> list[dict[str, str]]:
    return [{"reason": reason, "sales": money(amount)} for reason, amount in made.exempt]


_CALLED = {"gross": "gross_sales", "taxable": "taxable_sales", "charged": "tax_charged"}

OUT = Outside(
    {
        TaxReturn: Shape(
            keys=(
                *(
                    "state",
                    "first",
                    "last",
                    "orders",
                    "gross",
                    "exempt",
                    "taxable",
                    "by_rates",
                    "difference",
                    "charged",
                ),
                *("taken_back", "taxable_taken_back", "tax_taken_back", "net_tax", "owed_before", "entered", "paid"),
                *("owed_at_end", "places", "used", "use_tax", "use_sentence"),
            ),
            renamed={
                **_CALLED,
                "first": "from",
                "last": "to",
                "by_rates": "tax_by_rates",
                "entered": "adjusting_entries",
                "used": "goods_used",
                "use_sentence": "about_use_tax",
            },
            made={"exempt": _exempt},
        ),
        PlaceReturn: Shape(
            keys=("place", "gross", "exempt", "taxable", "taken_back", "rates"),
            renamed=_CALLED,
            made={"exempt": _exempt},
        ),
        TaxedAt: Shape(
            keys=("rate", "taxable", "by_rate", "difference", "charged", "taken_back", "tax_taken_back"),
            renamed={**_CALLED, "by_rate": "tax_by_rate", "taken_back": "taxable_taken_back"},
        ),
        UsedGoods: Shape(keys=("what", "cost", "rate", "tax")),
    }
)


def return_blocks(due: TaxReturn) -> Iterator[Table]:
    """Give a state's figures for reading, and those of each place and rate where there are several."""
    title = f"{due.state}, {day(due.first)} to {day(due.last)}"
    lines = [(line.words, write_amount(line.amount)) for line in return_lines(due)]
    beside = [(line.words, write_amount(line.amount)) for line in beside_lines(due)]
    columns = (Column("what"), Column("amount", right=True))
    yield Table(title, columns, [*lines, *beside, ("orders", str(due.orders))])
    rates = [
        (
            *(place.place or f"rest of {due.state}", write_rate(each.rate), write_amount(each.taxable)),
            *(write_amount(each.by_rate), write_amount(each.difference), write_amount(each.charged)),
            *(write_amount(each.taken_back), write_amount(each.tax_taken_back)),
        )
        for place in due.places
        for each in place.rates
    ]
    if len(rates) > 1:
        headings = (
            *(Column("place", whole=True), Column("rate", right=True, whole=True), Column("taxable", right=True)),
            *(Column("by rate", right=True), Column("difference", right=True), Column("charged", right=True)),
            *(Column("taken back", right=True), Column("its tax", right=True)),
        )
        yield Table(f"{due.state} by place and rate", headings, rates)
