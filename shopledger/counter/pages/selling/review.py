"""The look over a sale before it is recorded, its quote, and a draft that somebody prepared."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass, replace
from datetime import timedelta
from typing import Final

from flask import redirect, request
from markupsafe import Markup

from shopledger.counter.addresses import order_page, paper_page, sale_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Field, day, form, hidden
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.printed import papers_folder
from shopledger.counter.pages.paying import AMOUNT, LATER, PAID, REFERENCE, as_typed, paid_at_once
from shopledger.counter.pages.selling.looking import KIND, picture, sale_of
from shopledger.counter.pages.selling.routes import ACCEPTED, pages
from shopledger.counter.plain_words import plain
from shopledger.desk.drafts import draft_numbered, drafted_order
from shopledger.desk.kept_forms import drop_form, kept_form
from shopledger.desk.papers import print_quote
from shopledger.desk.sales import SalePlan, plan_sale, record_sale
from shopledger.desk.selling import lay_out_sale
from shopledger.errors import RefusedError, ShopledgerError, visible
from shopledger.ledger.forms import Typed
from shopledger.ledger.numbers import number_of
from shopledger.ledger.orders import OrderAccount, OrderRequest
from shopledger.money.amount import write_amount

BOTH: Final = ("GET", "POST")
QUOTED_FOR: Final = timedelta(days=30)

LOOKED_AT: Final[Field[str]] = hidden("looked_at")
RECORDED: Final = form(LOOKED_AT, PAID, AMOUNT, REFERENCE)
UNTIL: Final = day("until", "The prices hold until", needed=True, about=("valid until",))
QUOTED: Final = form(UNTIL)


@dataclass(frozen=True, slots=True)
class Planned:
    """A planned sale as the page shows it."""

    plan: SalePlan | None
    pictures: Sequence[Markup | None] = ()
    said: str = ""
    """Why it cannot be recorded as it is."""


@pages.route("/sale/<int:customer>/review", methods=BOTH)
def review(customer: int) -> Answer:
    """Show a sale whole, and record it once."""
    about = str(customer)
    kept = kept_form(desk(), KIND, about)
    asked: OrderRequest | None = None
    seen = ""
    if kept is not None:
        sale = sale_of(customer, kept.typed, frozenset(kept.typed.get(ACCEPTED, ())))
        asked, seen = sale.request, _digest(kept.typed)
        if request.method == "GET" and (asked is None or sale.filled.wrong):
            return redirect(sale_page(customer))
    elif request.method == "GET":
        return redirect(sale_page(customer))

    def store(values: Values) -> Done:
        if asked is None:
            # Whoever sends it again is told where it led before anything else is said.
            drop_form(desk(), KIND, about)
            raise RefusedError("sale", "empty", "nothing of it is kept any more", "Begin it again.")
        if values.of(LOOKED_AT) != seen:
            raise RefusedError(
                "sale",
                "another by now",
                "it was changed on another page since you looked it over",
                "Look it over again.",
            )
        return _recorded(record_sale(desk(), replace(asked, payments=paid_at_once(values))))

    planned = _planned(asked)
    return fill(
        RECORDED,
        store,
        "sale_review.html",
        start=_start(planned, seen),
        ends=(KIND, about),
        focus="method",
        heading="Look it over",
        planned=planned,
        back=(sale_page(customer), "Change something"),
        quote=f"{sale_page(customer)}/quote",
        draft=None,
    )


@pages.route("/sale/<int:customer>/quote", methods=BOTH)
def quote(customer: int) -> Answer:
    """Print what a sale would cost, without recording it."""
    kept = kept_form(desk(), KIND, str(customer))
    if kept is None:
        return redirect(sale_page(customer))
    asked = sale_of(customer, kept.typed, frozenset(kept.typed.get(ACCEPTED, ()))).request

    def store(values: Values) -> Done:
        if asked is None:
            raise RefusedError("quote", "empty", "nothing that can be sold is chosen yet", "Choose something first.")
        made = print_quote(desk(), asked, values.of(UNTIL), papers_folder())
        notes = " ".join(plain(each.sentence) for each in made.plan.findings)
        return Done(paper_page(made.file.name), f"The quote was printed. {notes}".strip())

    return fill(
        QUOTED,
        store,
        "form.html",
        start={"until": [(desk().today + QUOTED_FOR).isoformat()]},
        heading="Print a quote",
        lead="It says what the sale would cost; nothing is recorded, and nothing is put aside.",
        button="Print the quote",
        back=(sale_page(customer), "The sale"),
    )


@pages.route("/drafts/<int:number>", methods=BOTH)
def draft(number: int) -> Answer:
    """Show a draft as it would be recorded today, and record it once."""
    kept = draft_numbered(desk(), number)
    if kept.order_number is not None and request.method == "GET":
        return redirect(order_page(kept.order_number))
    asked = None if kept.order_number is not None else drafted_order(desk(), number)

    def store(values: Values) -> Done:
        whole = asked or drafted_order(desk(), number)
        paid = paid_at_once(values)
        accepted = whole.accept | values.accept
        return _recorded(record_sale(desk(), replace(whole, payments=paid, accept=accepted), number))

    planned = _planned(asked)
    return fill(
        RECORDED,
        store,
        "sale_review.html",
        start=_start(planned, ""),
        focus="method",
        heading=f"Draft {number}: {kept.reason}",
        planned=planned,
        back=(f"/customers/{kept.customer_number}", "The customer"),
        quote="",
        draft=kept,
    )


def _planned(asked: OrderRequest | None) -> Planned:
    """Work a request out, with a picture of each frame whose shape is kept."""
    if asked is None:
        return Planned(None)
    try:
        plan = plan_sale(desk(), replace(asked, payments=()))
    except ShopledgerError as error:
        return Planned(None, said=plain(visible(str(error))))
    layouts = lay_out_sale(desk(), plan)
    pictures = [
        picture(pair.pair.frame_code, pair.trace.shape, layout) if pair.trace else None
        for pair, layout in zip(plan.pairs, layouts, strict=True)
    ]
    return Planned(plan, pictures)


def _start(planned: Planned, seen: str) -> Typed:
    """Start with the whole amount, to be paid later; nothing is compared where nothing is there to record any more."""
    if planned.plan is None:
        return {}
    total = planned.plan.order.total
    return {"looked_at": [seen], "method": [LATER], "amount": [as_typed(total)]}


def _recorded(account: OrderAccount) -> Done:
    order = account.order
    said = f"Order {order.number} was recorded, {write_amount(order.total)} in all."
    owed = f" {write_amount(account.balance)} is owed." if account.balance else " It is paid."
    return Done(order_page(number_of(order)), said + owed)


def _digest(typed: Typed) -> str:
    said = repr(sorted((name, tuple(values)) for name, values in typed.items() if name != "seen"))
    return hashlib.sha256(said.encode()).hexdigest()[:32]
