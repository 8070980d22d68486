"""Jobs for the board: every pair with what is known of its way from the order to the parcel."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.inspections import Scrap
from shopledger.ledger.lens_orders import remake_known
from shopledger.ledger.stages import JobFacts
from shopledger.store.parcels import AWAY
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import read_day
from shopledger.store.transaction import Transaction
from shopledger.store.words import word

_NO_LENS: Final = word(Scrap.NONE)
_JOBS: Final = f"""
SELECT pair.job_number, pair.order_number, pair.frame_code, pair.lens_code, placed.day AS ordered_on,
       wearer.name AS wearer, wearer.printed_name AS wearer_printed,
       frame.maker, frame.model, frame.colour, lens.name AS lens,
       EXISTS (SELECT 1 FROM trace WHERE trace.frame_code = pair.frame_code) AS traced,
       newest.passed AS inspected,
       sent.number AS lens_order, sent.day AS lenses_ordered_on, sent.expected_on AS lenses_expected_on,
       arrived.day AS lenses_arrived_on,
       (SELECT MAX(number) FROM remake WHERE remake.job_number = pair.job_number AND remake.scrap <> {_NO_LENS})
           AS lenses_lost_by,
       CASE WHEN EXISTS (SELECT 1 FROM remake WHERE remake.job_number = pair.job_number) THEN sent.body END
           AS lenses_ordered,
       EXISTS (SELECT 1 FROM remake WHERE remake.job_number = pair.job_number
               AND COALESCE(remake.follows, 0) >= COALESCE(newest.number, 0)) AS made_again,
       away.day AS shipped_on, came.number AS came_back, cancellation.day AS cancelled_on,
       again.in_place_of, again.day AS begun_on, after.job_number AS overtaken_by,
       gone.job_number AS taken_out
FROM order_pair pair
JOIN shop_order placed ON placed.number = pair.order_number
JOIN wearer ON wearer.number = pair.wearer_number
JOIN frame ON frame.code = pair.frame_code
JOIN lens ON lens.code = pair.lens_code
LEFT JOIN inspection newest ON newest.number =
    (SELECT MAX(number) FROM inspection WHERE inspection.job_number = pair.job_number)
LEFT JOIN lens_order sent ON sent.number =
    (SELECT MAX(number) FROM lens_order WHERE lens_order.job_number = pair.job_number)
LEFT JOIN lens_arrival arrived ON arrived.lens_order_number = sent.number
LEFT JOIN parcel away ON away.number = (
    SELECT MAX(parcel.number) FROM parcel_item item JOIN parcel ON parcel.number = item.parcel_number
    WHERE item.job_number = pair.job_number AND {AWAY})
LEFT JOIN parcel came ON away.number IS NULL AND came.number =
    (SELECT MAX(parcel_number) FROM parcel_item item WHERE item.job_number = pair.job_number)
LEFT JOIN cancellation ON cancellation.order_number = pair.order_number
LEFT JOIN job_again again ON again.job_number = pair.job_number
LEFT JOIN job_again after ON after.in_place_of = pair.job_number
LEFT JOIN job_taken_out gone ON gone.job_number = pair.job_number
"""  # noqa: S608 - the words of the ledger
_SOME: Final = f"{_JOBS} WHERE pair.job_number IN :numbers"
_ONE_ORDER: Final = "(SELECT order_number FROM order_pair WHERE job_number = :number)"
_OF_THE_ORDER: Final = f"{_JOBS} WHERE pair.order_number = {_ONE_ORDER} ORDER BY pair.job_number"


@dataclass(frozen=True, slots=True)
class JobEntry:
    """One job as the board lists it."""

    facts: JobFacts
    wearer: str
    """As papers print it."""
    frame: str
    """Maker, model and colour."""
    lens_code: str
    lens: str


@dataclass(frozen=True, slots=True)
class Jobs:
    """The pairs of all orders as jobs at the bench."""

    transaction: Transaction

    def open(self) -> tuple[JobEntry, ...]:
        """Give the jobs that were neither shipped nor cancelled, oldest order first."""
        # Imported here, since whoever asks for one job needs no bills.
        from shopledger.store.pending import Pending, parted, pending  # noqa: PLC0415

        numbers = [found.number for found in pending(self.transaction, Pending.JOBS)]
        rows = [row for some in parted(numbers) for row in self.transaction.asked(_SOME, numbers=some)]
        return tuple(sorted(_entries(rows), key=lambda entry: (entry.facts.ordered_on, entry.facts.job_number)))

    def entry(self, job_number: int) -> JobEntry:
        """Give the job with that number, open or not."""
        for entry in _entries(self.transaction.asked(_OF_THE_ORDER, number=job_number)):
            if entry.facts.job_number == job_number:
                return entry
        raise NumberUnknownError("job", job_number)


def _entries(rows: Sequence[Row[Any]]) -> tuple[JobEntry, ...]:
    """Give jobs, each with those of its order that have not passed; all jobs of an order are among the rows."""
    entries = [_entry(row) for row in rows]
    unready: dict[int, list[int]] = defaultdict(list)
    for facts in (entry.facts for entry in entries):
        if facts.is_open and not facts.inspection_passed:
            unready[facts.order_number].append(facts.job_number)
    return tuple(_beside(entry, unready[entry.facts.order_number]) for entry in entries)


def _beside(entry: JobEntry, unready: Sequence[int]) -> JobEntry:
    others = tuple(number for number in unready if number != entry.facts.job_number)
    if not others:
        return entry
    return replace(entry, facts=replace(entry.facts, waits_for=others))


def _entry(row: Row[Any]) -> JobEntry:
    lost = _lenses_lost(row)
    facts = JobFacts(
        job_number=row.job_number,
        order_number=row.order_number,
        frame_code=row.frame_code,
        ordered_on=read_day(row.begun_on or row.ordered_on),
        traced=bool(row.traced),
        lens_order=None if lost else row.lens_order,
        lenses_ordered_on=_day(None if lost else row.lenses_ordered_on),
        lenses_expected_on=_day(None if lost else row.lenses_expected_on),
        lenses_arrived_on=_day(None if lost else row.lenses_arrived_on),
        lenses_lost=lost,
        inspection_passed=None if row.inspected is None or row.made_again else bool(row.inspected),
        made_again=bool(row.made_again),
        shipped_on=_day(row.shipped_on),
        came_back=row.came_back,
        cancelled_on=_day(row.cancelled_on),
        in_place_of=row.in_place_of,
        overtaken_by=row.overtaken_by,
        taken_out=row.taken_out is not None,
    )
    frame = f"{row.maker} {row.model}, {row.colour}"
    return JobEntry(facts, row.wearer_printed or row.wearer, frame, row.lens_code, row.lens)


def _lenses_lost(row: Row[Any]) -> bool:
    """Tell whether lenses were thrown away that the newest lens order, if any, does not replace."""
    if row.lenses_lost_by is None:
        return False
    return row.lenses_ordered is None or remake_known(row.lenses_ordered) < row.lenses_lost_by


def _day(text: str | None) -> date | None:
    return read_day(text) if text else None
