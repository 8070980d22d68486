"""Putting a copy in the place of the ledger from a page: looked at first, and done with a yes to just that."""

from __future__ import annotations

from pathlib import Path
from typing import TYPE_CHECKING, Final

from flask import current_app

from shopledger.counter.desks import THERE, close_desk, station
from shopledger.counter.forms.answering import Done
from shopledger.counter.forms.fields import Field, secret, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import session
from shopledger.counter.sessions import Sessions
from shopledger.desk.backup_keys import secret_typed
from shopledger.desk.copies import is_locked
from shopledger.desk.refusals import FindingsRefusedError
from shopledger.errors import RefusedError
from shopledger.ledger.backups import COUNTED
from shopledger.optics.findings import Finding, Severity

if TYPE_CHECKING:
    from shopledger.desk.restoring import Restored, Restoring

REPLACES: Final = "REPLACES-LEDGER-"
"""How the yes begins; behind it stands the head of the ledger that it lets go."""
KEY: Final = secret(
    "key",
    "Secret key",
    purpose="off",
    needed=False,
    hint="From its paper; only for an encrypted copy. It is kept nowhere, so it is typed again for the yes.",
)
NUMBERS: Final[tuple[Field[int | None], ...]] = tuple(
    whole(
        kind,
        f"The last {kind} that was printed",
        needed=False,
        hint="Left empty: none after the copy, or as the present ledger says.",
        about=(kind,),
    )
    for kind in COUNTED
)


def put_back(file: Path, values: Values, page: str) -> Done:
    """Put a copy back if the yes is to what was shown; otherwise say what would be gone."""
    # All that an erasure and an upgrade need comes with it, which no start of the counter waits for.
    from shopledger.desk.restoring import looked_at, restore  # noqa: PLC0415

    at, typed = station(), str(values.read.get(KEY.name) or "")
    if is_locked(file) and not typed:
        raise RefusedError(KEY.name, "empty", "the copy is encrypted", "Type the key from its paper.")
    with looked_at(file, secret_typed(typed), at.ledger) as plan:
        asked = _asked(plan)
        if asked.code not in values.accept and plan.present.there:
            raise FindingsRefusedError((asked,))
        numbers = {each.name: values.of(each) for each in NUMBERS}
        close_desk()
        done = restore(
            plan,
            session().operator,
            at.clock(),
            _replaced(plan),
            {kind: last for kind, last in numbers.items() if last is not None},
        )
    sessions: Sessions = current_app.config["SESSIONS"]
    sessions.end_everything(but=session().number)
    current_app.config[THERE] = False
    return Done(page, _said(done))


def _replaced(plan: Restoring) -> str:
    if not plan.present.there:
        return ""
    return str(plan.present.head) if plan.present.head else "unreadable"


def _asked(plan: Restoring) -> Finding:
    """Ask whether what lies there may go."""
    there = plan.present
    if there.head is None:
        said = f"What lies there now cannot be read ({there.trouble}). It is kept beside the copy's ledger."
    elif not plan.contained:
        said = (
            f"The copy is not of this ledger, or their entries part: all {plan.gone} entries of the present one would "
            "be gone from it."
        )
    else:
        said = (
            f"The ledger has {there.head.count} entries and the copy {plan.head.count}: {plan.gone} would be gone from "
            "it. The present ledger is kept beside it."
        )
    code = f"{REPLACES}{_replaced(plan)}"
    return Finding(Severity.WARNING, code, "", str(plan.head), "", "what both say", said)


def _said(done: Restored) -> str:
    parts = ["The copy is the ledger now."]
    if done.kept:
        parts.append(f"The one before lies at {done.kept}.")
    parts += [f"The next {kind} is {last + 1}." for kind, last in done.raised.items()]
    if done.erased:
        parts.append(f"Erased again: {', '.join(done.erased)}.")
    parts.append("Prove it under Shop, Proof, look through it, and make a new copy.")
    return " ".join(parts)
