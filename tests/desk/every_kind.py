"""A shop in which each kind of event happens that the books know, drawn from the enumerations themselves.

A new member of one is posted here without a change: a reason for stock to move takes goods from the shelf, a kind of
move moves money in each cash account, a category is spent on. What a new member cannot be guessed to need (a new kind
of line on a bill, say) is missed by the test, which then names it.
"""

from __future__ import annotations

from contextlib import suppress
from dataclasses import replace
from datetime import date
from functools import partial
from itertools import cycle
from typing import Final

from shopledger.desk.books.adjusting import record_adjustment, reverse_adjustment
from shopledger.desk.books.bank_matching import LineRequest, pair_lines, record_line, unmatch
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill, send_back
from shopledger.desk.books.deposits import (
    DepositRequest,
    GiveBackRequest,
    deposits,
    give_back,
    pay_from_deposit,
    take_deposit,
)
from shopledger.desk.books.disposing import DisposalRequest, dispose, equipment_list
from shopledger.desk.books.goods_moves import bring_in
from shopledger.desk.books.opening_debts import take_over_debt
from shopledger.desk.books.order_postings import put_orders_off
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.statements import keep_account, type_balance
from shopledger.desk.books.stocking import Leaving, count_stock, let_leave
from shopledger.desk.books.voiding import void_document
from shopledger.desk.changing_jobs import FrameBroken, JobChange
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.corrections import post_correction, store_correction
from shopledger.desk.inspecting import record_remake
from shopledger.desk.order_lookups import order_account
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, parcels, send_again
from shopledger.desk.payment_corrections import (
    correct_payment,
    end_dispute,
    move_payment,
    reverse_payment,
    revive_rest,
    write_rest_off,
)
from shopledger.desk.people import add_customer, add_supplier
from shopledger.desk.putting_right import CorrectionTerms, plan_correction, record_correction
from shopledger.desk.remaking import RemakeRequest, remake_job
from shopledger.desk.sales import record_sale
from shopledger.errors import RefusedError
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.books.adjustments import ADJUSTABLE, OPENED, Adjustment, AdjustmentLine
from shopledger.ledger.books.bank_matches import LineMeaning
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import (
    BillPaymentRequest,
    BillRequest,
    ExpenseBilled,
    GoodsBilled,
    JobBilled,
    SendBackRequest,
)
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import VOIDABLE, Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import WHOLE, WITH_FEE, CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.postings import adjustment_entry
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.statement_import import plan_import
from shopledger.ledger.books.statement_layout import CsvLayout
from shopledger.ledger.books.statements import (
    BankAccount,
    StatedAccount,
    StatedBalance,
    StatedLine,
    StatementForm,
)
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.catalogue import TaxCategory
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.orders import PAID_BY, AccessoryRequest, Method, OrderRequest, PaymentRequest
from shopledger.ledger.parties import Address
from shopledger.ledger.payment_corrections import Change, Move, Outcome, Reversal, WriteOff
from shopledger.ledger.refunds import RefundedLine, RefundRequest, parts_of_lines
from shopledger.ledger.shipping import PackRequest
from shopledger.ledger.stock import STOCKED, StockedKind, StockMovement, StockReason
from shopledger.ledger.taxes import ImposedOn, TaxRate
from shopledger.ledger.twice import CUSTOMER_TWICE
from shopledger.optics.sides import Side
from tests.desk.before_parcels import shipped_whole, sold_at_once
from tests.desk.family import DISTANCE, FAMILY_ORDER, TWICE, later, ordered
from tests.rows import rows
from tests.shelf import CASE, CLEAR, CUSTOMER, SHADES, WREN

MARCH, APRIL, MAY = Month(2026, 3), Month(2026, 4), Month(2026, 5)
FIRST: Final = date(2026, 4, 6)
SUPPLIER: Final = "Thistledown Optical"
ACCEPTED: Final = frozenset(
    {
        *("CASH-SHORT", "PAYOUT-ABOVE-CLEARING", "CARD-ABOVE-OWED", "TAX-ABOVE-OWED", "EXPENSE-TWICE", "NO-PROOF"),
        *("RELEASE-ABOVE-RESERVE", "PAYOUT-BELOW-ZERO", "FEE-GIVEN-BACK"),
        *("MONEY-TWICE", "OPENED-TWICE", "SHORT-FOR-ORDERS", "ORDER-TWICE"),
    }
)
STATES: Final = {ImposedOn.BUYER: ("OH", "43002"), ImposedOn.SELLER: ("VT", "05641")}
"""A state that lays its sales tax so, with one of its ZIP codes."""


