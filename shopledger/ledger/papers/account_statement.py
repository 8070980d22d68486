"""The statement for a health account (HSA or FSA): one wearer's part of one order, as an administrator reads it.

Prop. Treas. Reg. 1.125-6(b) asks that the provider say what was supplied, on which day, and for how much;
administrators usually also ask for the provider's and the patient's name. Everything is taken from an issued
receipt's frozen content, so a statement printed again says the same. Nothing here is a promise that an account pays.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

from shopledger.ledger.catalogue import Reimbursement
from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines_of
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine
from shopledger.money.amount import Cents

ELIGIBLE: Final = Reimbursement.ELIGIBLE.value
PLAN_DECIDES: Final = Reimbursement.PLAN_DECIDES.value
NOT_ELIGIBLE: Final = Reimbursement.NOT_ELIGIBLE.value


@dataclass(frozen=True, slots=True)
class StatementLine:
    """One thing supplied: what it is, what was charged for it, how it was sorted and why."""

    description: str
    code: str
    """Claim code with its modifier, or empty."""
    amount: Cents
    state: str
    """eligible, plan decides, or not eligible."""
    reason: str


@dataclass(frozen=True, slots=True)
class AccountStatement:
    """Everything on the statement. Days are ISO text, amounts whole cents, absent things empty text."""

    receipt_number: int
    receipt_day: str
    order_number: int
    shop: ShopLines
    wearer: str
    wearer_birth_date: str
    relationship: str
    customer: str
    customer_lines: tuple[str, ...]
    prescriber: str
    sold_on: str
    served_on: str
    """Day on which the glasses left; empty until then."""
    lines: tuple[StatementLine, ...]
    """The wearer's lines in the receipt's order."""
    shipping: Cents
    tax: Cents
    total: Cents
    paid: Cents
    refunded: Cents
    balance: Cents
    ledger_head: str
    spellings: tuple[tuple[str, str], ...] = ()
    """How a name is printed whose own letters the papers cannot set."""

    def sum_of(self, state: str) -> Cents:
        """Add up the lines that were sorted so."""
        return sum(line.amount for line in self.lines if line.state == state)

    @property
    def eligible(self) -> Cents:
        """What the statement counts."""
        return self.sum_of(ELIGIBLE)

    @property
    def undecided(self) -> Cents:
        """What the administrator must decide; not counted."""
        return self.sum_of(PLAN_DECIDES)

    @property
    def not_eligible(self) -> Cents:
        """What as a rule is not medical care; not counted."""
        return self.sum_of(NOT_ELIGIBLE)


def account_statement(receipt: ReceiptContent) -> AccountStatement:
    """Give what the statement says of an issued receipt."""
    return AccountStatement(
        receipt_number=receipt.number,
        receipt_day=receipt.issued_on,
        order_number=receipt.order_number,
        shop=shop_lines_of(receipt),
        wearer=receipt.wearer,
        wearer_birth_date=receipt.wearer_birth_date,
        relationship=receipt.relationship,
        customer=receipt.customer,
        customer_lines=receipt.customer_lines,
        prescriber=receipt.prescriber,
        sold_on=receipt.order_day,
        served_on=receipt.dispensed_on,
        lines=tuple(_line(line) for line in receipt.lines),
        shipping=receipt.shipping,
        tax=receipt.tax,
        total=receipt.total,
        paid=receipt.paid,
        refunded=receipt.refunded,
        balance=receipt.balance,
        ledger_head=receipt.ledger_head,
        spellings=receipt.spellings,
    )


def _line(line: ReceiptLine) -> StatementLine:
    code = f"{line.code} {line.modifier}".strip()
    return StatementLine(line.description, code, line.charge, line.reimbursement, line.reason)
