"""Jobs as the store lists them: open ones, oldest order first, with what happened to each."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.ledger.inspections import Remake
from shopledger.ledger.orders import Cancellation, Order
from shopledger.ledger.stages import Stage, stage_of
from shopledger.store.jobs import JobEntry
from shopledger.store.opening import Ledger
from shopledger.store.refusals import NumberUnknownError
from tests.parcels import whole_parcel
from tests.store.bench_samples import BAD, an_inspection
from tests.store.samples import NOW, OPERATOR, an_order


def posted(ledger: Ledger, order: Order) -> Order:
    """Post an order and give it back with its numbers."""
    with ledger.writing(OPERATOR, NOW) as work:
        return work.orders.add(order)


def listed(ledger: Ledger) -> tuple[JobEntry, ...]:
    """Give the open jobs."""
    with ledger.reading() as work:
        return work.jobs.open()


def test_every_pair_of_an_open_order_is_a_job(furnished: Ledger) -> None:
    """Each with its numbers, whose it is and what it is made of."""
    order = posted(furnished, an_order())
    found = listed(furnished)
    assert [entry.facts.job_number for entry in found] == [pair.job_number for pair in order.pairs]
    for entry, pair in zip(found, order.pairs, strict=True):
        with furnished.reading() as work:
            wearer, lens = work.customers.wearer(pair.wearer_number), work.catalogue.lens(pair.lens_code)
            frame = work.catalogue.frame(pair.frame_code)
        assert (entry.facts.order_number, entry.facts.ordered_on) == (order.number, order.day)
        assert (entry.wearer, entry.lens_code, entry.lens) == (wearer.name, lens.code, lens.name)
        assert entry.facts.frame_code == frame.code
        assert entry.frame == f"{frame.maker} {frame.model}, {frame.colour}"
        assert not entry.facts.traced


def test_the_oldest_order_comes_first(furnished: Ledger) -> None:
    """By its day, not by when it was typed in."""
    first = posted(furnished, an_order())
    late = posted(furnished, replace(an_order(), day=date(2020, 1, 2)))
    assert [entry.facts.order_number for entry in listed(furnished)] == [
        *[late.number] * len(late.pairs),
        *[first.number] * len(first.pairs),
    ]


def test_shipped_and_cancelled_orders_leave_the_board(furnished: Ledger) -> None:
    """They are found by their number all the same, with the day."""
    shipped, cancelled = posted(furnished, an_order()), posted(furnished, an_order())
    day = date(2026, 3, 9)
    with furnished.writing(OPERATOR, NOW) as work:
        work.parcels.add(whole_parcel(shipped, day))
        work.cancellations.add(Cancellation(cancelled.number or 0, day, "changed her mind"))
    assert listed(furnished) == ()
    with furnished.reading() as work:
        gone = work.jobs.entry(shipped.pairs[0].job_number or 0).facts
        back = work.jobs.entry(cancelled.pairs[0].job_number or 0).facts
    assert (gone.shipped_on, gone.cancelled_on, stage_of(gone).stage) == (day, None, Stage.SHIPPED)
    assert (back.shipped_on, back.cancelled_on, stage_of(back).stage) == (None, day, Stage.CANCELLED)


def test_the_newest_inspection_counts_and_none_that_a_remake_followed(furnished: Ledger) -> None:
    """Failed, made again, and passed at last."""
    number = posted(furnished, an_order()).pairs[0].job_number or 0
    failed = an_inspection(BAD)

    def stage() -> Stage:
        with furnished.reading() as work:
            return stage_of(work.jobs.entry(number).facts).stage

    assert (number, stage()) == (1, Stage.ORDERED)
    with furnished.writing(OPERATOR, NOW) as work:
        first = work.inspections.add(failed)
    assert stage() is Stage.FAILED
    with furnished.writing(OPERATOR, NOW) as work:
        work.inspections.add_remake(Remake(number, first.day, "axis off", 4250, follows=first.number))
    assert stage() is Stage.REMADE
    with furnished.writing(OPERATOR, NOW) as work:
        work.inspections.add(an_inspection())
    assert stage() is Stage.INSPECTED
    assert [stage_of(entry.facts).stage for entry in listed(furnished)] == [Stage.INSPECTED, Stage.ORDERED]
    # The order leaves whole, so the first job waits for the second, and a job of another order does not.
    posted(furnished, an_order())
    assert [entry.facts.waits_for for entry in listed(furnished)] == [(2,), (), (4,), (3,)]
    with furnished.reading() as work:
        assert work.jobs.entry(1).facts.waits_for == (2,)


def test_lenses_that_broke_before_any_inspection_are_made_again(furnished: Ledger) -> None:
    """A remake counts without an inspection before it."""
    number = posted(furnished, an_order()).pairs[1].job_number or 0
    with furnished.writing(OPERATOR, NOW) as work:
        work.inspections.add_remake(Remake(number, date(2026, 3, 5), "cracked at the groove", 900))
    assert [entry.facts.made_again for entry in listed(furnished)] == [False, True]


def test_an_unknown_job_is_refused(furnished: Ledger) -> None:
    """By its number."""
    with furnished.reading() as work, pytest.raises(NumberUnknownError, match="job 99"):
        work.jobs.entry(99)