def everything_happens(desk: Desk) -> Desk:
    """Let each kind of event happen in March and April, then be taken back where it can be; gives the desk in May."""
    add_supplier(desk, Supplier(SUPPLIER))
    _bring_goods(desk)
    april = later(desk, FIRST)
    _move_money(april)
    _spend(april)
    _sell(desk, april)
    _job(april)
    _put_off(april)
    _take_over(april)
    _put_right(april)
    _correct_lines(april)
    _correct_payments(april)
    _keep_deposits(desk, april)
    _change_bills(april)
    _adjust(april)
    _dispose(april)
    _let_goods_leave(april)
    _at_the_bank(april)
    _take_back(later(desk, date(2026, 4, 28)))
    return later(desk, MAY.first)


def _bring_goods(desk: Desk) -> None:
    """Let goods come in on a bill with every kind of line there is, be sent back, and come from nobody knows where."""
    record_sale(desk, ordered(DISTANCE))
    expenses = tuple(ExpenseBilled(category, 1_000 + place) for place, category in enumerate(ExpenseCategory))
    goods = (GoodsBilled(CASE.code, 90, 410), GoodsBilled(SHADES.code, 80, 1_600), GoodsBilled(WREN.code, 4, 6_500))
    lenses = (JobBilled(1, 3_001),)
    record_bill(desk, BillRequest(SUPPLIER, "H-1", goods=goods, jobs=lenses, expenses=expenses, freight=777, tax=31))
    for place, method in enumerate(SpendMethod):
        pay_bill(desk, 1, BillPaymentRequest(2_000 + place, method), ACCEPTED)
    record_bill(desk, BillRequest(SUPPLIER, "H-2", goods=(GoodsBilled(CASE.code, 2, 500),)))
    send_back(later(desk, FIRST), 1, SendBackRequest(WREN.code, 1, 6_000, "bent"))
    with desk.writing() as work:
        bring_in(work, StockMovement(desk.today, StockedKind.ACCESSORY, CASE.code, 2, 801, StockReason.RECEIVED))


def _change_bills(april: Desk) -> None:
    """Let suppliers take off and charge more, of bills with every kind of line; their debt comes back and is used."""
    for kind in (CreditKind.DISCOUNT, CreditKind.ALLOWANCE, CreditKind.CHARGE):
        change_bill(april, 1, CreditRequest(kind, 4_321, "agreed by mail"))
    change_bill(april, 1, CreditRequest(CreditKind.ALLOWANCE, 333, "one bent", item=WREN.code))
    change_bill(april, 1, CreditRequest(CreditKind.ALLOWANCE, 101, "late", job=1))
    bills = [record_bill(april, BillRequest(SUPPLIER, f"C-{place}", goods=(GoodsBilled(CASE.code, 9, 500),)))
             for place in range(2)]  # fmt: skip
    first, second = (account.bill.number or 0 for account in bills)
    pay_bill(april, first, BillPaymentRequest(4_400, SpendMethod.BANK, discount=100))
    change_bill(april, first, CreditRequest(CreditKind.ALLOWANCE, 900, "scratched"))
    change_bill(april, first, CreditRequest(CreditKind.SET_AGAINST, 150, other_bill=second))
    for method in (SpendMethod.CASH, SpendMethod.BANK, SpendMethod.CARD):
        change_bill(april, first, CreditRequest(CreditKind.REFUND, 200, method=method))
    change_bill(april, second, CreditRequest(CreditKind.DISCOUNT, 77))


