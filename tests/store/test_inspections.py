"""Inspections, proofs of impact resistance, remakes and omissions come back as they were posted."""

from __future__ import annotations

from contextlib import closing, suppress
from dataclasses import replace

import pytest
from alembic import command
from hypothesis import given

from shopledger.errors import StoreError
from shopledger.ledger.certificates import Certificate
from shopledger.ledger.inspections import ImpactProof, ImpactRecord, Inspection, Omission, Remake, Scrap
from shopledger.ledger.orders import Entered
from shopledger.store.guards import lift_guards
from shopledger.store.migrate import alembic_config
from shopledger.store.opening import Ledger, open_ledger
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.revision import Upgrading
from tests.counted import keep_sale
from tests.store.bench_samples import BAD, INSPECTIONS, an_inspection
from tests.store.samples import DAY, NOW, OPERATOR, an_order, furnish
from tests.store.test_claims_and_refunds import BEFORE_BOOKS, SECOND, connected, rows_of
from tests.store.test_round_trips import given_up, on_one_ledger

TABLES = (
    "inspection", "inspection_reading", "inspection_verdict", "impact_record", "remake", "inspection_omission",
)  # fmt: skip


@pytest.fixture
def sold(furnished: Ledger) -> Ledger:
    """Give a ledger with an order of two jobs."""
    with suppress(StoreError), furnished.writing(OPERATOR, NOW) as work:
        keep_sale(work, work.orders.add(an_order()))
    return furnished


@on_one_ledger
@given(inspection=INSPECTIONS)
def test_an_inspection_comes_back_equal(sold: Ledger, inspection: Inspection) -> None:
    """Figures as ordered, as compensated and as read, verdicts in their order, checklist and marks are kept exactly."""
    with given_up(sold) as work:
        stored = work.inspections.add(inspection)
        assert replace(stored, number=None) == inspection
        assert work.inspections.get(stored.number or 0) == stored
        assert work.inspections.get(stored.number or 0).passed is inspection.passed


def test_a_jobs_history_holds_all_that_happened_oldest_first(sold: Ledger) -> None:
    """Inspections, remakes, proofs and the omission stand by job, with who inspected and when."""
    with sold.writing(OPERATOR, NOW) as work:
        failed = work.inspections.add(an_inspection(BAD))
        remake = work.inspections.add_remake(Remake(1, DAY, "axis off", 1850, Scrap.LEFT, failed.number))
        passed = work.inspections.add(an_inspection())
        proofs = [
            work.inspections.add_impact(ImpactRecord(1, DAY, ImpactProof.CERTIFICATE, "C-77", "with the lenses")),
            work.inspections.add_impact(ImpactRecord(1, DAY, ImpactProof.EXCEPTION, "letter of 2026-02-20")),
        ]
        work.inspections.omit([Omission(2, "sent back for the frame alone")])
    with sold.reading() as work:
        history, other = work.inspections.history(1), work.inspections.history(2)
    assert history.inspections == (failed, passed)
    assert history.remakes == (remake,)
    assert history.impact == tuple(proofs)
    assert (history.omission, other.omission) == (None, Omission(2, "sent back for the frame alone"))
    assert [each.number for each in history.inspections] == [each.number for each in history.impact] == [1, 2]
    assert history.inspections[0].entered == Entered(OPERATOR, "2026-03-02T15:04:05+00:00")


def test_an_omission_is_posted_once_and_an_unknown_inspection_is_refused(sold: Ledger) -> None:
    """A job leaves once; a number that was never given is named."""
    with sold.writing(OPERATOR, NOW) as work:
        work.inspections.omit([Omission(1, "in a hurry")])
        with pytest.raises(StoreError, match="job 1"):
            work.inspections.omit([Omission(1, "in a hurry")])
        with pytest.raises(NumberUnknownError, match="inspection 9"):
            work.inspections.get(9)


def test_a_job_that_does_not_exist_has_no_inspection(sold: Ledger) -> None:
    """The database itself holds an inspection to a job."""
    with pytest.raises(StoreError), sold.writing(OPERATOR, NOW) as work:
        work.inspections.add(replace(an_inspection(), job_number=77))


@pytest.mark.slow
def test_down_and_up_again_keep_every_row_of_the_earlier_form(ledger_address: str) -> None:
    """The step to inspections adds tables and counters and touches nothing else, either way."""
    with closing(open_ledger(ledger_address)) as ledger:
        furnish(ledger)
        with ledger.writing(OPERATOR, NOW) as work:
            keep_sale(work, work.orders.add(an_order()))
    with connected(ledger_address) as connection:
        lift_guards(connection)
        command.downgrade(alembic_config(connection), BEFORE_BOOKS)
        before = rows_of(connection, without={})
        command.downgrade(alembic_config(connection), SECOND)
        down = rows_of(connection, without={})
    assert set(before) - set(down) == set(TABLES)
    changing = {"shopledger_revision", "counter"}
    assert {name: rows for name, rows in down.items() if name not in changing} == {
        name: rows for name, rows in before.items() if name in down and name not in changing
    }
    with closing(open_ledger(ledger_address, Upgrading(NOW))) as ledger, ledger.writing(OPERATOR, NOW) as work:
        assert work.inspections.add(an_inspection()).number == 1
    with connected(ledger_address) as connection:
        lift_guards(connection)
        with pytest.raises(RuntimeError, match="no place for the rows of inspection"):
            command.downgrade(alembic_config(connection), SECOND)


def test_certificates_come_back_as_they_were_issued(sold: Ledger) -> None:
    """Numbered from 1 across all inspections, by inspection oldest first, with whose hand it was."""
    with sold.writing(OPERATOR, NOW) as work:
        first, other = work.inspections.add(an_inspection()), work.inspections.add(an_inspection())
        issued = [
            Certificate(work.inspections.next_certificate_number(), inspection.number or 0, body, "ab" * 32)
            for inspection, body in ((first, "{}"), (other, "{1}"), (first, "{2}"))
        ]
        for certificate in issued:
            work.inspections.add_certificate(certificate)
    with sold.reading() as work:
        assert [certificate.number for certificate in issued] == [1, 2, 3]
        assert work.inspections.certificates(first.number or 0) == (issued[0], issued[2])
        assert work.inspections.certificate(2) == issued[1]
        assert work.inspections.certificate(2).entered == Entered(OPERATOR, NOW.isoformat())
        with pytest.raises(NumberUnknownError, match="there is no inspection record 4"):
            work.inspections.certificate(4)
