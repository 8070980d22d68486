"""What recording a payout moves, how rows and books are compared, and what a processor owes, as values."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.processor_import import plan_report
from shopledger.ledger.books.processor_matches import CardComparison, CardEvent, compared
from shopledger.ledger.books.processor_payouts import payout_parts
from shopledger.ledger.books.processor_reports import (
    Payout,
    ProcessorLine,
    ReportKind,
    ReportRow,
    owed_by_reports,
)

JAN, DEC = date(2027, 1, 4), date(2026, 12, 30)


def row(
    kind: ReportKind, gross: int, fee: int = 0, day: date = JAN, number: str = "", payout: str = "P-9"
) -> ReportRow:
    """Give a row of the payout of 5 January, or of no payout."""
    return ReportRow(payout, date(2027, 1, 5) if payout else None, day, kind, gross, fee, number)


def payout(*rows: ReportRow) -> Payout:
    """Give the payout of 5 January with these rows."""
    return Payout(1, "P-9", date(2027, 1, 5), rows)


def moved(*moves: MoneyMove) -> list[tuple[str, str, int, int]]:
    """Give what moves, with its day."""
    return [(each.kind.value, each.day.isoformat(), each.amount, each.fee) for each in moves]


def line(number: int, made: ReportRow) -> ProcessorLine:
    """Give a row as it is kept."""
    return ProcessorLine(
        1, 1, made.payout, made.payout_day, None, made.transaction_id, made.day, made.kind, made.gross, made.fee,
        made.net, str(number), None, number,
    )  # fmt: skip


WORKED = payout(
    row(ReportKind.CHARGE, 12_995, 407),
    row(ReportKind.CHARGE, 24_950, 754),
    row(ReportKind.CHARGE, 4_999, 175),
    row(ReportKind.REFUND, -4_999),
)


def test_the_worked_payout_is_recorded_gross_with_its_fee() -> None:
    """366.09 to the bank, 13.36 of fees, 379.45 off what is owed; the refund of 49.99 was posted when it was made."""
    assert moved(*payout_parts(WORKED, (), (), ()).moves) == [("payout", "2027-01-05", 37_945, 1_336)]


def test_a_payout_below_zero_takes_money_from_the_bank() -> None:
    """A refund with a fee of 0.30 and nothing sold: 50.29 leaves the bank."""
    (move,) = payout_parts(payout(row(ReportKind.REFUND, -4_999, 30)), (), (), ()).moves
    assert (move.amount, move.fee, move.moved) == (-4_999, 30, -5_029)


def test_fees_count_in_the_month_in_which_they_were_earned() -> None:
    """December's on the last day of its rows, January's with the payout; both off what the processor owes."""
    mixed = payout(
        row(ReportKind.CHARGE, 10_000, 320, DEC),
        row(ReportKind.FEE, 0, 2_000, date(2026, 12, 31)),
        row(ReportKind.CHARGE, 5_000, 175),
    )
    parts = payout_parts(mixed, (), (), ())
    assert moved(*parts.moves) == [
        ("processor fee", "2026-12-31", 2_320, 2_320),
        ("payout", "2027-01-05", 12_680, 175),
    ]
    assert mixed.amount == 12_680 - 175
    late = payout_parts(mixed, (), (), {Month(2026, 12)})
    assert moved(*late.moves) == [("payout", "2027-01-05", 15_000, 2_495)]
    assert [each.code for each in late.findings] == ["FEE-LATE"]


def test_a_fee_that_the_owner_recorded_before_is_not_counted_twice() -> None:
    """The monthly fee of the last of December, found by its month and its cents; the charges' own fees beside it."""
    mixed = payout(
        row(ReportKind.CHARGE, 10_000, 320, DEC),
        row(ReportKind.FEE, -2_000, 0, date(2026, 12, 31)),
        row(ReportKind.CHARGE, 5_000, 175),
    )
    own = MoneyMove(date(2026, 12, 31), MoveKind.PROCESSOR_FEE, CashAccount.BANK, 2_000, number=4)
    parts = payout_parts(mixed, (), (own,), ())
    assert parts.found == (own,)
    assert moved(*parts.moves) == [("processor fee", "2026-12-31", 320, 320), ("payout", "2027-01-05", 12_680, 175)]
    again = payout_parts(mixed, (*(replace(each, number=9) for each in parts.moves), own), (), ())
    assert (again.moves, again.found) == ((), ())
    other = replace(own, amount=2_100, fee=0)
    assert payout_parts(mixed, (), (other,), ()).found == ()


