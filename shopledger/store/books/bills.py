"""Suppliers' bills with their lines and payments, as the ledger keeps them; none is ever changed."""

from __future__ import annotations

from collections import defaultdict
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from datetime import date
from typing import Any, Final

from sqlalchemy import Row

from shopledger.ledger.books.bill_credits import BillCredit, CreditPart
from shopledger.ledger.books.bills import Bill, BillAccount, BillLine, BillPayment, SupplierCredit
from shopledger.ledger.books.documents import DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.period import Month
from shopledger.ledger.stock import StockMovement, StockReason
from shopledger.money.amount import Cents
from shopledger.store.books.spending_queries import owed
from shopledger.store.books.stock import MOVEMENT
from shopledger.store.folding import folded
from shopledger.store.parcels import JOBS_AWAY
from shopledger.store.records import Record
from shopledger.store.refusals import NumberUnknownError
from shopledger.store.scales import day_text, read_day
from shopledger.store.tables.bills import bill, bill_credit, bill_credit_part, bill_line, bill_payment
from shopledger.store.tables.stock import stock_issue
from shopledger.store.transaction import Area, Where
from shopledger.store.words import stands_on, word

_ONE: Final = "= :bill"
_EVERY: Final = "> :bill"
"""Which bills a question below is about: the one of a number, or all, whose numbers lie above zero."""

_BILLS: Final = f"""
SELECT bill.*, supplier.name AS supplier, taken.day AS taken_back, taken.reason AS why_voided
FROM bill JOIN supplier ON supplier.number = bill.supplier_number
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "bill.number", "taken")}
WHERE bill.number {{which}} AND (:supplier = 0 OR bill.supplier_number = :supplier)
ORDER BY bill.number DESC
"""  # noqa: S608 - the words of the ledger
_OPEN: Final = f"""
SELECT open.bill_number AS number FROM ({owed("<= :last")}) open JOIN bill ON bill.number = open.bill_number
WHERE :supplier = 0 OR bill.supplier_number = :supplier
GROUP BY open.bill_number HAVING SUM(open.amount) <> 0
"""  # noqa: S608 - the words of the ledger
_NEWEST: Final = """
SELECT number FROM bill WHERE :supplier = 0 OR supplier_number = :supplier ORDER BY number DESC LIMIT :most
"""
_PAYMENTS: Final = f"""
SELECT payment.* FROM bill_payment payment
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL_PAYMENT, "payment.number", "taken")}
WHERE taken.day IS NULL AND payment.bill_number {{which}} ORDER BY payment.number
"""  # noqa: S608 - the words of the ledger
# What the supplier takes off is what his account was debited in the entry of the movement that sent the goods back.
_CREDITS: Final = f"""
SELECT movement.number, movement.bill_number, movement.day, movement.item_code, movement.quantity, movement.cost,
    movement.note, COALESCE(SUM(posting.amount), 0) AS credit
FROM stock_movement movement
LEFT JOIN journal_entry entry ON {stands_on(DocumentKind.MOVEMENT, "movement.number")}
LEFT JOIN journal_posting posting
    ON posting.entry_number = entry.number AND posting.account = {word(Account.ACCOUNTS_PAYABLE)}
WHERE movement.reason = {word(StockReason.SENT_BACK)} AND movement.bill_number {{which}}
GROUP BY movement.number, movement.bill_number, movement.day, movement.item_code, movement.quantity, movement.cost,
    movement.note
ORDER BY movement.number
"""  # noqa: S608 - the words of the ledger
# One that was set against another bill belongs to both.
_CHANGES: Final = f"""
SELECT own.* FROM (
    SELECT credit.bill_number AS of_bill, credit.* FROM bill_credit credit
    UNION ALL
    SELECT credit.other_bill, credit.* FROM bill_credit credit WHERE credit.other_bill IS NOT NULL
) own
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL_CREDIT, "own.number", "taken")}
WHERE taken.day IS NULL AND own.of_bill {{which}} ORDER BY own.number
"""  # noqa: S608 - the words of the ledger
_SAME_INVOICE: Final = f"""
SELECT bill.number, bill.invoice FROM bill
LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "bill.number", "taken")}
WHERE taken.day IS NULL AND bill.supplier_number = :supplier AND bill.invoice <> '' ORDER BY bill.number
"""  # noqa: S608 - the words of the ledger
_WITHOUT_BILL: Final = f"""
SELECT away.job_number, away.order_number
FROM ({JOBS_AWAY}) away
WHERE away.day BETWEEN :first AND :last AND NOT EXISTS (
    SELECT 1 FROM bill_line line
    LEFT JOIN taken_back taken ON {stands_on(DocumentKind.BILL, "line.bill_number", "taken")}
    WHERE line.job_number = away.job_number AND taken.day IS NULL
)
ORDER BY away.job_number
"""  # noqa: S608 - the words of the ledger

