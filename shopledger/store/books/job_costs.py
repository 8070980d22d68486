"""What jobs cost: bills for their lenses, what of it was scrapped, and the frames that left with them."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Final

from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.margins import JobCosts
from shopledger.money.amount import Cents
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.transaction import Transaction
from shopledger.store.words import stands_on

_BILLED: Final = f"""
SELECT line.bill_number, SUM(line.landed) AS landed FROM bill_line line
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "line.bill_number", "taken")}
WHERE line.job_number = :job AND taken.day IS NULL
GROUP BY line.bill_number ORDER BY line.bill_number
"""  # noqa: S608 - the words of the ledger
# A remake of the time before the books knew remakes has no entry, and nothing of it was scrapped in them.
_SCRAPPED: Final = f"""
SELECT COALESCE(SUM(remake.cost), 0) AS cost FROM remake
JOIN journal_entry entry ON {stands_on(DocumentKind.REMAKE, "remake.number")}
WHERE remake.job_number = :job
"""  # noqa: S608 - as above
_GOODS: Final = "SELECT COALESCE(-SUM(cost), 0) AS cost FROM stock_movement WHERE job_number = :job"
_LOOSE_GOODS: Final = """
SELECT COALESCE(-SUM(cost), 0) AS cost FROM stock_movement WHERE order_number = :order_number AND job_number IS NULL
"""
_STANDING: Final = """
SELECT pair.job_number, shipment.day AS shipped, cancellation.day AS cancelled
FROM order_pair pair
LEFT JOIN shipment ON shipment.order_number = pair.order_number
LEFT JOIN cancellation ON cancellation.order_number = pair.order_number
WHERE pair.job_number = :job
"""
_OPEN: Final = """
SELECT pair.job_number FROM order_pair pair
WHERE NOT EXISTS (SELECT 1 FROM shipment WHERE shipment.order_number = pair.order_number)
    AND NOT EXISTS (SELECT 1 FROM cancellation WHERE cancellation.order_number = pair.order_number)
    AND (EXISTS (SELECT 1 FROM bill_line line WHERE line.job_number = pair.job_number)
        OR EXISTS (SELECT 1 FROM remake WHERE remake.job_number = pair.job_number))
ORDER BY pair.job_number
"""


@dataclass(frozen=True, slots=True)
class JobCostBook:
    """The costs of the ledger's jobs."""

    transaction: Transaction

    def of(self, job_number: int) -> JobCosts:
        """Give what a job cost so far; a bill that was taken back is no cost."""
        billed = self.transaction.asked(_BILLED, job=job_number)
        return JobCosts(
            job_number,
            billed=sum(int(row.landed) for row in billed),
            scrapped=self._sum(_SCRAPPED, job=job_number),
            goods=self._sum(_GOODS, job=job_number),
            bills=tuple(row.bill_number for row in billed),
        )

    def in_work(self) -> tuple[JobCosts, ...]:
        """Give the jobs that make up what lies in `jobs in work`, by number."""
        found = (self.of(row.job_number) for row in self.transaction.asked(_OPEN))
        return tuple(costs for costs in found if costs.in_work)

    def loose_goods(self, order_number: int) -> Cents:
        """Give what the goods of an order cost that belong to no job."""
        return self._sum(_LOOSE_GOODS, order_number=order_number)

    def standing(self, jobs: Iterable[int]) -> Mapping[int, Account]:
        """Say in which account each job's costs stand now; a job that is not there is refused."""
        return {job: self._standing(job) for job in jobs}

    def _standing(self, job_number: int) -> Account:
        rows = self.transaction.asked(_STANDING, job=job_number)
        if not rows:
            raise NumberUnknownError("job", job_number)
        if rows[0].cancelled:
            return Account.SCRAP
        return Account.LENSES if rows[0].shipped else Account.JOBS_IN_WORK

    def _sum(self, question: str, **values: int) -> Cents:
        return int(self.transaction.asked(question, **values)[0].cost)
