"""The entry of each event of the shop: its day, its words, and the amounts that the posting rules move accounts by."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from enum import Enum

from shopledger.ledger.books.adjustments import Adjustment
from shopledger.ledger.books.bill_credits import BillCredit, CreditKind
from shopledger.ledger.books.bills import Bill, BillLine, BillPayment, SupplierCredit
from shopledger.ledger.books.deposits import Deposit
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.books.journal import Account, Entry
from shopledger.ledger.books.money_moves import MoneyMove
from shopledger.ledger.books.posting_rules import JOB_ACCOUNTS, Amounts, posted
from shopledger.ledger.books.spending import Expense
from shopledger.ledger.corrections import Correction, CorrectionKind, LinePart
from shopledger.ledger.inspections import Remake
from shopledger.ledger.numbers import number_of
from shopledger.ledger.offers import LineKind
from shopledger.ledger.orders import Cancellation, Order, OrderLine, Payment, Refund
from shopledger.ledger.parcels import Parcel
from shopledger.ledger.stock import StockMovement
from shopledger.ledger.taxes import ImposedOn
from shopledger.money.amount import Cents

JobAccounts = Mapping[int, Account]
"""In which account each job's costs stand."""


def sale_entry(order: Order) -> Entry:
    """Post a sale: the customer owes the total; goods at list price less offers, shipping and tax are earned or owed.

    Tax that is laid on the seller is part of the receipts, and an expense owed to the state.
    """
    document = Document(DocumentKind.ORDER, number_of(order))
    return _entry(order.day, f"sale, order {order.number}", document, Amounts(_sold(order.lines)))


def _sold(lines: Sequence[OrderLine]) -> dict[str, Cents]:
    """Give what lines come to that are sold."""
    goods = [line for line in lines if line.kind is not LineKind.SHIPPING]
    listed = sum(line.list_price for line in goods)
    return {
        "charged": sum(line.net + line.tax for line in lines),
        "offers": listed - sum(line.net for line in goods),
        "listed": listed,
        "shipping": sum(line.net for line in lines if line.kind is LineKind.SHIPPING),
        "tax": sum(line.tax for line in lines),
        "sellers_tax": sum(line.tax for line in lines if line.tax_imposed_on is ImposedOn.SELLER),
    }


def _given_up(parts: Iterable[LinePart], order: Order) -> dict[str, Cents]:
    """Give what parts of an order's lines come to that give their charge up."""
    taken = tuple(parts)
    sellers = sum(part.tax for part in taken if order.lines[part.line - 1].tax_imposed_on is ImposedOn.SELLER)
    return {
        "net_back": sum(part.net for part in taken),
        "tax_back": sum(part.tax for part in taken),
        "sellers_tax_back": sellers,
    }


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
    amounts = {**_given_up(refund.parts, order), "repaid": refund.amount}
    return _entry(
        refund.day,
        f"{refund.method.value} refund, order {refund.order_number}",
        Document(DocumentKind.REFUND, number_of(refund)),
        Amounts(amounts, {"method": refund.method}),
    )


def _taken_out(correction: Correction, order: Order) -> dict[str, Cents]:
    """Give what of an order's sale is taken back: what was put right was never sold, and is no return."""
    if correction.kind is not CorrectionKind.PUT_RIGHT:
        return {}
    kinds = [(order.lines[part.line - 1].kind, part.net) for part in correction.parts]
    shipping = sum(net for kind, net in kinds if kind is LineKind.SHIPPING)
    return {"net_back": 0, "goods_out": sum(net for _, net in kinds) - shipping, "shipping_out": shipping}


def correction_entries(correction: Correction, order: Order, payment: Payment | None = None) -> Iterator[Entry]:
    """Post a correction of an order, with the lines that it added; `payment` is the one it names.

    What lines give way is owed no longer: what was put right leaves the sales again, what was reduced or exchanged is
    an allowance or a return. What is added is owed. A payment that does not stand goes out the way it came in, or back
    into its deposit. The fee that a bank or processor took stands on an entry of its own.
    """
    number = number_of(correction)
    taken = correction.taken_from_paid
    from_deposit = payment is not None and payment.deposit_number is not None
    added = [line for line in order.lines if line.added_by == number]
    amounts = {
        **_sold(added),
        **_given_up(correction.parts, order),
        **_taken_out(correction, order),
        "given_way": correction.given_way,
        "unpaid": taken,
        "to_deposit" if from_deposit else "reversed": taken,
        "written_off": correction.written_off,
    }
    words: dict[str, Enum] = {"method": payment.method} if payment else {}
    memo = f"{correction.kind.value}, order {correction.order_number}"
    entry = _entry(correction.day, memo, Document(DocumentKind.CORRECTION, number), Amounts(amounts, words))
    if entry.postings:
        yield entry
    if correction.fee:
        fee = -correction.fee if correction.kind is CorrectionKind.DISPUTE_WON else correction.fee
        document = Document(DocumentKind.CORRECTION_FEE, number)
        yield _entry(correction.day, f"fee, {memo}", document, Amounts({"fee": fee}, words))


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


def parcel_entry(parcel: Parcel, goods: Cents, jobs: Cents, remade: Cents) -> Entry:
    """Post what a parcel cost: goods from the shelf, and the lenses and lab work billed for its jobs so far.

    What was `remade` through the shop's or the maker's doing, and what nobody wears, is scrap.
    """
    memo = f"cost of goods shipped, order {parcel.order_number}, parcel {parcel.number}"
    amounts = {"goods": goods, "jobs": jobs, "remade": remade}
    return _entry(parcel.day, memo, Document(DocumentKind.PARCEL, number_of(parcel)), Amounts(amounts))


def parcel_return_entry(parcel: Parcel, day: date, jobs: Cents, remade: Cents) -> Entry:
    """Post that what was billed for the jobs of a parcel that came back is in work again."""
    memo = f"came back, order {parcel.order_number}, parcel {parcel.number}"
    document = Document(DocumentKind.PARCEL_RETURN, number_of(parcel))
    return _entry(day, memo, document, Amounts({"jobs": jobs, "remade": remade}))


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
