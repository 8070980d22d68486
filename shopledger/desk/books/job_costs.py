"""Where the costs of jobs go, and what is left of what jobs and orders brought."""

from __future__ import annotations

from collections import Counter
from datetime import date
from typing import TYPE_CHECKING

from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.margins import JobMargin, Margin, OrderMargin, job_margin, net_of_place
from shopledger.ledger.books.postings import cancelled_jobs_entry, remake_entry
from shopledger.ledger.numbers import number_of

if TYPE_CHECKING:
    from collections.abc import Mapping, Sequence

    from shopledger.desk.context import Desk
    from shopledger.ledger.inspections import Remake
    from shopledger.ledger.orders import Order, OrderAccount
    from shopledger.money.amount import Cents
    from shopledger.store.work import UnitOfWork


def costs_in_work(work: UnitOfWork, order: Order) -> Cents:
    """Give what lies in `jobs in work` for an order that did not leave: billed so far, less what was scrapped."""
    jobs = [pair.job_number for pair in order.pairs if pair.job_number is not None]
    return sum(costs.in_work for costs in work.job_costs.of_jobs(jobs).values())


def standing_costs(work: UnitOfWork, order: Order) -> Mapping[int, Account]:
    """Say in which account the costs of each of an order's jobs stand now, those of overtaken ones too."""
    return work.job_costs.standing(pair.job_number for pair in order.pairs if pair.job_number is not None)


def costs_moved(work: UnitOfWork, order: Order, before: Mapping[int, Account]) -> tuple[Cents, Cents]:
    """Give by how much more stands in lenses, and in scrap, than before; work in progress has so much less."""
    after = standing_costs(work, order)
    costs = work.job_costs.of_jobs(after)
    moved: Counter[Account] = Counter()
    for job, account in after.items():
        moved[account] += costs[job].in_work
        moved[before[job]] -= costs[job].in_work
    return moved[Account.LENSES], moved[Account.SCRAP]


def scrap_jobs(work: UnitOfWork, order: Order, day: date) -> None:
    """Move what was billed for the jobs of a cancelled order to scrap."""
    cost = costs_in_work(work, order)
    if cost:
        work.journal.post(cancelled_jobs_entry(day, number_of(order), cost))


def scrap_remake(work: UnitOfWork, remake: Remake) -> None:
    """Move what a remake cost to scrap, out of wherever the job's costs stand."""
    if remake.cost:
        standing = work.job_costs.standing([remake.job_number])[remake.job_number]
        work.journal.post(remake_entry(remake, standing))


def margin_of_job(desk: Desk, job_number: int) -> JobMargin:
    """Work out the margin of one job."""
    with desk.reading() as work:
        order, pair = work.orders.pair(job_number)
        account = work.orders.account(number_of(order))
        return job_margin(account, pair, work.job_costs.of(job_number))


def newest_margins(desk: Desk, limit: int = 20) -> tuple[JobMargin, ...]:
    """Work out the margins of the newest jobs, newest first."""
    with desk.reading() as work:
        found = _job_margins(work, work.orders.newest_accounts(limit=limit))
        return tuple(sorted(found, key=lambda each: -each.job_number)[:limit])


def margin_of_order(desk: Desk, order_number: int) -> OrderMargin:
    """Work out the margin of an order, job by job; shipping and tax are left out."""
    with desk.reading() as work:
        account = work.orders.account(order_number)
        others = Margin(net_of_place(account, None), work.job_costs.loose_goods(order_number), 0)
        return OrderMargin(order_number, _job_margins(work, (account,)), others)


def _job_margins(work: UnitOfWork, accounts: Sequence[OrderAccount]) -> tuple[JobMargin, ...]:
    jobs = [
        (account, pair, pair.job_number)
        for account in accounts
        for pair in account.order.pairs
        if pair.job_number is not None
    ]
    costs = work.job_costs.of_jobs(job for _, _, job in jobs)
    return tuple(job_margin(account, pair, costs[job]) for account, pair, job in jobs)
