"""An order on its page: what was sold and stands, money, jobs, parcels, receipts; and the newest orders."""

from __future__ import annotations

from typing import Final

from flask import Blueprint, render_template, request

from shopledger.counter.desks import desk
from shopledger.desk.books.deposits import deposits
from shopledger.desk.known_people import customer_and_wearers
from shopledger.desk.order_lookups import newest_orders, order_card, prescribed
from shopledger.desk.orders import shipped_uninspected
from shopledger.desk.receipt_lookups import overtaken_of, receipts
from shopledger.ledger.line_model import kept_lines
from shopledger.ledger.numbers import number_of
from shopledger.ledger.payment_corrections import what_became
from shopledger.ledger.shipping import goods_beside, pairs_here, whole_content

pages: Final = Blueprint("orders", __name__)
SHOWN: Final = 50


@pages.get("/orders")
def newest() -> str:
    """Show the newest orders."""
    limit = min(max(request.args.get("limit", SHOWN, int), 1), 1000)
    return render_template("orders.html", orders=newest_orders(desk(), None, limit), limit=limit)


@pages.get("/orders/<int:number>")
def card(number: int) -> str:
    """Show an order with all that happened to it."""
    at = desk()
    account, customer = order_card(at, number)
    issued = receipts(at, number)
    _, wearers = customer_and_wearers(at, str(customer.number)) if not customer.erased_on else (customer, ())
    return render_template(
        "order.html",
        account=account,
        order=account.order,
        customer=customer,
        wearers={each.number: each.name for each in wearers},
        lines=kept_lines(account),
        written=prescribed(at, account.order),
        became={number_of(each): list(what_became(account, number_of(each))) for each in account.payments},
        receipts=issued,
        overtaken=overtaken_of(at, issued),
        omitted=shipped_uninspected(at, account.order),
        here=whole_content(account),
        pairs_here=pairs_here(account),
        goods_here=goods_beside(account),
        deposits=() if customer.erased_on else deposits(at, str(customer.number)),
    )
