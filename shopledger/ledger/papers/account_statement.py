"""The statement for a health account (HSA or FSA): one wearer's part of one order, as an administrator reads it.

Prop. Treas. Reg. 1.125-6(b) asks that the provider say what was supplied, on which day, and for how much (known
second-hand, from a letter of the Internal Revenue Service that quotes it);
administrators usually also ask for the provider's and the patient's name. What is no prescription eyewear is listed
apart with a sum of its own, and nothing is said to be paid or not: that is the administrator's to say. Everything is
taken from an issued receipt's frozen content, so a statement printed again says the same. What was given back is in no
amount, and was taken off the lines that gave it back alone.
"""

from __future__ import annotations

from dataclasses import dataclass

from shopledger.ledger.papers.shop_lines import ShopLines, shop_lines_of
from shopledger.ledger.receipt import ReceiptContent, ReceiptLine, refuse_unfit
from shopledger.money.amount import Cents


@dataclass(frozen=True, slots=True)
class StatementLine:
    """One thing supplied: what it is, what was charged for it and kept."""

    description: str
    code: str
    """Claim code with its modifier, or empty."""
    amount: Cents
    eyewear: bool
    """Whether it is a part of glasses made to a prescription."""


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
    """The wearer's lines in the receipt's order, but for those that gave everything back."""
    shipping: Cents
    tax: Cents
    total: Cents
    """What stands of lines, shipping and tax."""
    given_back: Cents
    """What was given back of them, or taken off without money; it is in none of the amounts above."""
    paid: Cents
    refunded: Cents
    written_off: Cents
    balance: Cents
    ledger_head: str
    spellings: tuple[tuple[str, str], ...] = ()
    """How a name is printed whose own letters the papers cannot set."""

    @property
    def eyewear(self) -> Cents:
        """What was charged for prescription eyewear."""
        return sum(line.amount for line in self.lines if line.eyewear)

    @property
    def others(self) -> Cents:
        """What was charged for goods that are none."""
        return sum(line.amount for line in self.lines if not line.eyewear)


def account_statement(receipt: ReceiptContent) -> AccountStatement:
    """Give what the statement says of an issued receipt."""
    refuse_unfit(receipt)
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
        lines=tuple(_line(line) for line in receipt.lines if line.kept or not line.charge),
        shipping=receipt.shipping - receipt.shipping_back,
        tax=receipt.tax - receipt.tax_back,
        total=receipt.stands,
        given_back=receipt.given_back,
        paid=receipt.paid,
        refunded=receipt.refunded,
        written_off=receipt.written_off,
        balance=receipt.balance,
        ledger_head=receipt.ledger_head,
        spellings=receipt.spellings,
    )


def _line(line: ReceiptLine) -> StatementLine:
    code = f"{line.code} {line.modifier}".strip()
    return StatementLine(line.said, code, line.kept, line.eyewear)