def _adjust(april: Desk) -> None:
    """Move every account that an adjusting entry may move, in one that stays and in one that is reversed."""
    lines = [AdjustmentLine(account, 1_000 + place) for place, account in enumerate(ADJUSTABLE[:-1])]
    lines.append(AdjustmentLine(ADJUSTABLE[-1], -sum(line.amount for line in lines)))
    for _ in range(2):
        record_adjustment(april, Adjustment(april.today, "the tax preparer's", tuple(lines)))
    reverse_adjustment(later(april, date(2026, 4, 20)), 2)
    owed = [AdjustmentLine(account, 2_000 + place, "OH" if account is Account.SALES_TAX_PAYABLE else "")
            for place, account in enumerate(OPENED)]  # fmt: skip
    with april.writing() as work:
        # It comes before everything else in a shop that moves in; here it is one kind among others.
        opened = work.adjustments.add(Adjustment.opening_of(april.today, owed))
        work.journal.post(adjustment_entry(opened))
    before = record_bill(april, BillRequest(SUPPLIER, "before", owed_before=4_400)).bill.number or 0
    change_bill(april, before, CreditRequest(CreditKind.DISCOUNT, 44))
    cash = AdjustmentLine(Account.OVER_SHORT, 5), AdjustmentLine(Account.CASH, -5)
    record_adjustment(april, Adjustment(april.today, "the drawer was short", cash))


def _move_money(desk: Desk) -> None:
    """Move money for each reason, in each cash account that it may touch."""
    moves = [(kind, till) for till in CashAccount for kind in MoveKind if kind.till in {None, till}]
    moves.sort(key=lambda move: move[0] in WHOLE)
    for place, (kind, till) in enumerate(moves, start=1):
        fee, state = 100 + place if kind in WITH_FEE else 0, "OH" if kind is MoveKind.TAX_PAID else ""
        move = MoneyMove(desk.today, kind, till, 10_000 * place, fee, state, note=kind.value)
        record_move(desk, move, ACCEPTED)
    for kind, amount, fee in (
        (MoveKind.PAYOUT, -4_999, 31), (MoveKind.PAYOUT, 901, -7), (MoveKind.PROCESSOR_FEE, -77, 0)
    ):  # fmt: skip
        record_move(desk, MoneyMove(desk.today, kind, CashAccount.BANK, amount, fee), ACCEPTED)


def _spend(desk: Desk) -> None:
    """Spend on each category, by each method in turn; then by each method on one category."""
    spent = [*zip(ExpenseCategory, cycle(SpendMethod), strict=False)]
    spent += [(next(iter(ExpenseCategory)), method) for method in SpendMethod]
    for place, (category, method) in enumerate(spent):
        asked = Expense(desk.today, f"Rook & Daughters {place}", category, category.value, 700 + place, method, "17")
        record_expense(desk, asked, accept=ACCEPTED)


def _sell(desk: Desk, april: Desk) -> None:
    """Sell under each kind of sales tax, be paid by each method, and give back by each, with the goods and without."""
    for imposed, (state, zip_code) in STATES.items():
        who = f"Customer of {state}"
        with desk.writing() as work:
            for category in TaxCategory:
                work.catalogue.set_tax_rate(TaxRate(state, category, 70_000, desk.today, imposed))
        add_customer(
            desk,
            who,
            Address("4 Quarry Road", "Barre", state, zip_code),
            "555-0199",
            accept=frozenset({CUSTOMER_TWICE}),
        )
        for shipped in (True, False):
            wanted = (AccessoryRequest(CASE.code, 8), AccessoryRequest(SHADES.code, 8))
            number = record_sale(desk, OrderRequest(who, (), wanted, shipping=650, accept=TWICE)).order.number or 0
            for place, method in enumerate(PAID_BY):
                take_payment(april, number, PaymentRequest(9_000 + place, method))
            if shipped:
                ship_order(april, number, "Parcel post")
            for place, method in enumerate(Method):
                lines = (RefundedLine(1, 500 + place, 1), RefundedLine(2, 900 + place))
                give_refund(april, number, RefundRequest(method, "too dark", lines))


