"""Customers, wearers, prescribers and suppliers: adding, changing and joining them."""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from datetime import date
from typing import TYPE_CHECKING

from shopledger.desk.context import Desk
from shopledger.desk.known_people import CustomerCard, customer_card
from shopledger.desk.naming import rename
from shopledger.desk.refusals import accepted_warnings
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Subject
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.erasing import refuse_named, refuse_of_erased
from shopledger.ledger.joins import Join, JoinDeed, Joined, check_joinable, unlike
from shopledger.ledger.names import NameChange, Named
from shopledger.ledger.numbers import number_of
from shopledger.ledger.parties import (
    Address,
    Customer,
    Prescriber,
    Relationship,
    Wearer,
    WearerMove,
    check_birth_date,
    check_one_self,
)
from shopledger.ledger.postcodes import zip_findings
from shopledger.ledger.twice import same_customer

if TYPE_CHECKING:
    from shopledger.ledger.books.bills import BillAccount
    from shopledger.money.amount import Cents
    from shopledger.optics.findings import Finding
    from shopledger.store.work import UnitOfWork


def add_customer(
    desk: Desk,
    name: str,
    address: Address,
    phone: str = "",
    email: str = "",
    *,
    wears: bool = True,
    printed_name: str = "",
    accept: frozenset[str] = frozenset(),
) -> Customer:
    """Add a customer; usually the customer is also a wearer and becomes one at once.

    One who has the phone, the mail address, or the name and ZIP code of another is asked about.
    """
    with desk.writing() as work:
        new = Customer(name, address, phone, email, printed_name=printed_name)
        accepted = accepted_warnings(_asked_of_new(work, new), accept)
        customer = work.customers.add(new)
        for warning in accepted:
            work.audit.note(Deed.ACCEPTED_WARNING, Subject.CUSTOMER, customer.number, detail=warning.code)
        if wears:
            work.customers.add_wearer(Wearer(customer.name, number_of(customer), printed_name=printed_name))
        return customer


def like_customers(desk: Desk, name: str, address: Address, phone: str = "", email: str = "") -> tuple[Finding, ...]:
    """Ask about customers who may be the one that is to be added, and about a ZIP code of another state."""
    new = Customer(name, address, phone, email)
    with desk.reading() as work:
        return _asked_of_new(work, new)


def _asked_of_new(work: UnitOfWork, new: Customer) -> tuple[Finding, ...]:
    return (*same_customer(new, work.customers.alike(new)), *zip_findings(new.address))


def changed_address(desk: Desk, customer: str, change: Callable[[Customer], Customer]) -> tuple[Finding, ...]:
    """Ask about a ZIP code of another state in a new address of a customer's."""
    with desk.reading() as work:
        return _asked_of_moved(work.customers.pick(customer), change)


def _asked_of_moved(found: Customer, change: Callable[[Customer], Customer]) -> tuple[Finding, ...]:
    moved = change(found).address
    where = (found.address.state, found.address.postcode)
    return () if (moved.state, moved.postcode) == where else zip_findings(moved)


def add_wearer(
    desk: Desk,
    customer: str,
    name: str,
    relationship: Relationship,
    birth_date: date | None = None,
    member_id: str = "",
    *,
    printed_name: str = "",
    claim_within_days: int | None = None,
) -> Wearer:
    """Add somebody whose glasses this customer pays for."""
    if birth_date is not None:
        check_birth_date(birth_date, desk.today)
    with desk.writing() as work:
        payer = work.customers.pick(customer)
        wearer = Wearer(
            name,
            number_of(payer),
            relationship,
            birth_date,
            member_id,
            printed_name=printed_name,
            claim_within_days=claim_within_days,
        )
        check_one_self(wearer, work.customers.wearers(wearer.customer_number))
        return work.customers.add_wearer(wearer)


def check_wearer(
    desk: Desk, customer: str, name: str, relationship: Relationship, birth_date: date | None = None
) -> None:
    """Refuse a wearer who could not be added, without storing anything."""
    if birth_date is not None:
        check_birth_date(birth_date, desk.today)
    with desk.reading() as work:
        wearer = Wearer(name, number_of(work.customers.pick(customer)), relationship, birth_date)
        check_one_self(wearer, work.customers.wearers(wearer.customer_number))


