"""Deposits of customers, as the ledger keeps them."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.deposits import Deposit, DepositAccount, DepositUse, GivenBack
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.orders import Method
from shopledger.store.books.taking_back import TakenBack
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.transaction import Transaction

_USES: Final = """
SELECT payment.number, payment.order_number, payment.day, payment.amount, cancellation.day AS put_back_on
FROM payment LEFT JOIN cancellation ON cancellation.order_number = payment.order_number
WHERE payment.deposit_number = :number ORDER BY payment.number
"""


@dataclass(frozen=True, slots=True)
class Deposits:
    """The deposits of the ledger; none is ever changed."""

    transaction: Transaction

    def add(self, deposit: Deposit) -> Deposit:
        """Post a deposit, or the giving back of one; gives it back with its number."""
        number = self.transaction.next_number("deposit")
        values = {
            "number": number,
            "customer_number": deposit.customer_number,
            "day": day_text(deposit.day),
            "amount": deposit.amount,
            "method": deposit.method.value,
            "reference": deposit.reference,
            "note": deposit.note,
            "gives_back": deposit.gives_back,
        }
        self.transaction.add("deposit", {**values, **self.transaction.stamp})
        return replace(deposit, number=number)

    def get(self, number: int) -> Deposit:
        """Give the deposit, or the giving back, with that number."""
        row = self.transaction.row("deposit", number=number)
        if row is None:
            raise NumberUnknownError("deposit", number)
        return deposit_of(row)

    def account(self, number: int) -> DepositAccount:
        """Give a deposit with all that became of it."""
        uses = self.transaction.asked(_USES, number=number)
        back = self.transaction.rows("deposit", {"gives_back": number}, order=("number",))
        taken_back = TakenBack(self.transaction)
        return DepositAccount(
            self.get(number),
            tuple(_use_of(row) for row in uses),
            tuple(GivenBack(deposit_of(row), taken_back.day_of(DocumentKind.DEPOSIT, row.number)) for row in back),
            taken_back.day_of(DocumentKind.DEPOSIT, number),
        )

    def accounts(self, customer_number: int | None = None) -> tuple[DepositAccount, ...]:
        """Give every deposit with what became of it, of one customer or of all, oldest first."""
        whose: dict[str, object] = {} if customer_number is None else {"customer_number": customer_number}
        rows = self.transaction.rows("deposit", {"gives_back": None, **whose}, order=("number",))
        return tuple(self.account(row.number) for row in rows)


def deposit_of(row: Row[Any]) -> Deposit:
    """Give the deposit in a row."""
    return Deposit(
        customer_number=row.customer_number,
        day=read_day(row.day),
        amount=row.amount,
        method=Method(row.method),
        reference=row.reference,
        note=row.note,
        gives_back=row.gives_back,
        number=row.number,
    )


def _use_of(row: Row[Any]) -> DepositUse:
    put_back_on = read_day(row.put_back_on) if row.put_back_on else None
    return DepositUse(row.order_number, row.number, read_day(row.day), row.amount, put_back_on)
