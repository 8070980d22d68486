"""Places of sales tax come into an older ledger: what stood before says the same, and every proof holds."""

from __future__ import annotations

from contextlib import closing
from dataclasses import replace
from datetime import date
from typing import Final

import pytest
from alembic import command

from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.orders import Order
from shopledger.ledger.taxes import TaxRate
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.revision import Upgrading
from shopledger.store.work import UnitOfWork
from tests.counted import keep_sale
from tests.shelf import OHIO
from tests.store.older import put_back
from tests.store.samples import NOW, OPERATOR, an_order, furnish
from tests.store.test_migrations import connected

BEFORE: Final = "20261128_entries_of_their_own"
TOWN: Final = TaxRate("OH", TaxCategory.COATING, 29_000, date(2026, 1, 1), place="Millbrae", valid_to=date(2026, 6, 30))


def _furnished(ledger: Ledger, *rates: TaxRate) -> None:
    furnish(ledger)
    with ledger.writing(OPERATOR, NOW) as work:
        for rate in rates:
            work.catalogue.set_tax_rate(rate)


def _placed(order: Order) -> Order:
    """Give an order whose first line has a place."""
    first, *others = order.lines
    return replace(order, lines=(replace(first, tax_place="43002"), *others))


def test_an_older_ledger_takes_places_and_its_chain_holds(ledger_address: str) -> None:
    """Rates, lines and goods of before read as they were, without place or last day; new ones are taken."""
    with closing(open_ledger(ledger_address)) as ledger:
        _furnished(ledger, *OHIO)
        with ledger.writing(OPERATOR, NOW) as work:
            keep_sale(work, work.orders.add(an_order()))
        with ledger.reading() as work:
            before = work.catalogue.tax_rates(), work.orders.get(1), work.catalogue.accessories()
            # The order was put in alone, without its entries.
            alone = [proof.code for proof in work.proofs.all() if not proof.holds]
    put_back(ledger_address, BEFORE)
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger:
        with ledger.reading() as work:
            assert (work.catalogue.tax_rates(), work.orders.get(1), work.catalogue.accessories()) == before
            assert {(rate.place, rate.valid_to, rate.zips, rate.as_goods) for rate in before[0]} == {
                ("", None, "", False)
            }
            assert {(line.tax_place, line.tax_free) for line in before[1].lines} == {("", 0)}
        with ledger.writing(OPERATOR, NOW) as work:
            work.catalogue.set_tax_rate(TOWN)
            work.catalogue.set_tax_rate(replace(TOWN, place="", valid_to=None))
            added = work.orders.add(_placed(an_order()))
        with ledger.reading() as work:
            assert work.orders.get(added.number or 0) == added
            assert {rate.place for rate in work.catalogue.tax_rates("OH")} == {"", "Millbrae"}
            assert [proof.code for proof in work.proofs.all() if not proof.holds] == alone


def _set_rate(work: UnitOfWork) -> None:
    work.catalogue.set_tax_rate(TOWN)


def _set_use(work: UnitOfWork) -> None:
    work.catalogue.set_tax_rate(TaxRate("OH", TaxCategory.USE, 70_000, date(2026, 1, 1)))


def _set_shipping(work: UnitOfWork) -> None:
    work.catalogue.set_tax_rate(TaxRate("OH", TaxCategory.SHIPPING, 0, date(2026, 1, 1), as_goods=True))


def _add_placed(work: UnitOfWork) -> None:
    work.orders.add(_placed(an_order()))


@pytest.mark.parametrize(
    ("add", "table"),
    [(_set_rate, "tax_rate"), (_set_use, "tax_rate"), (_set_shipping, "tax_rate"), (_add_placed, "order_line")],
)
def test_going_down_is_refused_where_places_are_kept(ledger_address: str, add: object, table: str) -> None:
    """The earlier form has no place for them, and nothing is changed."""
    assert callable(add)
    with closing(open_ledger(ledger_address)) as ledger:
        _furnished(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            add(work)
            before = work.catalogue.tax_rates()
    with (
        connected(ledger_address, migrating=True) as connection,
        pytest.raises(RuntimeError, match=f"what the rows of {table} say of sales tax"),
        connection.begin(),
    ):
        command.downgrade(alembic_config(connection), BEFORE)
    with closing(open_ledger(ledger_address)) as ledger, ledger.reading() as work:
        assert work.catalogue.tax_rates() == before
