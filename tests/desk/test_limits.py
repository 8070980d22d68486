"""The largest that the shop takes is stored whole on both databases, and a cent or a piece more on neither."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import send_back
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.stocking import count_stock, receive_stock
from shopledger.desk.context import Desk
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import RefusedError
from shopledger.ledger.books.bill_requests import BillRequest, ExpenseBilled, GoodsBilled, SendBackRequest
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.spending import ExpenseCategory
from shopledger.ledger.limits import MOST_PIECES, MOVED, UNIT_COST
from shopledger.ledger.orders import Method
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.usual import COST_UNUSUAL, QUANTITY_UNUSUAL
from tests.desk.books import everything, on_both
from tests.shelf import CASE, CUSTOMER

GOODS = BillRequest("not named", goods=(GoodsBilled(CASE.code, 2, UNIT_COST.most),))


@on_both
def test_the_most_is_kept_whole(desk: Desk) -> None:
    """Pieces, a cost, an amount on a bill, a deposit and a move: what went in comes out, to the cent."""
    counted = count_stock(desk, StockedKind.ACCESSORY, CASE.code, MOST_PIECES, accept=frozenset({QUANTITY_UNUSUAL}))
    assert counted.level.on_hand == MOST_PIECES
    assert record_bill(desk, GOODS, frozenset({COST_UNUSUAL})).bill.total == 2 * UNIT_COST.most
    spent = BillRequest("not named", expenses=(ExpenseBilled(ExpenseCategory.RENT, MOVED.most),))
    assert record_bill(desk, spent).bill.total == MOVED.most
    assert take_deposit(desk, DepositRequest(CUSTOMER, MOVED.most, Method.CASH)).account.deposit.amount == MOVED.most
    move = MoneyMove(desk.today, MoveKind.CONTRIBUTION, CashAccount.BANK, MOVED.most)
    assert record_move(desk, move).move.amount == MOVED.most


@on_both
def test_one_more_is_refused_before_the_database(desk: Desk) -> None:
    """The same sentence on both, far below what a column of either would refuse."""
    before = everything(desk)
    for more in (MOST_PIECES + 1, 2**31, 2**63, 2**64, 10**30):
        with pytest.raises(RefusedError, match="count is"):
            count_stock(desk, StockedKind.ACCESSORY, CASE.code, more)
        with pytest.raises(RefusedError, match="quantity is"):
            receive_stock(desk, StockedKind.ACCESSORY, CASE.code, more, 1)
        with pytest.raises(RefusedError, match="deposit is"):
            take_deposit(desk, DepositRequest(CUSTOMER, MOVED.most + more, Method.CASH))
        with pytest.raises(RefusedError, match="unit cost is"):
            GoodsBilled(CASE.code, 1, UNIT_COST.most + more)
    assert everything(desk) == before


@on_both
def test_a_credit_is_at_most_the_cost_with_its_freight(desk: Desk) -> None:
    """Three for 1.10 each and 0.50 of freight cost 3.80: one of them 1.27, rounded up, two 2.54."""
    number = record_bill(
        desk, BillRequest("not named", goods=(GoodsBilled(CASE.code, 3, 110),), freight=50)
    ).bill.number
    assert number is not None
    asked = SendBackRequest(CASE.code, 1, 128, "scratched")
    with pytest.raises(RefusedError, match=r"credit is 1\.28; 1 CASE cost 1\.27 on bill"):
        send_back(desk, number, asked)
    assert send_back(desk, number, replace(asked, credit=127)).credit.credit == 127


@on_both
def test_a_day_long_ago_lies_in_the_books(desk: Desk) -> None:
    """Without a yes it is asked about; with one it is taken from the first day of the books on."""
    day = date(2024, 3, 2)
    with pytest.raises(FindingsRefusedError, match="DAY-LONG-AGO"):
        desk.day(day)
    meant = replace(desk, books_begin=day)
    assert meant.day(day) == day
    with pytest.raises(RefusedError, match="books hold no day before 2024-03-02"):
        meant.day(date(2024, 3, 1))
    assert desk.past_day(date(1990, 1, 1)) == date(1990, 1, 1)
