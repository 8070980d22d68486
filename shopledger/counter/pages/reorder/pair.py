"""New lenses for one frame: before and now side by side, lenses compared, what is asked; then a draft or an order."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final, NamedTuple

from flask import render_template, request, url_for

from shopledger.counter.addresses import draft_page, new_lenses_page, paper_page
from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, line, ticks, word
from shopledger.counter.forms.filled import Filled, Values, read
from shopledger.counter.forms.looking import looked_at, wants_look
from shopledger.counter.pages.bench.again import MEASURED, remeasured
from shopledger.counter.pages.bench.choices import extras, lenses
from shopledger.counter.pages.bench.room import BOTH, papers_folder
from shopledger.counter.pages.reorder.choosing import choose_pair
from shopledger.counter.pages.reorder.room import Whose, pages, whose
from shopledger.counter.pictures.frames import frame_picture
from shopledger.counter.pictures.profiles import cut_picture, thicker_side
from shopledger.counter.plain_words import plain
from shopledger.desk.goods import LENSES
from shopledger.desk.kept_forms import kept_form
from shopledger.desk.reorder_lookups import ReorderRequest, ReorderStart
from shopledger.desk.reorder_record import power_changes
from shopledger.desk.reorder_record import reorder as draft_and_print
from shopledger.desk.reordering import ReorderPlan, plan_reorder, reorder_start, usable_prescriptions
from shopledger.errors import ShopledgerError, visible
from shopledger.ledger.forms import Typed
from shopledger.ledger.prescription import WrittenPrescription
from shopledger.optics.age import age_in_words
from shopledger.optics.measurements import Measurements
from shopledger.optics.notation import write_eye
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.typed.numbers import read_whole

KIND: Final = "new lenses"
THEN: Final = "then"
"""The name of both buttons: what becomes of the draft."""

LENS: Final[Field[str]] = Field(
    "lens", "Lenses", lambda typed, _: typed, Kind.SELECT, choices=lenses, about=("blank", "right lens", "left lens")
)
USE: Final = word(
    "use",
    "Made for",
    LensUse,
    only=(LensUse.DISTANCE, LensUse.READING, LensUse.SCREEN),
    needed=False,
    hint="Of single vision lenses. A multifocal is made for all distances.",
)
EXTRAS: Final = ticks("extras", "With", extras, about=("extra",))
CODES: Final = tuple(
    line(
        f"{side.value}_code",
        f"Claim code, {side.value}",
        needed=False,
        longest=10,
        width="narrow",
        about=(f"{side.value} code", f"claim code of the {side.value} lens"),
        hint="Only where the published bands leave a choice.",
    )
    for side in Side
)


class Seen(NamedTuple):
    """What new lenses come to, or why they cannot be; and which warnings were said yes to."""

    plan: ReorderPlan | None
    said: str
    accept: frozenset[str]


@pages.route("/<int:customer>/<int:wearer>", methods=BOTH)
def new_lenses(customer: int, wearer: int) -> Answer:
    """Pick a pair, or order new lenses for the frame that the address names."""
    of = whose(customer, wearer)
    code = request.args.get("frame", "").strip()
    if not code:
        return choose_pair(of)
    try:
        start = reorder_start(desk(), of.payer, of.wearer.name, code)
        written = usable_prescriptions(desk(), of.payer, of.wearer.name)
    except ShopledgerError as error:
        return render_template(
            "reorder/stuck.html", customer=of.customer, wearer=of.wearer, code=code, said=plain(visible(str(error)))
        )
    if not written:
        said = f"{of.wearer.name} has no prescription yet, and new lenses need one."
        return render_template("reorder/stuck.html", customer=of.customer, wearer=of.wearer, code="", said=said)
    return _form_page(of, start, written)


@pages.post("/<int:customer>/<int:wearer>/plan")
def plan(customer: int, wearer: int) -> str:
    """Say what new lenses come to, while they are chosen."""
    of = whose(customer, wearer)
    start = reorder_start(desk(), of.payer, of.wearer.name, request.args.get("frame", ""))
    form = _form(usable_prescriptions(desk(), of.payer, of.wearer.name))
    return render_template("reorder/plan.html", asked=(), before=start, **_of_plan(_seen(of, start, looked_at(form))))


def _form_page(of: Whose, start: ReorderStart, written: Sequence[WrittenPrescription]) -> Answer:
    form, keep = _form(written), (KIND, f"{of.customer.number}-{of.wearer.number}-{start.frame.code}")
    usual = _usual(start, written)
    here = url_for("reorder.new_lenses", customer=of.customer.number, wearer=of.wearer.number, frame=start.frame.code)

    def draft(values: Values) -> Done:
        number, _, file = draft_and_print(desk(), _request(of, start, values), papers_folder())
        if request.form.get(THEN) == "draft":
            words = f"Draft {number} is kept, and its paper was printed. Record it as an order when they say yes."
            return Done(paper_page(file.name), words)
        return Done(draft_page(number), f"Draft {number} was made of it. Look it over, then record it.")

    looks = wants_look() or request.method == "POST"
    filled = looked_at(form, keep) if looks else Filled(form, {**usual, **_kept(keep)})
    shown: dict[str, Any] = {
        "customer": of.customer,
        "wearer": of.wearer,
        "frame": start.frame,
        "before": start,
        "here": here,
        **_of_plan(_seen(of, start, filled)),
        "live": url_for("reorder.plan", customer=of.customer.number, wearer=of.wearer.number, frame=start.frame.code),
        "back": (new_lenses_page(of.customer.number, of.wearer.number), f"{of.wearer.name}: frames"),
    }
    if wants_look():
        return render_template("reorder/pair.html", filled=filled, **shown)
    return fill(form, draft, "reorder/pair.html", start=usual, keep=keep, **shown)


def _kept(keep: tuple[str, str]) -> Typed:
    kept = kept_form(desk(), *keep)
    return kept.typed if kept else {}


def _of_plan(seen: Seen) -> dict[str, Any]:
    """Give all that the page shows of a plan."""
    found = seen.plan
    title = f"{found.frame.description}, as one faces the wearer" if found else ""
    return {
        "plan": found,
        "said": seen.said,
        "accept": seen.accept,
        "changes": {side: power_changes(found, side) for side in Side} if found else {},
        "picture": frame_picture(found.trace.shape, title, wide=1.0) if found else "",
        "cut_picture": cut_picture,
        "thicker_side": thicker_side,
        "sides": tuple(Side),
        "lengths": _lengths,
    }


def _seen(of: Whose, start: ReorderStart, filled: Filled) -> Seen:
    values = read(filled)
    wrong = [each for said in filled.errors.values() for each in said]
    filled.errors.clear()
    if wrong:
        return Seen(None, " ".join(wrong), filled.accept)
    try:
        return Seen(plan_reorder(desk(), _request(of, start, values)), "", filled.accept)
    except ShopledgerError as error:
        return Seen(None, plain(visible(str(error))), filled.accept)


def _form(written: Sequence[WrittenPrescription]) -> Form:
    prescription: Field[int] = Field(
        "prescription", "Prescription", read_whole, Kind.CHOICE, choices=tuple(map(_choice, written)), width="wide"
    )
    return Form(
        (
            ("Prescription and lenses", (prescription, LENS, USE, EXTRAS)),
            ("Measurements", MEASURED),
            ("Claim codes", CODES),
        )
    )


def _choice(written: WrittenPrescription) -> Choice:
    age = age_in_words(written.written_on, station().today())
    powers = f"right {write_eye(written.powers.right)}, left {write_eye(written.powers.left)}"
    return Choice(str(written.number), f"{written.number}, {age}", powers)


def _usual(start: ReorderStart, written: Sequence[WrittenPrescription]) -> dict[str, list[str]]:
    """Give what stands in the form at first: the newest prescription, all else as before."""
    pair = start.pair
    return {
        "prescription": [str(written[0].number)],
        "lens": [start.lens.code] if start.lens else [],
        "use": [pair.use.value] if pair and pair.use is not LensUse.MULTIFOCAL else [],
        "extras": list(pair.extras) if pair else [],
        **_as_typed(start.measurements),
    }


def _as_typed(measured: Measurements | None) -> dict[str, list[str]]:
    """Give measurements as they would be typed."""
    if measured is None:
        return {}
    right, left = measured.right, measured.left
    typed = {
        "height_right": _figure(right.fitting_height),
        "height_left": _figure(left.fitting_height),
    }
    if measured.pd_given == "binocular":
        typed |= {"pd": _figure(measured.pd), "near_pd": _figure(measured.near_pd)}
    else:
        near = [_figure(each.near_pd) for each in (right, left)]
        typed |= {
            "pd_right": _figure(right.mono_pd),
            "pd_left": _figure(left.mono_pd),
            "near_pd": " ".join(near).strip(),
        }
    return {name: [said] for name, said in typed.items() if said}


def _lengths(measured: Measurements | None, name: str) -> str:
    """Write one length of both eyes beside each other."""
    both = [_figure(getattr(each, name)) or "none" for each in (measured.right, measured.left)] if measured else []
    return " and ".join(both) if set(both) != {"none"} else ""


def _figure(length: float | None) -> str:
    return "" if length is None else f"{length:g}"


def _request(of: Whose, start: ReorderStart, values: Values) -> ReorderRequest:
    """Ask for new lenses by what was typed; what is just as before is asked for as before."""
    before = start.pair
    chosen = values.of(EXTRAS)
    multifocal = LENSES.called(desk(), values.of(LENS)).multifocal
    measured = remeasured(values).of(None)
    right_code, left_code = (values.text(each) for each in CODES)
    return ReorderRequest(
        customer=of.payer,
        wearer=of.wearer.name,
        frame=start.frame.code,
        lens="" if start.lens and values.of(LENS) == start.lens.code else values.of(LENS),
        use=None if multifocal else values.of(USE),
        prescription=values.read["prescription"],
        extras=None if before and set(chosen) == set(before.extras) else chosen,
        measurements=None if measured == start.measurements else measured,
        right_code=right_code,
        left_code=left_code,
        accept=values.accept,
    )
