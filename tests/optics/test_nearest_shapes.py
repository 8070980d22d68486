"""Bounds never promise too much, and the search finds what laying every shape on the wanted one finds."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from shopledger.optics.alignment import align, seen_from_middle
from shopledger.optics.nearest_shapes import NearestShapes
from shopledger.optics.refusals import TraceError
from shopledger.optics.shape_bounds import gauge_gaps, gauges, ranked, ranked_gap
from shopledger.optics.sides import Side
from shopledger.optics.trace import Trace
from tests.optics.strategies import rounded_shape, shapes


@st.composite
def rough_shapes(draw: st.DrawFn) -> Trace:
    """Shapes with the noise of a tracer, with corners, and with an origin that is not their middle."""
    smooth = draw(shapes())
    noise = np.random.default_rng(draw(st.integers(0, 2**32 - 1))).integers(-6, 7, smooth.count)
    lift = draw(st.integers(0, 120)) * np.sin(np.arange(smooth.count) * 2 * np.pi / smooth.count)
    return Trace(smooth.side, tuple(int(each) for each in smooth.radii * 100 + noise + lift))


COUNTS = st.sampled_from([36, 100, 360, 1000])


@settings(max_examples=150)
@given(rough_shapes(), rough_shapes(), COUNTS)
def test_no_bound_is_above_the_aligned_distance(one: Trace, other: Trace, count: int) -> None:
    """Neither gauges nor ranked radii ever keep out a shape that is nearer than they say."""
    worst = align(one, other, count).worst
    (gap,) = gauge_gaps(gauges(one.radii[None], count), gauges(other.radii[None], count))
    assert gap <= worst
    assert ranked_gap(ranked(seen_from_middle(one, count)), ranked(seen_from_middle(other, count))) <= worst


@settings(max_examples=60)
@given(rough_shapes(), COUNTS)
def test_gauges_hold_what_the_rays_give(trace: Trace, count: int) -> None:
    """Mean square, mean fourth power, longest and shortest ray lie between from and to."""
    radii = seen_from_middle(trace, count).radii
    found = [np.mean(radii**2) ** 0.5, np.mean(radii**4) ** 0.25, radii.max(), radii.min()]
    gauged = gauges(trace.radii[None], count)
    assert (gauged.low[0] <= found).all()
    assert (found <= gauged.high[0]).all()


def test_a_circle_is_gauged_by_hand() -> None:
    """All four figures of a circle are its radius, to within what its corners cut off."""
    gauged = gauges(np.full((1, 1000), 25.0))
    assert gauged.low[0] == pytest.approx([25] * 4, abs=0.01)
    assert gauged.high[0] == pytest.approx([25] * 4, abs=0.01)
    larger = gauges(np.full((2, 400), 26.5))
    assert gauge_gaps(gauged, larger) == pytest.approx([1.5, 1.5], abs=0.02)


def library(size: int, seed: int) -> list[Trace]:
    """Many shapes of three counts, some of them twice, some turned or mirrored."""
    chance = np.random.default_rng(seed)
    made: list[Trace] = []
    for at in range(size):
        if at % 7 == 6:
            again = made[int(chance.integers(len(made)))]
            by = int(chance.integers(again.count))
            made.append(Trace(again.side, again.hundredths[by:] + again.hundredths[:by]))
            continue
        wide, high, exponent, lift, skew = chance.uniform([44, 28, 2, -0.05, -0.05], [58, 46, 3.4, 0.05, 0.05])
        count = int(chance.choice([180, 400, 360]))
        made.append(rounded_shape(count, Side.RIGHT, wide, high, exponent, lift, skew))
    return made


def written(shape: Trace) -> str:
    """Write a shape as libraries keep it."""
    return " ".join(map(str, shape.hundredths))


def searched(
    wanted: Trace, shapes: list[Trace], limit: int, count: int
) -> tuple[NearestShapes, list[tuple[int, float]]]:
    """Search a list as a library is searched: gauge all, then hand over in the order of the bounds."""
    search = NearestShapes(wanted, limit, count)
    bounds = search.bounds([written(shape) for shape in shapes])
    for at in sorted(range(len(shapes)), key=bounds.__getitem__):
        if bounds[at] > search.reach or bounds[at] == np.inf:
            break
        search.offer(at, shapes[at])
    return search, [(near.key, near.alignment.worst) for near in search.found]


@settings(max_examples=6)
@given(st.integers(0, 2**32 - 1), st.integers(1, 6), st.sampled_from([100, 360]))
def test_the_search_finds_what_the_exact_loop_finds(seed: int, limit: int, count: int) -> None:
    """The same shapes in the same order with the same differences; ties, to a millionth of a mm, by their keys."""
    shapes = library(120, seed)
    wanted = shapes[seed % len(shapes)]
    worsts = [align(wanted, shape, count).worst for shape in shapes]
    plain = sorted(range(len(shapes)), key=lambda at: (round(worsts[at], 6), at))[:limit]
    search, found = searched(wanted, shapes, limit, count)
    assert found == [(at, worsts[at]) for at in plain]
    assert search.laid < len(shapes)


def test_fewer_shapes_than_asked_for_are_all_found() -> None:
    """Where the library is small, everything in it is named."""
    shapes = library(3, 1)
    assert len(searched(shapes[0], shapes, 10, 100)[1]) == 3


def corner_piece() -> Trace:
    """Two long arms at a right angle, so that the middle of the area lies outside the outline."""
    degrees = np.arange(360)
    arms = (degrees < 12) | (degrees > 348) | (np.abs(degrees - 90) < 12)
    return Trace(Side.RIGHT, tuple(np.where(arms, 5900, 500).tolist()))


def test_a_shape_that_cannot_be_laid_is_passed_over_and_never_wanted() -> None:
    """It has no distance, so it is infinitely far from all others, and cannot be looked for."""
    odd, shape = corner_piece(), rounded_shape()
    with pytest.raises(TraceError):
        align(shape, odd)
    with pytest.raises(TraceError):
        NearestShapes(odd, 3)
    search = NearestShapes(shape, 3)
    assert search.bounds([written(odd)]) == [np.inf]
    search.offer(1, odd)
    assert search.found == ()
