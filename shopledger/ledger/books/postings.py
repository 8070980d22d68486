"""The entry of each event of the shop: its day, its words, and the amounts that the posting rules move accounts by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Mapping
from datetime import date

from shopledger.ledger.books.bills import Bill, BillLine, BillPayment, SupplierCredit
from shopledger.ledger.books.deposits import Deposit
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry
from shopledger.ledger.books.money_moves import MoneyMove
from shopledger.ledger.books.posting_rules import JOB_ACCOUNTS, Amounts, posted
from shopledger.ledger.books.spending import Expense
from shopledger.ledger.inspections import Remake
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Order, Payment, Refund
from shopledger.ledger.stock import StockMovement
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents

JobAccounts = Mapping[int, Account]
"""In which account each job's costs stand."""


def sale_entry(order: Order) -> Entry:
    """Post a sale: the customer owes the total; goods at list price less offers, shipping and tax are earned or owed.

    Tax that is laid on the seller is part of the receipts, and an expense owed to the state.
    """
    shipping = sum(line.net for line in order.lines if line.kind is LineKind.SHIPPING)
    listed = sum(line.list_price for line in order.lines if line.kind is not LineKind.SHIPPING)
    amounts = {
        "charged": order.total,
        "offers": listed - (order.net_total - shipping),
        "listed": listed,
        "shipping": shipping,
        "tax": order.tax_total,
        "sellers_tax": sum(line.tax for line in order.lines if line.tax_imposed_on is ImposedOn.SELLER),
    }
    document = Document(DocumentKind.ORDER, number_of(order))
    return _entry(order.day, f"sale, order {order.number}", document, Amounts(amounts))


def payment_entry(payment: Payment) -> Entry:
    """Post a payment: money in by its method, or out of a deposit; the customer owes that much less."""
    whence = "received" if payment.deposit_number is None else "from_deposit"
    return _entry(
        payment.day,
        f"{payment.method.value} payment, order {payment.order_number}",
        Document(DocumentKind.PAYMENT, number_of(payment)),
        Amounts({whence: payment.amount, "paid": payment.amount}, {"method": payment.method}),
    )


def refund_entry(refund: Refund, order: Order) -> Entry:
    """Post a refund: the charge is given back as a return, its tax is owed no longer, money goes out by its method."""
    sellers = sum(part.tax for part in refund.parts if order.lines[part.line - 1].tax_imposed_on is ImposedOn.SELLER)
    amounts = {"net": refund.net, "tax": refund.tax, "sellers_tax": sellers, "repaid": refund.amount}
    return _entry(
        refund.day,
        f"{refund.method.value} refund, order {refund.order_number}",
        Document(DocumentKind.REFUND, number_of(refund)),
        Amounts(amounts, {"method": refund.method}),
    )


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


def shipment_entry(day: date, order_number: int, goods: Cents, jobs: Cents) -> Entry:
    """Post what a shipped order cost: goods from the shelf, and the lenses and lab work billed for its jobs so far."""
    document = Document(DocumentKind.SHIPMENT, order_number)
    memo = f"cost of goods shipped, order {order_number}"
    return _entry(day, memo, document, Amounts({"goods": goods, "jobs": jobs}))


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
