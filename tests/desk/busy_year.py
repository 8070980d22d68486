"""A year in which everything happens that a year's workbook has to tell apart, and the start of the next one."""

from __future__ import annotations

from dataclasses import replace
from datetime import date
from pathlib import Path
from typing import Final

from shopledger.desk.books.adjusting import record_adjustment, reverse_adjustment
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill, send_back
from shopledger.desk.books.deposits import DepositRequest, GiveBackRequest, give_back, pay_from_deposit, take_deposit
from shopledger.desk.books.goods_moves import take_out
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.context import Desk
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.people import add_customer, add_supplier
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
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.orders import AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.parties import Address
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.shipping import PackRequest
from shopledger.ledger.stock import StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import ImposedOn, TaxRate
from tests.desk.family import DISTANCE, FAMILY_ORDER, inspected, later, ordered
from tests.shelf import CASE, CUSTOMER, SHADES

NASTY: Final = "=1+1 Brask"
SUPPLIER: Final = "Harrow Row Frames"
LAWYER: Final = "@SUM(A1:A9) Law"
ACCEPTED: Final = frozenset({"CASH-SHORT", "NO-PROOF", "EXPENSE-TWICE", "MONEY-SHORT", "TILL-SHORT"})
VERMONT: Final = Address("4 Quarry Road", "Barre", "VT", "05641")


def busy_year(desk: Desk, _folder: Path) -> None:
    """Let 2026 and the first days of 2027 happen."""
    _sell(desk)
    _buy(desk)
    _ship(desk)
    _spend(desk)
    _move_in_time(desk)
    _leave(desk)
    _take_back(desk)
    _next_year(desk)


def _sell(desk: Desk) -> None:
    with desk.writing() as work:
        work.catalogue.set_tax_rate(TaxRate("VT", TaxCategory.ACCESSORY, 60_000, date(2020, 1, 1), ImposedOn.SELLER))
    add_customer(desk, NASTY, VERMONT, "555-0199")
    record_sale(desk, FAMILY_ORDER)
    april = later(desk, date(2026, 4, 7))
    record_sale(april, ordered(DISTANCE, payments=(PaymentRequest(10_000, Method.CASH),)))
    record_sale(april, OrderRequest(NASTY, (), (AccessoryRequest(CASE.code, 3), AccessoryRequest(SHADES.code))))
    take_payment(later(desk, date(2026, 4, 20)), 3, PaymentRequest(5_000, Method.CARD, "5151"))
    take_deposit(april, DepositRequest(CUSTOMER, 20_000, Method.CARD, "4242"))
    take_deposit(april, DepositRequest(NASTY, 9_000, Method.CHECK))
    give_back(later(desk, date(2026, 5, 4)), 2, GiveBackRequest(4_000))
    may = later(desk, date(2026, 5, 11))
    record_sale(may, OrderRequest(CUSTOMER, (), (AccessoryRequest(SHADES.code, 2),)))
    pay_from_deposit(may, 4, 1, 6_000)
    record_sale(may, OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code),)))
    pay_from_deposit(may, 5, 1, 1_000)


def _buy(desk: Desk) -> None:
    add_supplier(desk, Supplier(SUPPLIER))
    june = later(desk, date(2026, 6, 2))
    mixed = BillRequest(
        SUPPLIER, "F-1", goods=(GoodsBilled(CASE.code, 30, 450),), jobs=(JobBilled(1, 4_321), JobBilled(5, 1_999)),
        expenses=(ExpenseBilled(ExpenseCategory.CONTRACT_LABOUR, 333_333, "=2+2"),), freight=1_777,
    )  # fmt: skip
    record_bill(june, mixed, ACCEPTED)
    pay_bill(june, 1, BillPaymentRequest(100_001, SpendMethod.BANK), ACCEPTED)
    pay_bill(later(desk, date(2026, 12, 30)), 1, BillPaymentRequest(150_000, SpendMethod.OWNER), ACCEPTED)
    send_back(later(desk, date(2026, 6, 20)), 1, SendBackRequest(CASE.code, 4, 1_500, "scratched"))


def _ship(desk: Desk) -> None:
    """Send what was ordered but the orders that are cancelled later; the third, of another state, in two parcels."""
    inspected(desk, 1)
    june = later(desk, date(2026, 6, 9))
    ship_order(june, 1, "Parcel post")
    ship_order(june, 4, "Parcel post")
    ship_order(june, 3, "Parcel post", only=PackRequest((), ((1, 2),)))
    ship_order(later(desk, date(2026, 7, 20)), 3, "Parcel post")


