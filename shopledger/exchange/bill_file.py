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

from datetime import date
from functools import partial
from pathlib import Path
from typing import Any, Final

from shopledger.exchange.rows import read_document
from shopledger.exchange.values import fields_of
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, JobBilled

STOCK: Final = fields_of(GoodsBilled)
JOB: Final = fields_of(JobBilled)
EXPENSE: Final = fields_of(ExpenseBilled)
BILL: Final = fields_of(BillRequest, left_out={"goods", "jobs", "expenses"}, renamed={"due_on": "due"})


def read_bill_file(source: Path | str) -> BillRequest:
    """Read a bill from a file or its text; every problem in it is told at once."""
    folder = source.parent if isinstance(source, Path) else None
    tables = {"stock": (STOCK, GoodsBilled), "job": (JOB, JobBilled), "expense": (EXPENSE, ExpenseBilled)}
    return read_document(source, "the bill", BILL, tables, partial(_bill, folder))


def _bill(
    folder: Path | None,
    due: date | None,
    file: str,
    stock: tuple[GoodsBilled, ...],
    job: tuple[JobBilled, ...],
    expense: tuple[ExpenseBilled, ...],
    **plain: Any,  # noqa: ANN401 - BillRequest checks them
) -> BillRequest:
    beside = str(folder / file) if folder and file else file
    return BillRequest(due_on=due, file=beside, goods=stock, jobs=job, expenses=expense, **plain)
