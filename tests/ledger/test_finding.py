"""What is typed into the one field is read in each way in which it may be meant."""

from __future__ import annotations

import pytest

from shopledger.ledger.finding import NUMBERED, Closeness, Hit, best_first, sought
from shopledger.ledger.things import About, Thing


@pytest.mark.parametrize("typed", ["", "   ", "%", "_%", "--", "\t"])
def test_nothing_typed_is_nothing_sought(typed: str) -> None:
    """Nobody is listed by the way, not by a sign that stands for all elsewhere, either."""
    assert sought(typed) is None


@pytest.mark.parametrize("typed", ["12", " 12 ", "0012"])
def test_a_number_alone_may_be_of_anything(typed: str) -> None:
    """The bars of a job's sheet say its number, so jobs come first."""
    asked = sought(typed)
    assert asked is not None
    assert (asked.number, asked.things) == (12, NUMBERED)
    assert NUMBERED[0] is Thing.JOB


@pytest.mark.parametrize(
    ("typed", "thing", "number"),
    [
        ("job 12", Thing.JOB, 12),
        ("Order #7", Thing.ORDER, 7),
        ("receipt-00012.pdf", Thing.RECEIPT, 12),
        ("receipt-00012", Thing.RECEIPT, 12),
        ("customer 3", Thing.CUSTOMER, 3),
        ("PARCEL 4", Thing.PARCEL, 4),
        ("wearer5", Thing.WEARER, 5),
    ],
)
def test_a_number_may_say_of_what_it_is(typed: str, thing: Thing, number: int) -> None:
    """As on a paper's file, or in words."""
    asked = sought(typed)
    assert asked is not None
    assert (asked.things, asked.number) == ((thing,), number)


@pytest.mark.parametrize("typed", ["614-555-0142", "(614) 555-0142", "6145550142", "+1 614 555 0142", "614.555.0142"])
def test_a_phone_number_is_read_in_any_writing(typed: str) -> None:
    """Its digits count, without the country's own."""
    asked = sought(typed)
    assert asked is not None
    assert asked.phone == "6145550142"


def test_few_digits_are_no_phone_number() -> None:
    """Every phone number has one of three digits somewhere."""
    asked = sought("142")
    assert asked is not None
    assert asked.phone == ""


def test_a_number_of_ten_digits_is_no_number_of_the_ledger() -> None:
    """It would not fit into any column of numbers."""
    asked = sought("6145550142")
    assert asked is not None
    assert asked.number is None


@pytest.mark.parametrize(
    ("typed", "signs"), [("1z 99-aa 75", "1Z99AA75"), ("Odalys Fern", ""), ("A-12", ""), ("a9@example.com", "")]
)
def test_a_parcels_number_has_digits_and_is_long(typed: str, signs: str) -> None:
    """A name is none, and a few signs stand in very many."""
    asked = sought(typed)
    assert asked is not None
    assert asked.signs == signs


def test_the_best_comes_first_and_once() -> None:
    """A thing that was found in two ways stands where the better one puts it."""
    job, order = About(Thing.JOB, "1"), About(Thing.ORDER, "1")
    hits = [Hit(order, "a", Closeness.WITHIN), Hit(job, "b", Closeness.BEGINS), Hit(order, "c", Closeness.WHOLE)]
    assert [(hit.about, hit.words) for hit in best_first(hits, 5)] == [(order, "c"), (job, "b")]
    assert len(best_first(hits, 1)) == 1
