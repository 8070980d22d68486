"""What jobs cost: bills for their lenses, what of it was scrapped, and the frames that left with them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Mapping
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.margins import JobCosts
from shopledger.money.amount import Cents
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
_STANDING: Final = """
SELECT pair.job_number, shipment.day AS shipped, cancellation.day AS cancelled
FROM order_pair pair
LEFT JOIN shipment ON shipment.order_number = pair.order_number
LEFT JOIN cancellation ON cancellation.order_number = pair.order_number
WHERE pair.job_number IN :jobs
"""
_OPEN: Final = """
SELECT pair.job_number FROM order_pair pair
WHERE NOT EXISTS (SELECT 1 FROM shipment WHERE shipment.order_number = pair.order_number)
    AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
    AND (EXISTS (SELECT 1 FROM bill_line line WHERE line.job_number = pair.job_number)
        OR EXISTS (SELECT 1 FROM remake WHERE remake.job_number = pair.job_number))
ORDER BY pair.job_number
"""


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
        return {job: _account(shipped=rows[job].shipped, cancelled=rows[job].cancelled) for job in wanted}

    def _sums(self, query: str, jobs: list[int]) -> dict[int, Cents]:
        return {row.job_number: int(row.cost) for row in self.transaction.asked(query, jobs=jobs)}


def _account(*, shipped: str | None, cancelled: str | None) -> Account:
    if cancelled:
        return Account.SCRAP
    return Account.LENSES if shipped else Account.WORK_IN_PROGRESS
