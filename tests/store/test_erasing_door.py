"""The one door in the guards: what an erasure blanks passes, for its own person, and nothing else does."""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import contextmanager
from datetime import date

import pytest

from shopledger.errors import StoreError
from shopledger.ledger.books.payee_forms import W9, TaxpayerKind, W9Erasure
from shopledger.ledger.erasing import AskedBy, Erasure
from shopledger.ledger.parties import Address, Customer, Relationship, Wearer
from shopledger.store import columns as kept
from shopledger.store.erasures import OF_THE_SHOP, Erasures
from shopledger.store.opening import Ledger
from shopledger.store.subjects import CUSTOMER, W9_TABLE, WEARER, paths, personal_tables
from shopledger.store.tables.schema import METADATA
from shopledger.store.work import UnitOfWork
from tests.rows import put_row, rows
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish

ERASED = date(2040, 5, 6)
MARK = "erased 2040-05-06"
BLANKING = f"street = '{MARK}', second_line = '', city = '{MARK}', postcode = '43000', note = ''"


@pytest.fixture
def sold(ledger: Ledger) -> Ledger:
    """Give a ledger in which two customers have an order."""
    furnish(ledger)
    with ledger.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        other = work.customers.add(Customer("Ann Marsh", Address("9 Elm Way", "Columbus", "OH", "43002")))
        work.customers.add_wearer(Wearer("Ann Marsh", other.number or 0, Relationship.SELF))
    return ledger


@contextmanager
def erasing(ledger: Ledger, customer: int) -> Iterator[UnitOfWork]:
    """Record that a customer was erased, and blank nothing."""
    with ledger.writing(OPERATOR, NOW) as work:
        said = {"day": ERASED.isoformat(), "asked_by": "person", "reason": "asked", "rule": "none"}
        number = work.transaction.next_number("erasure")
        row = {"number": number, "customer_number": customer, "wearer_number": None, **said, **work.transaction.stamp}
        put_row(work, "erasure", row)
        yield work


def update(work: UnitOfWork, said: str, table: str = "shop_order") -> None:
    """Change the rows of a table past the program."""
    work.transaction.connection.exec_driver_sql(f"UPDATE {table} SET {said}")  # noqa: S608 - a test's own words


def test_without_an_erasure_nothing_is_blanked(sold: Ledger) -> None:
    """A blank value is no passport."""
    with pytest.raises(StoreError, match="never changed or deleted"), sold.writing(OPERATOR, NOW) as work:
        update(work, BLANKING)


def test_an_erasure_of_somebody_else_opens_nothing(sold: Ledger) -> None:
    """The order is the first customer's, and the second was erased."""
    with pytest.raises(StoreError, match="never changed or deleted"), erasing(sold, 2) as work:
        update(work, BLANKING)


def test_what_is_blanked_passes_for_whom_it_was_recorded(sold: Ledger) -> None:
    """Whole or in part, and the row gets another seal and loses its salt."""
    with erasing(sold, 1) as work:
        update(work, f"{BLANKING}, salt = '', seal = 99")
        update(work, "sphere = NULL, cylinder = NULL, axis = NULL", "order_pair_eye")
        assert rows(work, "shop_order")[0].city == MARK


@pytest.mark.parametrize(
    "said",
    [
        "street = 'elsewhere'",
        "street = ''",
        "street = 'erased 2040-05-07'",
        "postcode = '99900'",
        "note = 'erased 2040-05-06'",
        f"{BLANKING}, state = 'VT'",
        f"{BLANKING}, day = '2020-01-01'",
        f"{BLANKING}, operator = 'nobody'",
        "salt = 'ab'",
    ],
)
def test_nothing_but_the_blank_passes(sold: Ledger, said: str) -> None:
    """Another text, another day, another ZIP code, or a column that tells of nobody: all refused."""
    with pytest.raises(StoreError, match="never changed or deleted"), erasing(sold, 1) as work:
        update(work, said)


def test_money_is_behind_no_door(sold: Ledger) -> None:
    """A line's amount, and a row itself, stay whoever was erased."""
    for said in ("UPDATE order_line SET net = 1", "DELETE FROM shop_order", "DELETE FROM erasure"):
        with pytest.raises(StoreError, match="never changed or deleted"), erasing(sold, 1) as work:
            work.transaction.connection.exec_driver_sql(said)


def test_every_personal_table_leads_to_somebody() -> None:
    """A customer reaches all but a payee's W-9, which is erased alone; a wearer all but what is the payer's alone."""
    of_the_payer = {
        *("customer", "deposit", "shop_order", "cancellation", "refund", "parcel", "correction"),
        *("parcel_return", "order_address"),
    }
    for table in personal_tables():
        if table.name == W9_TABLE:
            continue
        assert paths(table.name, W9_TABLE) == (), table.name
        assert paths(table.name, CUSTOMER), table.name
        assert bool(paths(table.name, WEARER)) is (table.name not in of_the_payer), table.name


def test_what_is_left_out_of_what_is_held_tells_of_nobody() -> None:
    """Goods and bills lead to a job, and hold no column that is marked as personal."""
    for name in OF_THE_SHOP:
        assert not any(kept.is_personal(column) for column in METADATA.tables[name].columns), name


def test_an_erasure_counts_what_it_blanked_once(sold: Ledger) -> None:
    """What stands blank already is not blanked again by a second erasure of the same person."""
    with sold.writing(OPERATOR, NOW) as work:
        first, parts = work.erasures.erase(Erasure(1, None, ERASED, AskedBy.PERSON, "asked", "none"))
        again = Erasures(work.transaction).apply_again([first])
        assert {part.table_name for part in parts} >= {"customer", "wearer", "shop_order", "order_pair_eye"}
        assert again == ()
        assert work.customers.get(1).erased_on == ERASED
        assert work.customers.get(2).erased_on is None
        assert work.orders.get(1).day == DAY


FORM = "name = '{mark}', street = '{mark}', second_line = '', city = '{mark}', postcode = '05600', tax_number = ''"


def a_w9(ledger: Ledger) -> None:
    """Keep a W-9 beside the first customer, whose number is the same."""
    address = Address("4 Quarry Road", "Barre", "VT", "05641")
    with ledger.writing(OPERATOR, NOW) as work:
        work.w9s.add(W9("Imke Sandlark", "Imke Sandlark", address, TaxpayerKind.INDIVIDUAL, "12-3456789", DAY))


def test_a_w9_is_blanked_by_its_own_erasure_alone(sold: Ledger) -> None:
    """Neither without one nor by that of the customer with its number, and its erasure opens no row of a customer."""
    a_w9(sold)
    with pytest.raises(StoreError, match="never changed or deleted"), sold.writing(OPERATOR, NOW) as work:
        update(work, FORM.format(mark=MARK), "w9")
    with pytest.raises(StoreError, match="never changed or deleted"), erasing(sold, 1) as work:
        update(work, FORM.format(mark=MARK), "w9")
    with sold.writing(OPERATOR, NOW) as work:
        work.w9s.erase(W9Erasure(1, ERASED, "seven years are over"))
        assert (rows(work, "w9")[0].tax_number, rows(work, "w9")[0].name, rows(work, "w9")[0].salt) == ("", MARK, "")
        assert work.w9s.newest() == {}
        assert work.w9s.erase_again([W9Erasure(1, ERASED, "again")]) == ()
    with pytest.raises(StoreError, match="never changed or deleted"), sold.writing(OPERATOR, NOW) as work:
        update(work, BLANKING)
