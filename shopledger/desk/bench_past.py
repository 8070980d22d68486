"""What happened to a job so far: lens orders, inspections with their records, remakes, proofs of impact resistance."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from shopledger.desk.changing_jobs import why_cut
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import InspectionRequest, job_needs, plan_inspection, wanted_figures
from shopledger.ledger.inspections import BenchHistory, ImpactRecord
from shopledger.ledger.lens_orders import LensOrder
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Pair
from shopledger.ledger.parties import Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.shipping import parcel_with
from shopledger.optics.inspection import Verdict
from shopledger.optics.measurements import Measurements
from shopledger.optics.prescription import Prescription
from shopledger.optics.sides import Side


@dataclass(frozen=True, slots=True)
class JobPast:
    """All that is kept of a job beside its sheet."""

    order_number: int
    customer_number: int
    wearer: Wearer
    pair: Pair
    lens_orders: tuple[tuple[LensOrder, str], ...]
    """Oldest first, each with its supplier's name."""
    bench: BenchHistory
    records: Mapping[int, tuple[int, ...]]
    """The numbers of the records that were issued of each inspection."""
    cut: str
    """How the ledger knows that its lenses were cut; empty where they are taken for uncut."""
    away: bool
    """Whether it left, in a parcel that did not come back."""
    prescriptions: tuple[WrittenPrescription, ...] = ()
    """All of its wearer's."""

    @property
    def awaited(self) -> LensOrder | None:
        """The newest lens order, where its lenses have not come yet."""
        newest = self.lens_orders[-1][0] if self.lens_orders else None
        return newest if newest is not None and newest.arrival is None else None

    @property
    def impact(self) -> ImpactRecord | None:
        """The newest proof of impact resistance."""
        return self.bench.impact[-1] if self.bench.impact else None


def job_past(desk: Desk, number: int) -> JobPast:
    """Give what happened to a job so far."""
    with desk.reading() as work:
        order, pair = work.orders.pair(number)
        account = work.orders.account(number_of(order))
        bench = work.inspections.history(number)
        sent = work.lens_orders.of_job(number)
        return JobPast(
            order_number=number_of(order),
            customer_number=order.customer_number,
            wearer=work.customers.wearer(pair.wearer_number),
            pair=pair,
            lens_orders=tuple((each, work.suppliers.get(each.supplier_number).name) for each in sent),
            bench=bench,
            records={
                number_of(each): tuple(one.number for one in work.inspections.certificates(number_of(each)))
                for each in bench.inspections
            },
            cut=why_cut(work, account, pair),
            away=parcel_with(account, number) is not None,
            prescriptions=work.prescriptions.of_wearer(pair.wearer_number),
        )


def job_tolerances(desk: Desk, number: int) -> tuple[Verdict, ...]:
    """Give every quantity by which a job is judged with its limit: the verdicts of a pair that is just as ordered."""
    needs = job_needs(desk, number)
    with desk.reading() as work:
        _, pair = work.orders.pair(number)
        wanted = wanted_figures(work, pair)
    places = wanted.measurements
    request = InspectionRequest(
        number,
        Prescription(wanted.right.power, wanted.left.power),
        Measurements(places.right, places.left) if places else None,
        marks_seen=(True, True) if needs.marks else (None, None),
        near_pd=tuple(wanted.eye(side).near_pd or 0.0 for side in needs.segments) if needs.near else (),
        tilt=tuple(0.0 if side in needs.segments else None for side in Side),  # type: ignore[arg-type]  # one for each
    )
    return plan_inspection(desk, request).inspection.verdicts
