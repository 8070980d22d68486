"""Any run of days in the shop, against books kept in a reference model: nothing is lost, nothing past ever moves."""

from __future__ import annotations

import shutil
from collections.abc import Callable, Iterator
from contextlib import ExitStack, closing
from dataclasses import replace
from datetime import UTC, date, datetime, time, timedelta
from decimal import Decimal
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import (
    RuleBasedStateMachine,
    initialize,
    invariant,
    precondition,
    rule,
    run_state_machine_as_test,
)

from shopledger.desk.books.adjusting import record_adjustment
from shopledger.desk.books.banking import record_move
from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.billing import record_bill
from shopledger.desk.books.bills import pay_bill
from shopledger.desk.books.closing import close_month, prove_books, reopen_month
from shopledger.desk.books.deposits import DepositRequest, pay_from_deposit, take_deposit
from shopledger.desk.books.disposing import DisposalRequest, dispose
from shopledger.desk.books.opening_debts import take_over_debt
from shopledger.desk.books.order_postings import put_orders_off
from shopledger.desk.books.spending import record_expense
from shopledger.desk.books.stocking import count_stock
from shopledger.desk.books.voiding import void_document
from shopledger.desk.changing_jobs import JobChange
from shopledger.desk.changing_orders import LinesAdded, LinesTakenOut, PricesAgreed, Reduction
from shopledger.desk.context import Desk
from shopledger.desk.exchanging import Exchange
from shopledger.desk.orders import cancel_order, give_refund, ship_order, take_payment
from shopledger.desk.parcels import parcel_back, send_again
from shopledger.desk.payment_corrections import (
    correct_payment,
    end_dispute,
    move_payment,
    reverse_payment,
    revive_rest,
    write_rest_off,
)
from shopledger.desk.people import add_supplier
from shopledger.desk.putting_right import CorrectionDone, CorrectionTerms, record_correction
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.desk.remaking import RemakeRequest, remake_job
from shopledger.desk.sales import record_sale
from shopledger.errors import ShopledgerError
from shopledger.ledger.again import RemakeCause
from shopledger.ledger.books.adjustments import Adjustment, AdjustmentLine
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import BillPaymentRequest, BillRequest, GoodsBilled, JobBilled
from shopledger.ledger.books.closing import MonthNotReadyError
from shopledger.ledger.books.disposals import DisposalKind
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account
from shopledger.ledger.books.money_moves import CashAccount, MoneyMove, MoveKind
from shopledger.ledger.books.period import Month
from shopledger.ledger.books.spending import Expense, ExpenseCategory, SpendMethod
from shopledger.ledger.books.suppliers import Supplier
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import AccessoryRequest, Method, OrderAccount, OrderRequest, PaymentRequest
from shopledger.ledger.payment_corrections import Change, Move, Outcome, Reversal, WriteOff
from shopledger.ledger.refunds import RefundedLine, RefundRequest
from shopledger.ledger.shipping import PackRequest
from shopledger.ledger.stock import StockedKind
from shopledger.ledger.twice import ORDER_TWICE
from shopledger.ledger.usual import COST_UNUSUAL, QUANTITY_UNUSUAL
from shopledger.optics.sides import Side
from shopledger.store.opening import ledger_url, open_ledger
from shopledger.store.pending import Found, Pending, forget, pending
from shopledger.store.refusals import MonthClosedError
from tests.counted import post_sale
from tests.desk.books import everything
from tests.desk.family import DISTANCE
from tests.desk.reference_shop import (
    CASE,
    DEBT,
    FRAME,
    FRAMES,
    OTHER_FRAME,
    PRICES,
    SHADES,
    PlainLine,
    PlainOrder,
    PlainParcel,
    PlainPayment,
    PlainShop,
    rounded,
    tax_of,
    tax_on,
)
from tests.ledgers import LONG_ON_SERVER, copied
from tests.shelf import CUSTOMER

pytestmark = pytest.mark.slow

FIRST = date(2026, 3, 2)
UNUSUAL = frozenset({COST_UNUSUAL, QUANTITY_UNUSUAL})
KINDS = {
    CASE: StockedKind.ACCESSORY,
    SHADES: StockedKind.ACCESSORY,
    FRAME: StockedKind.FRAME,
    OTHER_FRAME: StockedKind.FRAME,
}
TILLS = {Method.CARD: "card clearing", Method.CASH: "cash", Method.CHECK: "bank"}
SPENT = {SpendMethod.BANK: "bank", SpendMethod.CARD: "credit card owed", SpendMethod.OWNER: "owner contributions"}

codes = st.sampled_from(sorted(KINDS))
methods = st.sampled_from(sorted(TILLS, key=lambda method: method.value))
ways_back = methods | st.just(Method.CREDIT)
amounts = st.integers(1, 50_000)
shares = st.sampled_from([1, 2, 3])
picks = st.integers(0, 99)
WHY = CorrectionTerms("found out later", accept=frozenset({"RX-EXPIRES-SOON"}))


