"""A bill's card: what it brought and what is owed; paid, changed, set against another, sent back, its file shown."""

from __future__ import annotations

from collections.abc import Callable
from typing import Final

from flask import abort, render_template
from werkzeug.wrappers import Response

from shopledger.counter.addresses import bill_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Form, amount, chosen, day, form, line, pick, whole, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages import picks
from shopledger.counter.pages.bills.part import BOTH, pages
from shopledger.counter.pages.given_out import given_out, papers_folder
from shopledger.desk.books.bill_credits import CreditRequest, change_bill
from shopledger.desk.books.bills import bill_account, bills, kept_name, pay_bill, send_back, write_kept_file
from shopledger.ledger.books.bill_credits import CreditKind
from shopledger.ledger.books.bill_requests import BillPaymentRequest, SendBackRequest
from shopledger.ledger.books.bills import BillAccount, BillLineKind
from shopledger.ledger.books.spending import SpendMethod
from shopledger.ledger.forms import Typed
from shopledger.ledger.text import LONGEST_NOTE
from shopledger.money.amount import write_amount
from shopledger.typed.numbers import read_whole

AMOUNT: Final = amount("amount", "What is paid", about=("payment",))
FROM: Final = picks.paid_from("method", "Paid from")
REFERENCE: Final = line(
    "reference",
    "Check or transfer number, or a card's last four",
    needed=False,
    width="middle",
    about=("payment reference",),
)
DISCOUNT: Final = amount(
    "discount", "Taken off for paying in time", needed=False, hint="Beside what is paid; not a part of it."
)
PAID_ON: Final = day("day", "Day it was paid")
PAY: Final = form(AMOUNT, FROM, REFERENCE, DISCOUNT, PAID_ON)

WHICH: Final = chosen(
    "which",
    "What happened",
    (
        Choice("allowance", "The supplier takes something off", "no goods go back"),
        Choice("charge", "The supplier charges more", "the bill was too low"),
    ),
)
CHANGED_BY: Final = amount("amount", "By how much")
REASON: Final = line("reason", "Why", longest=LONGEST_NOTE)
ON: Final = day("day", "Day")
REFUNDED_TO: Final = word(
    "method", "Where it came in", SpendMethod, only=(each for each in SpendMethod if each is not SpendMethod.OWNER)
)
REFUNDED: Final = form(amount("amount", "What came back", needed=False, hint="Left empty: all of it."), REFUNDED_TO, ON)
QUANTITY: Final = whole("quantity", "How many")
CREDIT: Final = amount("credit", "What the supplier takes off for all of them")


@pages.get("/bills/<int:number>")
def card(number: int) -> str:
    """Show everything about a bill."""
    account = bill_account(desk(), number)
    return render_template("bills/card.html", account=account, kept=kept_name(desk(), account), today=desk().today)


@pages.route("/bills/<int:number>/pay", methods=BOTH)
def pay(number: int) -> Answer:
    """Pay a bill."""
    account = bill_account(desk(), number)

    def store(values: Values) -> Done:
        request = BillPaymentRequest(
            values.of(AMOUNT),
            values.of(FROM),
            values.text(REFERENCE),
            values.of(PAID_ON),
            values.of(DISCOUNT) or 0,
        )
        paid = pay_bill(desk(), number, request, values.accept)
        rest = f"{write_amount(paid.balance)} is still owed." if paid.balance else "It is paid in full."
        return Done(bill_page(number), f"{write_amount(request.amount)} was paid on bill {number}. {rest}")

    start = {"amount": [write_amount(account.balance)], "method": ["bank"]}
    return _filled(account, PAY, store, "Pay", "Record the payment", start)


@pages.route("/bills/<int:number>/change", methods=BOTH)
def change(number: int) -> Answer:
    """Record that a bill's price changed."""
    account = bill_account(desk(), number)
    only = pick("item", "Only on these goods", lambda typed, _: typed.strip(), _goods_of(account), needed=False,
                width="middle", hint="Left empty: on all that the bill brought.")  # fmt: skip
    asked = form(WHICH, CHANGED_BY, REASON, *([only] if account.bill.lines else []), ON)

    def store(values: Values) -> Done:
        kind = CreditKind.CHARGE if values.of(WHICH) == "charge" else CreditKind.ALLOWANCE
        request = CreditRequest(
            kind, values.of(CHANGED_BY), values.of(REASON), values.of(ON), values.of(only) or ""
        )  # fmt: skip
        return _changed(number, request)

    return _filled(account, asked, store, "The price changed", "Record the change", {"which": ["allowance"]})


