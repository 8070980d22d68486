"""Adjusting entries by account, for what no document says: depreciation, loans, what counts in another month."""

from __future__ import annotations

from typing import Any, Final, NamedTuple

from flask import render_template

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, day, form, line
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.lines import begun, how_many, more_lines, needed
from shopledger.counter.pages.money.part import BOTH, month_asked, pages
from shopledger.desk.books.adjusting import adjustments, open_books, record_adjustment, reverse_adjustment
from shopledger.errors import RefusedError
from shopledger.ledger.books.adjustments import ADJUSTABLE, OPENED, Adjustment, AdjustmentLine, read_account
from shopledger.ledger.books.journal import Account
from shopledger.ledger.text import LONGEST_NOTE

ABOUT: Final = ("new adjusting entry", "")
OPENING: Final = ("opening position", "")
LEAST: Final = 2
REASON: Final = line("reason", "Why the books are adjusted", longest=LONGEST_NOTE)
WHEN: Final = day("day", "Day it counts on")


class Line(NamedTuple):
    """The fields of one line of an entry."""

    account: Field[Any]
    debit: Field[Any]
    credit: Field[Any]
    state: Field[Any] | None = None


def _line(number: int, accounts: tuple[Account, ...], words: tuple[str, str], *, taxed: bool = False) -> Line:
    choices = tuple(Choice(each.title.replace(" ", "-"), each.title.capitalize()) for each in accounts)
    return Line(
        Field(
            f"account_{number}", f"{number}. Account", lambda typed, _: read_account(typed), Kind.SELECT, needed=False,
            choices=choices, width="middle",
        ),
        amount(f"debit_{number}", f"{number}. {words[0]}", needed=False),
        amount(f"credit_{number}", f"{number}. {words[1]}", needed=False),
        line(f"state_{number}", f"{number}. State, of sales tax", needed=False, width="narrow") if taxed else None,
    )  # fmt: skip


@pages.get("/adjustments")
def adjustment_list() -> str:
    """Show the adjusting entries."""
    return render_template("money/adjustments.html", found=tuple(reversed(adjustments(desk(), month_asked()))))


@pages.route("/adjustments/new", methods=BOTH)
def new_adjustment() -> Answer:
    """Record an adjusting entry."""
    many = how_many(*ABOUT, LEAST)
    more = more_lines(*ABOUT, many)
    if more is not None:
        return more
    lines = [_line(number, ADJUSTABLE, ("Debit", "Credit")) for number in range(1, many + 1)]

    def store(values: Values) -> Done:
        entry = Adjustment(values.of(WHEN) or desk().today, values.of(REASON), _read(values, lines))
        done = record_adjustment(desk(), entry)
        return Done("/money/adjustments", f"Adjusting entry {done.number} was recorded.")

    return _filled(lines, (REASON, WHEN), store, ABOUT, "New adjusting entry", "Debits and credits come to the same.")


@pages.route("/adjustments/opening", methods=BOTH)
def opening() -> Answer:
    """Record what the shop had and owed when its books began."""
    many = how_many(*OPENING, LEAST + 2)
    more = more_lines(*OPENING, many)
    if more is not None:
        return more
    lines = [_line(number, OPENED, ("There", "Owed"), taxed=True) for number in range(1, many + 1)]

    def store(values: Values) -> Done:
        entry = Adjustment.opening_of(values.of(WHEN) or desk().today, _read(values, lines))
        open_books(desk(), entry)
        return Done("/money", "The books begin with it. Goods are counted in on their pages, bills owed are recorded.")

    lead = (
        "Money, equipment, loans and tax as they stood on the day the books begin; the owner's capital follows from "
        "them. Goods, customers' debts and suppliers' bills have pages of their own."
    )
    return _filled(lines, (WHEN,), store, OPENING, "When the books began", lead)


@pages.route("/adjustments/<int:number>/reverse", methods=BOTH)
def reverse(number: int) -> Answer:
    """Reverse an adjusting entry on a later day."""

    def store(values: Values) -> Done:
        done = reverse_adjustment(desk(), number, values.of(WHEN))
        return Done("/money/adjustments", f"Adjusting entry {done.number} reverses entry {number}.")

    return fill(
        form(WHEN),
        store,
        "form.html",
        heading=f"Reverse adjusting entry {number}",
        lead="Debits and credits change places on a day of its own, as an accrual does a month later.",
        button="Reverse it",
        back=("/money/adjustments", "Adjusting entries"),
    )


def _filled(
    lines: list[Line], others: tuple[Field[Any], ...], store: Any, keep: tuple[str, str], heading: str, lead: str
) -> Answer:
    every = tuple(each for one in lines for each in one if each is not None)
    return fill(
        Form((("", (*every, *others)),)),
        store,
        "money/adjustment.html",
        keep=keep,
        heading=heading,
        lead=lead,
        lines=lines,
        others=[each.name for each in others],
    )


def _read(values: Values, lines: list[Line]) -> tuple[AdjustmentLine, ...]:
    return tuple(_one(values, each) for each in lines if begun(values, (each.account, each.debit, each.credit)))


def _one(values: Values, one: Line) -> AdjustmentLine:
    account, debit, credit = needed(values, one.account), values.of(one.debit), values.of(one.credit)
    if (debit is None) == (credit is None):
        raise RefusedError(one.debit.label, "not clear", "a line has an amount on one side", "Type it on one of them.")
    state = "" if one.state is None else values.text(one.state)
    return AdjustmentLine(account, credit * -1 if debit is None else debit, state)
