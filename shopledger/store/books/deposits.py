"""Deposits of customers, as the ledger keeps them."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Sequence
from typing import Final

from shopledger.ledger.books.deposits import Deposit, DepositAccount, DepositUse, GivenBack, UseReversed
from shopledger.ledger.books.documents import DocumentKind
from shopledger.store.books.voiding import Voidings
from shopledger.store.corrections import CORRECTION
from shopledger.store.joins import Joins
from shopledger.store.records import Record
from shopledger.store.tables.corrections import correction
from shopledger.store.tables.payments import cancellation, payment
from shopledger.store.tables.spending import deposit
from shopledger.store.transaction import Area, Where

DEPOSIT: Final = Record(Deposit, deposit)
USE: Final = Record(
    DepositUse,
    payment,
    {"payment_number": payment.c.number, "put_back_on": cancellation.c.day},
    parts=("reversed",),
    also=("method", "reference"),
    source=payment.outerjoin(cancellation, cancellation.c.order_number == payment.c.order_number),
)


class Deposits(Area):
    """The deposits of the ledger; none is ever changed."""

    def add(self, deposit: Deposit) -> Deposit:
        """Post a deposit, or the giving back of one; gives it back with its number."""
        return self.transaction.post(DEPOSIT, deposit)

    def get(self, number: int) -> Deposit:
        """Give the deposit, or the giving back, with that number."""
        return self.transaction.get(DEPOSIT, number)

    def account(self, number: int) -> DepositAccount:
        """Give a deposit with all that became of it."""
        return self._accounts((self.get(number),))[0]

    def accounts(self, customer_number: int | None = None) -> tuple[DepositAccount, ...]:
        """Give every deposit with what became of it, of one customer or of all, oldest first."""
        where: Where = {deposit.c.gives_back: None}
        if customer_number is not None:
            where = {**where, deposit.c.customer_number: Joins(self.transaction).group(customer_number)}
        return self._accounts(self.transaction.all(DEPOSIT, where, (deposit.c.number,)))

    def _accounts(self, deposits: Sequence[Deposit]) -> tuple[DepositAccount, ...]:
        numbers = [each.number for each in deposits]
        gives_back = deposit.c.gives_back
        uses = self._uses(numbers)
        back = self.transaction.groups(DEPOSIT, gives_back, {gives_back: numbers}, (deposit.c.number,))
        ended = Voidings(self.transaction).days_of(DocumentKind.DEPOSIT)
        return tuple(
            DepositAccount(
                each,
                tuple(uses[each.number or 0]),
                tuple(GivenBack(given, ended.get(given.number or 0)) for given in back[each.number]),
                ended.get(each.number or 0),
            )
            for each in deposits
        )

    def _uses(self, deposits: list[int | None]) -> dict[int, list[DepositUse]]:
        """Give the payments from each deposit, each with what was put back of it, or taken again."""
        from_deposit, number = payment.c.deposit_number, payment.c.number
        made = list(self.transaction.unfinished(USE, (from_deposit, number), {from_deposit: deposits}, (number,)))
        found: dict[int, list[DepositUse]] = defaultdict(list)
        if not made:
            return found
        of_payment = correction.c.payment_number
        asked: Where = {of_payment: [key for (_, key), _ in made]}
        put_right = self.transaction.groups(CORRECTION, of_payment, asked, (correction.c.number,))
        for (whole, key), use in made:
            back = (UseReversed(each.day, each.taken_from_paid) for each in put_right[key] if each.taken_from_paid)
            found[whole].append(use(reversed=tuple(back)))
        return found
