"""Where a job stands: what happened last counts, and the next step is named."""

from __future__ import annotations

from dataclasses import replace
from datetime import date, timedelta

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shopledger.ledger.stages import (
    OVERDUE_AFTER,
    JobFacts,
    Stage,
    days_since_order,
    is_overdue,
    lenses_late,
    stage_of,
)

DAY = date(2026, 3, 2)
TRACED = JobFacts(57, 12, "WREN-52", DAY, traced=True)
AWAITED = replace(TRACED, lenses_ordered_on=DAY, lenses_expected_on=date(2026, 3, 9))
ARRIVED = replace(TRACED, lenses_ordered_on=DAY, lenses_arrived_on=DAY)


@pytest.mark.parametrize(
    ("facts", "stage", "step"),
    [
        (replace(TRACED, traced=False), Stage.ORDERED, "trace the frame"),
        (TRACED, Stage.ORDERED, "order lenses, cut, inspect"),
        (replace(TRACED, lenses_ordered_on=DAY), Stage.LENSES_AWAITED, "wait for the lenses"),
        (AWAITED, Stage.LENSES_AWAITED, "wait for the lenses, expected 2026-03-09"),
        (replace(TRACED, traced=False, lenses_ordered_on=DAY), Stage.LENSES_AWAITED, "trace the frame"),
        (ARRIVED, Stage.READY_TO_CUT, "cut and inspect"),
        (replace(ARRIVED, traced=False), Stage.READY_TO_CUT, "trace the frame"),
        (replace(ARRIVED, inspection_passed=True), Stage.INSPECTED, "ship the order"),
        (replace(TRACED, inspection_passed=True), Stage.INSPECTED, "ship the order"),
        (replace(ARRIVED, inspection_passed=False), Stage.FAILED, "make it again"),
        (
            replace(ARRIVED, inspection_passed=True, waits_for=(58, 60)),
            Stage.INSPECTED,
            "wait for job 58, or ship it alone",
        ),
        (replace(TRACED, made_again=True), Stage.REMADE, "cut again and inspect"),
        (replace(TRACED, made_again=True, lenses_lost=True), Stage.REMADE, "order lenses, cut again and inspect"),
        (replace(AWAITED, made_again=True), Stage.LENSES_AWAITED, "wait for the lenses, expected 2026-03-09"),
        (replace(ARRIVED, made_again=True), Stage.READY_TO_CUT, "cut again and inspect"),
        (replace(ARRIVED, made_again=True, inspection_passed=True), Stage.INSPECTED, "ship the order"),
        (replace(ARRIVED, inspection_passed=True, shipped_on=DAY), Stage.SHIPPED, ""),
        (replace(TRACED, shipped_on=DAY), Stage.SHIPPED, ""),
        (replace(ARRIVED, inspection_passed=True, came_back=3), Stage.CAME_BACK, "send it again"),
        (replace(TRACED, came_back=3), Stage.CAME_BACK, "send it again"),
        (replace(TRACED, came_back=3, made_again=True), Stage.REMADE, "cut again and inspect"),
        (replace(TRACED, cancelled_on=DAY), Stage.CANCELLED, ""),
    ],
)
def test_a_job_stands_where_the_last_thing_that_happened_put_it(facts: JobFacts, stage: Stage, step: str) -> None:
    """What is not recorded is passed over, and nothing is left to do once it was shipped or cancelled."""
    standing = stage_of(facts)
    assert (standing.stage, standing.next_step) == (stage, step)
    assert bool(standing.command) is facts.is_open


def test_the_command_for_the_next_step_is_named_whole() -> None:
    """It can be typed as it stands, with this job's own numbers."""
    assert stage_of(replace(TRACED, traced=False)).command == "shopledger trace add WREN-52 FILE"
    assert stage_of(TRACED).command == "shopledger job order-lenses 57 --from SUPPLIER"
    assert stage_of(replace(TRACED, lenses_lost=True)).command == stage_of(TRACED).command
    assert stage_of(AWAITED).command == "shopledger job lenses-arrived 57"
    assert stage_of(ARRIVED).command == "shopledger job sheet 57"
    assert stage_of(replace(TRACED, inspection_passed=True)).command == "shopledger sale ship 12"
    assert stage_of(replace(TRACED, inspection_passed=False)).command == "shopledger job remake 57"


@pytest.mark.parametrize(("days", "late"), [(0, False), (14, False), (15, True), (400, True)])
def test_an_open_job_is_overdue_once_the_days_are_over(days: int, late: bool) -> None:
    """On the fourteenth day it is still in time; shipped or cancelled it is never late."""
    today = DAY + timedelta(days)
    assert is_overdue(TRACED, today) is late
    assert not is_overdue(replace(TRACED, shipped_on=DAY), today)
    assert not is_overdue(replace(TRACED, cancelled_on=DAY), today)


def test_a_job_is_overdue_once_its_lenses_should_have_come() -> None:
    """The day after the one on which they were expected, until they arrive or no longer matter."""
    late = date(2026, 3, 10)
    assert not is_overdue(AWAITED, date(2026, 3, 9))
    assert is_overdue(AWAITED, late)
    assert lenses_late(AWAITED, late)
    for settled in (
        replace(AWAITED, lenses_arrived_on=late),
        replace(AWAITED, inspection_passed=True),
        replace(AWAITED, lenses_expected_on=None),
    ):
        assert not is_overdue(settled, late)


def test_the_days_may_be_chosen() -> None:
    """One more than asked for is overdue."""
    assert is_overdue(TRACED, DAY + timedelta(3), after=2)
    assert not is_overdue(TRACED, DAY + timedelta(3), after=3)
    assert OVERDUE_AFTER == 14


@given(st.dates(date(2020, 1, 1), date(2040, 1, 1)), st.dates(date(2020, 1, 1), date(2040, 1, 1)))
def test_days_are_never_less_than_none(ordered: date, today: date) -> None:
    """A late entry looked at on an earlier day counts as of that day."""
    days = days_since_order(replace(TRACED, ordered_on=ordered), today)
    assert days == max(0, today.toordinal() - ordered.toordinal())
