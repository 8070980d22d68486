"""Buttons that say something by their name, and parts of a page that follow what is typed."""

from __future__ import annotations

from tests.counter.visitor import Fields, Visitor


def press_named(visitor: Visitor, has: str, fields: Fields, **button: str) -> Visitor:
    """Fill in the form that has a field, and send it by a button with a name."""
    form = visitor.form(has=has)
    target = form.action or visitor.path
    answer = visitor.client.post(
        target, base_url=visitor.home, data={**form.values, **fields, **button}, headers={"Origin": visitor.home}
    )
    visitor.answer = answer
    return visitor.go(answer.headers["Location"]) if answer.status_code == 303 else visitor


def said_while_typed(visitor: Visitor, to: str, has: str, fields: Fields) -> str:
    """Give what a page puts beside a form with these fields, before it is sent."""
    form = visitor.form(has=has)
    answer = visitor.client.post(
        to, base_url=visitor.home, data={**form.values, **fields}, headers={"Origin": visitor.home}
    )
    assert answer.status_code == 200
    return answer.get_data(as_text=True)
