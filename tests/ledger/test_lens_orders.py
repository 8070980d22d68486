"""When lenses may be ordered: once, again after a remake or with a reason, and only where a lab could make them."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import date
from typing import Any

import pytest

from shopledger.errors import RefusedError
from shopledger.ledger.catalogue import Lens
from shopledger.ledger.inspections import BenchHistory, Inspection, Remake, Scrap
from shopledger.ledger.lens_orders import (
    Edging,
    LensArrival,
    LensOrder,
    lenses_to_order,
    lenses_wanting,
    refuse_arrival,
    refuse_unorderable,
)
from shopledger.ledger.orders import Cancellation, OrderAccount
from shopledger.optics.sides import Side
from tests.ledger.papers.bench import job, measured
from tests.ledger.papers.test_certificate import FOUND
from tests.parcels import whole_parcel
from tests.shelf import GRADUAL, SINGLE

DAY = date(2026, 3, 2)
BOTH = (Side.RIGHT, Side.LEFT)


def order(number: int = 12, remake: int | None = None, lenses: tuple[Side, ...] = BOTH) -> LensOrder:
    """Give an order of these lenses that knew of that remake."""
    body = {"remake": remake, **{side.value: {"asked": side in lenses} for side in Side}}
    return LensOrder(number, 57, 1, DAY, json.dumps(body), "0" * 64)


def remake(number: int, scrap: Scrap = Scrap.BOTH) -> Remake:
    """Give a remake of the job."""
    return Remake(57, DAY, "axis off", 1850, scrap, number=number)


def history(*remakes: Remake, inspections: tuple[Inspection, ...] = ()) -> BenchHistory:
    """Give what happened to the job at the bench."""
    return BenchHistory(57, inspections, remakes)


def test_both_lenses_are_ordered_at_first() -> None:
    """Or one alone, where one alone is wanted."""
    assert lenses_to_order((), history()) == BOTH
    assert lenses_to_order((), history(), only=Side.LEFT) == (Side.LEFT,)


def test_lenses_are_not_ordered_twice_by_mistake() -> None:
    """The order that stands is named with the way to print it again; a reason lets a second one through."""
    with pytest.raises(RefusedError, match=r"ordered on 2026-03-02 as lens order 12\. .*print-lens-order 12.*--again"):
        lenses_to_order((order(),), history())
    assert lenses_to_order((order(),), history(), "lost in the post") == BOTH


def test_a_reason_is_refused_where_none_is_needed() -> None:
    """It would say that something was ordered twice."""
    with pytest.raises(RefusedError, match="Leave --again out"):
        lenses_to_order((), history(), "lost in the post")
    with pytest.raises(RefusedError, match="Leave --again out"):
        lenses_to_order((order(),), history(remake(1)), "lost in the post")


@pytest.mark.parametrize(
    ("scraps", "lost"),
    [
        ([Scrap.BOTH], BOTH),
        ([Scrap.RIGHT], (Side.RIGHT,)),
        ([Scrap.LEFT, Scrap.RIGHT], BOTH),
        ([Scrap.LEFT, Scrap.NONE], (Side.LEFT,)),
        ([Scrap.NONE], ()),
        ([], ()),
    ],
)
def test_after_a_remake_the_lenses_that_were_thrown_away_are_ordered(
    scraps: list[Scrap], lost: tuple[Side, ...]
) -> None:
    """All since the newest order together; a remake that threw nothing away needs none."""
    remakes = [remake(4 + at, scrap) for at, scrap in enumerate(scraps)]
    orders = (order(12, remake=3),)
    assert lenses_wanting(orders, remakes) == lost
    if lost:
        assert lenses_to_order(orders, history(*remakes)) == lost
    else:
        with pytest.raises(RefusedError, match="--again"):
            lenses_to_order(orders, history(*remakes))


def test_an_order_after_the_remake_settles_it() -> None:
    """The newest order knew of remake 4, so nothing is lost any more."""
    assert lenses_wanting((order(12, 3), order(13, 4)), [remake(4)]) == ()
    assert lenses_wanting((order(12, 3),), [remake(3), remake(4, Scrap.LEFT)]) == (Side.LEFT,)


def test_a_lens_that_was_left_out_of_an_order_is_still_wanting() -> None:
    """Whether it was never ordered, or thrown away together with the one that was ordered anew."""
    right = order(12, lenses=(Side.RIGHT,))
    assert lenses_to_order((right,), history()) == (Side.LEFT,)
    again = order(13, remake=4, lenses=(Side.RIGHT,))
    assert lenses_to_order((order(12), again), history(remake(4))) == (Side.LEFT,)
    assert lenses_wanting((order(12), again, order(14, 4, (Side.LEFT,))), [remake(4)]) == ()


def test_a_job_that_passed_needs_no_lenses() -> None:
    """Its number was probably mistyped."""
    passed = replace(FOUND, verdicts=FOUND.verdicts[:2], off=(), marks_seen=(None, None))
    with pytest.raises(RefusedError, match=r"it passed its inspection\. Give '--again"):
        lenses_to_order((), history(inspections=(passed,)))
    assert lenses_to_order((), history(inspections=(FOUND,))) == BOTH


def test_what_no_lab_could_make_is_refused() -> None:
    """Powers, PD, heights and the trace, each where the lens needs it, with what to do."""
    plain = job()
    account, pair = OrderAccount(plain.order), plain.pair

    def refused(
        said: str,
        edging: Edging = Edging.UNCUT,
        *,
        traced: bool = True,
        lens: Lens = SINGLE,
        **change: Any,  # noqa: ANN401 - any field of a pair
    ) -> None:
        with pytest.raises(RefusedError, match=said):
            refuse_unorderable(account, replace(pair, **change), lens, edging, traced=traced)

    refused("has no powers", made=None)
    refused("PD is missing for job 57; a lens that the lab edges", Edging.EDGED, measurements=None)
    refused("PD is missing for job 57; a progressive lens", lens=GRADUAL, measurements=None)
    refused("fitting height is missing", lens=GRADUAL, measurements=measured(None))
    refused("trace is missing for WREN-52;.*trace add WREN-52 FILE", Edging.EDGED, traced=False)
    refuse_unorderable(account, replace(pair, measurements=None), SINGLE, Edging.UNCUT, traced=False)
    refuse_unorderable(account, pair, GRADUAL, Edging.EDGED, traced=True)


def test_nothing_is_ordered_for_a_job_that_is_over() -> None:
    """Shipped or cancelled, with the day."""
    plain = job()
    away = whole_parcel(plain.order, date(2026, 3, 9))
    for account, said in (
        (
            OrderAccount(plain.order, parcels=(away,)),
            "was shipped on 2026-03-09",
        ),
        (OrderAccount(plain.order, cancellation=Cancellation(12, DAY, "changed")), "was cancelled on 2026-03-02"),
    ):
        with pytest.raises(RefusedError, match=said):
            refuse_unorderable(account, plain.pair, SINGLE, Edging.UNCUT, traced=True)


def test_lenses_arrive_once_and_not_before_they_were_ordered() -> None:
    """The first day stands."""
    refuse_arrival(order(), DAY)
    with pytest.raises(RefusedError, match="sent out on 2026-03-02"):
        refuse_arrival(order(), date(2026, 3, 1))
    with pytest.raises(RefusedError, match="came in on 2026-03-02"):
        refuse_arrival(replace(order(), arrival=LensArrival(12, DAY)), DAY)


def test_lenses_are_not_expected_before_they_are_ordered() -> None:
    """The day was probably mistyped."""
    with pytest.raises(RefusedError, match="expected day is 2026-02-27"):
        replace(order(), expected_on=date(2026, 2, 27))
