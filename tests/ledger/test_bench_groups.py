"""What an open job waits for: one heap each, in the order of the work."""

from __future__ import annotations

from dataclasses import replace

import pytest

from shopledger.ledger.bench_groups import Waiting, waits_for
from shopledger.ledger.stages import JobFacts
from tests.ledger.test_stages import ARRIVED, AWAITED, DAY, TRACED


@pytest.mark.parametrize(
    ("facts", "waiting"),
    [
        (replace(TRACED, traced=False), Waiting.TRACE),
        (replace(ARRIVED, traced=False), Waiting.TRACE),
        (TRACED, Waiting.ORDER),
        (AWAITED, Waiting.COMING),
        (replace(AWAITED, traced=False), Waiting.COMING),
        (ARRIVED, Waiting.CUT),
        (replace(TRACED, made_again=True), Waiting.CUT),
        (replace(TRACED, made_again=True, lenses_lost=True), Waiting.ORDER),
        (replace(ARRIVED, inspection_passed=False), Waiting.AGAIN),
        (replace(ARRIVED, inspection_passed=True), Waiting.SEND),
        (replace(ARRIVED, inspection_passed=True, waits_for=(58,)), Waiting.SEND),
        (replace(ARRIVED, inspection_passed=True, came_back=3), Waiting.SEND),
    ],
)
def test_a_job_lies_on_one_heap(facts: JobFacts, waiting: Waiting) -> None:
    """The heap names what is done with it next."""
    assert waits_for(facts) is waiting


@pytest.mark.parametrize(
    "facts",
    [replace(TRACED, shipped_on=DAY), replace(TRACED, cancelled_on=DAY), replace(TRACED, overtaken_by=60)],
)
def test_a_job_that_is_done_with_waits_for_nothing(facts: JobFacts) -> None:
    """What left, was cancelled, or is made as another job lies on no heap."""
    assert waits_for(facts) is None
