"""Sending goods back to their supplier, who takes their price off the bill they came with."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING

from shopledger.errors import RefusedError, listed, nearest
from shopledger.ledger.books.bill_requests import SendBackRequest
from shopledger.ledger.books.bills import BillAccount, BillLine, SupplierCredit, refuse_taken_back
from shopledger.ledger.books.postings import credit_entry
from shopledger.ledger.numbers import number_of
from shopledger.ledger.stock import OutOfStockError, StockedKind, StockMovement, StockReason

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.store.work import Work


@dataclass(frozen=True, slots=True)
class SentBack:
    """What went back, and the bill as it stands now."""

    account: BillAccount
    credit: SupplierCredit


def send_back(desk: Desk, bill_number: int, asked: SendBackRequest) -> SentBack:
    """Take goods of a bill from the shelf and lower what is owed by the credit given for them.

    Those of the bill's own lot leave first. A credit larger than what is owed leaves a balance in the shop's favour.
    """
    day = desk.day(asked.day)
    with desk.writing() as work:
        account = work.bills.account(bill_number)
        refuse_taken_back(account)
        if day < account.bill.day:
            allowed = f"the bill is of {account.bill.day.isoformat()}"
            raise RefusedError("day", day.isoformat(), allowed, "Type a day on or after it.")
        line = _line(account, asked)
        kind = line.item_kind or StockedKind.FRAME
        _check_count(work, account, asked, line, kind)
        work.periods.refuse_closed(day)
        first = [number_of(each) for each in work.bills.goods(bill_number) if each.quantity > 0]
        leaving = StockMovement(
            day,
            kind,
            line.item_code,
            -asked.quantity,
            0,
            StockReason.SENT_BACK,
            bill_number=bill_number,
            note=asked.reason,
        )
        gone = work.stock.take(leaving, first=first)
        credit = SupplierCredit(
            bill_number, number_of(gone), day, line.item_code, asked.quantity, -gone.cost, asked.credit, asked.reason
        )
        entry = credit_entry(credit, account.supplier)
        if entry.postings:
            work.journal.post(entry)
        return SentBack(work.bills.account(bill_number), credit)


def _line(account: BillAccount, asked: SendBackRequest) -> BillLine:
    """Find the goods among what the bill brought."""
    brought = {line.item_code: line for line in account.bill.lines if line.item_kind is not None}
    code = asked.item.strip().upper()
    if code not in brought:
        near = nearest(code, brought)
        hint = f"Did you mean {listed(near)}?" if near else "Look at the bill with 'shopledger bill show'."
        raise RefusedError("item", f"'{asked.item}'", f"bill {account.bill.number} brought no such goods", hint)
    return brought[code]


def _check_count(work: Work, account: BillAccount, asked: SendBackRequest, line: BillLine, kind: StockedKind) -> None:
    code = line.item_code
    brought = sum(each.quantity for each in account.bill.lines if each.item_code == code)
    back = sum(each.quantity for each in account.credits if each.item_code == code)
    if asked.quantity > brought - back:
        allowed = f"bill {account.bill.number} brought {brought} {code}, of which {back} went back already"
        raise RefusedError("quantity", asked.quantity, allowed, f"Send back {brought - back} at most.")
    level = work.stock.level(kind, code)
    if asked.quantity > level.free:
        raise OutOfStockError(code, asked.quantity, level.free)
