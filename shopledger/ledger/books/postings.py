"""The entry of each event of the shop: its day, its words, and the amounts that the posting rules move accounts by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from dataclasses import asdict, dataclass, field
from datetime import date
from enum import Enum

from shopledger.ledger.books.adjustments import Adjustment
from shopledger.ledger.books.bill_credits import BillCredit, CreditKind
from shopledger.ledger.books.bills import Bill, BillLine, BillPayment, SupplierCredit
from shopledger.ledger.books.deposits import Deposit
from shopledger.ledger.books.disposals import Disposal
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry
from shopledger.ledger.books.money_moves import MoneyMove
from shopledger.ledger.books.posting_rules import EVENED, JOB_ACCOUNTS, STANDS_ON, Amounts, posted
from shopledger.ledger.books.spending import Expense
from shopledger.ledger.corrections import Correction, CorrectionKind
from shopledger.ledger.earning import Earned, earned_amounts
from shopledger.ledger.inspections import Remake
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import Cancellation, Order, Payment, Refund
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.stock import StockMovement
from shopledger.money.amount import Cents

JobAccounts = Mapping[int, Account]
"""In which account each job's costs stand."""


@dataclass(frozen=True, slots=True)
class OrderEvent:
    """What happened to an order, as it is posted; on which side the order stands then, the books themselves say."""

    order: Order
    day: date
    memo: str
    document: Document
    earned: tuple[Earned, ...] = ()
    """What it counts of each line as sold, or as given up."""
    amounts: Mapping[str, Cents] = field(default_factory=dict)
    words: Mapping[str, Enum] = field(default_factory=dict)

    def entry(self, evened: Cents = 0) -> Entry:
        """Give its entry, with what it moves from prepayments to receivable."""
        amounts = {**earned_amounts(self.order.lines, self.earned), **self.amounts, EVENED: evened}
        return _entry(self.day, self.memo, self.document, Amounts(amounts, self.words))

    @property
    def owed(self) -> Cents:
        """By how much more the customer owes; below zero by how much less."""
        return sum(posting.amount for posting in self.entry().postings if posting.account in STANDS_ON)

    def evening(self, day: date, evened: Cents) -> Entry:
        """Give the entry of a later day on which the order stands on another side since."""
        memo = f"order {self.order.number} stands otherwise since: {self.memo}"
        return _entry(day, memo, self.document, Amounts({EVENED: evened}))


def opening_debt_event(order: Order, earned: tuple[Earned, ...]) -> OrderEvent:
    """Post what a customer owed when the books began, against the opening balances."""
    document = Document(DocumentKind.OPENING_DEBT, number_of(order))
    return OrderEvent(order, order.day, f"owed when the books began, order {order.number}", document, earned)


def payment_event(payment: Payment, order: Order) -> OrderEvent:
    """Post a payment: money in by its method, or out of a deposit; the customer owes that much less."""
    whence = "received" if payment.deposit_number is None else "from_deposit"
    return OrderEvent(
        order,
        payment.day,
        f"{payment.method.value} payment, order {payment.order_number}",
        Document(DocumentKind.PAYMENT, number_of(payment)),
        (),
        {whence: payment.amount, "paid": payment.amount},
        {"method": payment.method},
    )


def refund_event(refund: Refund, order: Order, earned: tuple[Earned, ...]) -> OrderEvent:
    """Post a refund: money goes out by its method; of what counted as sold, the charge is given back as a return."""
    return OrderEvent(
        order,
        refund.day,
        f"{refund.method.value} refund, order {refund.order_number}",
        Document(DocumentKind.REFUND, number_of(refund)),
        earned,
        {"repaid": refund.amount},
        {"method": refund.method},
    )


def correction_event(
    correction: Correction, order: Order, earned: tuple[Earned, ...], payment: Payment | None = None
) -> OrderEvent:
    """Post a correction of an order; `payment` is the one it names.

    A payment that does not stand goes out the way it came in, or back into its deposit. The fee that a bank or
    processor took stands on an entry of its own.
    """
    taken = correction.taken_from_paid
    from_deposit = payment is not None and payment.deposit_number is not None
    amounts = {
        "unpaid": taken,
        "to_deposit" if from_deposit else "reversed": taken,
        "written_off": correction.written_off,
    }
    memo = f"{correction.kind.value}, order {correction.order_number}"
    document = Document(DocumentKind.CORRECTION, number_of(correction))
    words: dict[str, Enum] = {"method": payment.method} if payment else {}
    return OrderEvent(order, correction.day, memo, document, earned, amounts, words)


