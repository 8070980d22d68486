"""A look at what a form comes to before it is sent: by a button of its own, or while it is typed."""

from __future__ import annotations

import secrets
from typing import Final

from flask import request

from shopledger.counter.forms.answering import ONCE, SEEN, typed_now
from shopledger.counter.forms.fields import Form, Kind
from shopledger.counter.forms.filled import Filled
from shopledger.counter.guard import ACCEPT

LOOK: Final = "look"
"""The name of the button that only looks."""


def wants_look() -> bool:
    """Tell whether it was sent to be looked at, and nothing is to be stored."""
    return request.method == "POST" and LOOK in request.form


def looked_at(form: Form, keep: tuple[str, str] = ("", "")) -> Filled:
    """Give a form as it is typed by now; nothing is stored, and it is sent later under the number that it has."""
    kind, about = keep
    left_out = {LOOK, *(each.name for each in form.fields if each.kind is Kind.FILE)}
    typed = {name: values for name, values in typed_now().items() if name not in left_out}
    return Filled(
        form,
        typed,
        frozenset(request.form.getlist(ACCEPT)),
        once=request.form.get(ONCE) or secrets.token_urlsafe(18),
        seen=request.form.get(SEEN, ""),
        kind=kind,
        about=about,
    )
