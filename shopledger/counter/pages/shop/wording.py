"""The words of the papers: each shown with invented content, changed entry by entry, and taken back."""

from __future__ import annotations

from typing import Any, Final

from flask import Response, render_template

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, Form, Group, Kind, file, form, pick
from shopledger.counter.forms.filled import Values
from shopledger.counter.guard import PAPER_POLICY
from shopledger.counter.pages.shop.part import BOTH, pages
from shopledger.desk.wordings import (
    PaperWords,
    add_logo,
    all_paper_words,
    back_to_shipped,
    logos,
    paper_words,
    sample_of,
    store_words,
)
from shopledger.ledger.forms import Typed
from shopledger.paperwork.wording import Entry

WORDS: Final = ("/shop/wording", "Words of the papers")
PAPER_NAMES: Final = {
    "receipt": "Claim receipt",
    "statement": "Statement for a health account",
    "worksheet": "Worksheet for a claim form",
    "certificate": "Inspection record",
    "confirmation": "Order confirmation",
    "quote": "Quote",
    "packing": "Packing slip",
    "job": "Job sheet",
    "lens_order": "Lens order",
    "reorder": "Reminder about new lenses",
    "year": "A customer's year",
    "bank_month": "The bank's month",
    "backup_key": "Key of the copies",
}
LONG: Final = 70
"""Longer texts are typed on several lines."""
LOGO: Final = file("picture", "The picture", needed=True, hint="PNG or JPEG, up to 2 MB.", about=("logo",))


@pages.get("/wording")
def wording() -> str:
    """Show all papers."""
    found = [(PAPER_NAMES.get(each.key, each.key), each) for each in all_paper_words(desk())]
    return render_template("shop/wordings.html", papers=sorted(found, key=lambda each: each[0]))


@pages.get("/wording/<key>/sample")
def sample(key: str) -> Response:
    """Show a paper with invented content, as it is worded now."""
    return _shown(key, sample_of(desk(), paper_words(desk(), key).key))


@pages.route("/wording/<key>", methods=BOTH)
def change_wording(key: str) -> Answer:
    """Change the words of a paper."""
    found = paper_words(desk(), key)

    def store(values: Values) -> Done:
        store_words(desk(), key, _entries(found, values))
        return Done(f"/shop/wording/{key}", "From now on it says so. Papers already made keep what they said.")

    return _filled(found, store)


@pages.post("/wording/<key>/try")
def try_wording(key: str) -> Answer:
    """Show a paper in words that are not stored yet."""
    found = paper_words(desk(), key)
    tried: list[bytes] = []

    def look(values: Values) -> Done:
        tried.append(sample_of(desk(), key, _entries(found, values)))
        return Done(f"/shop/wording/{key}")

    answer = _filled(found, look, noted=False)
    return _shown(key, tried[0]) if tried else answer


@pages.post("/wording/<key>/shipped")
def shipped_wording(key: str) -> Answer:
    """Take a paper back to how it was shipped."""
    back_to_shipped(desk(), paper_words(desk(), key).key)
    return leave(f"/shop/wording/{key}", "It is worded as it was shipped again.")


@pages.route("/wording/logo", methods=BOTH)
def logo() -> Answer:
    """Take the shop's logo, for the papers to name."""

    def store(values: Values) -> Done:
        picture = values.of(LOGO)
        assert picture is not None  # noqa: S101 - the field is needed
        name = add_logo(desk(), picture)
        return Done("/shop/wording", f"The logo is here under the name {name}. Type it at each paper that shows it.")

    return fill(
        form(LOGO),
        store,
        "form.html",
        heading="Logo",
        lead="The picture is copied into the shop's own folder; each paper then says whether it shows it.",
        button="Take the picture",
        back=WORDS,
    )


def _filled(found: PaperWords, deed: Any, *, noted: bool = True) -> Answer:
    return fill(
        _form_of(found),
        deed,
        "shop/wording.html",
        start=_as_typed(found),
        noted=noted,
        paper=found,
        heading=PAPER_NAMES.get(found.key, found.key),
    )


def _form_of(found: PaperWords) -> Form:
    """Ask for each entry, under the headings of the file."""
    groups: dict[str, list[Field[Any]]] = {}
    for key, entry in found.wording.entries.items():
        section, _, name = key.rpartition(".")
        groups.setdefault(section, []).append(_field(key, name, entry))
    made: list[Group] = [
        (_words(section) or "How days are written, and in which order the parts stand", tuple(fields))
        for section, fields in groups.items()
    ]
    return Form(tuple(made))


def _field(key: str, name: str, entry: Entry) -> Field[Any]:
    several = isinstance(entry, tuple)
    if key == "look.logo":
        known = [Choice(each, "") for each in logos(desk())]
        return pick(key, "Logo", lambda typed, _: typed, known, needed=False, width="middle")
    long = _parted(entry) == "\n" if several else len(entry) > LONG or "\n" in entry
    hint = "" if not several else "One under another." if long else "With commas between them."
    return Field(
        key,
        _words(name),
        lambda typed, _: typed.replace("\r\n", "\n"),
        Kind.TEXT if long else Kind.LINE,
        needed=bool(entry),
        hint=hint,
        width="wide" if long or several else "middle",
        about=(key,),
    )


def _parted(entry: Entry) -> str:
    """Say what stands between the parts of a list: sentences stand under one another."""
    return "\n" if not entry or any("," in part or " " in part for part in entry) else ","


def _as_typed(found: PaperWords) -> Typed:
    entries = found.wording.entries.items()
    return {
        key: [each if isinstance(each, str) else f"{_parted(each)} ".join(each).replace("\n ", "\n")]
        for key, each in entries
    }


def _entries(found: PaperWords, values: Values) -> dict[str, Entry]:
    entries: dict[str, Entry] = {}
    for key, before in found.wording.entries.items():
        typed = str(values.read[key] or "")
        parts = () if isinstance(before, str) else typed.split(_parted(before))
        entries[key] = typed if isinstance(before, str) else tuple(part.strip() for part in parts if part.strip())
    return entries


def _words(name: str) -> str:
    words = name.replace("_", " ").replace(".", ", ").capitalize()
    return words.upper() if words in {"Ein", "Npi"} else words


def _shown(key: str, pdf: bytes) -> Response:
    named = f'inline; filename="sample-{key}.pdf"'
    headers = {"Content-Disposition": named, "Content-Security-Policy": PAPER_POLICY}
    return Response(pdf, mimetype="application/pdf", headers=headers)