def correction_fee_entry(correction: Correction, payment: Payment) -> Entry:
    """Post what a bank or processor took for a payment that fell away, or gave back of that."""
    fee = -correction.fee if correction.kind is CorrectionKind.DISPUTE_WON else correction.fee
    memo = f"fee, {correction.kind.value}, order {correction.order_number}"
    document = Document(DocumentKind.CORRECTION_FEE, number_of(correction))
    return _entry(correction.day, memo, document, Amounts({"fee": fee}, {"method": payment.method}))


def put_off_event(order: Order, day: date, earned: tuple[Earned, ...]) -> OrderEvent:
    """Post that what of an order did not leave counts as sold no longer, until it does."""
    memo = f"counts as sold when its goods leave, order {order.number}"
    return OrderEvent(order, day, memo, Document(DocumentKind.PUT_OFF, number_of(order)), earned)


def goods_entry(movement: StockMovement) -> Entry:
    """Post what goods cost that came, went or were found missing, against the account of the reason."""
    return _entry(
        movement.day,
        f"{movement.reason.value}: {movement.quantity:+d} {movement.item_code}",
        Document(DocumentKind.MOVEMENT, number_of(movement)),
        Amounts({"cost": movement.cost, "against": movement.cost}, {"reason": movement.reason}),
    )


def credit_entry(credit: SupplierCredit, supplier: str) -> Entry:
    """Post goods sent back: less is owed by the credit; what they cost more or less is a stock difference."""
    return _entry(
        credit.day,
        f"sent back to {supplier}, bill {credit.bill_number}: {credit.quantity} {credit.item_code}",
        Document(DocumentKind.MOVEMENT, credit.movement_number),
        Amounts({"credit": credit.credit, "lost": credit.cost - credit.credit, "cost": -credit.cost}),
    )


@dataclass(frozen=True, slots=True)
class ParcelCosts:
    """What a parcel costs, or brings back into work below zero."""

    goods: Cents = 0
    """From the shelf; what comes back are movements of their own."""
    jobs: Cents = 0
    """Lenses and lab work billed for its jobs so far."""
    remade: Cents = 0
    """The same of jobs made again through the shop's or the maker's doing, and of what nobody wears: scrap."""


def parcel_event(parcel: Parcel, order: Order, earned: tuple[Earned, ...], costs: ParcelCosts) -> OrderEvent:
    """Post that a parcel left: what it holds counts as sold, and what that cost with it."""
    memo = f"left, order {parcel.order_number}, parcel {parcel.number}"
    document = Document(DocumentKind.PARCEL, number_of(parcel))
    return OrderEvent(order, parcel.day, memo, document, earned, asdict(costs))


def parcel_return_event(
    parcel: Parcel, order: Order, day: date, earned: tuple[Earned, ...], costs: ParcelCosts
) -> OrderEvent:
    """Post that a parcel came back: what it held counts as sold no longer, and its jobs are in work again."""
    memo = f"came back, order {parcel.order_number}, parcel {parcel.number}"
    document = Document(DocumentKind.PARCEL_RETURN, number_of(parcel))
    return OrderEvent(order, day, memo, document, earned, {"jobs": costs.jobs, "remade": costs.remade})


def remake_entry(remake: Remake, standing: Account) -> Entry:
    """Post what a remake cost as scrap, out of the account in which the job's costs stand."""
    return _entry(
        remake.day,
        f"job {remake.job_number} made again",
        Document(DocumentKind.REMAKE, number_of(remake)),
        Amounts({"cost": remake.cost}, {"standing": standing}),
    )


def cancelled_jobs_entry(day: date, order_number: int, cost: Cents) -> Entry:
    """Post what was billed for the jobs of a cancelled order as scrap: nobody will wear the lenses."""
    document = Document(DocumentKind.CANCELLATION, order_number)
    return _entry(day, f"jobs of cancelled order {order_number}", document, Amounts({"jobs": cost}))


def bill_entry(bill: Bill, supplier: str, jobs: JobAccounts) -> Entry:
    """Post a bill: goods, jobs and expenses at their landed cost, owed to the supplier."""
    memo = f"bill of {supplier}, invoice {bill.invoice}" if bill.invoice else f"bill of {supplier}"
    lines = (_line(line, jobs) for line in bill.lines)
    return _entry(bill.day, memo, Document(DocumentKind.BILL, number_of(bill)), *lines, Amounts({"billed": bill.total}))


def _line(line: BillLine, jobs: JobAccounts) -> Amounts:
    chosen = {"category": line.category, "standing": jobs.get(line.job_number) if line.job_number else None}
    return Amounts({line.kind.value: line.landed}, {name: word for name, word in chosen.items() if word})


def bill_payment_entry(payment: BillPayment, supplier: str) -> Entry:
    """Post a payment on a bill: less is owed, money goes out by its method."""
    return _entry(
        payment.day,
        f"{payment.method.value} payment to {supplier}, bill {payment.bill_number}",
        Document(DocumentKind.BILL_PAYMENT, number_of(payment)),
        Amounts({"amount": payment.amount}, {"method": payment.method}),
    )


