"""A whole year of statements, of the bank's and the card processor's: what the books say is what really happened.

The year is worked out beside the program (`simulated_year.py`); the shop lives through it by its deeds, takes the files
in month by month, and is held to it at each month's end.
"""

from __future__ import annotations

from collections.abc import Iterator
from contextlib import closing
from datetime import date, timedelta
from pathlib import Path

import pytest

from shopledger.desk.books.bank_matching import (
    LineRequest,
    match_lines,
    pick_match,
    plan_matches,
    record_line,
    shown_lines,
)
from shopledger.desk.books.bank_reconciling import reconcile
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.closing import close_month, plan_closing, prove_books
from shopledger.desk.books.deposits import DepositRequest, take_deposit
from shopledger.desk.books.goods_moves import bring_in
from shopledger.desk.books.payouts import cards_owed, compare_cards, payouts, record_payout
from shopledger.desk.books.processor_reports import import_report, keep_columns
from shopledger.desk.books.reports import card_days, export_period, export_year, year_figures
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.statements import ImportRequest, import_statement, keep_account, plan_statement
from shopledger.desk.context import Desk
from shopledger.desk.orders import give_refund, take_payment
from shopledger.desk.payment_corrections import end_dispute, reverse_payment
from shopledger.desk.sales import record_sale
from shopledger.errors import ExchangeError, RefusedError
from shopledger.ledger.books.bank_matches import LineMeaning
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month, Period
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statements import BankAccount
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.payment_corrections import Outcome, Reversal
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.store.opening import open_ledger
from tests.desk.books import everything
from tests.desk.conftest import NOW
from tests.desk.family import Copies, Past, later
from tests.desk.simulated_year import BEGUN, OPENED, YEAR, Event, Row, Year, last_day, simulated
from tests.ledgers import BOTH
from tests.processor_reports import LAYOUT, report, row
from tests.shelf import CASE, CUSTOMER
from tests.statements import ofx, transaction

pytestmark = pytest.mark.slow

ANY = frozenset(
    {
        *("ORDER-TWICE", "SHORT-FOR-ORDERS", "CASH-SHORT", "PAYOUT-ABOVE-CLEARING", "PAYOUT-BELOW-ZERO"),
        *("MONEY-TWICE", "EXPENSE-TWICE", "NO-PROOF", "QUANTITY-UNUSUAL", "FEE-GIVEN-BACK"),
    }
)
WHOLE = Period.of_year(YEAR)
NEW_YEAR = date(YEAR + 1, 1, 7)
METHODS = {"card": Method.CARD, "check": Method.CHECK, "cash": Method.CASH}


