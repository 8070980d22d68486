"""Rounds of questions that were left: what was answered is kept at each question, and offered the next time."""

from __future__ import annotations

import contextlib
from collections.abc import Mapping
from dataclasses import replace
from typing import TYPE_CHECKING, Final
from uuid import uuid4

from shopledger.cli.context import Run
from shopledger.cli.lists import Row, listing
from shopledger.cli.prompts import ask, tell
from shopledger.cli.questions import Answers
from shopledger.errors import RefusedError, ShopledgerError

if TYPE_CHECKING:
    from shopledger.desk.context import Desk
    from shopledger.ledger.forms import KeptForm

KIND: Final = "sale in the terminal"
AT: Final = "at"
WHOSE: Final = "whose"
"""Names under which a kept round says at which question it was left and for whom it is; no question is called so."""
ON, ANEW, AWAY = "on", "anew", "away"
_WAYS: Final = listing(
    "answer",
    (
        Row(ON, "", "go on where it was left; what was answered before is shown"),
        Row(ANEW, "", "begin another order, and keep this one for later"),
        Row(AWAY, "", "throw away what was answered"),
    ),
)


class Begun:
    """One round of questions, kept under a number of its own."""

    def __init__(self, run: Run, *, kept: bool = True) -> None:
        self.run = run
        self.kept = kept
        self.whose = ""
        self.about, self.answers = "", Answers()
        if kept:
            self.about, self.answers = _taken_up(run)
            self.answers.keep = self._keep

    def sending(self) -> Desk:
        """Give the desk that records what was asked for, and lets go of what was kept in the same moment."""
        from shopledger.desk.kept_forms import Sending

        return replace(self.run.desk(), sending=Sending(uuid4().hex, KIND, self.about))

    def _keep(self, texts: Mapping[str, str], at: str) -> None:
        """Keep what was answered; where that fails the questions go on, since nothing of it is a record."""
        from shopledger.desk.kept_forms import keep_form

        if not texts:
            return
        body = {name: [text] for name, text in {**texts, AT: at, WHOSE: self.whose}.items()}
        with contextlib.suppress(ShopledgerError), self.run.aside() as desk:
            keep_form(desk, KIND, self.about, body)


def _taken_up(run: Run) -> tuple[str, Answers]:
    """Ask what becomes of the rounds that were left, the newest first; give a number and the answers to go on with."""
    from shopledger.desk.kept_forms import drop_form, kept_forms

    left = [form for form in kept_forms(run.desk()) if form.kind == KIND]
    taken = {form.about for form in left}
    for form in left:
        way = _asked_about(form)
        if way == ON:
            texts = {name: values[0] for name, values in form.typed.items()}
            at = texts.pop(AT)
            texts.pop(WHOSE)
            return form.about, Answers(texts, at)
        if way == ANEW:
            break
        with run.aside() as desk:
            drop_form(desk, KIND, form.about)
    return next(str(number) for number in range(1, len(taken) + 2) if str(number) not in taken), Answers()


def _asked_about(form: KeptForm) -> str:
    whose = form.typed[WHOSE][0] or "somebody new"
    begun = form.recorded_at.replace("T", " ")[:16]
    tell(f"An order for {whose} was begun on {begun} by {form.operator}, and not recorded.")

    def read(text: str) -> str:
        if text.strip() not in {ON, ANEW, AWAY}:
            raise RefusedError("answer", f"'{text.strip()}'", f"it is {ON}, {ANEW} or {AWAY}", "Type one of them.")
        return text.strip()

    return ask("Go on with it, begin anew, or throw it away (on, anew, away)", read, ON, of=_WAYS)