_JOB_COSTS: Final = """
SELECT amount FROM bill_line WHERE job_number IS NOT NULL ORDER BY bill_number DESC, position DESC LIMIT :limit
"""

BILL: Final = Record(Bill, bill, parts=("lines",))
LINE: Final = Record(BillLine, bill_line, also=("bill_number",))
PAYMENT: Final = Record(BillPayment, bill_payment, counter="bill payment")
CREDIT: Final = Record(BillCredit, bill_credit, parts=("parts",), counter="bill credit")
CREDIT_PART: Final = Record(CreditPart, bill_credit_part, also=("credit_number",))


@dataclass(frozen=True, slots=True)
class JobWithoutBill:
    """A job that was shipped before any bill for its lenses came."""

    job_number: int
    order_number: int


class Bills(Area):
    """The bills of the ledger."""

    def add(self, bill: Bill) -> Bill:
        """Post a bill with its lines; gives it back with its number."""
        posted = self.transaction.post(BILL, bill)
        self.transaction.put(LINE, *posted.lines, bill_number=posted.number)
        return posted

    def add_payment(self, payment: BillPayment) -> BillPayment:
        """Post a payment on a bill; gives it back with its number."""
        return self.transaction.post(PAYMENT, payment)

    def payment(self, number: int) -> BillPayment:
        """Give the payment with that number."""
        return self.transaction.get(PAYMENT, number)

    def add_credit(self, credit: BillCredit) -> BillCredit:
        """Post what changed a bill, with its parts; gives it back with its number."""
        posted = self.transaction.post(CREDIT, credit)
        self.transaction.put(CREDIT_PART, *posted.parts, credit_number=posted.number)
        return posted

    def credit(self, number: int) -> BillCredit:
        """Give what changed a bill, by its own number."""
        part = bill_credit_part.c
        parts = self.transaction.all(CREDIT_PART, {part.credit_number: number}, (part.position,))
        return replace(self.transaction.get(CREDIT, number, "bill credit"), parts=parts)

    def lots_of(self, parts: Iterable[CreditPart]) -> dict[int, int]:
        """Give the lot of each movement by which parts repriced goods."""
        numbers = [part.movement_number for part in parts if part.movement_number is not None]
        issue = stock_issue.c
        found = self.transaction.lists(issue.lot, issue.movement_number, {issue.movement_number: numbers})
        return {movement: lots[0] for movement, lots in found.items()}

    def account(self, number: int) -> BillAccount:
        """Give a bill with what happened to it."""
        found = self._accounts(_ONE, bill=number)
        if not found:
            raise NumberUnknownError("bill", number)
        return found[0]

    def accounts(self, supplier_number: int = 0) -> tuple[BillAccount, ...]:
        """Give all bills, of one supplier or of all, newest first."""
        return self._accounts(_EVERY, supplier=supplier_number)

    def open_accounts(self, supplier_number: int = 0) -> tuple[BillAccount, ...]:
        """Give the bills on which something is owed, either way, of one supplier or of all, newest first."""
        rows = self.transaction.asked(_OPEN, last=day_text(date.max), supplier=supplier_number)
        found = self._some([int(row.number) for row in rows])
        return tuple(each for each in found if each.balance)

    def newest_accounts(self, limit: int, supplier_number: int = 0) -> tuple[BillAccount, ...]:
        """Give the newest bills, of one supplier or of all."""
        rows = self.transaction.asked(_NEWEST, supplier=supplier_number, most=limit)
        return self._some([int(row.number) for row in rows])

    def same_invoice(self, supplier_number: int, invoice: str) -> int | None:
        """Give the number of the supplier's bill with that invoice number, unless it was voided."""
        rows = self.transaction.asked(_SAME_INVOICE, supplier=supplier_number)
        return next((int(row.number) for row in rows if folded(row.invoice) == folded(invoice)), None)

    def goods(self, number: int) -> tuple[StockMovement, ...]:
        """Give the movements of a bill's goods, in and out again, oldest first."""
        movement = MOVEMENT.table.c
        return self.transaction.all(MOVEMENT, {movement.bill_number: number}, (movement.number,))

    def jobs_without_bill(self, month: Month) -> tuple[JobWithoutBill, ...]:
        """Give the jobs shipped in a month of which no bill names the lenses yet."""
        rows = self.transaction.asked(_WITHOUT_BILL, first=day_text(month.first), last=day_text(month.last))
        return tuple(JobWithoutBill(row.job_number, row.order_number) for row in rows)

    def newest_job_costs(self, limit: int) -> tuple[Cents, ...]:
        """Give what the newest bills say of jobs, each the amount for one."""
        return tuple(int(row.amount) for row in self.transaction.asked(_JOB_COSTS, limit=limit))

    def _some(self, numbers: Sequence[int]) -> tuple[BillAccount, ...]:
        """Give bills by their numbers, newest first."""
        if not numbers:
            return ()
        return self._accounts(f"IN ({', '.join(map(str, numbers))}) AND :bill = 0")

    def _accounts(self, which: str, supplier: int = 0, bill: int = 0) -> tuple[BillAccount, ...]:
        def asked(query: str, **more: int) -> Sequence[Row[*tuple[Any, ...]]]:
            return self.transaction.asked(query.format(which=which), bill=bill, **more)

        heads = asked(_BILLS, supplier=supplier)
        payments, credited = _by_bill(asked(_PAYMENTS)), _by_bill(asked(_CREDITS))
        changes = _by_bill(asked(_CHANGES), "of_bill")
        line = bill_line.c
        own: Where = {line.bill_number: [row.number for row in heads]}
        lines = self.transaction.groups(LINE, line.bill_number, own, (line.position,))
        return tuple(
            BillAccount(
                BILL.named(row, lines=lines[row.number]),
                row.supplier,
                tuple(PAYMENT.named(each) for each in payments[row.number]),
                tuple(_credit(each) for each in credited[row.number]),
                read_day(row.taken_back),
                row.why_voided or "",
                tuple(CREDIT.named(each) for each in changes[row.number]),
            )
            for row in heads
        )


def _by_bill(
    rows: Iterable[Row[*tuple[Any, ...]]], column: str = "bill_number"
) -> defaultdict[int, list[Row[*tuple[Any, ...]]]]:
    found: defaultdict[int, list[Row[*tuple[Any, ...]]]] = defaultdict(list)
    for row in rows:
        found[row._mapping[column]].append(row)  # noqa: SLF001 - SQLAlchemy's public name for a row by its columns
    return found


def _credit(row: Row[*tuple[Any, ...]]) -> SupplierCredit:
    return SupplierCredit(
        bill_number=row.bill_number,
        movement_number=row.number,
        day=read_day(row.day),
        item_code=row.item_code,
        quantity=-row.quantity,
        cost=-row.cost,
        credit=int(row.credit),
        reason=row.note,
    )
