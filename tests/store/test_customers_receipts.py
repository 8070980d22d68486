"""The migration that lets a receipt name no wearer: down and up again keep every receipt, or nothing is changed."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace

import pytest
from alembic import command

from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.revision import Upgrading
from tests.counted import post_sale
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_migrations import connected
from tests.store.test_orders import a_receipt

pytestmark = pytest.mark.slow

BEFORE = "20261128_jobs_taken_out"


@pytest.fixture
def issued(ledger_address: str) -> str:
    """Give the address of a ledger with a wearer's receipt and the one that took its place."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            post_sale(work, work.orders.add(an_order()))
            for replaces in (None, 1):
                work.receipts.add(a_receipt(work.receipts.next_number()), replaces=replaces)
    return ledger_address


def test_down_and_up_again_keep_every_receipt(issued: str) -> None:
    """What is frozen and which took whose place stay; afterwards a receipt may be the customer's."""
    with closing(open_ledger(issued)) as ledger, ledger.reading() as work:
        before = work.receipts.of_order(1)
    with connected(issued, migrating=True) as connection, connection.begin():
        command.downgrade(alembic_config(connection), BEFORE)
    with closing(open_ledger(issued, Upgrading(NOW))) as ledger:
        with ledger.reading() as work:
            assert work.receipts.of_order(1) == before
        with ledger.writing(OPERATOR, NOW) as work:
            own = replace(a_receipt(work.receipts.next_number()), wearer_number=None)
            work.receipts.add(own)
        with ledger.reading() as work:
            assert work.receipts.get(3) == own


def test_going_down_is_refused_where_a_receipt_is_the_customer_s(issued: str) -> None:
    """The earlier form has no place for it, and nothing is changed."""
    with closing(open_ledger(issued)) as ledger, ledger.writing(OPERATOR, NOW) as work:
        work.receipts.add(replace(a_receipt(work.receipts.next_number()), wearer_number=None))
    with (
        connected(issued, migrating=True) as connection,
        pytest.raises(RuntimeError, match="no place for a receipt that names no wearer"),
        connection.begin(),
    ):
        command.downgrade(alembic_config(connection), BEFORE)
    with closing(open_ledger(issued)) as ledger, ledger.reading() as work:
        assert len(work.receipts.of_order(1)) == 3