class Shop:
    """The shop that lives through the year, with what it needs to know of it afterwards."""

    def __init__(self, desk: Desk, folder: Path, year: Year) -> None:
        self.desk, self.folder, self.year = desk, folder, year
        self.orders: dict[str, tuple[int, int]] = {}

    def live(self) -> None:
        """Live month by month: what happens, and on the sixth day after it what the bank and the processor say."""
        self._begin()
        for month in self.year.months:
            for event in self.year.events:
                if (event.day.year, event.day.month) == (YEAR, month):
                    self._record(later(self.desk, event.day), event)
            self._look(month)
        import_report(self.on(NEW_YEAR), self.report("january.csv", date(YEAR + 1, 1, 1), NEW_YEAR))
        self._record_payouts(self.on(NEW_YEAR))

    def on(self, day: date) -> Desk:
        """Give the desk of a day."""
        return later(self.desk, day)

    def statement(self, month: int, name: str = "", tag: str = "") -> Path:
        """Write the bank's file of a month; a `tag` changes every number of a line, as some banks do."""
        first, last = date(YEAR, month, 1), last_day(month)
        told = [
            transaction(
                f"{line.day:%Y%m%d}", f"{line.amount / 100:.2f}", f"{line.day:%m%d}.{place}{tag}", line.text,
                more=f"<CHECKNUM>{line.check}" if line.check else "",
            )
            for place, line in enumerate(self.year.lines)
            if first <= line.day <= last
        ]  # fmt: skip
        text = ofx(
            *told, first=f"{first:%Y%m%d}", last=f"{last:%Y%m%d}",
            balance=f"{self.year.bank_balance(last) / 100:.2f}", balance_day=f"{last:%Y%m%d}",
        )  # fmt: skip
        file = self.folder / (name or f"bank-{month:02d}.ofx")
        file.write_text(text, encoding="ascii")
        return file

    def report(self, name: str, first: date, last: date) -> Path:
        """Write the processor's report of the payouts between two days, with what is not paid out at the end."""
        rows = []
        for payout, (day, amount) in self.year.payouts.items():
            if first <= day <= last:
                rows += [_written(each) for each in self.year.rows if each.payout == payout]
                rows.append(row(payout, day.isoformat(), "", day.isoformat(), "payout", -amount))
        waits = [each for each in self.year.rows if each.day <= last and (each.paid is None or each.paid > last)]
        rows += [_written(Row(each.day, each.kind, each.gross, each.fee, each.number)) for each in waits]
        file = self.folder / name
        file.write_text(report(*rows), encoding="ascii")
        return file

    def _begin(self) -> None:
        desk = self.on(BEGUN)
        keep_account(desk, BankAccount("Checking", "5678"))
        record_move(desk, MoneyMove(BEGUN, MoveKind.OPENING, CashAccount.BANK, OPENED))
        record_move(desk, MoneyMove(BEGUN, MoveKind.OPENING, CashAccount.CASH, 90_000))
        with desk.writing() as work:
            bring_in(work, StockMovement(BEGUN, StockedKind.ACCESSORY, CASE.code, 9_000, 90_000, StockReason.OPENING))

    def _record(self, desk: Desk, event: Event) -> None:
        day, amount = event.day, event.amount
        if event.what in METHODS:
            goods = (AccessoryRequest(CASE.code, amount // CASE.price + 1),)
            sold = record_sale(desk, OrderRequest(CUSTOMER, (), goods, accept=ANY)).order.number or 0
            paid = take_payment(desk, sold, PaymentRequest(amount, METHODS[event.what], event.reference))
            self.orders[event.key] = sold, paid.payments[-1].number or 0
        elif event.what == "deposit":
            take_deposit(desk, DepositRequest(CUSTOMER, amount, Method.CARD))
        elif event.what == "refund":
            given = RefundRequest(Method.CARD, "scratched", (RefundedLine(1, amount),))
            give_refund(desk, self.orders[event.of][0], given)
        elif event.what == "dispute":
            reverse_payment(desk, Reversal(self.orders[event.of][1], "says it was not her", fee=1_500))
        elif event.what == "won":
            end_dispute(desk, Outcome(self.orders[event.of][1], True, "the parcel was signed for", fee_back=1_500))
        elif event.what == "lost":
            end_dispute(desk, Outcome(self.orders[event.of][1], False, "nothing was signed"))
        elif event.what in {"rent", "bill"}:
            category = ExpenseCategory.RENT if event.what == "rent" else ExpenseCategory.SUPPLIES
            spent = Expense(day, "Alder Row", category, event.what, amount, SpendMethod.BANK, event.reference)
            record_expense(desk, spent, accept=ANY)
        else:
            kind = MoveKind.DRAW if event.what == "draw" else MoveKind.BANKED
            record_move(desk, MoneyMove(day, kind, CashAccount.BANK, amount), ANY)

    def _look(self, month: int) -> None:
        """Take a month's files in, record what they say, match, and hold the month to what happened."""
        last = last_day(month)
        desk = self.on(last + timedelta(6))
        import_statement(desk, ImportRequest(self.statement(month)))
        file = self.report(f"cards-{month:02d}.csv", date(YEAR, month, 1), last)
        if month == 1:
            keep_columns(desk, "Cardwell", file, LAYOUT)
        import_report(desk, file)
        self._record_payouts(desk)
        match_lines(desk)
        for line in shown_lines(desk, only_open=True):
            if line.line.text in {"SERVICE FEE", "INTEREST PAID"}:
                meaning = LineMeaning.FEE if line.line.amount < 0 else LineMeaning.INTEREST
                record_line(desk, LineRequest(line.line.number or 0, meaning), ANY)
        for each in plan_matches(desk).left:
            # Alike in amount and day: either is right.
            pick_match(desk, each.line.number or 0, [each.candidates[0].document])
        self._hold(desk, month)

    def _record_payouts(self, desk: Desk) -> None:
        for each in payouts(desk):
            if not each.recorded:
                record_payout(desk, each.payout.name, accept=ANY)

    def _hold(self, desk: Desk, month: int) -> None:
        last = last_day(month)
        found = reconcile(desk, Month(YEAR, month))
        assert found.end.agrees, (month, found.end)
        assert found.end.statement == self.year.bank_balance(last)
        assert found.proof is not None
        assert found.proof.holds
        assert not found.proof.missing_lines
        owed = cards_owed(desk, last)
        assert owed.reports is not None
        assert (owed.reports.owed, owed.reports.reserve) == (self.year.owed(last), self.year.reserve(last))
        assert owed.reserve == self.year.reserve(last)


def _written(each: Row) -> str:
    paid = each.paid.isoformat() if each.paid else ""
    return row(each.payout, paid, each.number, each.day.isoformat(), each.kind, each.gross, each.fee)


@pytest.fixture(scope="module")
def past() -> Past:
    """Begin with the furnished shop."""
    return _nothing


def _nothing(_desk: Desk, _folder: Path) -> None:
    """Let nothing happen before."""


@pytest.fixture(scope="module", params=BOTH)
def shop(request: pytest.FixtureRequest, past: Past, tmp_path_factory: pytest.TempPathFactory) -> Iterator[Shop]:
    """Give the shop after its year, on each database; the tests below look, and change nothing that others see."""
    folder = tmp_path_factory.mktemp("year")
    copies: Copies = request.getfixturevalue(f"copies_{request.param}")
    with copies(past, folder) as address, closing(open_ledger(address)) as opened:
        lived = Shop(Desk(opened, "tester", NOW, NOW.date(), folder / "templates"), folder, simulated())
        lived.live()
        yield lived


def test_the_year_has_what_it_is_about() -> None:
    """Payouts below zero, one of nothing that carries a balance, a reserve held and released, disputes won and lost."""
    year = simulated()
    kinds = {each.kind for each in year.rows}
    amounts = [amount for _, amount in year.payouts.values()]
    assert {"charge", "refund", "chargeback", "dispute reversal", "fee", "reserve", "carried balance"} == kinds
    assert (min(amounts) < -10_000, 0 in amounts) == (True, True)
    assert (year.reserve(date(YEAR, 9, 1)) > 0, year.reserve(date(YEAR, 10, 31))) == (True, 0)
    assert year.owed(last_day(12)) > 0


def test_each_months_end_was_reconciled_to_zero_and_the_books_are_proven(shop: Shop) -> None:
    """It was held month by month as the year went on; what was recorded since changes none of it."""
    desk = shop.on(NEW_YEAR)
    for month in shop.year.months:
        found = reconcile(desk, Month(YEAR, month))
        assert (found.end.difference, found.end.unbooked) == (0, ())
    assert prove_books(desk).holds


def test_what_the_processor_owes_is_the_same_by_the_books_by_its_reports_and_by_what_happened(shop: Shop) -> None:
    """At each month's end, fees counted on the days they were earned; the reserve stands apart."""
    desk = shop.on(NEW_YEAR)
    for month in shop.year.months:
        last = last_day(month)
        owed = cards_owed(desk, last)
        assert (owed.books, owed.reserve, owed.apart) == (shop.year.owed(last), shop.year.reserve(last), 0), month


def test_the_fees_of_the_year_are_those_that_were_earned_in_it(shop: Shop) -> None:
    """The payout of January takes none of December's into the new year, nor the one of this January any of before."""
    figures = year_figures(shop.on(NEW_YEAR), WHOLE).figures
    own = figures.change(Account.FEES) - 12 * 1_200
    assert own == shop.year.fees


def test_gross_by_day_of_the_transaction_is_what_happened(shop: Shop) -> None:
    """As a 1099-K counts it, month by month and in number: before refunds, disputes and fees."""
    rows = card_days(shop.on(NEW_YEAR), WHOLE)
    for month in shop.year.months:
        found = [each for each in rows if each.day.month == month]
        assert (sum(each.count for each in found), sum(each.amount for each in found)) == shop.year.gross(month)


def test_reports_and_books_agree_row_by_row(shop: Shop) -> None:
    """No payment without a row, no row without a payment, each dispute with its fee."""
    found = compare_cards(shop.on(NEW_YEAR), WHOLE)
    assert (found.rows_left, found.events_left, found.awaited, found.agrees) == ((), (), (), True)


def test_files_again_neither_double_nor_lose_a_line(shop: Shop) -> None:
    """The same ones, and the bank's with other numbers for every line, which are pointed out and left out."""
    desk = shop.on(NEW_YEAR)
    before = len(shown_lines(desk))
    stored = everything(desk)
    for month in (2, 7, 12):
        same = import_statement(desk, ImportRequest(shop.statement(month)))
        assert not same.accounts[0].plan.new
        file = shop.report(f"cards-{month:02d}.csv", date(YEAR, month, 1), last_day(month))
        assert not import_report(desk, file).plan.new
    assert everything(desk) == stored
    changed = ImportRequest(shop.statement(7, "again.ofx", "x"))
    plan = plan_statement(desk, changed)
    lines = [line for line in shop.year.lines if line.day.month == 7]
    assert (len(plan.accounts[0].plan.again), plan.accounts[0].plan.missing) == (len(lines), ())
    import_statement(desk, changed, frozenset({"LINE-AGAIN"}))
    assert len(shown_lines(desk)) == before == len([line for line in shop.year.lines if line.day.year == YEAR])


def test_files_cut_in_the_middle_are_refused_whole(shop: Shop) -> None:
    """The bank's and the processor's: nothing of them is kept."""
    desk = shop.on(NEW_YEAR)
    stored = everything(desk)
    bank = shop.statement(8, "cut.ofx")
    bank.write_text(bank.read_text("ascii")[: bank.stat().st_size // 2], encoding="ascii")
    cards = shop.report("cut.csv", date(YEAR, 8, 1), last_day(8))
    for part in (2, 3):
        whole = cards.read_text("ascii")
        (shop.folder / "part.csv").write_text(whole[: len(whole) // part], encoding="ascii")
        with pytest.raises((ExchangeError, RefusedError)):
            import_report(desk, shop.folder / "part.csv")
    with pytest.raises(ExchangeError):
        import_statement(desk, ImportRequest(bank))
    assert everything(desk) == stored


def test_the_workbooks_of_the_year_add_up_and_the_month_shows_its_bank(shop: Shop, tmp_path: Path) -> None:
    """The year's sheets are held to the ledger as they are written; each month closes and is written the same again."""
    desk = shop.on(NEW_YEAR)
    export_year(desk, WHOLE, tmp_path)
    months = [Month(NOW.year, number) for number in range(NOW.month, 13)]
    for month in (*months, Month(YEAR, 1)):
        close_month(desk, month, frozenset(each.code for each in plan_closing(desk, month).findings))
    first = export_period(desk, Month(YEAR, 1).days, tmp_path).read_bytes()
    assert export_period(desk, Month(YEAR, 1).days, tmp_path).read_bytes() == first
