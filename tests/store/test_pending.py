"""What is pending is found by what changed since the last look, on both databases, the same as from scratch."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace

import pytest

from shopledger.ledger.orders import Cancellation, Method, Payment
from shopledger.store import pending as module
from shopledger.store.opening import Ledger
from shopledger.store.pending import Found, Pending, forget, newest_seal, pending
from tests.parcels import whole_parcel
from tests.store.samples import DAY, NOW, OPERATOR, an_order


@pytest.fixture(autouse=True)
def _nothing_known() -> Iterator[None]:
    """Let each test begin like a process that never looked."""
    forget()
    yield
    forget()


def looked(ledger: Ledger, kind: Pending) -> frozenset[Found]:
    """Give what is pending."""
    with ledger.reading() as work:
        return pending(work.transaction, kind)


def queries(ledger: Ledger, kind: Pending) -> list[str]:
    """Give what a look asks the database."""
    from sqlalchemy import event

    said: list[str] = []

    def listen(_connection: object, _cursor: object, sql: str, *_: object) -> None:
        said.append(sql)

    event.listen(ledger._engine, "before_cursor_execute", listen)
    looked(ledger, kind)
    event.remove(ledger._engine, "before_cursor_execute", listen)
    return said


def test_orders_jobs_and_money_are_pending_until_they_are_not(furnished: Ledger) -> None:
    """A parcel ends the jobs and the goods, a payment the rest, a cancellation all."""
    with furnished.writing(OPERATOR, NOW) as work:
        first, second = work.orders.add(an_order()), work.orders.add(an_order())
    jobs = frozenset(
        Found(each.number or 0, pair.job_number or 0, 0) for each in (first, second) for pair in each.pairs
    )
    assert looked(furnished, Pending.JOBS) == jobs
    assert {found.number: found.amount for found in looked(furnished, Pending.UNPAID)} == {
        1: first.total,
        2: second.total,
    }
    with furnished.writing(OPERATOR, NOW) as work:
        work.parcels.add(whole_parcel(first, DAY))
        work.payments.add(Payment(1, DAY, first.total - 5, Method.CASH))
    assert {found.whole for found in looked(furnished, Pending.JOBS)} == {2}
    assert {found.number for found in looked(furnished, Pending.HERE)} == {2}
    assert looked(furnished, Pending.UNPAID) == {Found(1, 1, 5), Found(2, 2, second.total)}
    with furnished.writing(OPERATOR, NOW) as work:
        work.cancellations.add(Cancellation(2, DAY, "changed her mind"))
    assert not looked(furnished, Pending.JOBS)
    assert looked(furnished, Pending.UNPAID) == {Found(1, 1, 5)}


def test_a_look_without_a_new_seal_asks_for_the_seal_alone(furnished: Ledger) -> None:
    """However many orders there are."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    looked(furnished, Pending.JOBS)
    asked = [sql for sql in queries(furnished, Pending.JOBS) if "order_pair" in sql]
    assert asked == []


def test_only_what_was_touched_is_asked_anew(furnished: Ledger) -> None:
    """By its numbers, and not all over again."""
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    looked(furnished, Pending.JOBS)
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    asked = [sql for sql in queries(furnished, Pending.JOBS) if "FROM order_pair pair\nWHERE" in sql]
    assert len(asked) == 1
    assert "pair.order_number IN" in asked[0]
    assert len(looked(furnished, Pending.JOBS)) == 2 * len(an_order().pairs)


def test_where_very_much_was_touched_all_is_asked(furnished: Ledger, monkeypatch: pytest.MonkeyPatch) -> None:
    """The answer is the same."""
    monkeypatch.setattr(module, "MUCH", 1)
    assert not looked(furnished, Pending.UNPAID)
    with furnished.writing(OPERATOR, NOW) as work:
        for _ in range(3):
            work.orders.add(an_order())
    assert {found.number for found in looked(furnished, Pending.UNPAID)} == {1, 2, 3}


def test_an_older_state_is_looked_at_anew(furnished: Ledger) -> None:
    """A reader whose transaction began before others wrote sees its own state, whatever the process knows by now."""
    before = looked(furnished, Pending.UNPAID)
    place, known = next(iter(module._KEPT.items()))
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    assert len(looked(furnished, Pending.UNPAID)) == len(before) + 1
    newer = module._KEPT[place]
    module._KEPT[place] = replace(newer, seal=newer.seal + 7)
    assert len(looked(furnished, Pending.UNPAID)) == len(before) + 1
    module._KEPT[place] = replace(newer, hash="another chain", found={Pending.UNPAID: frozenset({Found(9, 9, 9)})})
    assert len(looked(furnished, Pending.UNPAID)) == len(before) + 1
    assert known.seal < newer.seal


def test_few_ledgers_are_kept_in_mind(furnished: Ledger) -> None:
    """The one that was looked at longest ago goes."""
    looked(furnished, Pending.JOBS)
    for place in range(module.LEDGERS):
        module._keep(f"another {place}", module._Known(0, ""))
    assert len(module._KEPT) == module.LEDGERS
    assert str(furnished._engine.url) not in module._KEPT


def test_the_newest_seal_tells_states_apart(furnished: Ledger) -> None:
    """Each writing ends with another."""
    with furnished.reading() as work:
        before = newest_seal(work.transaction)
    with furnished.writing(OPERATOR, NOW) as work:
        work.orders.add(an_order())
    with furnished.reading() as work:
        assert newest_seal(work.transaction) != before