def change_customer(
    desk: Desk,
    customer: str,
    change: Callable[[Customer], Customer],
    name_from: date | None = None,
    accept: frozenset[str] = frozenset(),
) -> Customer:
    """Write what is new about a customer; orders and papers already made keep what they said.

    A new name holds from a day on. Where the customer is a wearer too, under the same name, that name changes with it.
    """
    with desk.writing() as work:
        found = work.customers.pick(customer)
        accepted = accepted_warnings(_asked_of_moved(found, change), accept)
        changed = work.customers.change(replace(change(found), number=found.number))
        for warning in accepted:
            work.audit.note(Deed.ACCEPTED_WARNING, Subject.CUSTOMER, changed.number, detail=warning.code)
        named = NameChange(Named.CUSTOMER, found.name, changed.name, customer_number=found.number)
        rename(work, desk, named, name_from)
        for wearer in work.customers.wearers(number_of(found)):
            if wearer.relationship is Relationship.SELF and wearer.name == found.name != changed.name:
                own = replace(wearer, name=changed.name, printed_name=changed.printed_name)
                work.customers.change_wearer(own)
                named = NameChange(Named.WEARER, found.name, changed.name, wearer_number=wearer.number)
                rename(work, desk, named, name_from)
        return changed


def change_wearer(
    desk: Desk, customer: str, wearer: str, change: Callable[[Wearer], Wearer], name_from: date | None = None
) -> Wearer:
    """Write what is new about a wearer, a new name from a day on; papers already made keep what they said."""
    with desk.writing() as work:
        payer = work.customers.pick(customer)
        found = work.customers.pick_wearer(number_of(payer), wearer)
        changed = replace(change(found), number=found.number, customer_number=found.customer_number)
        if changed.birth_date is not None:
            check_birth_date(changed.birth_date, desk.today)
        if changed.relationship is not found.relationship:
            check_one_self(changed, work.customers.wearers(changed.customer_number))
        named = NameChange(Named.WEARER, found.name, changed.name, wearer_number=found.number)
        rename(work, desk, named, name_from)
        return work.customers.change_wearer(changed)


@dataclass(frozen=True, slots=True)
class NewCustomerRequest:
    """A wearer who becomes a customer, and where; what is left out is as that of who paid before."""

    customer: str
    wearer: str
    address: Callable[[Address], Address] = lambda address: address
    phone: str = ""
    email: str = ""


def like_new_customer(desk: Desk, asked: NewCustomerRequest) -> tuple[Finding, ...]:
    """Ask about customers who may be the wearer already."""
    with desk.reading() as work:
        return _asked_of_new(work, _new_customer(work, asked)[1])


def become_customer(
    desk: Desk, asked: NewCustomerRequest, accept: frozenset[str] = frozenset()
) -> tuple[CustomerCard, tuple[str, ...]]:
    """Make a wearer a customer, with prescriptions and own frames; gives the customer and the frames' codes.

    What was ordered before stays the order of who paid, and the wearer's part of it is still found there.
    """
    with desk.writing() as work:
        one, new = _new_customer(work, asked)
        accepted = accepted_warnings(_asked_of_new(work, new), accept)
        customer = work.customers.add(new)
        number, wearer = number_of(customer), number_of(one)
        frames = tuple(
            frame
            for frame in work.catalogue.frames_of(work.joins.group(one.customer_number))
            if work.catalogue.worn_by(frame.code) == {wearer}
        )
        work.customers.change_wearer(replace(one, customer_number=number, relationship=Relationship.SELF))
        work.customers.add_move(WearerMove(desk.today, wearer, one.customer_number, number))
        for frame in frames:
            work.catalogue.change_frame(replace(frame, owned_by=number))
        for warning in accepted:
            work.audit.note(Deed.ACCEPTED_WARNING, Subject.CUSTOMER, number, detail=warning.code)
    return customer_card(desk, str(number)), tuple(frame.code for frame in frames)


def _new_customer(work: UnitOfWork, asked: NewCustomerRequest) -> tuple[Wearer, Customer]:
    payer = work.customers.pick(asked.customer)
    one = work.customers.pick_wearer(number_of(payer), asked.wearer)
    if one.relationship is Relationship.SELF:
        raise RefusedError(
            "wearer",
            one.name,
            f"that is customer {one.customer_number} already",
            "Name a spouse, a child or another wearer of the customer's.",
        )
    address = asked.address(payer.address)
    return one, Customer(one.name, address, asked.phone, asked.email, printed_name=one.printed_name)