def _job(april: Desk) -> None:
    """Bill a job before and after it leaves, make it again, ship it; cancel an order whose job was billed and paid."""
    family = record_sale(april, FAMILY_ORDER).order
    jobs = [pair.job_number or 0 for pair in family.pairs]
    bill = BillRequest(SUPPLIER, "L-1", jobs=tuple(JobBilled(job, 2_000 + job) for job in jobs), freight=101)
    record_bill(april, bill)
    record_remake(april, jobs[0], "axis off", 900)
    ship_order(april, family.number or 0, "Parcel post", without_inspection="a trial")
    sent = parcels(april)[0].number or 0
    parcel_back(april, sent, "moved away")
    send_again(april, sent, "Parcel post")
    cases = replace(FAMILY_ORDER, pairs=(), payments=())
    shipped_whole(april, sold_at_once(april, cases))
    again = remake_job(april, RemakeRequest(jobs[0], RemakeCause.MAKER, "scratched", only=Side.LEFT)).pair
    record_bill(april, BillRequest(SUPPLIER, "L-3", jobs=(JobBilled(again.job_number or 0, 450),)))
    ship_order(april, family.number or 0, "Parcel post", without_inspection="a trial")
    record_bill(april, BillRequest(SUPPLIER, "L-2", jobs=(JobBilled(jobs[0], 1_500),)))
    for method in PAID_BY:
        take_payment(april, 1, PaymentRequest(1_000, method))
    cancel_order(later(april, date(2026, 4, 20)), 1, "ordered twice")


def _put_off(april: Desk) -> None:
    """Put orders off that counted when they were recorded, under each tax; one leaves since, one is cancelled."""
    for state, _ in STATES.values():
        wanted = (AccessoryRequest(CASE.code, 2), AccessoryRequest(SHADES.code, 2))
        asked = OrderRequest(f"Customer of {state}", (), wanted, shipping=650, accept=ACCEPTED)
        first, second = (sold_at_once(april, asked) for _ in range(2))
        take_payment(april, first, PaymentRequest(1_234, Method.CASH))
        ship_order(april, first, "Parcel post", only=PackRequest((), ((1, 1),)))
        give_refund(april, first, RefundRequest(Method.CASH, "scratched", (RefundedLine(2, 700),)))
        put_orders_off(april)
        ship_order(april, first, "Parcel post")
        cancel_order(april, second, "ordered twice")


def _take_over(april: Desk) -> None:
    """Take over what a customer owed when the books began: one is paid in part and never in full, one was a mistake."""
    first, second = (take_over_debt(april, CUSTOMER, 12_345, f"invoice {place}").order.number or 0 for place in (8, 9))
    take_payment(april, first, PaymentRequest(10_000, Method.CHECK, "77"))
    write_rest_off(april, WriteOff(first, "moved away"))
    cancel_order(april, second, "was paid in December")


def _correct_lines(april: Desk) -> None:
    """Lower, put right and exchange lines of an order that stays and of one that is cancelled, under each tax."""
    for imposed, (state, _) in STATES.items():
        for cancelled in (False, True):
            wanted = (AccessoryRequest(CASE.code, 8), AccessoryRequest(SHADES.code, 8))
            asked = OrderRequest(f"Customer of {state}", (), wanted, shipping=650, accept=ACCEPTED)
            number = record_sale(april, asked).order.number or 0
            _corrected(april, number, CorrectionKind.REDUCED, RefundedLine(1, 410), RefundedLine(3, 95))
            _corrected(april, number, CorrectionKind.PUT_RIGHT, RefundedLine(2, None, 8), RefundedLine(3, 120), add=2)
            take_payment(april, number, PaymentRequest(2_000, Method.CARD))
            if cancelled:
                cancel_order(april, number, f"ordered twice, {imposed.value}")
            else:
                ship_order(april, number, "Parcel post")
                _corrected(april, number, CorrectionKind.EXCHANGED, RefundedLine(1, 700), add=1)


