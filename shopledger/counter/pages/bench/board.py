"""The board: every open job under what it waits for, those that wait longest first."""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from flask import render_template

from shopledger.counter.desks import desk
from shopledger.counter.pages.bench.room import pages
from shopledger.desk.jobs import BoardRow, open_jobs
from shopledger.ledger.bench_groups import Waiting, waits_for


@pages.get("/bench")
def board() -> str:
    """Show the open jobs."""
    heaps = _heaps(open_jobs(desk()))
    return render_template("bench/board.html", heaps=heaps, count=sum(map(len, heaps.values())), Waiting=Waiting)


def _heaps(rows: Sequence[BoardRow]) -> Mapping[Waiting, Sequence[BoardRow]]:
    heaps: dict[Waiting, list[BoardRow]] = {each: [] for each in Waiting}
    for row in rows:
        waiting = waits_for(row.job.facts)
        if waiting is not None:
            heaps[waiting].append(row)
    return heaps
