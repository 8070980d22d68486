"""One way for every form: shown, kept while it is being filled in, read, compared with the ledger, stored once.

    return fill(NEW_CUSTOMER, stored, "customers/new.html", keep=("new customer", ""))

Where something is wrong the page comes back with all that was typed; a deed that is done answers with the next page, so
that a reload repeats nothing.
"""

from __future__ import annotations

import hashlib
import json
import re
import secrets
import shutil
import tempfile
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any, TypeAlias

from flask import g, redirect, render_template, request, url_for
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk, send, station
from shopledger.counter.forms.fields import Form, Kind
from shopledger.counter.forms.filled import Filled, Values, read
from shopledger.counter.guard import ACCEPT, session
from shopledger.desk.kept_forms import Sending, SentBeforeError, keep_form, kept_form, led_to, sent_before
from shopledger.errors import ShopledgerError
from shopledger.ledger.forms import Typed

Answer: TypeAlias = Response | str | tuple[str, int]

ONCE, SEEN, PAGE = "once", "seen", "page"
UNREADABLE = 422
"""What is answered where something is to be put right."""
_ENDING = re.compile(r"\.[A-Za-z0-9]{1,8}")


@dataclass(frozen=True, slots=True)
class Done:
    """A deed that was done: the page that shows it, and what is said there."""

    page: str
    words: str = ""


def fill(
    form: Form,
    deed: Callable[[Values], Done],
    template: str,
    *,
    start: Typed | None = None,
    keep: tuple[str, str] | None = None,
    ends: tuple[str, str] | None = None,
    focus: str = "",
    noted: bool = True,
    **shown: Any,
) -> Answer:
    """Show a form, or do what it asks for.

    `start` is what stands in it at first: of a record that is changed, what the ledger says. `keep` says under which
    kind and about what it is kept while somebody fills it in; `ends` names what another page kept, which goes once this
    is stored. `focus` is the field at which somebody begins. Without `noted` the ledger is told nothing of the form:
    there is none yet, or the deed puts another in its place; then the deed itself refuses to be done twice.
    """
    kind, about = keep or ("", "")
    begun = Filled(form, start or {}, seen=_digest(start), kind=kind, about=about, once=secrets.token_urlsafe(18))
    begun.first = focus
    if request.method != "POST":
        _go_on(begun)
        return render_template(template, filled=begun, **shown)
    filled = _sent(begun)
    sending = Sending(filled.once, *(ends or keep or ("", ""))) if noted else None
    done = _done(filled, deed, start or {}, sending)
    if done is None:
        _keep(filled)
        return render_template(template, filled=filled, **shown), UNREADABLE
    return done


def leave(page: str, words: str = "") -> Response:
    """Go to a page, and say something there."""
    if words:
        session().notices.append(words)
    return redirect(page, 303)


def typed_now() -> Typed:
    """Give what was typed into the form that was sent, without what only the door and the keeping need."""
    own = {"token", ONCE, SEEN, ACCEPT}
    return {name: values for name, values in request.form.lists() if name not in own}


def _done(filled: Filled, deed: Callable[[Values], Done], start: Typed, sending: Sending | None) -> Response | None:
    with station().writing:
        # Whoever sends it again is told so first: what it changed the first time is nobody else's change.
        before = None if sending is None else sent_before(desk(), filled.once)
        if before is not None:
            return _sent_already(before)
        values = read(filled)
        if any(filled.errors.values()) or _changed_meanwhile(filled, start):
            return None
        if sending is not None:
            send(sending)
        try:
            done = deed(values)
        except SentBeforeError as error:
            return _sent_already(error.page)
        except ShopledgerError as error:
            filled.refuse(error)
            filled.once = secrets.token_urlsafe(18)
            return None
        # What was asked for is stored; that it leads somewhere is a help for whoever sends it again.
        with suppress(ShopledgerError):
            if sending is not None:
                led_to(desk(), filled.once, done.page)
    return leave(done.page, done.words)


def _sent_already(page: str) -> Response:
    return leave(page or url_for("today.today"), "That was recorded already; nothing was stored twice.")


def _sent(begun: Filled) -> Filled:
    files = {each.name for each in begun.form.fields if each.kind is Kind.FILE}
    # A file is what was sent as one: a path that somebody typed in its place is not looked at.
    said = {name: values for name, values in typed_now().items() if name not in files}
    typed = {**said, **_files(begun.form)}
    return Filled(
        begun.form,
        typed,
        g.accept,
        once=request.form.get(ONCE) or begun.once,
        seen=request.form.get(SEEN, ""),
        kind=begun.kind,
        about=begun.about,
    )


def _go_on(filled: Filled) -> None:
    """Put back what somebody typed before and did not send."""
    kept = kept_form(desk(), filled.kind, filled.about) if filled.kind else None
    if kept is not None:
        filled.typed = kept.typed
        filled.seen = filled.value(SEEN) or filled.seen
        filled.kept_since = kept.recorded_at


def _keep(filled: Filled) -> None:
    if filled.kind:
        names = {each.name for each in filled.form.fields if each.kind not in {Kind.FILE, Kind.SECRET}}
        typed = {name: filled.typed[name] for name in names if name in filled.typed}
        beside = {SEEN: [filled.seen], PAGE: [request.full_path.rstrip("?")]}
        keep_form(desk(), filled.kind, filled.about, {**typed, **beside})


def _changed_meanwhile(filled: Filled, start: Typed) -> bool:
    """Tell whether the ledger says something else by now, and show what: nobody's change is written over unseen."""
    now = _digest(start)
    if not start or not filled.seen or filled.seen == now:
        return False
    for each in filled.form.fields:
        other = ", ".join(start.get(each.name, ()))
        if other != ", ".join(filled.values(each.name)):
            filled.errors[each.name].append(f"Meanwhile it says '{other}'. Send the form again if yours is right.")
    filled.errors[""].append(
        "Somebody changed this while you had it open. Nothing was stored yet; compare and send it again."
    )
    filled.seen = now
    filled.once = secrets.token_urlsafe(18)
    return True


def _digest(start: Typed | None) -> str:
    if not start:
        return ""
    said = json.dumps({name: list(values) for name, values in sorted(start.items())})
    return hashlib.sha256(said.encode()).hexdigest()[:32]


def _files(form: Form) -> dict[str, Sequence[str]]:
    """Lay what was sent as files into a folder of this request's own, under names of ours."""
    found: dict[str, Sequence[str]] = {}
    for each in form.fields:
        sent = request.files.get(each.name) if each.kind is Kind.FILE else None
        if sent is None or not sent.filename:
            continue
        if "folder" not in g:
            g.folder = Path(tempfile.mkdtemp(prefix="shopledger-"))
        ending = Path(sent.filename.replace("\\", "/")).suffix
        place = g.folder / f"{each.name}{ending.lower() if _ENDING.fullmatch(ending) else ''}"
        sent.save(place)
        found[each.name] = [str(place)]
    return found


def clear_files(_error: BaseException | None = None) -> None:
    """Throw away what was sent as files, once the request is over."""
    folder: Path | None = g.pop("folder", None)
    if folder is not None:
        shutil.rmtree(folder, ignore_errors=True)