def test_a_reserve_moves_no_fee_and_no_bank() -> None:
    """Held back is less to the bank, released is more; either is a move of its own on its day."""
    parts = payout_parts(
        payout(row(ReportKind.CHARGE, 10_000, 320), row(ReportKind.RESERVE, -1_000), row(ReportKind.RESERVE, 400)), (),
        (), (),
    )  # fmt: skip
    assert moved(*parts.moves) == [
        ("reserve held", "2027-01-04", 1_000, 1_000),
        ("reserve released", "2027-01-04", 400, 400),
        ("payout", "2027-01-05", 9_400, 320),
    ]


def test_a_dispute_s_fee_stays_with_the_dispute_and_a_carried_balance_is_no_money() -> None:
    """The books have the one from the dispute; what one payout lacked the next one bears."""
    first = payout(row(ReportKind.DISPUTE, -10_000, 1_500), row(ReportKind.CARRIED, 11_500))
    assert (first.amount, payout_parts(first, (), (), ()).moves) == (0, ())
    second = payout(row(ReportKind.CHARGE, 20_000, 610), row(ReportKind.CARRIED, -11_500))
    assert moved(*payout_parts(second, (), (), ()).moves) == [("payout", "2027-01-05", 8_500, 610)]


def test_an_adjustment_is_pointed_out() -> None:
    """What it is the books do not know."""
    parts = payout_parts(payout(row(ReportKind.ADJUSTMENT, 250)), (), (), ())
    assert [each.code for each in parts.findings] == ["ADJUSTMENT"]
    assert moved(*parts.moves) == [("payout", "2027-01-05", 250, 0)]


def test_a_payout_recorded_by_hand_is_taken_for_it_or_refused() -> None:
    """By its number: the same amounts are that payout, others have to be put right first."""
    mine = MoneyMove(date(2027, 1, 6), MoveKind.PAYOUT, CashAccount.BANK, 37_945, 1_336, reference="p-9", number=7)
    parts = payout_parts(WORKED, (), (mine,), ())
    assert (parts.moves, parts.found) == ((), (mine,))
    with pytest.raises(RefusedError, match=r"money 7 records it as 379\.45 with a fee of 12\.75; by the report"):
        payout_parts(WORKED, (), (replace(mine, fee=1_275),), ())


def test_a_payout_recorded_by_hand_may_have_all_fees_with_it() -> None:
    """Those of December too: nothing of it is counted twice, then or when it is looked at again."""
    mixed = payout(row(ReportKind.CHARGE, 10_000, 320, DEC), row(ReportKind.CHARGE, 5_000, 175))
    mine = MoneyMove(date(2027, 1, 6), MoveKind.PAYOUT, CashAccount.BANK, 15_000, 495, reference="P-9", number=7)
    for closed in ((), {Month(2026, 12)}):
        parts = payout_parts(mixed, (), (mine,), closed)
        assert (parts.moves, parts.found) == ((), (mine,))
        assert payout_parts(mixed, (mine,), (), closed).moves == ()


def test_a_part_that_was_voided_alone_is_recorded_again() -> None:
    """The others stand as they are."""
    mixed = payout(row(ReportKind.CHARGE, 10_000, 320, DEC), row(ReportKind.RESERVE, -500))
    whole = [replace(each, number=place) for place, each in enumerate(payout_parts(mixed, (), (), ()).moves)]
    for gone in whole:
        left = [each for each in whole if each is not gone]
        assert moved(*payout_parts(mixed, left, (), ()).moves) == moved(gone)


# ------------------------------------------------------------------ the same report again


def test_the_same_rows_again_are_known_and_waiting_ones_are_paid_out_once() -> None:
    """A row that was not paid out yet gives its place to the one on its payout; twins stay two."""
    waiting = [row(ReportKind.CHARGE, 5_000, 175, payout="") for _ in range(2)]
    first = plan_report(waiting, ())
    assert len(first.new) == 2
    kept = [line(place, each.row) for place, each in enumerate(first.new, start=1)]
    assert plan_report(waiting, kept).known == 2
    paid = [replace(each, payout="P-9", payout_day=date(2027, 1, 5)) for each in waiting]
    second = plan_report(paid, kept)
    assert [each.replaces for each in second.new] == [1, 2]
    both = [*kept, *(replace(line(place, new.row), replaces=new.replaces) for place, new in enumerate(second.new, 3))]
    assert (plan_report(paid, both).new, plan_report(waiting, both).new) == ((), ())


