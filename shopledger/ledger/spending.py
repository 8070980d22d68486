"""What the shop spends: under which heading of Schedule C it goes, and where the money comes from."""

from __future__ import annotations

from enum import Enum

from shopledger.ledger.journal import Account


class SpendMethod(Enum):
    """Where money goes out from."""

    CASH = "cash"
    BANK = "bank"
    CARD = "card"
    """The shop's own credit card, which is owed until it is paid."""
    OWNER = "owner"
    """Out of the owner's own pocket: a contribution."""

    @property
    def account(self) -> Account:
        """The account that is credited."""
        return {
            SpendMethod.CASH: Account.CASH,
            SpendMethod.BANK: Account.BANK,
            SpendMethod.CARD: Account.CREDIT_CARD,
            SpendMethod.OWNER: Account.CONTRIBUTIONS,
        }[self]


class ExpenseCategory(Enum):
    """What money is spent on; each is an account of the same name, tied to its line of Schedule C."""

    ADVERTISING = "advertising"
    CAR = "car and truck"
    FEES = "commissions and fees"
    CONTRACT_LABOUR = "contract labour"
    EQUIPMENT = "equipment"
    INSURANCE = "insurance"
    INTEREST = "interest"
    PROFESSIONAL = "legal and professional services"
    OFFICE = "office expense"
    RENT_EQUIPMENT = "rent of equipment"
    RENT = "rent of premises"
    REPAIRS = "repairs and maintenance"
    SUPPLIES = "supplies"
    TAXES = "taxes and licences"
    TRAVEL = "travel"
    MEALS = "meals"
    UTILITIES = "utilities"
    WAGES = "wages"
    POSTAGE = "postage and shipping out"
    SOFTWARE = "software and services"
    TRAINING = "training and licences"
    OTHER = "other expense"

    @property
    def account(self) -> Account:
        """The account that is debited."""
        return Account[self.name]
