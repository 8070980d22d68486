"""People are found by number, by name as it is said, and by what was perhaps meant."""

from __future__ import annotations

import pytest

from shopledger.errors import UnknownNameError
from shopledger.ledger.parties import Address, Customer, Prescriber, Relationship, Wearer
from shopledger.store.folding import folded
from shopledger.store.opening import Ledger
from shopledger.store.refusals import AmbiguousError, NumberUnknownError
from tests.rows import rows
from tests.store.samples import NOW, OPERATOR

STREET = Address("1 Mill Row", "Fennick", "OH", "01234")
NAMES = ("José Ærland", "Ann Marsh", "Ann Marshall", "100% Vision", "Under_score", "Straße, Ida")


@pytest.fixture
def peopled(ledger: Ledger) -> Ledger:
    """Give a ledger with six customers, numbered in order."""
    with ledger.writing(OPERATOR, NOW) as work:
        for name in NAMES:
            work.customers.add(Customer(name, STREET))
    return ledger


@pytest.mark.parametrize(
    ("given", "number"),
    [
        ("2", 2),
        (" 2 ", 2),
        ("jose ærland", 1),
        ("JOSÉ", 1),
        ("Jose", 1),
        ("ann marsh", 2),
        ("marshall", 3),
        ("100%", 4),
        ("r_s", 5),
        ("strasse", 6),
    ],
)
def test_a_customer_is_picked_by_number_name_or_part(peopled: Ledger, given: str, number: int) -> None:
    """Accents, capitals and signs of the search language make no difference; a whole name wins over a part."""
    with peopled.reading() as work:
        assert work.customers.pick(given).number == number


@pytest.mark.parametrize("given", ["%", "_", "a%h", "1%"])
def test_signs_of_the_search_language_are_only_letters(peopled: Ledger, given: str) -> None:
    """A per cent sign or an underscore finds itself and nothing else."""
    with peopled.reading() as work:
        found = {customer.name for customer in work.customers.find(given, 10)}
    assert found == {name for name in NAMES if given in name}


def test_several_customers_of_a_name_are_listed_with_their_numbers(peopled: Ledger) -> None:
    """The owner is asked to type a number."""
    with peopled.reading() as work, pytest.raises(AmbiguousError) as refused:
        work.customers.pick("ann m")
    assert str(refused.value) == (
        "'ann m' may mean more than one customer: 2 Ann Marsh, 3 Ann Marshall. Type the number instead."
    )


def test_an_unknown_customer_gets_the_nearest_names(peopled: Ledger) -> None:
    """A slip of the finger is answered with what was perhaps meant."""
    with peopled.reading() as work, pytest.raises(UnknownNameError, match=r"Did you mean Ann Marshall") as refused:
        work.customers.pick("Ann Marshal Jr")
    assert "shopledger customer add" in str(refused.value)


@pytest.mark.parametrize("given", ["", "  ", "zzz", "99", "12345678901234567890", "٣"])
def test_what_means_nobody_is_refused(peopled: Ledger, given: str) -> None:
    """Nothing, a stranger, an unknown number, a number too long and foreign digits name no customer."""
    with peopled.reading() as work, pytest.raises(UnknownNameError):
        work.customers.pick(given)


def test_finding_gives_the_number_first_then_names_in_order(peopled: Ledger) -> None:
    """Customer 1 comes before those with a 1 in their names, nobody twice, and no more than asked for."""
    with peopled.reading() as work:
        assert [each.number for each in work.customers.find("1", 10)] == [1, 4]
        assert [each.number for each in work.customers.find("ANN", 10)] == [2, 3]
        assert len(work.customers.find("", 3)) == 3
        assert work.customers.find("nobody", 3) == ()


def test_a_wearer_is_picked_among_the_customer_s_own(peopled: Ledger) -> None:
    """Another customer's child of the same name is not meant, and is not even suggested."""
    with peopled.writing(OPERATOR, NOW) as work:
        first = work.customers.add_wearer(Wearer("Ida", 1, Relationship.CHILD))
        second = work.customers.add_wearer(Wearer("Ida", 2))
        work.customers.add_wearer(Wearer("Nora", 2))
        assert work.customers.pick_wearer(1, "ida") == first
        assert work.customers.pick_wearer(2, "ida") == second
        assert work.customers.wearer(2) == second
        assert [each.name for each in work.customers.wearers(2)] == ["Ida", "Nora"]
        with pytest.raises(UnknownNameError) as refused:
            work.customers.pick_wearer(1, "Norra")
        assert refused.value.near == ()
        with pytest.raises(UnknownNameError):
            work.customers.pick_wearer(1, "2")


def test_prescribers_are_kept_by_name(peopled: Ledger) -> None:
    """They are listed by name and picked like customers."""
    with peopled.writing(OPERATOR, NOW) as work:
        work.customers.add_prescriber(Prescriber("Dr. Zed Olm"))
        ash = work.customers.add_prescriber(Prescriber("Dr. Bo Ash", "555-0101", "1234567893"))
        assert [each.name for each in work.customers.prescribers()] == ["Dr. Bo Ash", "Dr. Zed Olm"]
        assert work.customers.pick_prescriber("ash") == ash
        assert work.customers.prescriber(2) == ash


def test_a_changed_customer_is_found_by_the_new_name_and_the_change_is_noted(peopled: Ledger) -> None:
    """The search follows the name, and the audit says that it changed."""
    with peopled.writing(OPERATOR, NOW) as work:
        work.customers.change(Customer("Ann Marsh-Tully", STREET, number=2))
        assert work.customers.pick("tully").number == 2
        notes = rows(work, "audit_note")
    assert [(note.deed, note.subject_kind, note.subject_number, note.operator) for note in notes] == [
        ("changed", "customer", 2, OPERATOR)
    ]


def test_unknown_numbers_are_refused(peopled: Ledger) -> None:
    """A number that was never given names nothing, whatever it is asked for."""
    with peopled.writing(OPERATOR, NOW) as work:
        asked = (
            work.customers.get,
            work.customers.wearer,
            work.customers.prescriber,
            work.prescriptions.get,
            work.orders.get,
            work.orders.pair,
            work.receipts.get,
            work.drafts.get,
            work.traces.get,
        )
        for get in asked:
            with pytest.raises(NumberUnknownError, match=r"there is no .* 77 in the ledger"):
                get(77)
        with pytest.raises(NumberUnknownError):
            work.customers.change(Customer("Nobody", STREET, number=77))


def test_folding_makes_one_form_of_what_reads_the_same() -> None:
    """Composed and decomposed letters, capitals and spare space fold alike."""
    assert folded("  JOSE\u0301   Ærland ") == folded("josé ærland") == "jose ærland"
