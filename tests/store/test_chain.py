"""The quick way through the chain makes the very bytes that each entry is hashed by, and leaves nothing unseen."""

from __future__ import annotations

from datetime import date

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from shopledger.ledger.books.journal import EMPTY_HEAD, Account, Entry, Posting
from shopledger.store.books import chain
from shopledger.store.guards import lift_guards
from shopledger.store.opening import Ledger
from shopledger.store.refusals import JournalBrokenError
from shopledger.store.work import UnitOfWork
from tests.documents import DOCUMENTS, named
from tests.rows import put_row
from tests.store.samples import DAY, NOW, OPERATOR
from tests.strategies import DAYS

WORDS = st.text(st.characters(codec="utf-8", exclude_characters="\x00"), min_size=1, max_size=12) | st.sampled_from(
    ['"', "\\", '\\"', "a\nb", "\t\r\f\b", "\x01\x1e\x7f", "\x1f", "é", "\u2028", "😀", '"],["', "','"]
)
AMOUNTS = st.lists(st.integers(-(10**12), 10**12).filter(bool), max_size=5)


@st.composite
def entries(draw: st.DrawFn) -> Entry:
    """Draw a balanced entry with any words, any amounts and none."""
    accounts = st.sampled_from(Account)
    postings = [Posting(draw(accounts), amount) for amount in draw(AMOUNTS)]
    rest = Posting(draw(accounts), -sum(posting.amount for posting in postings))
    return Entry(draw(DAYS), draw(WORDS), draw(DOCUMENTS), (*postings, rest))


@settings(max_examples=40, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(several=st.lists(entries(), min_size=1, max_size=6), turned=st.booleans())
def test_a_stretch_holds_the_canonical_bytes_of_its_entries(ledger: Ledger, several: list[Entry], turned: bool) -> None:
    """Whatever stands in an entry, its bytes from the database are those it was hashed by, or the stretch says no."""
    with ledger.writing(OPERATOR, NOW) as work:
        before = work.journal.head()
        if turned:
            several[-1] = Entry(DAY, "back", named("order 1"), several[-1].postings, reverses=before.count + 1)
        for entry in several:
            work.journal.post(entry)
    with ledger.reading() as work:
        written: list[bytes] = []
        for stretch in chain.stretches(work.transaction):
            bodies = stretch._bodies()
            if bodies is None:
                # Only words with the gap in them, and entries without postings, are left to the other way.
                assert any("\x1f" in entry.memo or not entry.postings for entry in _all(work))
                return
            written += bodies
        assert written[before.count :] == [entry.canonical() for entry in several]
        assert work.journal.chain() == work.journal.head()


def _all(work: UnitOfWork) -> list[Entry]:
    return [entry for _, _, entry in work.journal._entries(1, work.journal.head().count)]


@settings(max_examples=25, deadline=None, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(several=st.lists(entries(), min_size=1, max_size=4))
def test_any_chain_verifies(ledger: Ledger, several: list[Entry]) -> None:
    """Entries with the gap in their words, and without postings, verify too."""
    with ledger.writing(OPERATOR, NOW) as work:
        for entry in several:
            head = work.journal.post(entry)
    with ledger.reading() as work:
        assert work.journal.chain() == head


def test_long_chains_are_read_in_stretches(ledger: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    """The stretches follow one another without a gap and an overlap, whatever is left for the last one."""
    monkeypatch.setattr(chain, "ENTRIES_AT_ONCE", 3)
    with ledger.writing(OPERATOR, NOW) as work:
        for number in range(1, 9):
            work.journal.post(an_entry(number))
    with ledger.reading() as work:
        found = list(chain.stretches(work.transaction))
        assert [(stretch.first, stretch.last, stretch.count) for stretch in found] == [(1, 3, 3), (4, 6, 3), (7, 8, 2)]
        assert work.journal.chain() == work.journal.head()
        head = EMPTY_HEAD
        for stretch in found:
            after = stretch.head_after(head)
            assert after is not None
            head = after
        assert head == work.journal.head()
        assert found[1].head_after(EMPTY_HEAD) is None


@pytest.mark.parametrize(
    ("deed", "number"),
    [
        ("UPDATE journal_entry SET hash = upper(hash) WHERE number = 5", 5),
        ("UPDATE journal_entry SET document_number = 9 WHERE number = 5", 5),
        ("UPDATE journal_entry SET document_kind = 'refund' WHERE number = 5", 5),
        ("UPDATE journal_posting SET account = 'bank' WHERE entry_number = 4 AND position = 1", 4),
        ("UPDATE journal_posting SET position = position + 10 WHERE entry_number = 6 AND position = 1", 6),
        ("UPDATE journal_entry SET reverses = 2 WHERE number = 8", 8),
        ("UPDATE journal_posting SET entry_number = 3, position = position + 2 WHERE entry_number = 4", 3),
        ("DELETE FROM journal_posting WHERE entry_number = 1; DELETE FROM journal_entry WHERE number = 1", 1),
    ],
)
def test_every_change_is_found_at_its_entry(
    ledger: Ledger, monkeypatch: pytest.MonkeyPatch, deed: str, number: int
) -> None:
    """A hash, a word, an account, an order of postings, a pointer, postings moved to a neighbour, an entry gone."""
    monkeypatch.setattr(chain, "ENTRIES_AT_ONCE", 3)
    with ledger.writing(OPERATOR, NOW) as work:
        for each in range(1, 9):
            work.journal.post(an_entry(each))
    with ledger.writing(OPERATOR, NOW) as work:
        lift_guards(work.transaction.connection)
        for statement in deed.split(";"):
            work.transaction.connection.exec_driver_sql(statement)
        with pytest.raises(JournalBrokenError, match=f"journal entry {number} does not fit"):
            work.journal.chain()


def test_an_entry_out_of_balance_is_no_entry(ledger: Ledger) -> None:
    """A chain whose hashes were worked out anew over an entry out of balance is refused for its balance."""
    with ledger.writing(OPERATOR, NOW) as work:
        work.journal.post(an_entry(1))
        put_row(work, "journal_posting", {"entry_number": 1, "position": 3, "account": "bank", "amount": 7})
        assert work.journal.unbalanced() == (1,)
        with pytest.raises(JournalBrokenError, match="journal entry 1 does not fit"):
            work.journal.verify()


def an_entry(number: int) -> Entry:
    """Give a balanced entry."""
    postings = (Posting(Account.CASH, 100 + number), Posting(Account.SALES, -100 - number))
    return Entry(date(2026, 3, 2), f"sale {number}", named(f"order {number}"), postings)
