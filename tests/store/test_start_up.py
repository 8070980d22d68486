"""Looking somebody up waits for nothing but the database."""

from __future__ import annotations

import subprocess
import sys
from contextlib import closing

import pytest

from shopledger.store.opening import open_ledger
from tests.store.samples import NOW, OPERATOR, an_order, furnish

pytestmark = pytest.mark.slow

PROGRAM = """
import sys
from shopledger.store.opening import open_ledger

ledger = open_ledger(sys.argv[1])
with ledger.reading() as work:
    {deed}
heavy = ("sqlalchemy.orm", "alembic", "numpy", "click", "reportlab", "openpyxl", "shopledger.store.guards")
print([name for name in heavy if name in sys.modules])
"""


@pytest.mark.parametrize(
    "deed",
    [
        "assert work.customers.find('fern', 5)[0].number == 1",
        "assert work.customers.pick('1').number == 1",
        "assert work.orders.account(1).order.number == 1",
        "assert work.prescriptions.newest(1).number == 1",
        "assert work.receipts.recent(5) == ()",
        "assert len(work.jobs.open()) == 2",
    ],
)
def test_a_look_up_imports_no_mapper_no_migrations_and_no_numbers(sqlite_address: str, deed: str) -> None:
    """Neither the object mapper, alembic, numpy nor what makes papers and sheets is loaded."""
    with closing(open_ledger(sqlite_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            work.orders.add(an_order())
    done = subprocess.run(
        [sys.executable, "-c", PROGRAM.format(deed=deed), sqlite_address], capture_output=True, text=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.strip() == "[]"
