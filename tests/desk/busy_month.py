"""A month in which everything happens that a shop's books can hold, by the desk's own deeds where these exist."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.books.adjusting import record_adjustment
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill, send_back
from shopledger.desk.books.deposits import DepositRequest, GiveBackRequest, give_back, pay_from_deposit, take_deposit
from shopledger.desk.books.goods_moves import take_out
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.inspecting import record_remake
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.people import add_supplier
from shopledger.desk.sales import record_sale
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    ExpenseBilled,
    GoodsBilled,
    JobBilled,
    SendBackRequest,
)
from shopledger.ledger.books.documents import Document
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.refunds import RefundedLine, RefundRequest, plan_refund
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import ImposedOn
from tests.counted import post_refund, post_sale
from tests.desk.family import DISTANCE, FAMILY_ORDER, later, ordered
from tests.shelf import CASE, CUSTOMER, LARK, SHADES, WREN

MARCH, APRIL, MAY = Month(2026, 3), Month(2026, 4), Month(2026, 5)
LAB: Final = "Tallow Row Lenses"
MAKER: Final = "Harrow Row"


def live_through(desk: Desk, folder: Path) -> None:
    """Let March and April of the invented shop happen."""
    _march(desk)
    _goods_and_bills(desk)
    _customers(desk)
    _money(desk, folder)
    _seller_taxed(desk)


def april(desk: Desk, day: int) -> Desk:
    """Give the desk on a day of April."""
    return later(desk, date(2026, 4, day))


def _march(desk: Desk) -> None:
    """Begin with money, a first bill, the family's order, a deposit and the rent."""
    bank, cash = (
        MoneyMove(desk.today, MoveKind.OPENING, till, 500_000) for till in (CashAccount.BANK, CashAccount.CASH)
    )
    record_move(desk, bank)
    record_move(desk, cash)
    for name in (LAB, MAKER):
        add_supplier(desk, Supplier(name))
    record_sale(desk, FAMILY_ORDER)
    goods = (GoodsBilled(WREN.code, 4, 6500), GoodsBilled(CASE.code, 10, 410), GoodsBilled(SHADES.code, 3, 1600))
    record_bill(later(desk, date(2026, 3, 10)), BillRequest(MAKER, "H-100", goods=goods, freight=800))
    take_deposit(later(desk, date(2026, 3, 20)), DepositRequest(CUSTOMER, 30_000, Method.CHECK, "1200"))
    rent = Expense(
        date(2026, 3, 31), "Alder Row Estates", ExpenseCategory.RENT, "rent for March", 85_000, SpendMethod.BANK
    )
    record_expense(later(desk, date(2026, 3, 31)), rent)


def _goods_and_bills(desk: Desk) -> None:
    """Bill lenses before and after the order leaves, ship it, send goods back, count, and take a bill back."""
    lenses = BillRequest(
        LAB, "T-1", jobs=tuple(JobBilled(job, amount) for job, amount in ((1, 3000), (2, 4500), (3, 9000), (4, 2000))),
        expenses=(ExpenseBilled(ExpenseCategory.OFFICE, 1250),), freight=500,
    )  # fmt: skip
    record_bill(april(desk, 2), lenses)
    record_remake(april(desk, 5), 3, "a scratch", 4000)
    ship_order(april(desk, 6), 1, "Harrow Post", without_inspection="a trial")
    record_bill(april(desk, 7), BillRequest(LAB, "T-2", jobs=(JobBilled(1, 1500),), paid=SpendMethod.OWNER))
    send_back(april(desk, 15), 1, SendBackRequest(WREN.code, 1, 6000, "bent"))
    count_stock(april(desk, 14), StockedKind.ACCESSORY, CASE.code, 16, "one is missing")
    wrong = BillRequest(
        MAKER, "H-101", goods=(GoodsBilled(LARK.code, 1, 4300),),
        expenses=(ExpenseBilled(ExpenseCategory.EQUIPMENT, 20_000),),
    )  # fmt: skip
    record_bill(april(desk, 17), wrong)
    void_document(april(desk, 18), Document.read("bill 4"), "not ours")
    record_bill(
        april(desk, 19), BillRequest(MAKER, "H-102", expenses=(ExpenseBilled(ExpenseCategory.EQUIPMENT, 9900),))
    )
    with april(desk, 16).writing() as work:
        for reason in (StockReason.GIVEN, StockReason.OWN_USE, StockReason.WRITTEN_OFF):
            moved = StockMovement(date(2026, 4, 16), StockedKind.ACCESSORY, SHADES.code, -1, 0, reason, note="=1+1")
            take_out(work, moved)


