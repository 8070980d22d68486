"""Taking back as values: which documents can be named, and the entries that reverse theirs."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import VOIDABLE, Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry, Posting
from shopledger.ledger.books.voiding import Listed, Voiding, refuse_early, voiding_entries
from tests.documents import named
from tests.strategies import DAYS, PRICES

EXPENSE = Document(DocumentKind.EXPENSE, 4)


@given(kind=st.sampled_from(VOIDABLE), number=st.integers(1, 999_999_999))
def test_a_document_reads_as_it_is_written(kind: DocumentKind, number: int) -> None:
    """With spaces or hyphens, in any case."""
    document = Document(kind, number)
    assert Document.read(str(document)) == document
    assert Document.read(str(document).upper().replace(" ", "-")) == document
    assert Document.read(f"  {document} ") == document


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("expens 4", "Did you mean 'expense 4'"),
        ("order 4", "shopledger sale cancel"),
        ("payment 4", "shopledger refund give"),
        ("4", "as in 'expense 4'"),
        ("expense", "'expense 4'"),
        ("expense 0", "'expense 4'"),
        ("", "as in 'expense 4'"),
    ],
)
def test_what_is_no_document_is_refused_with_a_way_on(text: str, said: str) -> None:
    """What can be voided is listed, and what was perhaps meant is named."""
    with pytest.raises(RefusedError) as refused:
        Document.read(text)
    assert "a bill payment, a bill credit, other money, a deposit, an adjustment or a disposal" in str(refused.value)
    assert said in str(refused.value)


@given(amounts=st.lists(PRICES, min_size=1, max_size=4), day=DAYS)
def test_each_entry_is_reversed_by_one_that_points_at_it(amounts: list[int], day: date) -> None:
    """Every account is left as if the document had never been."""
    entries = [
        (place, Entry(day, "rent", named("expense 4"), (Posting(Account.RENT, cents), Posting(Account.BANK, -cents))))
        for place, cents in enumerate(amounts, start=11)
    ]
    reversing = voiding_entries(entries, Voiding(EXPENSE, day, "was private"))
    assert [entry.reverses for entry in reversing] == [number for number, _ in entries]
    assert {entry.document for entry in reversing} == {named("taking back of expense 4")}
    for (_, entry), undone in zip(entries, reversing, strict=True):
        both = [*entry.postings, *undone.postings]
        assert all(sum(each.amount for each in both if each.account is account) == 0 for account in Account)


def test_a_document_is_not_taken_back_before_its_day() -> None:
    """The day itself will do."""
    taken = Voiding(EXPENSE, date(2026, 3, 2), "was private")
    refuse_early(taken, date(2026, 3, 2))
    with pytest.raises(RefusedError, match="day is 2026-03-02; something happened to expense 4 on 2026-03-03"):
        refuse_early(taken, date(2026, 3, 3))


def test_taking_back_wants_a_reason() -> None:
    """An empty one is none."""
    with pytest.raises(RefusedError, match="reason is empty"):
        Voiding(EXPENSE, date(2026, 3, 2), " ")


def test_what_was_taken_back_is_listed_below_zero() -> None:
    """On its own day it counts as it is."""
    assert Listed(date(2026, 3, 2), EXPENSE).sign == 1
    assert Listed(date(2026, 3, 9), EXPENSE, "was private").sign == -1
