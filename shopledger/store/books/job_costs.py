"""What jobs cost: bills for their lenses, what of it was scrapped, and the frames that left with them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.again import AT_THE_SHOPS_COST, RemakeCause
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.margins import JobCosts
from shopledger.money.amount import Cents
from shopledger.store.parcels import AWAY, JOBS_AWAY, PLACE
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.transaction import Area
from shopledger.store.words import stands_on

_BILLED: Final = f"""
SELECT line.job_number, line.bill_number, SUM(line.landed) AS landed FROM bill_line line
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "line.bill_number", "taken")}
WHERE line.job_number IN :jobs AND taken.day IS NULL
GROUP BY line.job_number, line.bill_number ORDER BY line.job_number, line.bill_number
"""  # noqa: S608 - the words of the ledger
# A remake of the time before the books knew remakes has no entry, and nothing of it was scrapped in them.
_SCRAPPED: Final = f"""
SELECT remake.job_number, SUM(remake.cost) AS cost FROM remake
JOIN journal_entry entry ON {stands_on(DocumentKind.REMAKE, "remake.number")}
WHERE remake.job_number IN :jobs GROUP BY remake.job_number
"""  # noqa: S608 - as above
_GOODS: Final = """
SELECT job_number, -SUM(cost) AS cost FROM stock_movement WHERE job_number IN :jobs GROUP BY job_number
"""
_LOOSE_GOODS: Final = """
SELECT COALESCE(-SUM(cost), 0) AS cost FROM stock_movement WHERE order_number = :order_number AND job_number IS NULL
"""
# A job's own costs leave with it; with a later job of its place leave those of the earlier ones that nobody wears. What
# was made again through nobody's doing but the shop's is scrap where glasses had left before.
_OTHER_AWAY: Final = f"""
EXISTS (
    SELECT 1 FROM order_pair other LEFT JOIN job_again made ON made.job_number = other.job_number
    JOIN ({JOBS_AWAY}) away ON away.job_number = other.job_number
    WHERE other.order_number = pair.order_number AND other.job_number {{than}} pair.job_number
      AND {PLACE.format(again="made", pair="other")} = {PLACE.format(again="again", pair="pair")}
)
"""  # noqa: S608 - the words above
_LATER_AWAY: Final = _OTHER_AWAY.format(than=">")
_EARLIER_AWAY: Final = _OTHER_AWAY.format(than="<")
# A job that was taken out of its order is scrap once anything of the order leaves after that.
_GIVEN_UP: Final = f"""
EXISTS (
    SELECT 1 FROM job_taken_out gone JOIN correction ON correction.number = gone.correction_number
    JOIN parcel ON parcel.order_number = pair.order_number AND parcel.recorded_at > correction.recorded_at
    WHERE gone.job_number = pair.job_number AND {AWAY})
"""  # noqa: S608 - as above
_STANDING: Final = f"""
SELECT pair.job_number, cancellation.day AS cancelled, again.cause, {_LATER_AWAY} AS later_away,
       {_EARLIER_AWAY} AS earlier_away, {_GIVEN_UP} AS given_up,
       EXISTS (SELECT 1 FROM ({JOBS_AWAY}) away WHERE away.job_number = pair.job_number) AS away
FROM order_pair pair
LEFT JOIN job_again again ON again.job_number = pair.job_number
LEFT JOIN cancellation ON cancellation.order_number = pair.order_number
WHERE pair.job_number IN :jobs
"""  # noqa: S608 - as above
_OPEN: Final = f"""
SELECT pair.job_number FROM order_pair pair
LEFT JOIN job_again again ON again.job_number = pair.job_number
WHERE NOT EXISTS (SELECT 1 FROM ({JOBS_AWAY}) away WHERE away.job_number = pair.job_number) AND NOT {_LATER_AWAY}
    AND NOT {_GIVEN_UP}
    AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
    AND (EXISTS (SELECT 1 FROM bill_line line WHERE line.job_number = pair.job_number)
        OR EXISTS (SELECT 1 FROM remake WHERE remake.job_number = pair.job_number))
ORDER BY pair.job_number
"""  # noqa: S608 - as above


class JobCostBook(Area):
    """The costs of the ledger's jobs."""

    def of(self, job_number: int) -> JobCosts:
        """Give what a job cost so far; a bill that was voided is no cost."""
        return self.of_jobs([job_number])[job_number]

    def of_jobs(self, jobs: Iterable[int]) -> Mapping[int, JobCosts]:
        """Give what each of these jobs cost so far."""
        wanted = list(jobs)
        billed: dict[int, dict[int, Cents]] = defaultdict(dict)
        for row in self.transaction.asked(_BILLED, jobs=wanted):
            billed[row.job_number][row.bill_number] = int(row.landed)
        scrapped, goods = self._sums(_SCRAPPED, wanted), self._sums(_GOODS, wanted)
        return {
            job: JobCosts(
                job,
                billed=sum(billed[job].values()),
                scrapped=scrapped.get(job, 0),
                goods=goods.get(job, 0),
                bills=tuple(billed[job]),
            )
            for job in wanted
        }

    def in_work(self) -> tuple[JobCosts, ...]:
        """Give the jobs that make up what lies in `jobs in work`, by number."""
        found = self.of_jobs(row.job_number for row in self.transaction.asked(_OPEN))
        return tuple(costs for costs in found.values() if costs.in_work)

    def loose_goods(self, order_number: int) -> Cents:
        """Give what the goods of an order cost that belong to no job."""
        return int(self.transaction.asked(_LOOSE_GOODS, order_number=order_number)[0].cost)

    def standing(self, jobs: Iterable[int]) -> Mapping[int, Account]:
        """Say in which account each job's costs stand now; a job that is not there is refused."""
        wanted = list(jobs)
        rows = {row.job_number: row for row in self.transaction.asked(_STANDING, jobs=wanted)}
        for job in wanted:
            if job not in rows:
                raise NumberUnknownError("job", job)
        return {job: _account(rows[job]) for job in wanted}

    def _sums(self, query: str, jobs: list[int]) -> dict[int, Cents]:
        return {row.job_number: int(row.cost) for row in self.transaction.asked(query, jobs=jobs)}


def _account(row: Row[Any]) -> Account:
    if row.cancelled:
        return Account.SCRAP
    if row.away:
        cause = None if row.cause is None else RemakeCause(row.cause)
        return Account.SCRAP if row.earlier_away and cause in AT_THE_SHOPS_COST else Account.LENSES
    return Account.SCRAP if row.later_away or row.given_up else Account.WORK_IN_PROGRESS
