"""Eight at once in one ledger, each with many documents: whoever is told to try again does, and no number is missing.

`SHOPLEDGER_DOCUMENTS` says how many each of them makes.
"""

from __future__ import annotations

import os
import traceback
from collections import defaultdict
from collections.abc import Callable, Mapping
from contextlib import closing, suppress
from pathlib import Path
from typing import Final, TypeVar

import pytest

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.closing import prove_books
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.spending import record_expense
from shopledger.desk.context import Desk
from shopledger.desk.orders import take_payment
from shopledger.desk.people import add_supplier
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.bill_requests import BillRequest, GoodsBilled
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import Method, PaymentRequest
from shopledger.store.opening import open_ledger
from shopledger.store.refusals import LedgerBusyError
from tests.desk.books import on_both
from tests.desk.family import DISTANCE, ordered
from tests.rows import rows
from tests.shelf import CUSTOMER, WREN

pytestmark = [
    pytest.mark.long,
    pytest.mark.skipif(not hasattr(os, "fork"), reason="processes of this kind are POSIX's"),
]

WRITERS: Final = 8
DOCUMENTS: Final = int(os.environ.get("SHOPLEDGER_DOCUMENTS", "60"))
TABLES: Final = {"order": "shop_order", "expense": "expense", "deposit": "deposit", "move": "money_move"}
"""What is numbered, and the table that holds it."""
YES: Final = frozenset({"CASH-SHORT", "EXPENSE-TWICE", "MONEY-TWICE"})
"""Eight people often do the same on the same day."""


Made = tuple[str, int | None]
Given = TypeVar("Given")


def patiently(deed: Callable[[], Given]) -> Given:
    """Do something again as long as the ledger is busy: SQLite lets nobody queue, so one of eight may wait too long."""
    while True:
        with suppress(LedgerBusyError):
            return deed()


def sale(desk: Desk, _name: str) -> Made:
    """Sell a pair, paid in part."""
    asked = ordered(DISTANCE, payments=(PaymentRequest(2_000, Method.CASH),))
    account = patiently(lambda: record_sale(desk, asked))
    return "order", account.order.number


def payment(desk: Desk, _name: str) -> Made:
    """Sell a pair, and take a payment on it by itself."""
    made, number = sale(desk, "")
    patiently(lambda: take_payment(desk, number or 0, PaymentRequest(1_000, Method.CHECK, "1187")))
    return made, number


def spent(desk: Desk, name: str) -> Made:
    """Spend money on something of one's own."""
    asked = Expense(desk.today, "Alder Row", ExpenseCategory.OFFICE, name, 1_250, SpendMethod.BANK, name)
    return "expense", patiently(lambda: record_expense(desk, asked, accept=YES)).expense.number


def deposit(desk: Desk, _name: str) -> Made:
    """Take money before there is an order."""
    card = patiently(lambda: take_deposit(desk, DepositRequest(CUSTOMER, 500, Method.CASH)))
    return "deposit", card.account.deposit.number


def moved(desk: Desk, name: str) -> Made:
    """Put the owner's money in."""
    asked = MoneyMove(desk.today, MoveKind.CONTRIBUTION, CashAccount.BANK, 10_000, note=name)
    plan = patiently(lambda: record_move(desk, asked, YES))
    return "move", plan.move.number


DEEDS: Final[tuple[Callable[[Desk, str], Made], ...]] = (sale, spent, deposit, moved, payment)


def write(address: str, desk: Desk, writer: int, told: Path) -> None:
    """Make the documents of one writer, and say of each that it is stored as soon as that is known."""
    with closing(open_ledger(address)) as ledger, told.open("w", encoding="utf-8") as said:
        mine = Desk(ledger, f"writer {writer}", desk.now, desk.today)
        for place in range(DOCUMENTS):
            kind, number = DEEDS[(place + writer) % len(DEEDS)](mine, f"{writer}-{place}")
            said.write(f"{kind} {number}\n")
            said.flush()


def in_a_process(deed: Callable[[], None], failed: Path) -> int:
    """Begin something in a process of its own; gives its number."""
    child = os.fork()
    if not child:
        try:
            deed()
        except BaseException:  # noqa: BLE001 - the parent reads what it was
            failed.write_text(traceback.format_exc(), encoding="utf-8")
        finally:
            os._exit(0)
    return child


def acknowledged(folder: Path) -> Mapping[str, list[int]]:
    """Give the numbers that the writers were told."""
    found: dict[str, list[int]] = defaultdict(list)
    for file in folder.glob("*.told"):
        for line in file.read_text(encoding="utf-8").splitlines():
            kind, number = line.split()
            found[kind].append(int(number))
    return found


@on_both
def test_eight_writers_lose_nothing(desk: Desk, tmp_path: Path) -> None:
    """Each document that was acknowledged is there, numbers have no gap, and chain and books prove themselves."""
    address = desk.ledger.url
    with desk.reading() as work:
        before = {kind: len(rows(work, table)) for kind, table in TABLES.items()}
    add_supplier(desk, Supplier("Tollgate Frames"))
    goods = (GoodsBilled(WREN.code, WRITERS * DOCUMENTS, 6_500),)
    record_bill(desk, BillRequest("Tollgate Frames", "TG-1", goods=goods), frozenset({"QUANTITY-UNUSUAL"}))
    desk.ledger.close()
    children = [
        in_a_process(
            lambda writer=writer: write(address, desk, writer, tmp_path / f"{writer}.told"),  # type: ignore[misc]
            tmp_path / f"{writer}.failed",
        )
        for writer in range(WRITERS)
    ]
    for child in children:
        os.waitpid(child, 0)
    assert [file.read_text(encoding="utf-8") for file in tmp_path.glob("*.failed")] == []
    told = acknowledged(tmp_path)
    assert sum(map(len, told.values())) == WRITERS * DOCUMENTS
    with desk.reading() as work:
        for kind, table in TABLES.items():
            numbers = sorted(row.number for row in rows(work, table))
            assert numbers == list(range(1, len(numbers) + 1))
            assert sorted(told[kind]) == numbers[before[kind] :]
    assert prove_books(desk).holds
