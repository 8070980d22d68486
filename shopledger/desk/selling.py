"""What stands in sight while something is sold: whose glasses they can be, what each wore last, how lenses lie."""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from shopledger.desk.context import Desk
from shopledger.desk.sales import SalePlan
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.catalogue import Frame
from shopledger.ledger.layout import PairLayout, lay_out
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Pair
from shopledger.ledger.parties import Customer, Wearer
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.ledger.prescription_dates import date_findings
from shopledger.ledger.settings import Settings
from shopledger.optics.findings import Finding
from shopledger.optics.sides import Side
from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class LastPair:
    """The newest pair that a wearer had from here."""

    day: date
    pair: Pair
    frame: Frame


@dataclass(frozen=True, slots=True)
class WearerCard:
    """A wearer as one sells to: prescriptions, what is asked about the newest one's age, the last pair."""

    wearer: Wearer
    prescriptions: tuple[WrittenPrescription, ...]
    """The newest first."""
    findings: tuple[Finding, ...]
    last: LastPair | None

    @property
    def newest(self) -> WrittenPrescription | None:
        """The newest prescription; None without one."""
        return next(iter(self.prescriptions), None)


@dataclass(frozen=True, slots=True)
class SaleCard:
    """A customer with the wearers and what is known of each, and the frames that are the customer's own."""

    customer: Customer
    wearers: tuple[WearerCard, ...]
    group: tuple[int, ...]
    """The customer's numbers: whose frames are their own."""
    settings: Settings


def sale_card(desk: Desk, customer: str, *, noted: bool = True) -> SaleCard:
    """Give what has to be in sight while something is sold to a customer.

    The look at prescriptions is noted, but where it only goes on, as at each change of a form.
    """
    with desk.writing() if noted else desk.reading() as work:
        found = work.customers.pick(customer)
        number = number_of(found)
        if noted:
            work.audit.note(Deed.LOOKED_AT_PRESCRIPTIONS, Subject.CUSTOMER, number)
        wearers = (each for each in work.customers.wearers(number) if each.erased_on is None)
        return SaleCard(
            found,
            tuple(_card(work, desk, each) for each in wearers),
            tuple(work.joins.group(number)),
            work.shop.settings(),
        )


def lay_out_sale(desk: Desk, plan: SalePlan) -> tuple[PairLayout | None, ...]:
    """Lay the lenses of each planned pair into its frame; None where shape, power or measurements are not known."""
    with desk.reading() as work:
        return tuple(_laid_out(work, each.pair) if each.trace is not None else None for each in plan.pairs)


def _card(work: UnitOfWork, desk: Desk, wearer: Wearer) -> WearerCard:
    written = tuple(reversed(work.prescriptions.of_wearer(number_of(wearer))))
    newest = work.prescriptions.newest(number_of(wearer))
    # The newest is the ledger's own word for it; the others follow as they were recorded.
    ordered = (newest, *(each for each in written if each.number != newest.number)) if newest else ()
    asked = date_findings(newest, work.shop.settings(), desk.today) if newest else ()
    last = work.orders.last_pair(number_of(wearer))
    pair = None if last is None else LastPair(last[0].day, last[1], work.catalogue.frame(last[1].frame_code))
    return WearerCard(wearer, ordered, tuple(asked), pair)


def _laid_out(work: UnitOfWork, pair: Pair) -> PairLayout | None:
    trace = work.traces.newest(pair.frame_code)
    if trace is None or pair.made is None or pair.measurements is None:
        return None
    lenses = {side: work.catalogue.lens(pair.lens_of(side)) for side in Side}
    settings = work.shop.settings()
    return lay_out(lenses, pair.made, trace.shape, pair.measurements, pair.use, settings, pair.sides)
