"""The list of bills: what is owed stands first, the day it is due beside it."""

from __future__ import annotations

from datetime import date
from typing import Final

from flask import render_template, request

from shopledger.counter.desks import desk
from shopledger.counter.pages.bills.part import pages
from shopledger.desk.books.bills import bills, newest_bills
from shopledger.ledger.books.bills import BillAccount

MOST: Final = 200
"""How many of the newest bills are looked at for those that are paid."""


@pages.get("/bills")
def listing() -> str:
    """Show the bills, open ones first, what is due first at the top."""
    supplier = request.args.get("supplier") or None
    to_pay = sorted(bills(desk(), supplier, open_only=True), key=_due)
    newest = newest_bills(desk(), MOST, supplier)
    return render_template(
        "bills/list.html",
        to_pay=to_pay,
        paid=[each for each in newest if not each.balance],
        more=len(newest) == MOST,
        owed=sum(each.balance for each in to_pay),
        today=desk().today,
        supplier=supplier,
    )


def _due(account: BillAccount) -> tuple[date, date]:
    return account.bill.due_on or date.max, account.bill.day
