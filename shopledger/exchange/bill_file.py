"""Bill files: a whole supplier's bill as the owner writes it down, in TOML.

```toml
supplier = "Tollgate Frames"
invoice = "TG-4471"
day = 2026-03-02
due = 2026-04-01
freight = "14.00"
file = "tg-4471.pdf"     # beside this file; a copy is kept with the ledger

[[stock]]
code = "PELLOW-52"
quantity = 12
unit_cost = "61.00"      # or amount = "732.00" for the whole line

[[job]]
job = 118
amount = "42.50"
description = "progressive, surfaced"

[[expense]]
category = "supplies"
amount = "18.00"
```
"""

from __future__ import annotations

from pathlib import Path
from typing import Any, Final

from shopledger.errors import ShopledgerError
from shopledger.exchange.rows import Field, Place, Problems, open_toml, raise_any, read_row, read_rows
from shopledger.exchange.values import fields_of
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, JobBilled

STOCK: Final = fields_of(GoodsBilled)
JOB: Final = fields_of(JobBilled)
EXPENSE: Final = fields_of(ExpenseBilled)
BILL: Final = fields_of(BillRequest, left_out={"goods", "jobs", "expenses"}, renamed={"due_on": "due"})
_TABLES: Final = tuple(Field(table, lambda _, rows: rows, None) for table in ("stock", "job", "expense"))


def read_bill_file(source: Path | str) -> BillRequest:
    """Read a bill from a file or its text; every problem in it is told at once."""
    file = open_toml(source, "the bill")
    place = Place(file)
    problems: Problems = []
    goods = [row for _, row in read_rows(file, "stock", STOCK, GoodsBilled, problems)]
    jobs = [row for _, row in read_rows(file, "job", JOB, JobBilled, problems)]
    expenses = [row for _, row in read_rows(file, "expense", EXPENSE, ExpenseBilled, problems)]
    top: dict[str, Any] | None = read_row(place, file.values, (*BILL, *_TABLES), dict, problems)
    raise_any(problems)
    # What the rows of a table hold was read above; only the plain keys are left.
    plain = {field.key: (top or {})[field.key] for field in BILL}
    plain["due_on"] = plain.pop("due")
    if plain["file"] and isinstance(source, Path):
        plain["file"] = str(source.parent / plain["file"])
    try:
        return BillRequest(goods=tuple(goods), jobs=tuple(jobs), expenses=tuple(expenses), **plain)
    except ShopledgerError as error:
        raise place.refused_by(error)[0] from error