def test_a_payout_that_says_otherwise_later_is_refused() -> None:
    """What was paid out does not change: neither its rows nor its day."""
    kept = [line(1, row(ReportKind.CHARGE, 5_000, 175, number="t1"))]
    with pytest.raises(RefusedError, match=r"payout is P-9; it is kept with other rows: charge 50.01"):
        plan_report([row(ReportKind.CHARGE, 5_001, 175, number="t1")], kept)


def test_what_is_owed_is_what_was_not_paid_out_at_a_day_s_end() -> None:
    """Whatever reports said later; a reserve beside it, and a carried balance in neither."""
    rows = (
        row(ReportKind.CHARGE, 10_000, 320, DEC),
        row(ReportKind.CHARGE, 5_000, 175),
        row(ReportKind.RESERVE, -1_000),
        row(ReportKind.CARRIED, -300),
        row(ReportKind.PAYOUT, -13_205, day=date(2027, 1, 5)),
    )
    lines = [line(place, each) for place, each in enumerate(rows, start=1)]
    owed = {day: owed_by_reports(day, lines) for day in (DEC, JAN, date(2027, 1, 5))}
    assert [(each.owed, each.reserve) for each in owed.values()] == [(9_680, 0), (13_505, 1_000), (300, 1_000)]


# ------------------------------------------------------------------ rows beside the books


def event(number: int, amount: int, day: date = JAN, reference: str = "") -> CardEvent:
    """Give a card payment of the books."""
    return CardEvent(ReportKind.CHARGE, day, amount, Document(DocumentKind.PAYMENT, number), number, reference)


def beside(rows: list[ReportRow], events: list[CardEvent]) -> CardComparison:
    """Compare rows and books over two months; the reports reach the fifth of January."""
    lines = [line(place, each) for place, each in enumerate(rows, start=1)]
    return compared(lines, events, date(2027, 1, 5), date(2026, 12, 1), date(2027, 1, 31))


def test_one_row_and_one_payment_of_the_same_cents_and_near_days_are_the_same() -> None:
    """By number first, on the day, then within three days."""
    rows = [
        row(ReportKind.CHARGE, 100, number="tx1"), row(ReportKind.CHARGE, 100), row(ReportKind.CHARGE, 300),
        row(ReportKind.CHARGE, 400),
    ]  # fmt: skip
    events = [event(1, 100), event(2, 100, reference="tx1"), event(3, 300, date(2027, 1, 2)), event(4, 400, DEC)]
    found = beside(rows, events)
    assert [(each.line.number, each.event.document.number) for each in found.found] == [(1, 2), (2, 1), (3, 3)]
    assert [(each.line.number, each.candidates) for each in found.rows_left] == [(4, ())]
    assert [each.document.number for each in found.events_left] == [4]
    assert not found.agrees


def test_as_many_alike_on_one_day_agree_and_more_do_not() -> None:
    """Two of 249.50 on one day: whichever is which. A third row is left for the owner, with all that it could be."""
    two = [row(ReportKind.CHARGE, 24_950)] * 2
    found = beside(two, [event(1, 24_950), event(2, 24_950)])
    assert (found.found, len(found.alike), found.agrees) == ((), 1, True)
    found = beside([*two, *two[:1]], [event(1, 24_950), event(2, 24_950)])
    assert (found.found, found.alike, len(found.rows_left), len(found.events_left)) == ((), (), 3, 2)
    assert len(found.rows_left[0].candidates) == 2


def test_a_set_of_payments_is_never_taken_for_a_row() -> None:
    """Not even where its sum fits and nothing else is there."""
    found = beside([row(ReportKind.CHARGE, 300)], [event(1, 100), event(2, 200)])
    assert (found.found, len(found.rows_left), len(found.events_left)) == ((), 1, 2)


def test_what_is_not_reported_yet_is_awaited() -> None:
    """After the last day of which a report tells, nothing is missing."""
    found = beside([row(ReportKind.CHARGE, 300)], [event(1, 300), event(2, 200, date(2027, 1, 20))])
    assert ([each.document.number for each in found.awaited], found.agrees) == ([2], True)