def bill_credit_entry(credit: BillCredit, supplier: str) -> Entry:
    """Post what changed a bill: its price with the shares of what it brought, or what the supplier owed on it."""
    amounts = {"lowered": credit.lowered}
    if credit.kind is CreditKind.REFUND:
        amounts["came"] = credit.amount
    if credit.kind is CreditKind.SET_AGAINST:
        amounts["set_against"] = credit.amount
    whole = Amounts(amounts, {"method": credit.method} if credit.method else {})
    shares = (Amounts({"share": part.amount}, {"account": part.account}) for part in credit.parts)
    after = f" bill {credit.other_bill}" if credit.other_bill else ""
    memo = f"{credit.kind.value}{after}, {supplier}, bill {credit.bill_number}"
    return _entry(credit.day, memo, Document(DocumentKind.BILL_CREDIT, number_of(credit)), whole, *shares)


def adjustment_entry(adjustment: Adjustment) -> Entry:
    """Post an adjusting entry as it was typed."""
    lines = (Amounts({"amount": line.amount}, {"account": line.account}) for line in adjustment.lines)
    document = Document(DocumentKind.ADJUSTMENT, number_of(adjustment))
    what = "opening position" if adjustment.opening else "adjusting entry"
    memo = f"{what}: {', '.join(line.account.title for line in adjustment.lines)}"
    return _entry(adjustment.day, memo, document, *lines)


def disposal_entry(disposal: Disposal) -> Entry:
    """Post that equipment is gone: cost and what was written off leave, proceeds come in, the rest is gain or loss."""
    amounts = {
        "depreciation": disposal.depreciation,
        "proceeds": disposal.proceeds,
        "gain": disposal.gain,
        "cost": disposal.cost,
    }
    memo = f"equipment {disposal.how.value}, {disposal.document} line {disposal.position}"
    document = Document(DocumentKind.DISPOSAL, number_of(disposal))
    return _entry(disposal.day, memo, document, Amounts(amounts, {"till": disposal.till}))


def moved_jobs_entry(bill: Bill, before: Entry, jobs: JobAccounts, day: date) -> Entry:
    """Post what puts job costs right when a bill is voided whose jobs left, or were cancelled, after it.

    Reversing the bill's own entry takes the costs out of where they stood then; by now they stand elsewhere.
    """
    moved: Counter[str] = Counter()
    for posting in before.postings:
        if posting.account in JOB_ACCOUNTS:
            moved[posting.account.title] += posting.amount
    for line in bill.lines:
        if line.job_number is not None:
            moved[jobs[line.job_number].title] -= line.landed
    document = Document(DocumentKind.BILL_VOIDED, number_of(bill))
    return _entry(day, f"job costs of bill {bill.number} put right", document, Amounts(moved))


def expense_entry(expense: Expense) -> Entry:
    """Post an expense: its category is debited, and where the money came from credited."""
    return _entry(
        expense.day,
        f"{expense.category.value}: {expense.payee}",
        Document(DocumentKind.EXPENSE, number_of(expense)),
        Amounts({"amount": expense.amount}, {"category": expense.category, "method": expense.method}),
    )


def move_entry(move: MoneyMove) -> Entry:
    """Post money that moved between the cash accounts, the card processor, the owner, a state or elsewhere."""
    way = move.kind.flow
    amounts = {way.amount: move.amount, "moved": way.value * move.moved, "fee": way.value * move.fee}
    document = Document(DocumentKind.MONEY, number_of(move))
    return _entry(move.day, move.words, document, Amounts(amounts, {"kind": move.kind, "till": move.till}))


def deposit_entry(deposit: Deposit) -> Entry:
    """Post a deposit: money in by its method, owed to the customer; or given back, the other way round."""
    amount = deposit.amount if deposit.gives_back is None else -deposit.amount
    words = "deposit" if deposit.gives_back is None else f"giving back of deposit {deposit.gives_back}"
    return _entry(
        deposit.day,
        f"{deposit.method.value} {words}, customer {deposit.customer_number}",
        Document(DocumentKind.DEPOSIT, number_of(deposit)),
        Amounts({"amount": amount}, {"method": deposit.method}),
    )


def reversing_entry(entry: Entry, number: int, cancellation: Cancellation) -> Entry:
    """Post the opposite of an entry of a cancelled order, pointing at it."""
    return entry.opposite(number, cancellation.day, Document(DocumentKind.CANCELLATION, cancellation.order_number))


def _entry(day: date, memo: str, document: Document, *rows: Amounts) -> Entry:
    return Entry(day, memo, document, posted(document.kind, *rows))