def _correct_payments(april: Desk) -> None:
    """Let payments fall away in each way, and a rest be written off, on orders that stay and that are cancelled."""
    for state, _ in STATES.values():
        for cancelled in (False, True):
            wanted = (AccessoryRequest(CASE.code, 3), AccessoryRequest(SHADES.code, 2))
            asked = OrderRequest(f"Customer of {state}", (), wanted, shipping=650, accept=ACCEPTED)
            number, other = (record_sale(april, asked).order.number or 0 for _ in range(2))
            pay = partial(_paid, april, number)
            reverse_payment(april, Reversal(pay(3_001, Method.CHECK), "no funds", fee=1_200, charge=1_500))
            for won in (True, False):
                card = pay(3_003, Method.CARD)
                reverse_payment(april, Reversal(card, "says it was not her", amount=2_007, fee=1_500))
                end_dispute(april, Outcome(card, won, "decided", 2_007 if won else None, 700 if won else 0))
            correct_payment(april, Change(pay(3_005, Method.TRANSFER), "a dime less", amount=2_995))
            correct_payment(april, Change(pay(3_005, Method.CASH), "never came", amount=0))
            deposit = take_deposit(april, DepositRequest(f"Customer of {state}", 5_000, Method.CARD)).account.deposit
            pay_from_deposit(april, number, deposit.number or 0)
            used = order_account(april, number).payments[-1].number or 0
            move_payment(april, Move(used, other, "typed on the wrong one", amount=1_111))
            reverse_payment(april, Reversal(used, "says it was not her"))
            move_payment(april, Move(pay(3_009, Method.CARD), other, "typed on the wrong one", amount=2_222))
            write_rest_off(april, WriteOff(number, "moved away"))
            revive_rest(april, WriteOff(number, "wrote", amount=999))
            if cancelled:
                for each in (number, other):
                    cancel_order(april, each, "ordered twice")


def _paid(desk: Desk, number: int, amount: int, method: Method) -> int:
    """Take a payment; gives its number."""
    return take_payment(desk, number, PaymentRequest(amount, method)).payments[-1].number or 0


def _corrected(desk: Desk, number: int, kind: CorrectionKind, *lines: RefundedLine, add: int = 0) -> None:
    """Post a correction of lines, and add one of them again at a reduced price."""
    with desk.writing() as work:
        account = work.orders.account(number)
        parts = parts_of_lines(account, lines)
        again = account.order.lines[add - 1]
        less = again.net // 10
        (charge,) = again.charges
        cheaper = replace(charge, reduction=charge.reduction + less, net=charge.net - less)
        line = replace(again, reduction=again.reduction + less, net=again.net - less, charges=(cheaper,))
        for part in parts:
            stocked = STOCKED.get(account.order.lines[part.line - 1].kind)
            if part.returned and stocked:
                work.stock.reserve(stocked, account.order.lines[part.line - 1].item_code, -part.returned)
        if add:
            work.stock.reserve(STOCKED[line.kind], line.item_code, line.quantity)
        new = Correction(number, desk.today, kind, "agreed by telephone", parts=parts)
        post_correction(work, account, store_correction(work, account, new, (line,) if add else ()))


def _put_right(april: Desk) -> None:
    """Put orders right by each deed before they leave, on one that stays and on one that is cancelled afterwards."""
    goods = (GoodsBilled(WREN.code, 9, 6_500), GoodsBilled(CASE.code, 9, 400), GoodsBilled(SHADES.code, 9, 1_500))
    record_bill(april, BillRequest(SUPPLIER, "H-3", goods=goods))
    for cancelled in (False, True):
        wanted = ordered(DISTANCE, replace(DISTANCE, extras=(CLEAR.code,)), accessories=_of_hers(), shipping=650)
        order = record_sale(april, replace(wanted, accept=wanted.accept | TWICE)).order
        number, job = order.number or 0, order.pairs[0].job_number or 0
        if not cancelled:
            take_payment(april, number, PaymentRequest(40_000, Method.CARD))
        why = CorrectionTerms("found out an hour later")
        for deed in (
            Reduction(number, {1: 1_000}, why),
            LinesAdded(number, why, accessories=_of_hers()),
            JobChange(job, why, extras=(CLEAR.code,)),
            PricesAgreed(number, {6: 900}, why),
            LinesTakenOut(number, why, {}, (2,)),
            LinesTakenOut(number, why, {7: None}),
            FrameBroken(job + 2, why),
        ):
            due = plan_correction(april, deed).due_back
            record_correction(april, replace(deed, terms=replace(why, method=Method.CASH if due else None)))
        if cancelled:
            cancel_order(april, number, "ordered twice")


def _of_hers() -> tuple[AccessoryRequest, ...]:
    return (AccessoryRequest(CASE.code, 2, CUSTOMER), AccessoryRequest(SHADES.code, 1, CUSTOMER))


