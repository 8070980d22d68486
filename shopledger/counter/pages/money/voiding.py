"""What was recorded by mistake is taken back: with the reason, and never deleted."""

from __future__ import annotations

from typing import Final

from shopledger.counter.addresses import bill_page, deposit_page, expense_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.onward import onward
from shopledger.counter.pages.money.part import BOTH, pages
from shopledger.desk.books.voiding import void_document
from shopledger.ledger.books.documents import Document, DocumentKind
from shopledger.ledger.text import LONGEST_NOTE

REASON: Final = line("reason", "What was wrong with it", longest=LONGEST_NOTE)
WHEN: Final = day("day", "Day on which it is taken back", hint="Left empty: today. Its month must be open.")
TAKE_BACK: Final = form(REASON, WHEN)
PAGES: Final = {
    DocumentKind.EXPENSE: (expense_page, "/money/expenses"),
    DocumentKind.BILL: (bill_page, "/bills"),
    DocumentKind.DEPOSIT: (deposit_page, "/money/deposits"),
}
LISTS: Final = {
    DocumentKind.BILL_PAYMENT: "/bills",
    DocumentKind.BILL_CREDIT: "/bills",
    DocumentKind.MONEY: "/money/moves",
    DocumentKind.ADJUSTMENT: "/money/adjustments",
    DocumentKind.DISPOSAL: "/money/equipment",
}


@pages.route("/void/<kind>/<int:number>", methods=BOTH)
def void(kind: str, number: int) -> Answer:
    """Take a document back as a mistake."""
    document = Document.read(f"{kind} {number}")

    def store(values: Values) -> Done:
        void_document(desk(), document, values.of(REASON), values.of(WHEN), values.accept)
        return Done(onward(_page(document)), f"{str(document).capitalize()} was taken back as a mistake.")

    return fill(
        TAKE_BACK,
        store,
        "form.html",
        keep=("taking back", str(document)),
        heading=f"Take {document} back",
        lead="Nothing is deleted: the books get the opposite of what was recorded, with the reason beside it.",
        button="Take it back",
        back=(_page(document), f"Leave {document} as it is"),
    )


def _page(document: Document) -> str:
    if document.kind in PAGES:
        return PAGES[document.kind][0](document.number)
    return LISTS.get(document.kind, "/money")