class AnyDays(RuleBasedStateMachine):
    """One shop over some weeks; every rule does the same to the ledger and to the reference model."""

    opened: Callable[[], tuple[Desk, ExitStack]]

    @initialize()
    def begin(self) -> None:
        """Open the furnished shop, and write its shelf on the reference model."""
        self.desk, self.stack = type(self).opened()
        add_supplier(self.desk, Supplier("Tallow Row"))
        self.shop = PlainShop({CASE: [400] * 10, SHADES: [1500] * 4, FRAME: [6200] * 3, OTHER_FRAME: [4100] * 2})
        self.closed: dict[Month, tuple[Any, ...]] = {}
        self.spent: list[tuple[int, str]] = []
        self.mistaken: set[int] = set()
        self.sold_on: dict[int, date] = {}

    def teardown(self) -> None:
        """Prove the whole chain, and let go of the ledger."""
        if hasattr(self, "stack"):
            with self.stack:
                assert prove_books(self.desk).holds

    @rule(days=st.integers(1, 20))
    def days_pass(self, days: int) -> None:
        """Come back some days later."""
        day = self.desk.today + timedelta(days)
        self.desk = replace(self.desk, today=day, now=datetime.combine(day, time(9, 30), UTC))

    @rule(
        goods=st.lists(st.tuples(st.sampled_from([CASE, SHADES]), st.integers(1, 3)), max_size=2),
        pair=st.booleans(),
        at_once=st.sampled_from([False, False, True]),
    )
    def sell(self, goods: list[tuple[str, int]], pair: bool, at_once: bool) -> None:
        """Sell a pair, accessories or both, some as orders of before; what is not free on the shelf is refused."""
        goods = list(dict(goods).items())
        if not goods and not pair:
            return
        wanted = [*([(FRAME, 1)] if pair else []), *goods]
        asked = OrderRequest(
            CUSTOMER,
            (DISTANCE,) if pair else (),
            tuple(AccessoryRequest(code, count) for code, count in goods),
            shipping=0,
            accept=frozenset({"RX-EXPIRES-SOON", ORDER_TWICE}),
        )
        if any(self.shop.free(code) < count for code, count in wanted):
            self.refused(partial(record_sale, self.desk, asked))
            return
        order = record_sale(self.desk, asked).order
        job = order.pairs[0].job_number if order.pairs else None
        if at_once:
            with self.desk.writing() as work:
                post_sale(work, order)
        self.shop.sell(number_of(order), wanted, job, at_once=at_once)
        self.sold_on[number_of(order)] = order.day

    @rule()
    def orders_of_before_are_put_off(self) -> None:
        """Let what did not leave of them count with its goods from now on; a second time nothing is left to do."""
        put_orders_off(self.desk)
        assert put_orders_off(self.desk) == ()
        self.shop.put_off()

    @rule(amount=amounts)
    def somebody_owed_before(self, amount: int) -> None:
        """Take over what a customer owed when the books began."""
        account = take_over_debt(self.desk, CUSTOMER, amount, "an old invoice")
        number = number_of(account.order)
        self.shop.take_over(number, amount)
        self.sold_on[number] = account.order.day

    @rule(pick=picks, share=shares, method=methods, ago=st.integers(0, 12))
    def pay(self, pick: int, share: int, method: Method, ago: int) -> None:
        """Take some or all of what is owed, dated back perhaps to before its goods left; one cent more is refused."""
        order = self.one(pick, lambda order: order.owed > 0)
        if order is None:
            return
        self.refused(partial(take_payment, self.desk, order.number, PaymentRequest(order.owed + 1, method)))
        amount = max(order.owed // share, 1)
        first = max(self.sold_on[order.number], self.oldest_open().first)
        day = max(self.desk.today - timedelta(ago), first)
        account = take_payment(self.desk, order.number, PaymentRequest(amount, method, day=day))
        self.paid(order, account, TILLS[method], day.isoformat()[:7])

    @rule(pick=picks, part=st.integers(0, 3))
    def ship(self, pick: int, part: int) -> None:
        """Ship all that is left of an order in one parcel, or a line of it alone; nothing left is refused."""
        order = self.one(pick, lambda order: not order.cancelled)
        if order is None:
            return
        places, job = order.here, order.job_here
        if order.lines[0].code == DEBT:
            places = []
        if not places and job is None:
            self.refused(partial(ship_order, self.desk, order.number, "Harrow Post"))
            return
        only = PackRequest()
        if part < len(places):
            place = places[part]
            frame = order.lines[place].code in FRAMES
            if frame and job is None:
                return
            places, job = ([place], job) if frame else ([place], None)
            at = self.place_in_ledger(order, place)
            only = PackRequest((job,)) if job is not None else PackRequest((), ((at, None),))
        self.send(order, partial(ship_order, self.desk, order.number, "Harrow Post", only=only), places, job)

    def send(self, order: PlainOrder, deed: Callable[..., object], places: list[int], job: int | None) -> None:
        """Let a parcel leave here and there; a job that was never inspected needs a reason once."""
        left_before = any(job in parcel.jobs for parcel in order.parcels)
        needed = job is not None and not left_before
        if needed:
            self.refused(deed)
        deed(without_inspection="a trial" if needed else "")
        with self.desk.reading() as work:
            number = number_of(work.orders.account(order.number).parcels[-1])
        self.shop.ship(order, number, places, job)

    @rule(pick=picks)
    def a_parcel_comes_back(self, pick: int) -> None:
        """Take a parcel in that came back; a second time is refused. Its goods must have cost whole cents each."""
        found = self.parcel(pick, lambda parcel: not parcel.back)
        if found is None:
            return
        order, parcel = found
        lines = [order.lines[place] for place in parcel.lines]
        if any(sum(line.gone) % line.count or line.out for line in lines if not line.came_back):
            # What was exchanged and stayed with the customer is no longer told apart once it comes back.
            return
        parcel_back(self.desk, parcel.number, "nobody at home")
        self.refused(partial(parcel_back, self.desk, parcel.number, "nobody at home"))
        self.shop.come_back(order, parcel)

    @rule(pick=picks)
    def a_parcel_goes_again(self, pick: int) -> None:
        """Send again what of a parcel is still here and stands; one that did not come back is refused."""
        found = self.parcel(pick, lambda _: True)
        if found is None:
            return
        order, parcel = found
        deed = partial(send_again, self.desk, parcel.number, "Harrow Post")
        job = order.job_here if order.job_here in parcel.jobs else None
        loose = [place for place in parcel.lines if place in order.here and order.lines[place].code not in FRAMES]
        frames = [place for place in order.here if order.lines[place].code in FRAMES] if job is not None else []
        if not parcel.back or (job is None and not loose):
            self.refused(deed)
            return
        self.send(order, deed, [*frames, *loose], job)

    @rule(pick=picks, shop_bears=st.booleans(), only=st.sampled_from([None, *Side]))
    def a_job_is_made_again(self, pick: int, shop_bears: bool, only: Side | None) -> None:
        """Make a job again that left, as one of its own; one that was lost is another matter."""
        order = self.one(pick, lambda order: order.again is None and order.job is not None and order.away(order.job))
        if order is None or order.job is None:
            return
        cause = RemakeCause.MAKER if shop_bears else RemakeCause.CUSTOMER
        asked = RemakeRequest(order.job, cause, "it peels", only, accept=frozenset({"RX-EXPIRES-SOON"}))
        job = remake_job(self.desk, asked).pair.job_number
        assert job is not None
        self.refused(partial(remake_job, self.desk, asked))
        self.shop.make_again(order, job, shop_bears=shop_bears)

    @rule(
        pick=picks, place=st.integers(0, 2), share=shares, goods=st.booleans(), method=methods | st.just(Method.CREDIT)
    )
    def refund(self, pick: int, place: int, share: int, goods: bool, method: Method) -> None:
        """Give a line of a paid order back in part, or whole with its goods, in money or as credit; never too much."""
        order = self.one(pick, lambda order: order.paid == order.total - order.reduced and not order.cancelled)
        if order is None:
            return
        place %= len(order.lines)
        line = order.lines[place]
        left, _ = line.left
        if not left:
            return
        # The reference model knows unit costs alone: goods that come back together must have cost whole cents each.
        goods = goods and line.code != DEBT and not line.came_back and sum(line.gone) % line.count == 0
        net = left if goods else max(left // share, 1)
        at = self.place_in_ledger(order, place)

        def asked(net: int) -> RefundRequest:
            return RefundRequest(method, "did not suit", (RefundedLine(at, net, line.count if goods else 0),))

        self.refused(partial(give_refund, self.desk, order.number, asked(left + 1)))
        done = give_refund(self.desk, order.number, asked(net))
        if done.credit is not None:
            self.shop.deposits[done.credit] = done.refund.amount
        self.shop.give_back(order, place, net, {**TILLS, Method.CREDIT: "customer deposits"}[method], goods=goods)

    @rule(pick=picks)
    def cancel(self, pick: int) -> None:
        """Take an unshipped order back; one that was shipped or refunded in part is refused."""
        order = self.one(pick, lambda order: not order.cancelled)
        if order is None:
            return
        deed = partial(cancel_order, self.desk, order.number, "changed her mind")
        if order.shipped or order.given_back:
            self.refused(deed)
            return
        deed()
        self.shop.cancel(order)

    @rule(pick=picks, place=picks, share=shares, goods=st.booleans())
    def less_is_owed(self, pick: int, place: int, share: int, goods: bool) -> None:
        """Lower what is owed by some of a line, or whole with its goods; what was paid is given back instead."""
        found = self.line(pick, place, lambda order: order.owed > 0)
        if found is None or not found[1].left[0]:
            return
        if found[1].code == DEBT:
            self.refused(partial(record_correction, self.desk, Reduction(found[0].number, {1: 1}, WHY)))
            return
        order, line = found
        goods = goods and not line.came_back and sum(line.gone) % line.count == 0
        net = line.left[0] if goods else max(line.left[0] // share, 1)
        tax = rounded(Decimal(line.tax * (line.net_back + net)) / line.net) - line.tax_back
        asked = (
            Reduction(order.number, {}, WHY, {line.at: line.count})
            if goods
            else Reduction(order.number, {line.at: net}, WHY)
        )
        deed = partial(record_correction, self.desk, asked)
        if net + tax > order.owed:
            self.refused(deed)
            return
        deed()
        self.shop.reduce(order, order.lines.index(line), net, goods=goods)

    @rule(pick=picks, code=st.sampled_from([CASE, SHADES]), count=st.integers(1, 3))
    def something_is_added(self, pick: int, code: str, count: int) -> None:
        """Add goods to an order of which nothing left; what is not free on the shelf is refused."""
        order = self.one(pick, lambda order: not order.cancelled and not order.shipped)
        if order is None or order.lines[0].code == DEBT:
            return
        deed = LinesAdded(order.number, WHY, accessories=(AccessoryRequest(code, count),))
        if self.shop.free(code) < count:
            self.refused(partial(record_correction, self.desk, deed))
            return
        net = PRICES[code] * count
        self.righted(order, deed, None, PlainLine(code, count, net, tax_on(code, count), listed=net))

    @rule(pick=picks, place=picks, method=methods)
    def something_is_taken_out(self, pick: int, place: int, method: Method) -> None:
        """Take goods out of an order of which nothing left; the last of them is a cancellation."""
        found = self.line(pick, place, lambda order: not order.shipped)
        if found is None or found[1].code not in {CASE, SHADES} or found[1].came_back:
            return
        order, line = found
        deed = LinesTakenOut(order.number, WHY, {line.at: None})
        if all(each.out or each is line for each in order.lines):
            self.refused(partial(record_correction, self.desk, deed))
            return
        self.righted(order, deed, line, None, method)

    @rule(pick=picks, place=picks, net=st.integers(0, 30_000), method=methods)
    def a_price_is_agreed(self, pick: int, place: int, net: int, method: Method) -> None:
        """Agree on another price for a line of an order of which nothing left."""
        found = self.line(pick, place, lambda order: not order.shipped)
        if found is None or found[1].came_back or found[1].code == DEBT:
            return
        order, line = found
        deed = PricesAgreed(order.number, {line.at: net}, WHY)
        if net == line.left[0]:
            self.refused(partial(record_correction, self.desk, deed))
            return
        new = PlainLine(line.code, line.count, net, tax_of(line.code, net), listed=max(net, line.listed))
        self.righted(order, deed, line, new, method)

    @rule(pick=picks, method=methods)
    def a_frame_was_wrong(self, pick: int, method: Method) -> None:
        """Put the frame of a job right that was not cut: another job is made, with the other frame at its price."""
        order = self.one(pick, lambda order: bool(order.job) and not (order.shipped or order.cancelled or order.lenses))
        line = next((each for each in order.lines if each.code in FRAMES and not each.out), None) if order else None
        if order is None or line is None or order.job is None or line.came_back:
            return
        code = next(code for code in FRAMES if code != line.code)
        deed = JobChange(order.job, WHY, frame=code)
        if not self.shop.free(code):
            self.refused(partial(record_correction, self.desk, deed))
            return
        new = PlainLine(code, 1, PRICES[code], 0, listed=PRICES[code])
        done = self.righted(order, deed, line, new, method)
        order.job = done.jobs[0].job_number if done else order.job

    @rule(pick=picks, place=picks, method=methods, back=st.booleans())
    def goods_are_exchanged(self, pick: int, place: int, method: Method, back: bool) -> None:
        """Exchange cases for sunglasses or the other way round once they left; here, they are taken out instead."""
        found = self.line(pick, place, lambda order: order.written_off == 0)
        if found is None or found[1].code not in {CASE, SHADES} or found[1].came_back:
            return
        order, line = found
        code = SHADES if line.code == CASE else CASE
        deed = Exchange(order.number, line.at, code, WHY, came_back=back)
        if not line.sent or self.shop.free(code) < line.count:
            self.refused(partial(record_correction, self.desk, deed))
            return
        if sum(line.gone) % line.count:
            return
        net = PRICES[code] * line.count
        self.righted(order, deed, line, PlainLine(code, line.count, net, tax_on(code, line.count), listed=net), method)

    def righted(
        self,
        order: PlainOrder,
        deed: LinesAdded | LinesTakenOut | PricesAgreed | JobChange | Exchange,
        out: PlainLine | None,
        new: PlainLine | None,
        method: Method = Method.CASH,
    ) -> CorrectionDone | None:
        """Put an order right here and there; how money goes back is said where some does, and only there."""
        due = self.shop.due_back(order, out, new)
        if due > order.paid - order.given_back:
            # What was written off was never paid.
            self.refused(partial(record_correction, self.desk, deed))
            return None
        said, unsaid = replace(WHY, method=method), WHY
        right, wrong = (said, unsaid) if due else (unsaid, said)
        self.refused(partial(record_correction, self.desk, replace(deed, terms=wrong)))
        done = record_correction(self.desk, replace(deed, terms=right))
        assert (done.refund.amount if done.refund else 0) == due
        if new is not None:
            new.at = len(done.account.order.lines)
        exchanged = isinstance(deed, Exchange)
        back = deed.came_back if isinstance(deed, Exchange) else True
        self.shop.put_right(order, out, new, TILLS[method], exchanged=exchanged, back=back)
        assert done.account.balance == order.owed
        return done

    @rule(code=codes, count=st.integers(1, 5), unit_cost=st.integers(0, 9_000))
    def goods_come(self, code: str, count: int, unit_cost: int) -> None:
        """Record a supplier's bill of goods."""
        asked = BillRequest("Tallow Row", goods=(GoodsBilled(code, count, unit_cost),))
        bill = record_bill(self.desk, asked, UNUSUAL).bill
        self.shop.bill_goods(number_of(bill), code, count, unit_cost)

    @rule(pick=picks, kind=st.sampled_from([CreditKind.ALLOWANCE, CreditKind.CHARGE]), each=st.integers(1, 900))
    def a_bill_was_wrong(self, pick: int, kind: CreditKind, each: int) -> None:
        """Let a supplier take off of each piece, or charge more; more than all of it is refused."""
        if not self.shop.bills:
            return
        number, bill = list(self.shop.bills.items())[pick % len(self.shop.bills)]
        if kind is CreditKind.ALLOWANCE:
            above = CreditRequest(kind, bill.unit_cost * bill.count + 1, "scuffed")
            self.refused(partial(change_bill, self.desk, number, above))
            each = min(each, bill.unit_cost)
        if each:
            change_bill(self.desk, number, CreditRequest(kind, each * bill.count, "agreed"))
            self.shop.reprice(number, kind.sign * each)

    @rule(pick=picks)
    def a_bill_is_settled(self, pick: int) -> None:
        """Pay what is owed on a bill, or get back what its supplier owes; one cent more is refused."""
        bills = [(number, bill) for number, bill in self.shop.bills.items() if bill.owed]
        if not bills:
            return
        number, bill = bills[pick % len(bills)]

        def deed(amount: int) -> object:
            if bill.owed > 0:
                return pay_bill(self.desk, number, BillPaymentRequest(amount, SpendMethod.BANK))
            return change_bill(self.desk, number, CreditRequest(CreditKind.REFUND, amount, method=SpendMethod.BANK))

        self.refused(partial(deed, abs(bill.owed) + 1))
        deed(abs(bill.owed))
        self.shop.settle(number)

    def adjust(self, lines: tuple[AdjustmentLine, ...]) -> None:
        """Record an adjusting entry."""
        record_adjustment(self.desk, Adjustment(self.desk.today, "a month", lines))

    @rule(amount=amounts)
    def the_books_are_adjusted(self, amount: int) -> None:
        """Write equipment down; an account that documents own is refused."""
        for debit in (Account.INVENTORY, Account.DEPRECIATION):
            lines = (AdjustmentLine(debit, amount), AdjustmentLine(Account.ACCUMULATED_DEPRECIATION, -amount))
            deed = partial(self.adjust, lines)
            if debit is Account.INVENTORY:
                self.refused(deed)
            else:
                deed()
        self.shop.move(amount, "depreciation", "accumulated depreciation")

    @rule(pick=picks, amount=amounts)
    def lenses_come(self, pick: int, amount: int) -> None:
        """Record the bill for a job's lenses, before or after it left."""
        order = self.one(pick, lambda order: order.job is not None and not order.cancelled)
        if order is not None:
            job = order.jobs[pick % len(order.jobs)]
            record_bill(self.desk, BillRequest("Tallow Row", jobs=(JobBilled(job, amount),)), UNUSUAL)
            self.shop.bill_lenses(order, job, amount)

    @rule(code=codes, missing=st.integers(0, 2))
    def count(self, code: str, missing: int) -> None:
        """Count a shelf and find some missing; less than nothing is refused."""
        kind, on_hand = KINDS[code], len(self.shop.shelf[code])
        self.refused(partial(count_stock, self.desk, kind, code, -1))
        if self.shop.free(code) >= missing:
            count_stock(self.desk, kind, code, on_hand - missing)
            self.shop.take(code, missing, "stock differences")

    @rule(amount=amounts, method=st.sampled_from(sorted(SPENT, key=lambda method: method.value)))
    def spend(self, amount: int, method: SpendMethod) -> None:
        """Record an expense."""
        expense = Expense(self.desk.today, "Fennick Stationers", ExpenseCategory.OFFICE, "paper", amount, method)
        agreed(partial(record_expense, self.desk, expense))
        self.shop.move(amount, "office expense", SPENT[method])
        self.spent.append((amount, SPENT[method]))

    @rule(cost=amounts, share=shares, brought=st.integers(0, 50_000), how=st.sampled_from([*DisposalKind]))
    def equipment_comes_and_goes(self, cost: int, share: int, brought: int, how: DisposalKind) -> None:
        """Buy a piece of equipment, and let it go with some of it written off, for money or for none."""
        bought = Expense(
            self.desk.today, "Fennick Machines", ExpenseCategory.EQUIPMENT, "a bench", cost, SpendMethod.BANK
        )
        before = len(self.spent)
        agreed(partial(record_expense, self.desk, bought))
        self.shop.move(cost, "equipment", "bank")
        self.spent.append((cost, "bank"))
        self.mistaken.add(before)
        written_off = -self.shop.accounts["accumulated depreciation"]
        depreciation = min(cost // (share + 1), written_off)
        proceeds = brought if how in {DisposalKind.SOLD, DisposalKind.TRADED_IN} else 0
        name = f"expense {before + 1}"
        too_much = DisposalRequest(name, how, cost + 1, proceeds, CashAccount.BANK)
        self.refused(partial(dispose, self.desk, too_much))
        agreed(partial(dispose, self.desk, DisposalRequest(name, how, depreciation, proceeds, CashAccount.BANK)))
        self.shop.move(depreciation, "accumulated depreciation", "equipment")
        self.shop.move(proceeds, "bank", "equipment")
        self.shop.move(cost - depreciation - proceeds, "gain or loss on equipment", "equipment")

    @rule(pick=picks)
    def take_an_expense_back(self, pick: int) -> None:
        """Take an expense back that was a mistake; a second time is refused."""
        if not self.spent:
            return
        place = pick % len(self.spent)
        document = Document(DocumentKind.EXPENSE, place + 1)
        if place in self.mistaken:  # or gone, as equipment
            self.refused(partial(void_document, self.desk, document, "entered twice"))
            return
        agreed(partial(void_document, self.desk, document, "entered twice"))
        amount, account = self.spent[place]
        self.shop.move(amount, account, "office expense")
        self.mistaken.add(place)

    @precondition(lambda self: self.shop.accounts["card clearing"] > 0)
    @rule(fee=st.integers(0, 100))
    def card_pays_out(self, fee: int) -> None:
        """Record what the card processor pays out, less its fee."""
        gross = self.shop.accounts["card clearing"]
        fee = min(fee, gross)
        move = MoneyMove(self.desk.today, MoveKind.PAYOUT, CashAccount.BANK, gross, fee)
        agreed(partial(record_move, self.desk, move))
        self.shop.move(gross - fee, "bank", "card clearing")
        self.shop.move(fee, "commissions and fees", "card clearing")

    @rule(amount=amounts, kind=st.sampled_from([MoveKind.PROCESSOR_FEE, MoveKind.RESERVED, MoveKind.RELEASED]))
    def the_processor_keeps_or_gives(self, amount: int, kind: MoveKind) -> None:
        """Let the processor earn a fee, hold money back, or release what it held; more than that is refused."""
        held = self.shop.accounts["card reserve"]
        move = MoneyMove(self.desk.today, kind, CashAccount.BANK, amount)
        agreed(partial(record_move, self.desk, move))
        debit = {MoveKind.PROCESSOR_FEE: "commissions and fees", MoveKind.RESERVED: "card reserve"}.get(kind)
        assert held is not None
        if debit is None:
            self.shop.move(amount, "card clearing", "card reserve")
        else:
            self.shop.move(amount, debit, "card clearing")

    @rule(amount=amounts, method=methods)
    def leave_a_deposit(self, amount: int, method: Method) -> None:
        """Take money before there is an order."""
        card = take_deposit(self.desk, DepositRequest(CUSTOMER, amount, method))
        self.shop.deposits[number_of(card.account.deposit)] = amount
        self.shop.move(amount, TILLS[method], "customer deposits")

    @rule(pick=picks, which=picks)
    def use_a_deposit(self, pick: int, which: int) -> None:
        """Pay on an order from a deposit; more than is left of it is refused."""
        order = self.one(pick, lambda order: order.owed > 0)
        held = sorted(number for number, left in self.shop.deposits.items() if left)
        if order is None or not held:
            return
        number = held[which % len(held)]
        left = self.shop.deposits[number]
        if left < order.owed:
            self.refused(partial(pay_from_deposit, self.desk, order.number, number, left + 1))
        amount = min(left, order.owed)
        account = pay_from_deposit(self.desk, order.number, number, amount)
        self.shop.deposits[number] -= amount
        self.paid(order, account, "customer deposits")

    @rule(pick=picks, fee=st.integers(0, 2_000))
    def a_payment_comes_back(self, pick: int, fee: int) -> None:
        """Let the bank or the processor take a payment back, for a fee; cash is taken back by nobody."""
        found = self.payment(pick, lambda payment: payment.stands and payment.account != "customer deposits")
        if found is None:
            return
        order, payment = found
        deed = partial(reverse_payment, self.desk, Reversal(payment.number, "not paid", fee=fee))
        if payment.account == "cash":
            self.refused(deed)
            return
        deed()
        if payment.account == "card clearing":
            payment.disputed = payment.stands
        self.shop.take_from(order, payment, payment.stands)
        self.shop.move(fee, "commissions and fees", payment.account)

    @rule(pick=picks, won=st.booleans())
    def a_dispute_ends(self, pick: int, won: bool) -> None:
        """Let a dispute be won, and the money come again if that much is still owed, or be lost."""
        found = self.payment(pick, lambda payment: payment.disputed)
        if found is None:
            return
        order, payment = found
        deed = partial(end_dispute, self.desk, Outcome(payment.number, won, "the processor wrote"))
        if won and payment.disputed > order.owed:
            self.refused(deed)
            return
        deed()
        if won:
            self.shop.come_again(order, payment)
        payment.disputed = 0

    @rule(pick=picks, share=st.integers(0, 3), method=methods)
    def a_payment_was_mistaken(self, pick: int, share: int, method: Method) -> None:
        """Put another payment in the place of one to which nothing happened, unless its month is closed."""
        found = self.payment(pick, lambda payment: not payment.touched and payment.account != "customer deposits")
        if found is None:
            return
        order, payment = found
        amount = 0 if share == 3 else payment.amount // (share + 1)
        if amount == payment.amount and TILLS[method] == payment.account:
            return
        deed = partial(correct_payment, self.desk, Change(payment.number, "typed wrong", amount, method, ""))
        if payment.month in {str(month) for month in self.closed}:
            self.refused(deed)
            return
        account = deed().account
        self.shop.take_from(order, payment, payment.stands)
        if amount:
            self.paid(order, account, TILLS[method], payment.month)

    @rule(pick=picks, to=picks)
    def a_payment_is_for_another_order(self, pick: int, to: int) -> None:
        """Move as much of a payment as another order owes; its money stays where it is."""
        found = self.payment(pick, lambda payment: payment.stands)
        other = self.one(to, lambda order: order.owed > 0)
        if found is None or other is None or found[0] is other or found[0].given_back:
            return
        order, payment = found
        amount = min(payment.stands, other.owed)
        account = move_payment(self.desk, Move(payment.number, other.number, "meant for the other")).other
        assert account is not None
        self.shop.take_from(order, payment, amount)
        self.paid(other, account, payment.account)

    @rule(pick=picks, share=shares)
    def a_rest_is_written_off(self, pick: int, share: int) -> None:
        """Give up some of what is owed; more than that is refused."""
        order = self.one(pick, lambda order: order.owed > 0)
        if order is None:
            return
        self.refused(partial(write_rest_off, self.desk, WriteOff(order.number, "moved away", order.owed + 1)))
        amount = max(order.owed // share, 1)
        write_rest_off(self.desk, WriteOff(order.number, "moved away", amount))
        self.shop.write_off(order, amount)

    @rule(pick=picks)
    def a_rest_is_owed_again(self, pick: int) -> None:
        """Expect what was written off after all; where nothing was, that is refused."""
        order = self.one(pick, lambda order: not order.cancelled)
        if order is None:
            return
        deed = partial(revive_rest, self.desk, WriteOff(order.number, "she wrote"))
        if not order.written_off:
            self.refused(deed)
            return
        deed()
        self.shop.write_off(order, -order.written_off)

    @rule()
    def close_the_last_month(self) -> None:
        """Close the oldest open month that is over; what is pointed out is accepted."""
        month = self.oldest_open()
        if month.last < self.desk.today:
            agreed(partial(close_month, self.desk, month))
            self.closed[month] = self.figures(month)

    @precondition(lambda self: self.closed)
    @rule(code=codes)
    def try_a_closed_month(self, code: str) -> None:
        """Ask for something on a day of a closed month: refused, and nothing is stored."""
        month = max(self.closed)
        bill = BillRequest("Tallow Row", day=month.last, goods=(GoodsBilled(code, 1, 100),))
        self.refused(partial(record_bill, self.desk, bill), MonthClosedError)

    @precondition(lambda self: self.closed)
    @rule()
    def open_the_last_again(self) -> None:
        """Open the newest closed month again, for a reason."""
        month = max(self.closed)
        reopen_month(self.desk, month, "a bill was forgotten")
        del self.closed[month]

    @invariant()
    def the_books_agree_with_the_slate(self) -> None:
        """Every account, every shelf and every count is what the reference model says; debits equal credits."""
        if not hasattr(self, "desk"):
            return
        with self.desk.reading() as work:
            accounts = {account.title: amount for account, amount in work.balances.all().items() if amount}
            levels = {level.item_code: level for level in work.stock.levels()}
            values = {code: sum(lot.cost for lot in work.stock.lots(KINDS[code], code)) for code in KINDS}
        assert accounts == self.shop.sums
        assert sum(accounts.values()) == 0
        for code, costs in self.shop.shelf.items():
            assert (levels[code].on_hand, levels[code].reserved) == (len(costs), self.shop.kept[code])
            assert values[code] == sum(costs)

    @invariant()
    def what_is_pending_is_found_without_reading_all(self) -> None:
        """What was found after the step before, and what was touched since, come to what a look at everything finds."""
        if not hasattr(self, "desk"):
            return
        kept = self.pending()
        forget()
        assert kept == self.pending()
        owed = {
            order.number: order.owed for order in self.shop.orders.values() if order.owed > 0 and not order.cancelled
        }
        assert {each.number: each.amount for each in kept[Pending.UNPAID]} == owed

    def pending(self) -> dict[Pending, frozenset[Found]]:
        """Give all that is pending."""
        with self.desk.reading() as work:
            return {kind: pending(work.transaction, kind) for kind in Pending}

    @invariant()
    def closed_months_stay(self) -> None:
        """What a month came to when it was closed is what it comes to now."""
        for month, figures in getattr(self, "closed", {}).items():
            assert self.figures(month) == figures

    def figures(self, month: Month) -> tuple[Any, ...]:
        """Give what a month comes to: its totals, and what each account changed by."""
        with self.desk.reading() as work:
            return work.reports.totals(month.days), work.reports.posted(month.days)

    def oldest_open(self) -> Month:
        """Give the oldest month that is not closed."""
        month = Month(FIRST.year, FIRST.month)
        while month in self.closed:
            day = month.last + timedelta(1)
            month = Month(day.year, day.month)
        return month

    def parcel(self, pick: int, wanted: Callable[[PlainParcel], bool]) -> tuple[PlainOrder, PlainParcel] | None:
        """Give one of the parcels that are wanted, with its order, or None."""
        orders = self.shop.orders.values()
        found = [(order, parcel) for order in orders for parcel in order.parcels if wanted(parcel)]
        return found[pick % len(found)] if found else None

    def one(self, pick: int, wanted: Callable[[PlainOrder], bool]) -> PlainOrder | None:
        """Give one of the orders that are wanted, or None."""
        found = [order for order in self.shop.orders.values() if wanted(order)]
        return found[pick % len(found)] if found else None

    def payment(self, pick: int, wanted: Callable[[PlainPayment], object]) -> tuple[PlainOrder, PlainPayment] | None:
        """Give one of the payments that are wanted, with its order, or None; of a cancelled order all went back."""
        orders = (order for order in self.shop.orders.values() if not order.cancelled)
        found = [(order, payment) for order in orders for payment in order.payments if wanted(payment)]
        return found[pick % len(found)] if found else None

    def paid(self, order: PlainOrder, account: OrderAccount, into: str, month: str = "") -> None:
        """Write the newest payment of an order on the reference model."""
        newest = account.payments[-1]
        month = month or self.desk.today.isoformat()[:7]
        self.shop.pay(order, newest.amount, into, number_of(newest), month)

    def line(self, pick: int, place: int, wanted: Callable[[PlainOrder], bool]) -> tuple[PlainOrder, PlainLine] | None:
        """Give one of the lines that stand on the orders that are wanted, or None."""
        order = self.one(pick, lambda order: not order.cancelled and wanted(order))
        lines = [each for each in order.lines if not each.out] if order else []
        return (order, lines[place % len(lines)]) if order and lines else None

    def place_in_ledger(self, order: PlainOrder, place: int) -> int:
        """Give the number of a line in the ledger, where the lenses of a pair are a line of their own."""
        return order.lines[place].at

    def refused(self, deed: Callable[[], object], kind: type[ShopledgerError] = ShopledgerError) -> None:
        """Expect a refusal that leaves every row of the ledger as it was."""
        before = everything(self.desk)
        with pytest.raises(kind):
            deed()
        assert everything(self.desk) == before


def agreed(deed: Callable[..., object]) -> None:
    """Do something, and say yes to whatever is asked."""
    try:
        deed()
    except (FindingsRefusedError, MonthNotReadyError) as asked:
        deed(accept=frozenset(finding.code for finding in asked.findings))


@pytest.mark.parametrize("database", LONG_ON_SERVER)
def test_any_days_leave_books_that_agree(database: str, request: pytest.FixtureRequest, tmp_path: Path) -> None:
    """Sales, payments, refunds, returns, bills, counts and closings in any order: the books agree, and stay."""
    template = request.getfixturevalue("furnished_file" if database == "sqlite" else "furnished_database")
    server = "" if database == "sqlite" else request.getfixturevalue("empty_database")
    trials: Iterator[int] = iter(range(1_000_000))

    def opened() -> tuple[Desk, ExitStack]:
        stack = ExitStack()
        if database == "sqlite":
            path = tmp_path / f"shop-{next(trials)}.db"
            shutil.copy(template, path)
            stack.callback(path.unlink)
            address = ledger_url(str(path))
        else:
            address = stack.enter_context(copied(server, template))
        ledger = stack.enter_context(closing(open_ledger(address)))
        return Desk(ledger, "tester", datetime.combine(FIRST, time(9, 30), UTC), FIRST), stack

    machine = type("Days", (AnyDays,), {"opened": staticmethod(opened)})
    examples = 25 if database == "sqlite" else 10
    run_state_machine_as_test(
        machine,
        settings=settings(max_examples=examples, stateful_step_count=30, deadline=None),
    )
