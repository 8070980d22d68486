"""A year's own figures, shown on the lines of Schedule C."""

from __future__ import annotations

from typing import TYPE_CHECKING

from shopledger.cli.output import Column, Json, Table
from shopledger.cli.views.figures import money
from shopledger.ledger.books.tax_forms import LABELS
from shopledger.ledger.settings import Accounting
from shopledger.money.amount import write_amount

if TYPE_CHECKING:
    from shopledger.desk.books.reports import YearShown


def year_data(shown: YearShown) -> dict[str, Json]:
    """Give a year's figures as JSON: each line in both accounting views."""
    views = {each.value: shown.schedule(each) for each in Accounting}
    return {
        "year": str(shown.year),
        "draft": shown.state.draft,
        "state": shown.state.sentence,
        "open_months": [str(month) for month in shown.state.open_months],
        "accounting": shown.accounting.value,
        "inventory_view": shown.inventory_view.value,
        "lines": {
            line: {"words": words, **{name: money(view[line]) for name, view in views.items()}}
            for line, words in LABELS.items()
        },
    }


def year_blocks(shown: YearShown) -> tuple[Table, ...]:
    """Give a year's figures for reading; the owner's accounting view comes first, and empty lines are left out."""
    order = (shown.accounting, *(each for each in Accounting if each is not shown.accounting))
    views = [shown.schedule(each) for each in order]
    headings = (
        Column("Line", whole=True),
        Column("What"),
        *(Column(f"{each.value.capitalize()}", right=True) for each in order),
    )
    rows = [
        (line, words, *(write_amount(view[line]) for view in views))
        for line, words in LABELS.items()
        if line in _ALWAYS or any(view[line] for view in views)
    ]
    draft = " (DRAFT)" if shown.state.draft else ""
    title = f"Year {shown.year}{draft}, goods as {_GOODS[shown.inventory_view.value]}"
    return (Table(title, headings, rows),)


_ALWAYS = frozenset({"1", "3", "5", "7", "28", "29", "40", "42"})
_GOODS = {"inventory": "inventories", "materials": "materials that are not incidental"}