def _customers(desk: Desk) -> None:
    """Take payments, refund with and without goods, use a deposit, and cancel an order that was paid with it."""
    owed = order_account(desk, 1).balance
    take_payment(april(desk, 3), 1, PaymentRequest(owed - 10_000, Method.CHECK, "1187"))
    take_payment(april(desk, 9), 1, PaymentRequest(10_000, Method.CASH))
    frame, shades = RefundedLine(8, 5000, returned=1), RefundedLine(11, 2000)
    give_refund(april(desk, 10), 1, RefundRequest(Method.CARD, "too small", (frame, shades)))
    record_sale(april(desk, 9), ordered(DISTANCE))
    pay_from_deposit(april(desk, 9), 2, 1, 18_000)
    case = OrderRequest(
        CUSTOMER, accessories=(AccessoryRequest(CASE.code, 2), AccessoryRequest(SHADES.code)), shipping=0
    )
    record_sale(april(desk, 11), replace(case, payments=(PaymentRequest(2000, Method.TRANSFER),)))
    pay_from_deposit(april(desk, 12), 3, 1, 3000)
    cancel_order(april(desk, 13), 3, "ordered twice")
    give_back(april(desk, 20), 1, GiveBackRequest(4000, Method.CASH))
    take_deposit(april(desk, 21), DepositRequest(CUSTOMER, 7000, Method.CARD, "4242"))
    take_deposit(april(desk, 21), DepositRequest(CUSTOMER, 9900, Method.CASH))
    void_document(april(desk, 22), Document.read("deposit 4"), "typed twice")


def _money(desk: Desk, folder: Path) -> None:
    """Spend by every method, take a mistake back, pay bills, and move money every way there is."""
    proof = folder / "invoice.txt"
    proof.write_text("proof", encoding="utf-8")
    for place, method in enumerate(SpendMethod):
        category = tuple(ExpenseCategory)[place]
        spent = Expense(date(2026, 4, 11), "=1+1", category, f"@SUM(A1) {place}", 2000 + place, method)
        record_expense(april(desk, 11), spent, proof if not place else None)
    tools = Expense(date(2026, 4, 11), "Bench and Bit", ExpenseCategory.EQUIPMENT, "edger", 64_000, SpendMethod.CARD)
    record_expense(april(desk, 11), tools)
    void_document(april(desk, 12), Document.read("expense 3"), "private")
    pay_bill(april(desk, 4), 1, BillPaymentRequest(10_000, SpendMethod.BANK))
    pay_bill(april(desk, 4), 1, BillPaymentRequest(10_000, SpendMethod.BANK))
    void_document(april(desk, 5), Document.read("bill payment 3"), "paid once")
    pay_bill(april(desk, 25), 1, BillPaymentRequest(5_000, SpendMethod.CARD))
    pay_bill(april(desk, 25), 2, BillPaymentRequest(10_000, SpendMethod.CASH))
    day = date(2026, 4, 26)
    for move in (
        MoneyMove(day, MoveKind.PAYOUT, CashAccount.BANK, 30_000, 890),
        MoneyMove(day, MoveKind.BANKED, CashAccount.BANK, 10_000),
        MoneyMove(day, MoveKind.WITHDRAWAL, CashAccount.CASH, 5_000),
        MoneyMove(day, MoveKind.CARD_PAID, CashAccount.BANK, 20_000),
        MoneyMove(day, MoveKind.CONTRIBUTION, CashAccount.CASH, 2_500),
        MoneyMove(day, MoveKind.DRAW, CashAccount.BANK, 30_000),
        MoneyMove(day, MoveKind.TAX_PAID, CashAccount.BANK, 150, 10, "OH"),
        MoneyMove(day, MoveKind.OTHER_INCOME, CashAccount.CASH, 1_100, note="-old shelves"),
        MoneyMove(day, MoveKind.DRAW, CashAccount.CASH, 700),
    ):
        record_move(april(desk, 26), move)
    void_document(april(desk, 27), Document.read("money 11"), "never taken")
    for lines in (
        ((Account.PREPAID, 1_730), (Account.INSURANCE, -1_100), (Account.OTHER_INCOME, -630)),
        ((Account.WAGES, 4_321), (Account.ACCRUED, -4_321)),
        ((Account.OVER_SHORT, 17), (Account.CASH, -17)),
    ):
        entered = tuple(AdjustmentLine(account, amount) for account, amount in lines)
        record_adjustment(april(desk, 27), Adjustment(day, "the month's end", entered))
    void_document(april(desk, 27), Document.read("adjustment 2"), "not worked yet")


def _seller_taxed(desk: Desk) -> None:
    """Sell where the law lays the tax on the seller: an order with that said on its line, half paid."""
    there = april(desk, 28)
    with there.writing() as work:
        lines = tuple(
            replace(line, tax_rate=72_500, tax=1305, tax_imposed_on=ImposedOn.SELLER)
            for line in work.orders.get(2).lines[:1]
        )
        order = work.orders.add(replace(work.orders.get(2), lines=lines, number=None, day=there.today))
        work.stock.reserve(StockedKind.FRAME, WREN.code, 1)
        post_sale(work, order)
        number = order.number or 0
        account = work.orders.account(number)
    take_payment(there, number, PaymentRequest(9_653, Method.CASH))
    with there.writing() as work:
        account = work.orders.account(number)
        refund = work.refunds.add(
            plan_refund(account, RefundRequest(Method.CASH, "late", (RefundedLine(1, 1000),)), there.today)
        )
        post_refund(work, refund, account.order)
