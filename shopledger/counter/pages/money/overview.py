"""What lies where, what is owed to the shop and by it, and what is done with money most often."""

from __future__ import annotations

from typing import Final

from flask import render_template

from shopledger.counter.desks import desk
from shopledger.counter.pages.money.part import pages
from shopledger.desk.books.bank_matching import shown_lines
from shopledger.desk.books.banking import has_and_owes
from shopledger.desk.books.bills import bills
from shopledger.desk.books.deposits import deposits
from shopledger.desk.books.payouts import cards_owed
from shopledger.ledger.books.journal import Account

WORDS: Final = {
    Account.CASH: ("Cash in the drawer", "/money/moves"),
    Account.BANK: ("At the bank", "/money/bank"),
    Account.CARD_CLEARING: ("Cards, not paid out yet", "/money/processor"),
    Account.CARD_RESERVE: ("Held back by the card processor", "/money/processor"),
    Account.RECEIVABLE: ("Owed by customers", "/orders"),
    Account.INVENTORY: ("Goods on hand", "/goods/value"),
    Account.WORK_IN_PROGRESS: ("Lenses for jobs that have not left", "/bench"),
    Account.EQUIPMENT: ("Equipment", "/money/equipment"),
    Account.ACCOUNTS_PAYABLE: ("Bills to pay", "/bills"),
    Account.CREDIT_CARD: ("Owed on the shop's credit card", "/money/moves/new/card-paid"),
    Account.CUSTOMER_DEPOSITS: ("Customers' deposits", "/money/deposits"),
    Account.PREPAYMENTS: ("Paid by customers ahead of their glasses", "/orders"),
    Account.SALES_TAX_PAYABLE: ("Sales tax to hand on", "/money/sales-tax"),
}
"""What an account is called by whoever keeps no books, and the page that tells more."""


@pages.get("")
def overview() -> str:
    """Show how the money stands."""
    has, owes = has_and_owes(desk())
    open_bills = [each for each in bills(desk(), open_only=True) if each.balance > 0]
    late = [each for each in open_bills if each.bill.due_on and each.bill.due_on < desk().today]
    return render_template(
        "money/overview.html",
        has=has,
        owes=owes,
        words=WORDS,
        open_lines=len(shown_lines(desk(), only_open=True)),
        bills=open_bills,
        late=late,
        deposits=deposits(desk()),
        cards=cards_owed(desk()),
    )