@pages.route("/bills/<int:number>/refunded", methods=BOTH)
def refunded(number: int) -> Answer:
    """Record money that a supplier gave back."""
    account = bill_account(desk(), number)

    def store(values: Values) -> Done:
        amount_back = values.of(REFUNDED.named("amount"))
        request = CreditRequest(CreditKind.REFUND, amount_back, day=values.of(ON), method=values.of(REFUNDED_TO))
        return _changed(number, request)

    start = {"amount": [write_amount(max(0, -account.balance))], "method": ["bank"]}
    return _filled(account, REFUNDED, store, "Money came back", "Record it", start)


@pages.route("/bills/<int:number>/set-against", methods=BOTH)
def set_against(number: int) -> Answer:
    """Pay another bill with what the supplier owes on this one."""
    account = bill_account(desk(), number)
    others = bills(desk(), str(account.bill.supplier_number), open_only=True)
    choices = [_as_choice(each) for each in others if each.balance > 0]
    other = chosen("other", "Which bill it pays", choices, about=("bill",))
    how_much = amount("amount", "How much of it", needed=False, hint="Left empty: as much as goes.")

    def store(values: Values) -> Done:
        paid = read_whole(values.of(other), "bill")
        request = CreditRequest(CreditKind.SET_AGAINST, values.of(how_much), day=values.of(ON), other_bill=paid)
        return _changed(number, request)

    return _filled(account, form(other, how_much, ON), store, "Pay another bill with it", "Set it against that bill")


@pages.route("/bills/<int:number>/send-back", methods=BOTH)
def goods_back(number: int) -> Answer:
    """Send goods of a bill back."""
    account = bill_account(desk(), number)
    item = chosen("item", "What goes back", _goods_of(account))

    def store(values: Values) -> Done:
        asked = SendBackRequest(
            values.of(item), values.of(QUANTITY), values.of(CREDIT), values.of(REASON), values.of(ON)
        )  # fmt: skip
        done = send_back(desk(), number, asked)
        return Done(bill_page(number), f"{done.credit.quantity} {done.credit.item_code} left the shelf.")

    asked = form(item, QUANTITY, CREDIT, REASON, ON)
    first = _goods_of(account)[:1]
    return _filled(account, asked, store, "Goods go back", "Record it", {"item": [each.value for each in first]})


@pages.post("/bills/<int:number>/file")
def kept_file(number: int) -> Response:
    """Give the kept file of a bill out."""
    return given_out(write_kept_file(desk(), number, papers_folder()), f"This is what was kept of bill {number}.")


def _filled(
    account: BillAccount,
    asked: Form,
    store: Callable[[Values], Done],
    heading: str,
    button: str,
    start: Typed | None = None,
) -> Answer:
    number = account.bill.number
    if account.voided is not None:
        abort(404)
    return fill(
        asked,
        store,
        "form.html",
        start=start,
        keep=(heading.casefold(), f"bill {number}"),
        heading=f"{heading}: bill {number} of {account.supplier}",
        lead=_standing(account),
        button=button,
        back=(bill_page(number), f"Bill {number}"),
    )


def _standing(account: BillAccount) -> str:
    if account.balance < 0:
        return f"{account.supplier} owes the shop ${write_amount(-account.balance)} on it."
    due = f", to be paid by {account.bill.due_on}" if account.bill.due_on else ""
    return f"${write_amount(account.balance)} is owed on it{due}."


def _changed(number: int, request: CreditRequest) -> Done:
    done = change_bill(desk(), number, request)
    return Done(bill_page(number), f"{write_amount(done.credit.amount)} was recorded on bill {number}.")


def _as_choice(account: BillAccount) -> Choice:
    bill = account.bill
    return Choice(str(bill.number), f"Bill {bill.number} of {bill.day}", f"${write_amount(account.balance)} owed")


def _goods_of(account: BillAccount) -> tuple[Choice, ...]:
    goods = (each for each in account.bill.lines if each.kind is BillLineKind.STOCK)
    return tuple(Choice(each.item_code, each.description, f"{each.quantity} came") for each in goods)
