"""Where the costs of jobs go: with the shipment, into scrap with a remake, and with an order that is cancelled."""

from __future__ import annotations

from datetime import date
from typing import TYPE_CHECKING

from shopledger.ledger.books.postings import cancelled_jobs_entry, remake_entry
from shopledger.ledger.numbers import number_of

if TYPE_CHECKING:
    from shopledger.ledger.inspections import Remake
    from shopledger.ledger.orders import Order
    from shopledger.money.amount import Cents
    from shopledger.store.work import Work


def costs_in_work(work: Work, order: Order) -> Cents:
    """Give what lies in `jobs in work` for an order that did not leave: billed so far, less what was scrapped."""
    jobs = [pair.job_number for pair in order.pairs if pair.job_number is not None]
    return sum(costs.in_work for costs in work.job_costs.of_jobs(jobs).values())


def scrap_jobs(work: Work, order: Order, day: date) -> None:
    """Move what was billed for the jobs of a cancelled order to scrap."""
    cost = costs_in_work(work, order)
    if cost:
        work.journal.post(cancelled_jobs_entry(day, number_of(order), cost))


def scrap_remake(work: Work, remake: Remake) -> None:
    """Move what a remake cost to scrap, out of wherever the job's costs stand."""
    if remake.cost:
        standing = work.job_costs.standing([remake.job_number])[remake.job_number]
        work.journal.post(remake_entry(remake, standing))
