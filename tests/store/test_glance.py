"""What begins so is found on both databases, quickly and without the ledger being opened for work."""

from __future__ import annotations

import pytest

from shopledger.ledger.parties import Address, Customer
from shopledger.store.glance import MOST, codes, people
from shopledger.store.opening import Ledger
from tests.store.samples import NOW, OPERATOR


def test_codes_are_found_by_their_beginning(furnished: Ledger) -> None:
    """In any case, by code, with what each is called; a sign that means anything to a query is a letter."""
    with furnished.reading() as work:
        frames, lenses = work.catalogue.frames(), work.catalogue.lenses()
    assert [seen.value for seen in codes(furnished.url, "frame", "")] == [frame.code for frame in frames]
    first = frames[0]
    assert codes(furnished.url, "frame", first.code.lower())[0] == (first.code, f"{first.maker} {first.model}")
    assert {(seen.value, seen.says) for seen in codes(furnished.url, "lens", "")} == {(x.code, x.name) for x in lenses}
    for odd in ("%", "_", "\\", "'", '"', "zzz"):
        assert codes(furnished.url, "frame", odd) == ()
        assert people(furnished.url, "customer", odd) == ()


@pytest.mark.parametrize(
    ("begins", "found"), [("quarr", ["Quarrington"]), ("BRÄN", ["Brandt-Ohm"]), ("ohm", []), ("9", ["9", "90", "91"])]
)
def test_people_are_found_by_number_or_by_a_word(ledger: Ledger, begins: str, found: list[str]) -> None:
    """Accents and capitals do not matter; whoever shares a word stands under it once."""
    where = Address("9 Mill Row", "Millbrae", "OH", "43002")
    with ledger.writing(OPERATOR, NOW) as work:
        for at in range(1, 92):
            name = {1: "Ada Quarrington", 2: "Bo Quarrington", 3: "Cai Brandt-Ohm"}.get(at, f"Person {at}")
            work.customers.add(Customer(name, where))
    assert [seen.value for seen in people(ledger.url, "customer", begins)] == found


def test_no_more_is_given_than_anybody_reads(ledger: Ledger) -> None:
    """A shop may have any number of customers."""
    where = Address("9 Mill Row", "Millbrae", "OH", "43002")
    with ledger.writing(OPERATOR, NOW) as work:
        for at in range(MOST + 20):
            work.customers.add(Customer(f"Person{at}", where))
    assert len(people(ledger.url, "customer", "")) == len(people(ledger.url, "customer", "person")) == MOST
