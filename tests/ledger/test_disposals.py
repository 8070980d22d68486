"""Equipment that is gone: what it gained or lost, how a piece is named, and what is refused."""

from __future__ import annotations

from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.books.disposals import (
    Disposal,
    DisposalKind,
    Equipment,
    Piece,
    check_disposal,
    equipment_rows,
    read_piece,
)
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Posting
from shopledger.ledger.books.money_moves import CashAccount
from shopledger.ledger.books.postings import disposal_entry

BILL = Document(DocumentKind.BILL, 3)
BOUGHT, GONE = date(2026, 3, 2), date(2028, 6, 30)
EDGER = Piece(BILL, 2, BOUGHT, "Thistledown Optical", "edger", 1_000_000)


def disposal(
    cost: int = 1_000_000,
    depreciation: int = 600_000,
    proceeds: int = 0,
    day: date = GONE,
    how: DisposalKind = DisposalKind.SOLD,
) -> Disposal:
    """Let the edger go."""
    return Disposal(day, BILL, 2, cost, depreciation, how, proceeds, CashAccount.BANK, number=1)


# The truck of a widely used principles text: cost 10,000, written off 6,000, sold for 4,000, 4,500 and 3,000 or thrown
# away (round figures, worked out here).
@pytest.mark.parametrize(("proceeds", "gain"), [(400_000, 0), (450_000, 50_000), (300_000, -100_000), (0, -400_000)])
def test_what_it_brought_less_what_was_left_of_it_is_the_gain(proceeds: int, gain: int) -> None:
    """Cost 10,000.00 and 6,000.00 written off leave 4,000.00; the entry has cost and depreciation out, proceeds in."""
    gone = disposal(proceeds=proceeds)
    assert gone.gain == gain
    postings = disposal_entry(gone).postings
    wanted = (
        Posting(Account.ACCUMULATED_DEPRECIATION, 600_000),
        Posting(Account.BANK, proceeds),
        Posting(Account.EQUIPMENT_GAINS, -gain),
        Posting(Account.EQUIPMENT, -1_000_000),
    )
    assert postings == tuple(each for each in wanted if each.amount)


def test_a_piece_that_goes_in_parts_is_listed_in_parts() -> None:
    """Each part with what became of it, and what is there still; what is gone whole has no rest."""
    first = disposal(250_000, 100_000)
    rows = equipment_rows([Equipment(EDGER, (first,)), Equipment(EDGER, (disposal(),)), Equipment(EDGER)])
    assert [(row.cost, row.there, bool(row.disposal)) for row in rows] == [
        (250_000, 0, True),
        (750_000, 750_000, False),
        (1_000_000, 0, True),
        (1_000_000, 1_000_000, False),
    ]


@pytest.mark.parametrize(
    ("found", "asked", "written_off", "said"),
    [
        (Equipment(EDGER), disposal(day=date(2026, 3, 1)), 600_000, "is of 2026-03-02"),
        (Equipment(EDGER), disposal(1_000_001), 600_000, "10,000.00 of the cost of bill 3 line 2 is there"),
        (Equipment(EDGER, (disposal(),)), disposal(1, 0), 600_000, "The rest of it went on 2028-06-30"),
        (Equipment(EDGER), disposal(), 599_999, "written 5,999.99 off of all equipment"),
    ],
    ids=["before it came", "more than it cost", "gone already", "more than was written off"],
)
def test_what_is_not_there_cannot_go(found: Equipment, asked: Disposal, written_off: int, said: str) -> None:
    """Nor may it take more depreciation out than the books have posted."""
    with pytest.raises(RefusedError, match=said):
        check_disposal(found, asked, written_off)


@pytest.mark.parametrize(
    ("cost", "depreciation", "proceeds"), [(0, 0, 0), (100, 101, 0), (100, -1, 0), (100, 0, -1), (100, 0, 10**9)]
)
def test_amounts_are_held_to_sense(cost: int, depreciation: int, proceeds: int) -> None:
    """A cost, not more written off than that, and proceeds of a shop of one person."""
    with pytest.raises(RefusedError):
        disposal(cost, depreciation, proceeds)


@pytest.mark.parametrize(
    ("typed", "number", "line"), [("bill 3", 3, 0), ("Bill-3 line 2", 3, 2), (" adjustment  1  line 1", 1, 1)]
)
def test_a_piece_is_named_by_what_it_came_with(typed: str, number: int, line: int) -> None:
    """By the document, and by its line where it has several."""
    document, position = read_piece(typed)
    assert (document.number, position) == (number, line)


@pytest.mark.parametrize("typed", ["", "bill", "3", "deposit 3", "bill 0", "bill 3 line 0", "bill 3 line x", "bill x"])
def test_what_names_no_piece_is_refused_with_an_example(typed: str) -> None:
    """Equipment comes with expenses, bills and adjustments alone."""
    with pytest.raises(RefusedError, match="'bill 3 line 2'"):
        read_piece(typed)
