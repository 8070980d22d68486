"""Sales tax rates: set for a state or a place in it, and never over an older one's days without a yes."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import replace
from typing import TYPE_CHECKING

from shopledger.desk.refusals import accepted_warnings
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.taxes import TaxRate, folded, overlapping

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.optics.findings import Finding
    from shopledger.store.work import UnitOfWork


def plan_tax_rates(desk: Desk, rates: Iterable[TaxRate]) -> tuple[Finding, ...]:
    """Tell which rates that stand have days in common with new ones; nothing is stored."""
    with desk.reading() as work:
        return _planned(work, rates)[1]


def set_tax_rate(desk: Desk, rate: TaxRate, accept: frozenset[str] = frozenset()) -> TaxRate:
    """Set a sales tax rate for its days; gives it with its place as it was first called."""
    with desk.writing() as work:
        (stored,) = put_rates(work, (rate,), accept)
        return stored


def tax_rates(desk: Desk) -> tuple[TaxRate, ...]:
    """Give all rates that were set."""
    with desk.reading() as work:
        return work.catalogue.tax_rates()


def put_rates(work: UnitOfWork, rates: Iterable[TaxRate], accept: frozenset[str]) -> tuple[TaxRate, ...]:
    """Store rates inside a transaction; what overlaps without a yes is refused, and who said yes is noted."""
    new, findings = _planned(work, rates)
    accepted = accepted_warnings(findings, accept)
    for rate in new:
        work.catalogue.set_tax_rate(rate)
    for warning in accepted:
        work.audit.note(Deed.ACCEPTED_WARNING, Subject.TAX_RATE, detail=warning.code)
    return new


def _planned(work: UnitOfWork, rates: Iterable[TaxRate]) -> tuple[tuple[TaxRate, ...], tuple[Finding, ...]]:
    """Give new rates with their places as they are called already, and what is asked of those that stand.

    Rates that come together are not asked about among themselves: whoever wrote them saw them all.
    """
    standing = work.catalogue.tax_rates()
    called = {(rate.state, folded(rate.place)): rate.place for rate in standing}
    new: list[TaxRate] = []
    findings: list[Finding] = []
    for each in rates:
        rate = replace(each, place=called.setdefault((each.state, folded(each.place)), each.place))
        findings += overlapping(rate, standing, together=new)
        new.append(rate)
    return tuple(new), tuple(findings)
