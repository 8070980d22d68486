"""The columns for segments come into an older ledger, and go where they hold nothing."""

from __future__ import annotations

from contextlib import closing
from typing import Final

import pytest
from alembic import command

from shopledger.store.migrate import alembic_config
from shopledger.store.opening import open_ledger
from shopledger.store.revision import Upgrading
from tests.counted import post_sale
from tests.shelf import GRADUAL, LINED
from tests.store.bench_samples import an_inspection
from tests.store.older import put_back
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_migrations import connected

BEFORE: Final = "20261128_own_lenses"


def test_an_older_ledger_takes_segments_and_its_chain_holds(ledger_address: str) -> None:
    """Lenses and inspections of before read as they were; a lens with a segment is taken, and every proof holds."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            post_sale(work, work.orders.add(an_order()))
            work.inspections.add(an_inspection())
        with ledger.reading() as work:
            before = work.catalogue.lenses(), work.inspections.history(1)
            # The order was put in alone, without its entries.
            alone = [proof.code for proof in work.proofs.all() if not proof.holds]
    put_back(ledger_address, BEFORE)
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger:
        with ledger.reading() as work:
            assert (work.catalogue.lenses(), work.inspections.history(1)) == before
            assert work.catalogue.lens(GRADUAL.code).marks == GRADUAL.marks
        with ledger.writing(OPERATOR, NOW) as work:
            work.catalogue.add_lens(LINED)
        with ledger.reading() as work:
            assert work.catalogue.lens(LINED.code).segment_width == 28
            assert [proof.code for proof in work.proofs.all() if not proof.holds] == alone


def test_going_down_is_refused_where_segments_are_kept(ledger_address: str) -> None:
    """The earlier form has no place for them, and nothing is changed."""
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            work.catalogue.add_lens(LINED)
    with (
        connected(ledger_address, migrating=True) as connection,
        pytest.raises(RuntimeError, match="no place for segments in the rows of lens"),
        connection.begin(),
    ):
        command.downgrade(alembic_config(connection), BEFORE)
    with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
        assert work.catalogue.lens(LINED.code).segment_width == 28