def _keep_deposits(desk: Desk, april: Desk) -> None:
    """Take a deposit by each method, use it on an order that stays and on one that does not, give it back by each."""
    order = replace(FAMILY_ORDER, pairs=(), payments=(), accept=FAMILY_ORDER.accept | TWICE)
    for place, method in enumerate(PAID_BY):
        number = take_deposit(desk, DepositRequest(CUSTOMER, 9_000 + place, method)).account.deposit.number or 0
        for again in (False, True):
            sold = record_sale(april, order).order.number or 0
            pay_from_deposit(april, sold, number, 1_000)
            if again:
                cancel_order(april, sold, "ordered twice")
        give_back(april, number, GiveBackRequest(2_000, method))
        take_deposit(april, DepositRequest(CUSTOMER, 8_000 + place, method))
    assert order_account(april, sold).cancellation is not None
    credit = next(each.account.deposit for each in deposits(april) if each.account.deposit.method is Method.CREDIT)
    for again in (False, True):
        sold = record_sale(april, order).order.number or 0
        pay_from_deposit(april, sold, credit.number or 0, 300, accept=frozenset({"PAYS-FOR-ANOTHER"}))
        if again:
            cancel_order(april, sold, "ordered twice")
    give_back(april, credit.number or 0, GiveBackRequest(100, Method.CASH, accept=ACCEPTED))


def _dispose(april: Desk) -> None:
    """Let a part of a piece of equipment go every way, after some of it was written off; one of them is voided."""
    lines = AdjustmentLine(Account.DEPRECIATION, 9_000), AdjustmentLine(Account.ACCUMULATED_DEPRECIATION, -9_000)
    record_adjustment(april, Adjustment(april.today, "a year of it", lines))
    piece = next(row for row in equipment_list(april) if row.cost > 500)
    for place, how in enumerate(DisposalKind):
        till = (CashAccount.BANK, CashAccount.CASH)[place % 2]
        name = f"{piece.document} line {piece.position}"
        dispose(april, DisposalRequest(name, how, 40, 30 * place, till, cost=100))


def _let_goods_leave(april: Desk) -> None:
    """Count too few and too many, then take goods from the shelf for every reason that was not posted yet."""
    for difference in (-1, +2):
        with april.reading() as work:
            there = work.stock.level(StockedKind.ACCESSORY, CASE.code).on_hand
        count_stock(april, StockedKind.ACCESSORY, CASE.code, there + difference)
    with april.reading() as work:
        posted = {row.reason for row in rows(work, "stock_movement")}
    for reason in StockReason:
        if reason.value not in posted:
            let_leave(april, Leaving(StockedKind.ACCESSORY, SHADES.code, 1, reason, "as agreed"))


def _at_the_bank(april: Desk) -> None:
    """Keep an account, its layout, a balance and two lines: one another at first, then one of them a fee."""
    keep_account(april, BankAccount("Checking", "5678"))
    statement = type_balance(april, "Checking", StatedBalance(april.today, 100_000))
    said = tuple(StatedLine(april.today, amount, "fee and back", str(amount)) for amount in (-700, 700))
    with april.writing() as work:
        work.bank.keep_layout(1, CsvLayout("Date", "Amount").written())
        work.bank.add_lines(statement, plan_import(StatedAccount(StatementForm.OFX, said), ()).new)
    pair_lines(april, 1, 2)
    unmatch(april, 1)
    record_line(april, LineRequest(1, LineMeaning.FEE), ACCEPTED)


def _take_back(desk: Desk) -> None:
    """Take back one document of each kind that can be: the newest that nothing stands in the way of."""
    for kind in VOIDABLE:
        for number in _numbers(desk, kind):
            with suppress(RefusedError):
                void_document(desk, Document(kind, number), "a mistake", accept=ACCEPTED)
                break


def _numbers(desk: Desk, kind: DocumentKind) -> list[int]:
    """Give the numbers of the posted documents of a kind, the newest first."""
    with desk.reading() as work:
        entries = [entry.document for _, _, entry in work.journal._entries(1, work.journal.head().count)]
    return sorted({document.number for document in entries if document.kind is kind}, reverse=True)
