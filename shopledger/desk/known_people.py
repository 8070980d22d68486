"""Customers with their wearers, and prescribers, found as the owner names them; nothing that only changing needs."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopledger.desk.context import Desk
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import Customer, Prescriber, Wearer

if TYPE_CHECKING:
    from shopledger.ledger.prescription import WrittenPrescription
    from shopledger.store.work import UnitOfWork


@dataclass(frozen=True, slots=True)
class CustomerCard:
    """A customer with the wearers and each one's newest prescription."""

    customer: Customer
    wearers: tuple[tuple[Wearer, WrittenPrescription | None], ...]
    joined: tuple[Customer, ...] = ()
    """Customers who were joined to this one; their numbers lead here."""


def find_customers(desk: Desk, text: str, limit: int = 20) -> tuple[Customer, ...]:
    """Find customers by number or part of the name; a list of all of them is noted as what it is."""
    if text.strip():
        with desk.reading() as work:
            return work.customers.find(text, limit)
    with desk.writing() as work:
        found = work.customers.find(text, limit)
        work.audit.note(Deed.LISTED_CUSTOMERS, Subject.CUSTOMER, records=len(found))
        return found


def customer_card(desk: Desk, customer: str) -> CustomerCard:
    """Give one customer with wearers and prescriptions; the look is noted, since prescriptions are private."""
    with desk.writing() as work:
        found = work.customers.pick(customer, erased_too=True)
        wearers = work.customers.wearers(number_of(found))
        work.audit.note(Deed.LOOKED_AT_PRESCRIPTIONS, Subject.CUSTOMER, found.number)
        own = tuple((wearer, _newest(work, wearer)) for wearer in wearers)
        _, *others = work.joins.group(number_of(found))
        return CustomerCard(found, own, tuple(work.customers.get(number) for number in others))


def _newest(work: UnitOfWork, wearer: Wearer) -> WrittenPrescription | None:
    """Give a wearer's newest prescription; of one whose data was erased none is left."""
    return None if wearer.erased_on else work.prescriptions.newest(number_of(wearer))


def prescribers(desk: Desk) -> tuple[Prescriber, ...]:
    """Give all prescribers."""
    with desk.reading() as work:
        return work.customers.prescribers()


def customer_and_wearers(desk: Desk, text: str) -> tuple[Customer, tuple[Wearer, ...]]:
    """Give the customer meant and the wearers, without their prescriptions."""
    with desk.reading() as work:
        found = work.customers.pick(text)
        return found, work.customers.wearers(number_of(found))


def joined_numbers(desk: Desk, customer: Customer) -> frozenset[int]:
    """Give all numbers of a customer, those of joined ones among them."""
    with desk.reading() as work:
        return frozenset(work.joins.group(number_of(customer)))
