"""The records themselves: their proof, who looked and who changed, for how long they are kept, and the program."""

from __future__ import annotations

from typing import Final

from flask import render_template, request
from werkzeug.wrappers import Response

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, chosen, form, whole
from shopledger.counter.forms.filled import Values
from shopledger.counter.pages.shop.part import BOTH, SHOP, pages
from shopledger.desk.books.closing import prove_books, prove_newest, take_as_it_is
from shopledger.desk.context import ledger_standing
from shopledger.desk.versions import TEXT, read_changes
from shopledger.errors import RefusedError
from shopledger.ledger.audit import Deed, Outcome
from shopledger.ledger.books.proofs import BooksDifferError, KeptHead, Verdict
from shopledger.store.revision import PROGRAM

MOST_NOTES: Final = 100
HOW: Final = chosen(
    "how",
    "Prove",
    (
        Choice("newest", "what is new", "since all was proven last on this computer"),
        Choice("all", "all of it", "takes longer with many years"),
    ),
)
HEAD: Final[Field[KeptHead | None]] = Field(
    "head",
    "A head printed on a receipt or workbook",
    lambda typed, _: KeptHead.read(typed),
    needed=False,
    hint="Such as 128-9f3c5a7be2d41c60: it is proven that the ledger still holds it.",
    width="middle",
)
YEARS: Final = (
    whole("lens_years", "Lenses, after shipping", unit="years", hint="21 CFR 801.410(e) asks for 3 at least."),
    whole("tax_years", "Taxes, after the return was due", unit="years", hint="3 to 7 are usual, 7 is safe."),
    whole(
        "state_years",
        "Your state's rule for dispensers, after shipping",
        unit="years",
        hint="0 where there is none.",
        width="middle",
    ),
    whole("audit_years", "Who looked at what", unit="years", hint="6 is usual."),
)


@pages.route("/proof", methods=BOTH)
def proof() -> Answer:
    """Prove that the ledger was not changed from outside."""
    found: list[Verdict] = []

    def prove(values: Values) -> Done:
        head: KeptHead | None = values.of(HEAD)
        whole = values.of(HOW) == "all" or head is not None
        found.append(prove_books(desk(), head) if whole else prove_newest(desk()))
        return Done("/shop/proof")

    warning = desk().warning
    answer = fill(form(HOW, HEAD), prove, "shop/proof.html", start={"how": ["newest"]}, noted=False, warning=warning)
    return render_template("shop/proven.html", verdict=found[0]) if found else answer


@pages.post("/proof/as-it-is")
def take_it_as_it_is() -> Response:
    """Take the ledger as it is for this computer's last, once all of it is proven."""
    verdict = prove_books(desk())
    if not verdict.holds:
        raise BooksDifferError(verdict.failed)
    take_as_it_is(desk(), verdict)
    return leave("/shop/proof", f"This computer takes head {verdict.head} for the last from now on.")


@pages.get("/audit")
def audit() -> str:
    """Show who looked at what and who changed it."""
    # What knows every table comes with it, which no start of the counter waits for.
    from shopledger.desk.auditing import audit as notes_of  # noqa: PLC0415

    customer = request.args.get("customer", "").strip()[:120]
    deed = next((each for each in Deed if each.typed == request.args.get("deed", "")), None)
    return render_template(
        "shop/audit.html",
        notes=notes_of(desk(), customer or None, None, deed, MOST_NOTES),
        most=MOST_NOTES,
        deeds=sorted(Deed, key=lambda each: each.said),
        deed=deed,
        customer=customer,
        refused=Outcome.REFUSED,
    )


@pages.route("/keeping", methods=BOTH)
def keeping() -> Answer:
    """Change for how many years records are kept, and show who was erased."""
    # As above.
    from shopledger.desk.erasing import change_keeping, erasures  # noqa: PLC0415
    from shopledger.desk.erasing import keeping as kept  # noqa: PLC0415

    found = kept(desk())

    def store(values: Values) -> Done:
        years = {each.name: values.of(each) for each in YEARS}
        changed = {name: each for name, each in years.items() if each != getattr(found, name)}
        if changed:
            change_keeping(desk(), changed)
        return Done("/shop/keeping", "The years were stored.")

    return fill(
        form(*YEARS),
        store,
        "shop/keeping.html",
        start={each.name: [str(getattr(found, each.name))] for each in YEARS},
        erasures=erasures(desk()),
    )


@pages.get("/version")
def version() -> str:
    """Say which program this is, and what is new in it."""
    try:
        changes = read_changes(TEXT.read_text(encoding="utf-8"))
    except OSError as error:
        raise RefusedError("changes", TEXT.name, "it cannot be read", "Install the program anew.") from error
    standing = ledger_standing(desk().ledger.url)
    return render_template("shop/version.html", program=PROGRAM, versions=changes, standing=standing, back=SHOP)
