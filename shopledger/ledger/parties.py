"""Who takes part: the shop, the customer who pays, the wearer whose eyes they are, the prescriber."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from datetime import date
from enum import Enum

from shopledger.errors import RefusedError
from shopledger.ledger.identifiers import read_ein, read_email, read_npi, read_phone, read_postcode, read_state
from shopledger.ledger.text import clean_text


@dataclass(frozen=True, slots=True)
class Address:
    """A postal address in the United States."""

    street: str
    city: str
    state: str
    postcode: str
    second_line: str = ""

    def __post_init__(self) -> None:
        """Hold each part to its written form."""
        object.__setattr__(self, "street", clean_text("street", self.street))
        object.__setattr__(self, "city", clean_text("city", self.city))
        object.__setattr__(self, "state", read_state(self.state))
        object.__setattr__(self, "postcode", read_postcode(self.postcode))
        object.__setattr__(self, "second_line", clean_text("second address line", self.second_line, required=False))

    @property
    def lines(self) -> tuple[str, ...]:
        """The address as written on an envelope, without a name."""
        last = f"{self.city}, {self.state} {self.postcode}"
        return (self.street, self.second_line, last) if self.second_line else (self.street, last)


@dataclass(frozen=True, slots=True)
class Shop:
    """The shop as its papers name it."""

    name: str
    address: Address
    phone: str
    ein: str
    email: str = ""
    npi: str = ""
    receipt_wording: str = ""
    """A sentence of the owner's own at the foot of each receipt."""

    def __post_init__(self) -> None:
        """Hold the identifiers to their rules."""
        object.__setattr__(self, "name", clean_text("shop name", self.name))
        object.__setattr__(self, "phone", read_phone(self.phone, required=True))
        object.__setattr__(self, "ein", read_ein(self.ein))
        object.__setattr__(self, "npi", read_npi(self.npi) if self.npi.strip() else "")
        object.__setattr__(self, "email", read_email(self.email))
        object.__setattr__(
            self, "receipt_wording", clean_text("receipt wording", self.receipt_wording, 400, required=False)
        )


@dataclass(frozen=True, slots=True)
class Customer:
    """Who orders and pays; `number` is given by the ledger when stored."""

    name: str
    address: Address
    phone: str = ""
    email: str = ""
    number: int | None = None
    printed_name: str = ""
    """How papers spell a name whose own letters they cannot set, such as Li Xiaolong."""
    erased_on: date | None = None
    """The day on which the personal data was erased; the number, orders and money stay."""

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "name", clean_text("customer name", self.name))
        object.__setattr__(self, "printed_name", clean_text("printed name", self.printed_name, required=False))
        object.__setattr__(self, "phone", read_phone(self.phone))
        object.__setattr__(self, "email", read_email(self.email))


class Relationship(Enum):
    """What the wearer is to the customer."""

    SELF = "self"
    SPOUSE = "spouse"
    CHILD = "child"
    OTHER = "other"


@dataclass(frozen=True, slots=True)
class Wearer:
    """Whose eyes the glasses are for; a plan calls this person the patient."""

    name: str
    customer_number: int
    relationship: Relationship = Relationship.SELF
    birth_date: date | None = None
    member_id: str = ""
    """The plan's number for the member, only if the customer wants it printed."""
    number: int | None = None
    printed_name: str = ""
    """How papers spell a name whose own letters they cannot set."""
    claim_within_days: int | None = None
    """The plan's filing limit as the customer told it, counted from the day of service."""
    erased_on: date | None = None
    """The day on which the personal data was erased, the prescriptions and measurements too."""

    def __post_init__(self) -> None:
        """Hold the text to its rules."""
        object.__setattr__(self, "name", clean_text("wearer name", self.name))
        object.__setattr__(self, "member_id", clean_text("member id", self.member_id, 40, required=False))
        object.__setattr__(self, "printed_name", clean_text("printed name", self.printed_name, required=False))
        longest = 3650
        if self.claim_within_days is not None and not 1 <= self.claim_within_days <= longest:
            raise RefusedError(
                "filing limit",
                f"{self.claim_within_days} days",
                f"it must lie from 1 to {longest} days",
                "Type the days that the plan gives after the day of service, such as 365, or leave it out.",
            )


@dataclass(frozen=True, slots=True)
class WearerMove:
    """That a wearer became a customer: orders of before stay with who paid, prescriptions go with the wearer."""

    day: date
    wearer_number: int
    from_customer: int
    to_customer: int
    number: int | None = None


@dataclass(frozen=True, slots=True)
class Prescriber:
    """Who wrote the prescription."""

    name: str
    phone: str = ""
    npi: str = ""
    number: int | None = None

    def __post_init__(self) -> None:
        """Hold the text and the provider number to their rules."""
        object.__setattr__(self, "name", clean_text("prescriber name", self.name))
        object.__setattr__(self, "phone", read_phone(self.phone))
        object.__setattr__(self, "npi", read_npi(self.npi) if self.npi.strip() else "")


def spellings_of(*people: Customer | Wearer) -> tuple[tuple[str, str], ...]:
    """Give each name that has a printed spelling, with it."""
    return tuple({person.name: person.printed_name for person in people if person.printed_name}.items())


def check_one_self(wearer: Wearer, others: Iterable[Wearer]) -> None:
    """Refuse a second wearer who is the customer: there is one of each person."""
    if wearer.relationship is not Relationship.SELF:
        return
    for other in others:
        if other.relationship is Relationship.SELF and other.number != wearer.number:
            raise RefusedError(
                "relationship",
                "self",
                f"wearer {other.number}, {other.name}, is the customer already",
                "Say what the wearer is to the customer: spouse, child or other.",
            )


def check_birth_date(birth_date: date, today: date) -> date:
    """Refuse a birth date that cannot be."""
    oldest = 130
    if birth_date > today or today.year - birth_date.year > oldest:
        raise RefusedError(
            "birth date", birth_date.isoformat(), "it must lie in the past 130 years", "Type it as YYYY-MM-DD."
        )
    return birth_date
