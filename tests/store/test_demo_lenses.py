"""The column for demonstration lenses comes into an older ledger, where nobody was asked, and goes where empty."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from typing import Final

import pytest
from alembic import command

from shopledger.ledger.inspections import DemoCheck
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.revision import Upgrading
from tests.counted import post_sale
from tests.store.bench_samples import an_inspection
from tests.store.older import put_back
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_migrations import connected

BEFORE: Final = "20261128_parcels"


def test_inspections_of_before_say_nothing_and_the_chain_holds(ledger_address: str) -> None:
    """What was inspected reads as it did, with nobody asked; the next keeps what was seen, and every proof holds."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            post_sale(work, work.orders.add(an_order()))
            work.inspections.add(an_inspection())
        with ledger.reading() as work:
            before = work.inspections.history(1)
            # The order was put in alone, without its entries.
            alone = [proof.code for proof in work.proofs.all() if not proof.holds]
    put_back(ledger_address, BEFORE)
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger:
        with ledger.reading() as work:
            assert work.inspections.history(1) == before
            assert work.inspections.get(1).demo_lenses is None
        with ledger.writing(OPERATOR, NOW) as work:
            work.inspections.add(replace(an_inspection(), demo_lenses=DemoCheck.OUT))
        with ledger.reading() as work:
            assert work.inspections.get(2).demo_lenses is DemoCheck.OUT
            assert [proof.code for proof in work.proofs.all() if not proof.holds] == alone


def test_going_down_is_refused_where_somebody_was_asked(ledger_address: str) -> None:
    """The earlier form has no place for the answer, and nothing is changed."""
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            post_sale(work, work.orders.add(an_order()))
            work.inspections.add(replace(an_inspection(), demo_lenses=DemoCheck.NONE))
    with (
        connected(ledger_address, migrating=True) as connection,
        pytest.raises(RuntimeError, match="no place for demonstration lenses in the rows of inspection"),
        connection.begin(),
    ):
        command.downgrade(alembic_config(connection), BEFORE)
    with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
        assert work.inspections.get(1).demo_lenses is DemoCheck.NONE
