"""What waits in the shop itself: jobs, parcels, papers, receipts, payments, drafts and shapes."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterator
from datetime import date, timedelta

from shopledger.desk.outbox import waiting_papers
from shopledger.desk.today_look import Look
from shopledger.ledger.stages import JobFacts, is_overdue
from shopledger.ledger.text import initials_of
from shopledger.ledger.things import About, Thing
from shopledger.ledger.today import CLAIM_AHEAD, Waiting, Waits, days_said, is_ready, job_waits
from shopledger.money.amount import write_amount
from shopledger.store.jobs import JobEntry
from shopledger.store.pending import Pending, pending
from shopledger.store.waits import OrderWaiting


def jobs(look: Look) -> Iterator[Waiting]:
    """Give the jobs with which something can be done at the bench or at the lab."""
    by_kind: dict[Waits, list[JobEntry]] = defaultdict(list)
    for entry in look.jobs:
        kind = job_waits(entry.facts, look.today)
        if kind is not None:
            by_kind[kind].append(entry)

    for kind, entries in by_kind.items():
        for entry in look.first(kind, entries, lambda entry, kind=kind: _turn(look, entry.facts, kind)):  # type: ignore[misc]
            yield _job(look, entry, kind)


def _turn(look: Look, facts: JobFacts, kind: Waits) -> tuple[bool, date, int]:
    """Put jobs of one kind in the order in which they are shown."""
    return not is_overdue(facts, look.today), _day(facts, kind), facts.job_number


def _day(facts: JobFacts, kind: Waits) -> date:
    """Give the day from which on a job has waited, or on which its lenses should have come."""
    if kind is Waits.LENSES_LATE and facts.lenses_expected_on is not None:
        return facts.lenses_expected_on
    return facts.lenses_arrived_on if kind is Waits.CUT and facts.lenses_arrived_on else facts.ordered_on


def _job(look: Look, entry: JobEntry, kind: Waits) -> Waiting:
    facts = entry.facts
    day = _day(facts, kind)
    return Waiting(
        kind,
        About(Thing.JOB, str(facts.job_number)),
        f"Job {facts.job_number}, {initials_of(entry.wearer)}: {_to_do(look, facts, kind)}",
        since=facts.ordered_on if kind is Waits.LENSES_LATE else day,
        until=day if kind is Waits.LENSES_LATE else None,
        overdue=is_overdue(facts, look.today),
        needs=About(Thing.FRAME, facts.frame_code) if kind is Waits.TRACE else None,
    )


def _to_do(look: Look, facts: JobFacts, kind: Waits) -> str:
    if kind is Waits.LENSES_LATE and facts.lenses_expected_on is not None:
        when = days_said(facts.lenses_expected_on, look.today)
        return f"its lenses should have come {when}; ask the lab."
    if kind is Waits.TRACE:
        return f"trace frame {facts.frame_code}."
    if kind is Waits.CUT and facts.made_again:
        return "cut it again and inspect it."
    if kind is Waits.CUT and facts.lenses_arrived_on is not None:
        return f"its lenses came {days_said(facts.lenses_arrived_on, look.today)}; cut and inspect."
    if kind is Waits.MAKE_AGAIN:
        return "it failed its inspection; make it again."
    return "order its lenses."


def parcels(look: Look) -> Iterator[Waiting]:
    """Give the orders of which all that is here is ready to leave, and parcels that came back."""
    at_bench: dict[int, list[JobFacts]] = defaultdict(list)
    for entry in look.jobs:
        at_bench[entry.facts.order_number].append(entry.facts)
    here = {each.number for each in pending(look.work.transaction, Pending.HERE)}
    ready = [number for number in here if all(map(is_ready, at_bench[number]))]
    back = look.work.waits.came_back(ready)
    for order in look.work.waits.here(ready):
        if order.number in back:
            number, day = back[order.number]
            words = f"Parcel {number} of order {order.number} came back {days_said(day, look.today)}; send it again."
            yield Waiting(Waits.SEND_AGAIN, About(Thing.PARCEL, str(number)), words, since=day, who=order.who)
        else:
            yield _ready(order, at_bench[order.number])


def _ready(order: OrderWaiting, jobs: list[JobFacts]) -> Waiting:
    what = "Its glasses have passed" if jobs else "Its goods are here"
    words = f"Order {order.number} is ready. {what}; send it."
    return Waiting(Waits.SEND, About(Thing.ORDER, str(order.number)), words, since=order.day, who=order.who)


def papers(look: Look) -> Iterator[Waiting]:
    """Give the papers that are stored and were never seen in their place."""
    for paper in waiting_papers(look.work):
        words = f"{paper.name[0].upper()}{paper.name[1:]} is stored, but not on paper yet."
        yield Waiting(Waits.PAPER, About(Thing.PAPER, f"{paper.kind.typed} {paper.number}"), words)


def receipts(look: Look) -> Iterator[Waiting]:
    """Give what has no receipt near the last day on which a plan takes one."""
    for claim in look.work.waits.claims(look.today, CLAIM_AHEAD):
        last = claim.served_on + timedelta(claim.within)
        words = f"Order {claim.number} has no receipt, and the plan takes one until {last.isoformat()}."
        yield Waiting(
            Waits.RECEIPT, About(Thing.ORDER, str(claim.number)), words, claim.served_on, until=last, who=claim.who
        )


def unpaid(look: Look) -> Iterator[Waiting]:
    """Give the orders that are not paid, those apart of which something left."""
    every = look.work.waits.unpaid()
    for kind in (Waits.UNPAID_SENT, Waits.UNPAID):
        found = (order for order in every if (order.sent_on is None) is (kind is Waits.UNPAID))
        for order in look.first(kind, found, lambda order: (order.sent_on or order.day, order.number)):
            left = f" was sent {days_said(order.sent_on, look.today)}, and" if order.sent_on else ":"
            words = f"Order {order.number}{left} {write_amount(order.owed)} is not paid."
            since = order.sent_on or order.day
            yield Waiting(kind, About(Thing.ORDER, str(order.number)), words, since=since, who=order.who)


def drafts(look: Look) -> Iterator[Waiting]:
    """Give the drafts that are no order yet."""
    found, count = look.work.waits.drafts()
    look.besides[Waits.DRAFT] = count - len(found)
    for draft in found:
        words = f"Draft {draft.number} of {draft.day.isoformat()} is not recorded yet."
        yield Waiting(Waits.DRAFT, About(Thing.DRAFT, str(draft.number)), words, since=draft.day, who=draft.who)


def frames(look: Look) -> Iterator[Waiting]:
    """Give the frames on the shelf whose shape nobody traced."""
    found, count = look.work.waits.untraced()
    look.besides[Waits.FRAME_UNTRACED] = count - len(found)
    for code, on_hand in found:
        words = f"Frame {code}, {on_hand} on the shelf, has no shape; trace it."
        yield Waiting(Waits.FRAME_UNTRACED, About(Thing.FRAME, code), words)