def _spend(desk: Desk) -> None:
    spent = (
        (date(2026, 3, 31), "Mill Rooms", ExpenseCategory.RENT, 120_000, SpendMethod.BANK),
        (date(2026, 7, 1), "Mill Rooms", ExpenseCategory.RENT, 90_000, SpendMethod.OWNER),
        (date(2026, 7, 9), LAWYER, ExpenseCategory.PROFESSIONAL, 250_000, SpendMethod.CARD),
        (date(2026, 8, 9), "Bench and Tool", ExpenseCategory.EQUIPMENT, 75_000, SpendMethod.CARD),
        (date(2026, 9, 1), "Parcel office", ExpenseCategory.POSTAGE, 4_444, SpendMethod.CASH),
    )
    for day, payee, category, amount, method in spent:
        there = later(desk, day)
        record_expense(there, Expense(day, payee, category, "as agreed", amount, method, "77"), accept=ACCEPTED)
    moved = (
        (date(2026, 3, 2), MoveKind.OPENING, CashAccount.BANK, 1_000_000, 0, ""),
        (date(2026, 4, 30), MoveKind.PAYOUT, CashAccount.BANK, 30_000, 871, ""),
        (date(2026, 6, 30), MoveKind.TAX_PAID, CashAccount.BANK, 326, 4, "OH"),
        (date(2026, 7, 1), MoveKind.DRAW, CashAccount.BANK, 50_000, 0, ""),
        (date(2026, 8, 1), MoveKind.OTHER_INCOME, CashAccount.CASH, 2_500, 0, ""),
    )
    for day, kind, till, amount, fee, state in moved:
        record_move(later(desk, day), MoneyMove(day, kind, till, amount, fee, state, note="as agreed"), ACCEPTED)


def _move_in_time(desk: Desk) -> None:
    """Put off what is for the next year, and count what is owed and what is not collected; each is reversed in it."""
    for lines in (
        ((Account.PREPAID, 45_001), (Account.RENT, -45_001)),
        ((Account.TRAINING, 3_333), (Account.INTEREST, 1_111), (Account.ACCRUED, -4_444)),
        ((Account.PREPAID, 777), (Account.OTHER_INCOME, -777)),
        ((Account.DEPRECIATION, 5_000), (Account.ACCUMULATED_DEPRECIATION, -5_000)),
    ):
        there = later(desk, date(2026, 12, 31))
        entered = tuple(AdjustmentLine(account, amount) for account, amount in lines)
        record_adjustment(there, Adjustment(there.today, "the year's end", entered))


def _leave(desk: Desk) -> None:
    """Let goods go every other way: given, taken home, found missing, and back from a customer."""
    july = later(desk, date(2026, 7, 14))
    for reason, count in ((StockReason.OWN_USE, 2), (StockReason.GIVEN, 1), (StockReason.WRITTEN_OFF, 1)):
        with july.writing() as work:
            take_out(work, StockMovement(july.today, StockedKind.ACCESSORY, CASE.code, -count, 0, reason))
    with july.reading() as work:
        there = work.stock.level(StockedKind.ACCESSORY, CASE.code).on_hand
    count_stock(july, StockedKind.ACCESSORY, CASE.code, there - 1, "not found")
    back = RefundRequest(Method.CARD, "too dark", (RefundedLine(1, 4_500, 1),))
    give_refund(later(desk, date(2026, 8, 3)), 4, back)
    give_refund(later(desk, date(2026, 8, 4)), 3, RefundRequest(Method.CASH, "late", (RefundedLine(1, 1_000),)))


def _take_back(desk: Desk) -> None:
    november = later(desk, date(2026, 11, 5))
    cancel_order(november, 2, "changed their mind")
    cancel_order(november, 5, "changed their mind")
    void_document(november, Document(DocumentKind.EXPENSE, 5), "not the shop's", accept=ACCEPTED)

    ahead = OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code, 2), AccessoryRequest(SHADES.code)))
    record_sale(later(desk, date(2026, 12, 28)), replace(ahead, payments=(PaymentRequest(6_000, Method.CASH),)))


def _next_year(desk: Desk) -> None:
    """Let the order leave that was paid ahead, and another be recorded that waits."""
    january = later(desk, date(2027, 1, 8))
    for number in (1, 2, 3):
        reverse_adjustment(january, number)
    ship_order(january, 6, "Parcel post")
    take_payment(january, 1, PaymentRequest(30_000, Method.CHECK, "1007"))
    take_payment(january, 3, PaymentRequest(2_000, Method.CARD, "5151"))
    record_sale(january, OrderRequest(CUSTOMER, (), (AccessoryRequest(CASE.code, 2),)))
    void_document(january, Document(DocumentKind.BILL_PAYMENT, 1), "it bounced", accept=ACCEPTED)
    pay_bill(january, 1, BillPaymentRequest(50_000, SpendMethod.BANK), ACCEPTED)
    move = MoneyMove(january.today, MoveKind.PAYOUT, CashAccount.BANK, 10_000, 290)
    record_move(january, replace(move, note=""), ACCEPTED)
