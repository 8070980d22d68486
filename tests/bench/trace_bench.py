"""The nearest of 10,000 stored shapes against laying every one: prints the ratios, and proves the same answer.

The ledger is a SQLite file in a temporary folder. Both ways read it: the search as the desk does it, and the exact loop
that fetches every right eye, sees it from its middle and tries every turn of both mirrors by numpy alone. The loop is
measured on a sample of the library and scaled up; that the answer is the same is proven over the whole library with
the pruned alignment, which tests hold equal to the loop.
"""

from __future__ import annotations

import os
import resource
import statistics
import tempfile
import time
from collections.abc import Iterator
from contextlib import closing
from dataclasses import replace
from datetime import UTC, date, datetime
from pathlib import Path

import numpy as np

from shopledger.desk.context import Desk
from shopledger.desk.trace_library import nearest_traces
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.traces import StoredTrace, TraceOrigin
from shopledger.optics.alignment import align_seen, seen_from_middle
from shopledger.optics.sides import Side
from shopledger.optics.trace import Floats, FrameTrace, Trace, trace_from_radii
from shopledger.store.opening import create_ledger, ledger_url, open_ledger

SHAPES = int(os.environ.get("TRACE_BENCH_SHAPES", "10000"))
RADII = 1000
SAMPLE = 150
ROUNDS = 3
WANTED = 6
LIMIT = 5
DAY = date(2026, 3, 2)
WREN = Frame("WREN-52", "Harrow Row", "Wren", "moss", 52, 18, 140, price=18000, cost=6200)
AT = np.arange(RADII) * 2 * np.pi / RADII


def invented(chance: np.random.Generator) -> Trace:
    """A rounded shape of usual size that is no mirror of itself, with the noise of a tracer."""
    a, b, exponent, lift, skew = chance.uniform([44, 28, 2, -0.05, -0.05], [58, 46, 3.4, 0.05, 0.05])
    radii = (np.abs(np.cos(AT) * 2 / a) ** exponent + np.abs(np.sin(AT) * 2 / b) ** exponent) ** (-1 / exponent)
    radii *= 1 + lift * np.sin(AT) + skew * np.sin(2 * AT + 0.6)
    return trace_from_radii(Side.RIGHT, radii + chance.normal(0, 0.01, RADII))


def fill(desk: Desk) -> None:
    """Store the library in one transaction."""
    chance = np.random.default_rng(7)
    with desk.writing() as work:
        for place in range(SHAPES):
            code = f"SHAPE-{place}"
            work.catalogue.add_frame(replace(WREN, code=code))
            right = invented(chance)
            shape = FrameTrace(right, right.mirrored(), 18)
            work.traces.add(StoredTrace(code, shape, TraceOrigin(f"{place}.txt", "00", DAY)))


def right_eyes(desk: Desk, most: int) -> Iterator[tuple[int, Trace]]:
    """Fetch right eyes one by one, as the exact loop needs them."""
    with desk.reading() as work:
        for eye in work.traces.right_eyes():
            if eye.number > most:
                return
            yield eye.number, Trace(Side.RIGHT, tuple(map(int, eye.radii.split())))


def worst_of_all_turns(still: Floats, laid: Floats) -> float:
    """Try every turn one after another by numpy alone."""
    doubled, best = np.concatenate((laid, laid)), np.inf
    for turn in range(RADII):
        best = min(best, np.abs(still - doubled[RADII - turn : 2 * RADII - turn]).max())
    return float(best)


def exact_loop(desk: Desk, wanted: Trace, most: int) -> list[tuple[float, int]]:
    """Lay every shape up to a number on the wanted one, without bounds of any kind."""
    still = seen_from_middle(wanted).radii
    found = []
    for number, trace in right_eyes(desk, most):
        laid = seen_from_middle(trace).radii
        mirror = laid[(RADII // 2 - np.arange(RADII)) % RADII]
        found.append((min(worst_of_all_turns(still, laid), worst_of_all_turns(still, mirror)), number))
    return sorted(found)[:LIMIT]


def pruned_loop(desk: Desk, wanted: Trace) -> list[tuple[float, int]]:
    """Lay every shape on the wanted one, each as quickly as alignment alone can."""
    still = seen_from_middle(wanted)
    worsts = ((align_seen(still, seen_from_middle(trace)).worst, number) for number, trace in right_eyes(desk, SHAPES))
    return sorted(worsts)[: LIMIT + 1]


def main() -> None:
    """Fill a library, search it, and print how the search compares."""
    with tempfile.TemporaryDirectory() as folder:
        address = ledger_url(str(Path(folder) / "ledger.db"))
        create_ledger(address).close()
        with closing(open_ledger(address)) as ledger:
            desk = Desk(ledger, "bench", datetime(2026, 3, 2, tzinfo=UTC), DAY)
            fill(desk)
            measure(desk)


def measure(desk: Desk) -> None:
    """Time the search and the loops turn about, and print medians and ratios."""
    numbers = np.random.default_rng(3).integers(1, SHAPES + 1, WANTED).tolist()
    search, loop = [], []
    before = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    for number in numbers:
        began = time.perf_counter()
        nearest_traces(desk, str(number), LIMIT)
        search.append(time.perf_counter() - began)
    grown = (resource.getrusage(resource.RUSAGE_SELF).ru_maxrss - before) / 1024
    with desk.reading() as work:
        wanted = {number: work.traces.get(number).shape.right for number in numbers}
    for number in numbers[:ROUNDS]:
        began = time.perf_counter()
        exact_loop(desk, wanted[number], SAMPLE)
        loop.append((time.perf_counter() - began) * SHAPES / SAMPLE)
    began = time.perf_counter()
    plain = pruned_loop(desk, wanted[numbers[0]])
    pruned = time.perf_counter() - began
    found = [(near.alignment.worst, near.number) for near in nearest_traces(desk, str(numbers[0]), LIMIT)]
    same = found == [each for each in plain if each[1] != numbers[0]][:LIMIT]
    mine, exact = statistics.median(search), statistics.median(loop)
    text = SHAPES * RADII * 5 / 2**20
    print(f"{LIMIT} nearest of {SHAPES} stored shapes, {RADII} radii each, medians in seconds")
    print(
        f"  search {mine:.2f}   exact loop {exact:.1f} (scaled from {SAMPLE} shapes)   {mine / exact:.4f}   goal 0.05"
    )
    print(f"  search {mine:.2f}   loop with pruned alignment {pruned:.1f}   {mine / pruned:.3f}")
    print(f"  memory grew by {grown:.0f} MiB; the right eyes of the whole library are {text:.0f} MiB of text")
    print(f"  the same answer as laying every one: {'yes' if same else 'NO'}")
    if not same:
        raise SystemExit(1)


if __name__ == "__main__":
    main()
