"""Lens orders as the store keeps them: posted once, found by job, and what the board makes of them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date

import pytest

from shopledger.errors import StoreError
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.canonical import content_hash
from shopledger.ledger.inspections import Remake, Scrap
from shopledger.ledger.lens_orders import LensArrival, LensOrder
from shopledger.ledger.stages import JobFacts, Stage, stage_of
from shopledger.store.opening import Ledger
from shopledger.store.refusals import NumberUnknownError, RuleRefusedError
from shopledger.store.tables.schema import METADATA
from tests.store.samples import DAY, NOW, OPERATOR, an_order

EXPECTED = date(2026, 3, 9)


@pytest.fixture
def ordered(furnished: Ledger) -> Ledger:
    """Post an order of two jobs and a supplier."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
        work.suppliers.add(Supplier("Brightwater Lens Laboratory", "A-77"))
    return furnished


def sent(ledger: Ledger, job: int = 1, remake: int | None = None, follows: int | None = None) -> LensOrder:
    """Post a lens order for a job, made when that remake was the newest."""
    body = json.dumps({"remake": remake, "note": '"remake":99,'})
    with ledger.writing(OPERATOR, NOW) as work:
        number = work.lens_orders.next_number()
        order = LensOrder(number, job, 1, DAY, body, content_hash(body), EXPECTED, "polish the edge", follows)
        return work.lens_orders.add(order)


def test_a_lens_order_comes_back_as_it_was_posted(ordered: Ledger) -> None:
    """With its arrival once there is one, and with whose hand it was."""
    order = sent(ordered)
    with ordered.reading() as work:
        assert work.lens_orders.get(order.number) == order
        found = work.lens_orders.get(order.number).entered
        assert found is not None
        assert found.operator == OPERATOR
    arrival = LensArrival(order.number, EXPECTED, "left one loose in the box")
    with ordered.writing(OPERATOR, NOW) as work:
        work.lens_orders.arrive(arrival)
    with ordered.reading() as work:
        assert work.lens_orders.of_job(1) == (replace(order, arrival=arrival),)
        assert work.lens_orders.of_job(2) == ()


def test_a_job_s_lens_orders_are_counted_without_gaps_oldest_first(ordered: Ledger) -> None:
    """One that follows another names it."""
    first, other, second = sent(ordered), sent(ordered, job=2), sent(ordered, follows=1)
    assert (first.number, other.number, second.number) == (1, 2, 3)
    with ordered.reading() as work:
        assert work.lens_orders.of_job(1) == (first, second)
        assert work.lens_orders.of_job(1)[1].follows == 1


def test_an_unknown_lens_order_is_refused(ordered: Ledger) -> None:
    """By its number."""
    with ordered.reading() as work, pytest.raises(NumberUnknownError, match="lens order 7"):
        work.lens_orders.get(7)


@pytest.mark.parametrize("name", ["lens_order", "lens_arrival"])
def test_what_was_sent_out_is_never_changed(ordered: Ledger, name: str) -> None:
    """Neither order nor arrival; the database itself refuses."""
    order = sent(ordered)
    with ordered.writing(OPERATOR, NOW) as work:
        work.lens_orders.arrive(LensArrival(order.number, EXPECTED))
    table = METADATA.tables[name]
    with pytest.raises(StoreError), ordered.writing(OPERATOR, NOW) as work:
        work.transaction.change(table, {"note": "another"}, {})
    with pytest.raises(StoreError), ordered.writing(OPERATOR, NOW) as work:
        work.transaction.remove(table, {})


def test_lenses_arrive_once(ordered: Ledger) -> None:
    """A second arrival of the same lens order is refused by the database."""
    order = sent(ordered)
    with ordered.writing(OPERATOR, NOW) as work:
        work.lens_orders.arrive(LensArrival(order.number, EXPECTED))
    with pytest.raises(RuleRefusedError), ordered.writing(OPERATOR, NOW) as work:
        work.lens_orders.arrive(LensArrival(order.number, EXPECTED))


def test_the_board_follows_the_lenses(ordered: Ledger) -> None:
    """Ordered, awaited, arrived; thrown away in a remake, ordered anew; the other job is left as it was."""

    def facts(job: int = 1) -> JobFacts:
        with ordered.reading() as work:
            found = {entry.facts.job_number: entry.facts for entry in work.jobs.open()}
            assert found[job] == work.jobs.entry(job).facts
        return found[job]

    assert (facts().lenses_ordered_on, stage_of(facts()).stage) == (None, Stage.ORDERED)
    first = sent(ordered)
    assert (facts().lens_order, facts().lenses_ordered_on, facts().lenses_expected_on) == (1, DAY, EXPECTED)
    assert stage_of(facts()).stage is Stage.LENSES_AWAITED
    with ordered.writing(OPERATOR, NOW) as work:
        work.lens_orders.arrive(LensArrival(first.number, EXPECTED))
    assert (facts().lenses_arrived_on, stage_of(facts()).stage) == (EXPECTED, Stage.READY_TO_CUT)
    remade(ordered, Scrap.NONE)
    assert (stage_of(facts()).stage, facts().lenses_lost) == (Stage.READY_TO_CUT, False)
    remade(ordered, Scrap.LEFT)
    assert (facts().lenses_ordered_on, facts().lenses_arrived_on, facts().lenses_lost) == (None, None, True)
    assert stage_of(facts()).stage is Stage.REMADE
    sent(ordered, remake=2, follows=1)
    assert (stage_of(facts()).stage, facts().lenses_lost) == (Stage.LENSES_AWAITED, False)
    assert (facts(2).lenses_ordered_on, facts(2).lenses_lost) == (None, False)


def test_lenses_cut_from_stock_and_spoilt_are_lost_too(ordered: Ledger) -> None:
    """Nobody had ordered them, and they have to be ordered now or cut from stock again."""
    remade(ordered, Scrap.RIGHT)
    with ordered.reading() as work:
        assert work.jobs.entry(1).facts.lenses_lost


def remade(ledger: Ledger, scrap: Scrap) -> None:
    """Post a remake of the first job."""
    with ledger.writing(OPERATOR, NOW) as work:
        work.inspections.add_remake(Remake(1, EXPECTED, "axis off", 1850, scrap))
