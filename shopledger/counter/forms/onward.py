"""Things added on the way: the page that one came from is gone back to, and what stood there is kept meanwhile."""

from __future__ import annotations

from urllib.parse import quote

from flask import request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import SEEN, typed_now
from shopledger.desk.kept_forms import keep_form, kept_form

NEXT = "next"
"""Under which an address says which page of ours comes afterwards."""
ADDED = "-"
"""Stands in such a page for the number of what is added."""


def next_page() -> str:
    """Give the page of ours to which this one leads back; empty where none is named, or none of ours."""
    page = request.args.get(NEXT, "")
    ours = page.startswith("/") and not page.startswith("//") and "\\" not in page and page.isprintable()
    return page if ours else ""


def onward(usual: str, *, added: int | None = None) -> str:
    """Give the page that comes after something was added: the one that was come from, or the usual one."""
    page = next_page() or usual
    return page.removesuffix(ADDED) + str(added) if added is not None and page.endswith(f"/{ADDED}") else page


def on_the_way(page: str, back: str) -> str:
    """Give a page's address from which one comes back."""
    return f"{page}{'&' if '?' in page else '?'}{NEXT}={quote(back, safe='/')}"


def set_aside(kind: str, about: str) -> None:
    """Keep what stands in the form that was sent, as it is."""
    keep_form(desk(), kind, about, {**typed_now(), SEEN: [request.form.get(SEEN, "")]})


def put_into(kind: str, about: str, name: str, value: str) -> None:
    """Put something that was added on the way into the field of a form that waits for it."""
    kept = kept_form(desk(), kind, about)
    keep_form(desk(), kind, about, {**(kept.typed if kept else {}), name: [value]})
