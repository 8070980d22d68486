"""Where each page stands, said once: pages link to one another by these."""

from __future__ import annotations


def customer_page(number: int | None) -> str:
    """Give the page of a customer."""
    return f"/customers/{number}"


def wearer_page(customer: int | None, wearer: int | None) -> str:
    """Give the page on which a wearer is changed."""
    return f"/customers/{customer}/wearers/{wearer}"


def new_prescription_page(customer: int | None, wearer: int | None) -> str:
    """Give the page on which a wearer's prescription is recorded."""
    return f"/customers/{customer}/wearers/{wearer}/prescriptions/new"


def prescription_page(number: int | None) -> str:
    """Give the page of a prescription."""
    return f"/prescriptions/{number}"


def sale_page(customer: int | None) -> str:
    """Give the page of a sale to a customer."""
    return f"/sale/{customer}"


def order_page(number: int | None) -> str:
    """Give the page of an order."""
    return f"/orders/{number}"


def draft_page(number: int | None) -> str:
    """Give the page of a draft order."""
    return f"/drafts/{number}"


def new_lenses_page(customer: int | None, wearer: int | None) -> str:
    """Give the page on which a wearer gets new lenses."""
    return f"/new-lenses/{customer}/{wearer}"


def job_page(number: int | None) -> str:
    """Give the page of a job at the bench."""
    return f"/jobs/{number}"


def receipt_page(number: int | None) -> str:
    """Give the page of a receipt."""
    return f"/receipts/{number}"


def paper_page(name: str) -> str:
    """Give the page that shows a printed paper by the name of its file."""
    return f"/papers/{name}"


def frame_page(code: str) -> str:
    """Give the page of a frame."""
    return f"/goods/frames/{code}"


def bill_page(number: int | None) -> str:
    """Give the page of a supplier's bill."""
    return f"/bills/{number}"


def goods_page(kind: str, code: str) -> str:
    """Give the page of goods by what addresses call their kind: frames, accessories, lenses, extras or offers."""
    return f"/goods/{kind}/{code}"


def new_bill_page(what: str = "") -> str:
    """Give the page on which a bill is recorded, of one kind where it is known: goods, lab-work or other."""
    return f"/bills/new/{what}" if what else "/bills/new"


def supplier_page(number: int | None) -> str:
    """Give the page of a supplier."""
    return f"/suppliers/{number}"


def expense_page(number: int | None) -> str:
    """Give the page of an expense."""
    return f"/money/expenses/{number}"


def deposit_page(number: int | None) -> str:
    """Give the page of a customer's deposit."""
    return f"/money/deposits/{number}"


def month_page(month: object) -> str:
    """Give the page of a month."""
    return f"/months/{month}"


PLACES = (
    customer_page,
    wearer_page,
    new_prescription_page,
    prescription_page,
    sale_page,
    order_page,
    draft_page,
    new_lenses_page,
    job_page,
    receipt_page,
    paper_page,
    frame_page,
    bill_page,
    goods_page,
    new_bill_page,
    supplier_page,
    expense_page,
    deposit_page,
    month_page,
)
"""All of them, which templates may use too."""