def add_prescriber(desk: Desk, name: str, phone: str = "", npi: str = "") -> Prescriber:
    """Add a prescriber."""
    with desk.writing() as work:
        return work.customers.add_prescriber(Prescriber(name, phone, npi))


def join_findings(desk: Desk, customer: str, into: str) -> tuple[Finding, ...]:
    """Ask about joining two customers who have nothing in common."""
    with desk.reading() as work:
        return _asked_of_join(work, *_both(work, customer, into))


def join_customers(
    desk: Desk, customer: str, into: str, reason: str, accept: frozenset[str] = frozenset()
) -> CustomerCard:
    """Join a customer to another, who leads from then on: both numbers stay, and each finds what is under either."""
    with desk.writing() as work:
        one, leading = _both(work, customer, into)
        refuse_named(reason, one.name, leading.name)
        accepted = accepted_warnings(_asked_of_join(work, one, leading), accept)
        work.joins.add(Join(desk.today, JoinDeed.JOINED, number_of(one), number_of(leading), reason))
        for warning in accepted:
            work.audit.note(Deed.ACCEPTED_WARNING, Subject.CUSTOMER, one.number, detail=warning.code)
    return customer_card(desk, str(leading.number))


def part_customers(desk: Desk, customer: str, reason: str) -> Customer:
    """Part a customer again who was joined by mistake, unless an order of the one is for a wearer of the other."""
    with desk.writing() as work:
        one = work.customers.pick_itself(customer)
        number, joined = number_of(one), work.joins.all()
        into = joined.into(number)
        if into is None:
            raise RefusedError("customer", number, "it is joined to nobody", "Nothing is left to do.")
        theirs = [each for each in joined.group(number) if number not in _way(joined, each)]
        ours = [each for each in joined.group(number) if each not in theirs]
        order = work.joins.mixed(ours, theirs)
        if order is not None:
            raise RefusedError(
                "customer",
                number,
                f"order {order} is for a wearer of the one and paid by the other",
                "Leave them joined, or cancel that order and record it anew.",
            )
        work.joins.add(Join(desk.today, JoinDeed.PARTED, number, into, reason))
        return one


def _way(joined: Joined, number: int) -> Iterator[int]:
    """Give a customer, and all who lead that one."""
    own: int | None = number
    while own is not None:
        yield own
        own = joined.into(own)


def _both(work: UnitOfWork, customer: str, into: str) -> tuple[Customer, Customer]:
    one, leading = work.customers.pick_itself(customer), work.customers.pick(into)
    check_joinable(one, leading, work.joins.all())
    for each in (one, leading):
        refuse_of_erased("a join", each)
    return one, leading


def _asked_of_join(work: UnitOfWork, one: Customer, leading: Customer) -> tuple[Finding, ...]:
    alike = {each.number for each in work.customers.alike(one)}
    return () if leading.number in alike else unlike(one, leading)


@dataclass(frozen=True, slots=True)
class SupplierCard:
    """A supplier with the bills that are open, newest first."""

    supplier: Supplier
    open_bills: tuple[BillAccount, ...]

    @property
    def owed(self) -> Cents:
        """What is owed to the supplier; below zero the supplier owes the shop."""
        return sum(account.balance for account in self.open_bills)


def add_supplier(desk: Desk, supplier: Supplier) -> Supplier:
    """Add a supplier."""
    with desk.writing() as work:
        return work.suppliers.add(supplier)


def change_supplier(
    desk: Desk, who: str, change: Callable[[Supplier], Supplier], name_from: date | None = None
) -> Supplier:
    """Write what is new about a supplier, a new name from a day on; bills keep pointing at it."""
    with desk.writing() as work:
        found = work.suppliers.pick(who)
        changed = work.suppliers.change(replace(change(found), number=found.number))
        named = NameChange(Named.SUPPLIER, found.name, changed.name, supplier_number=found.number)
        rename(work, desk, named, name_from)
        return changed


def suppliers(desk: Desk) -> tuple[Supplier, ...]:
    """Give all suppliers, by name."""
    with desk.reading() as work:
        return work.suppliers.all()


def supplier_card(desk: Desk, who: str) -> SupplierCard:
    """Give one supplier with the bills that are open."""
    with desk.reading() as work:
        found = work.suppliers.pick(who)
        return SupplierCard(found, work.bills.open_accounts(number_of(found)))
