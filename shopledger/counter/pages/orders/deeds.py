"""What the forms about an order have in common: where they stand, why and when something is done, what it comes to."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any, Final

from shopledger.counter.addresses import order_page
from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, day, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.paying import REFERENCE
from shopledger.counter.refusals import UnreadError, unread
from shopledger.counter.showing import money
from shopledger.desk.putting_right import (
    CorrectionDone,
    CorrectionPlan,
    CorrectionRequest,
    CorrectionTerms,
    plan_correction,
    record_correction,
)
from shopledger.desk.refusals import unaccepted
from shopledger.ledger.claims.charges import UnsettledCodeError
from shopledger.ledger.claims.code_table import CODES
from shopledger.ledger.orders import Method
from shopledger.optics.findings import Finding, Severity
from shopledger.typed.words import read_word

BOTH: Final = ("GET", "POST")
COMES_TO: Final = "COMES-TO"
"""Begins the code under which it is asked whether an amount is meant so."""

REASON: Final = line("reason", "Why", longest=400, hint="It is kept with the order.", width="wide")
DAY: Final = day("day", "Day", about=("day of the correction", "payment day", "refund day", "shipping day"))
BACK: Final[Field[Any]] = Field(
    "method",
    "Money goes back by",
    lambda typed, field: read_word(typed, field, tuple(Method)),
    Kind.CHOICE,
    needed=False,
    choices=tuple(Choice(each.value, each.value.capitalize()) for each in Method),
    hint="Only where some goes back; credit waits for a later order.",
)
TERMS: Final = ("Why and how", (REASON, BACK, REFERENCE, DAY))


def about_order(
    number: int,
    form: Form,
    deed: Callable[[Values], Done],
    heading: str,
    button: str,
    *,
    template: str = "form.html",
    kind: str = "",
    about: str = "",
    **shown: Any,
) -> Answer:
    """Show a form about an order, or do what it asks for, and go back to the order."""
    return fill(
        form,
        deed,
        template,
        keep=(kind or heading.casefold(), f"order-{about or number}"),
        heading=heading,
        button=button,
        back=(order_page(number), f"Order {number}"),
        **shown,
    )


def terms_of(values: Values) -> CorrectionTerms:
    """Give what is said with a deed that puts an order right."""
    return CorrectionTerms(
        values.of(REASON),
        values.of(BACK),
        values.text(REFERENCE),
        values.of(DAY),
        accept=frozenset(code for code in values.accept if not code.startswith(COMES_TO)),
    )


def comes_to(code: str, sentence: str) -> Finding:
    """Ask whether something is meant that comes to an amount; another amount is asked about again."""
    return Finding(Severity.WARNING, f"{COMES_TO}-{code}", "", "", "", "", sentence)


def put_right(values: Values, make: Callable[[CorrectionTerms], CorrectionRequest], row: str = "") -> Done:
    """Say what a deed comes to, and store it once that is said yes to; `row` begins the names of a pair's fields."""
    terms = terms_of(values)
    try:
        plan = plan_correction(desk(), make(terms))
    except UnsettledCodeError as error:
        known = " or ".join(f"{code} ({CODES[code].description})" for code in error.candidates)
        said = f"The {error.side.value} lens has no claim code yet: {error.reason}. Choose {known}."
        raise UnreadError((unread(f"{row}{row and '_'}{error.side.value}_code", said),)) from None
    asked = comes_to(f"{plan.difference}-{plan.due_back}", _comes_to(plan))
    found = plan.change.findings
    stopping = (*(each for each in found if each.stops), *unaccepted(found, terms.accept))
    meant = () if asked.code in values.accept else (asked,)
    if meant or stopping:
        named = (replace(each, field=f"{row}.{each.field}") if row else each for each in stopping)
        raise UnreadError((*named, *meant))
    done = record_correction(desk(), make(terms))
    return Done(order_page(done.account.order.number), _said(done))


def _comes_to(plan: CorrectionPlan) -> str:
    difference = plan.difference
    if difference:
        more = f"{money(abs(difference))} {'more' if difference > 0 else 'less'}, {money(plan.after.comes_to)} in all"
        said = f"The order comes to {more}."
    else:
        said = "What the order comes to stays as it is."
    back = f" {money(plan.due_back)} was paid and goes back." if plan.due_back else ""
    owed = f" {money(plan.after.balance)} is owed then." if plan.after.balance else ""
    jobs = " The job is made anew under another number." if plan.change.jobs else ""
    return f"{said}{back}{owed}{jobs}"


def _said(done: CorrectionDone) -> str:
    said = ["It was put right."]
    if done.refund is not None:
        said.append(f"{money(done.refund.amount)} is given back by {done.refund.method.value}.")
    if done.account.balance:
        said.append(f"{money(done.account.balance)} is owed.")
    for job in done.jobs:
        before = f"Job {job.again.job} is not to be made. " if job.again else ""
        said.append(f"{before}Job {job.job_number} is.")
    said += [f"Receipt {number} does not say so: replace it." for number in done.touched_receipts]
    return " ".join(said)
