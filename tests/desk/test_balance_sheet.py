"""The balance sheet of the shop's own books, on the days of a year and over its end."""

from __future__ import annotations

from dataclasses import replace
from datetime import date

import pytest

from shopledger.desk.books.adjusting import record_adjustment
from shopledger.desk.books.banking import balance_sheet_of, record_move
from shopledger.desk.context import Desk
from shopledger.errors import RefusedError
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from tests.desk.books import on_both
from tests.desk.every_kind import everything_happens
from tests.desk.family import later


def moved(desk: Desk, kind: MoveKind, amount: int) -> None:
    """Let the owner put money in or take it out."""
    record_move(desk, MoneyMove(desk.today, kind, CashAccount.BANK, amount))


@on_both
def test_capital_is_rolled_forward_over_the_years_end(desk: Desk) -> None:
    """What one year ends with the next begins with; contributions, draws and the result are the year's own."""
    start = balance_sheet_of(desk)
    moved(desk, MoveKind.CONTRIBUTION, 500_000)
    moved(desk, MoveKind.DRAW, 20_000)
    lines = (AdjustmentLine(Account.DEPRECIATION, 7_500), AdjustmentLine(Account.ACCUMULATED_DEPRECIATION, -7_500))
    record_adjustment(desk, Adjustment(desk.today, "one month", lines))
    first = balance_sheet_of(desk)
    wanted = replace(start.capital, contributed=500_000, drawn=20_000, result=start.capital.result - 7_500)
    assert first.capital == wanted
    new_year = later(desk, date(2027, 2, 1))
    moved(new_year, MoveKind.DRAW, 100)
    second = balance_sheet_of(new_year)
    assert second.capital == replace(wanted, at_first=wanted.at_last, brought_in=0, contributed=0, drawn=100, result=0)
    assert (second.has, second.adds_up) == (first.has - 100, True)


@on_both
@pytest.mark.slow
def test_whatever_happened_the_sheet_adds_up(desk: Desk) -> None:
    """On each day on which something is posted, after each kind of event that the books know."""
    lived = everything_happens(desk)
    for day in (date(2026, 3, 2), date(2026, 4, 6), date(2026, 4, 20), date(2026, 4, 28)):
        sheet = balance_sheet_of(lived, day)
        assert sheet.adds_up
        with lived.reading() as work:
            stood = work.balances.all(day)
        assert {line.account: line.amount for line in sheet.assets}[Account.INVENTORY] == stood[Account.INVENTORY]


def test_a_day_that_has_not_come_has_no_sheet(desk: Desk) -> None:
    """The refusal says what today is."""
    with pytest.raises(RefusedError, match="it lies after today"):
        balance_sheet_of(desk, date(2026, 3, 3))
