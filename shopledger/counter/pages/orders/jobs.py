"""A job put right that was not cut yet, and a frame that broke in work: the job is made anew under another number."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, Final

from flask import request

from shopledger.counter.desks import desk
from shopledger.counter.forms.answering import Answer, typed_now
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, amount, line, tick, ticks, word
from shopledger.counter.forms.filled import Values
from shopledger.counter.forms.picking import pick_known
from shopledger.counter.pages.orders.card import pages
from shopledger.counter.pages.orders.deeds import BOTH, TERMS, about_order, put_right
from shopledger.counter.pages.selling.sheet import one, prescriptions_of
from shopledger.counter.pages.selling.shelf import Shelf, shelf_now
from shopledger.desk.changing_jobs import FrameBroken, JobChange, Remeasured
from shopledger.desk.order_lookups import order_account
from shopledger.desk.putting_right import CorrectionTerms
from shopledger.desk.selling import SaleCard, sale_card
from shopledger.ledger.forms import Typed
from shopledger.ledger.orders import OffStep, OrderAccount, Pair
from shopledger.optics.notation import read_power
from shopledger.optics.prescription import LensUse
from shopledger.optics.sides import Side
from shopledger.store.refusals import NumberUnknownError
from shopledger.typed.measurements import heights_as_typed, near_pd_as_typed, pd_as_typed
from shopledger.typed.numbers import read_lengths

NO_PRESCRIPTION: Final = "none"
SINGLE: Final = (LensUse.DISTANCE, LensUse.READING, LensUse.SCREEN)


@pages.route("/orders/<int:number>/jobs/<int:job>/put-right", methods=BOTH)
def job_put_right(number: int, job: int) -> Answer:
    """Put a job right that was not cut yet; what stays as it stands here stays as it is."""
    account = order_account(desk(), number)
    pair = _pair(account, job)
    card, shelf = sale_card(desk(), str(account.order.customer_number)), shelf_now()
    start = _as_typed(pair)
    agreed = amount("price", "Price agreed for what comes in", needed=False, hint="Left empty: the catalogue's.")
    own = (*_each_eye(card, shelf, pair), agreed)
    asked = Form((("As it should be", tuple(_fields(card, shelf, pair))), ("Where it is needed", own), TERMS))

    def make(values: Values) -> Any:
        changed = {
            name: values.read.get(name)
            for name, typed in start.items()
            if _said(values.read.get(name)) != _said_typed(asked.named(name), typed)
        }
        price = values.of(agreed)

        def request(terms: CorrectionTerms) -> JobChange:
            named = [changed.get("frame") or "", changed.get("lens") or "", *_new_extras(changed, pair)]
            code = next((each for each in named if each), "")
            whole = replace(terms, prices={code: price}) if price is not None and code else terms
            return _change(job, pair, whole, changed, values)

        return request

    heading = f"Put job {job} right"
    return about_order(
        number, asked, lambda values: put_right(values, make(values)), heading, "Put it right",
        about=f"{number}-{job}", start=start,
        lead="Change what is wrong; all else stays. The job is made anew under another number. Goods that stay keep "
        "their price; what comes in costs what the catalogue says today.",
    )  # fmt: skip


@pages.route("/orders/<int:number>/jobs/<int:job>/frame-broken", methods=BOTH)
def frame_broken(number: int, job: int) -> Answer:
    """Replace a frame that broke in work."""
    account = order_account(desk(), number)
    pair = _pair(account, job)
    card, shelf = sale_card(desk(), str(account.order.customer_number)), shelf_now()
    other = pick_known(
        "frame", "The frame that takes its place", lambda: shelf.frames_for(card), needed=False,
        hint=f"Left empty: another {pair.frame_code}.",
    )  # fmt: skip
    asked = Form((("", (other,)), TERMS))

    def store(values: Values) -> Any:
        frame = values.of(other) or ""
        return put_right(values, lambda terms: FrameBroken(job, terms, frame))

    return about_order(
        number, asked, store, f"The frame of job {job} broke in work", "Replace it", about=f"{number}-{job}",
        lead="Without charge; the shop's own frame is written off.",
    )  # fmt: skip


def _pair(account: OrderAccount, job: int) -> Pair:
    found = next((each for each in account.order.standing_pairs if each.job_number == job), None)
    if found is None:
        raise NumberUnknownError("job of this order that stands", job)
    return found


def _fields(card: SaleCard, shelf: Shelf, pair: Pair) -> list[Field[Any]]:
    wearers = [Choice(str(each.wearer.number), each.wearer.name) for each in card.wearers]
    return [
        Field("wearer", "Whose glasses", _text, Kind.SELECT, choices=wearers, width="middle"),
        Field(
            "prescription", "Made from", _text, Kind.SELECT, choices=_written(card, pair), width="middle",
            about=("expires_on", "written_on"),
        ),
        pick_known("frame", "Frame", lambda: shelf.frames_for(card), about=("trace",)),
        tick("own", "The wearer has this frame already"),
        Field("lens", "Lenses", _text, Kind.SELECT, choices=shelf.lens_choices, width="middle"),
        word("use", "Single vision made for", LensUse, only=SINGLE, needed=False),
        ticks("extras", "Upgrades", shelf.extra_choices, about=("extra",)),
        _lengths("pd", "PD", "monocular pd", "mono_pd"),
        _lengths("near", "Near PD", "near_pd"),
        _lengths("heights", "Fitting heights", "fitting height", "right.fitting_height", "left.fitting_height"),
        line("note", "Note on the pair", needed=False),
    ]  # fmt: skip


def _each_eye(card: SaleCard, shelf: Shelf, pair: Pair) -> list[Field[Any]]:
    fields: list[Field[Any]] = [
        word("off_step", "A power between two quarters is made", OffStep, needed=False,
             about=("right.sphere", "left.sphere")),
    ]  # fmt: skip
    base = card.settings.progressive_base
    typed = typed_now() if request.method == "POST" else {}
    for side in Side:
        name, eye = side.value, side.value.capitalize()
        lens = one(typed, f"{name}_lens") or one(typed, "lens") or pair.lens_of(side)
        fields += [
            Field(f"{name}_lens", f"{eye}: another lens", _text, Kind.SELECT, needed=False,
                  choices=shelf.lens_choices, width="middle"),
            Field(f"{name}_balance", f"{eye}: power that only balances", lambda typed, _: read_power(typed),
                  needed=False, about=(f"{name}.balance",), width="middle"),
            Field(f"{name}_code", f"{eye}: claim code you choose", _text, Kind.SELECT, needed=False,
                  choices=shelf.code_choices(lens, base), width="middle"),
        ]  # fmt: skip
    return fields


def _written(card: SaleCard, pair: Pair) -> list[Choice]:
    mine = [each for each in card.wearers if each.wearer.number == pair.wearer_number]
    others = [each for each in card.wearers if each.wearer.number != pair.wearer_number]
    found = [choice for each in (*mine, *others) for choice in prescriptions_of(each)]
    return [*found, Choice(NO_PRESCRIPTION, "no prescription: lenses without power")]


def _as_typed(pair: Pair) -> Typed:
    measured = pair.measurements
    return {
        "wearer": [str(pair.wearer_number)],
        "prescription": [str(pair.prescription_number or NO_PRESCRIPTION)],
        "frame": [pair.frame_code],
        "own": [],
        "lens": [pair.lens_code],
        "use": [] if pair.use is LensUse.MULTIFOCAL else [pair.use.value],
        "extras": list(pair.extras),
        "pd": [pd_as_typed(measured) if measured else ""],
        "near": [near_pd_as_typed(measured) if measured else ""],
        "heights": [heights_as_typed(measured) if measured else ""],
        "note": [pair.note],
    }


def _change(job: int, pair: Pair, terms: CorrectionTerms, changed: Mapping[str, Any], values: Values) -> JobChange:
    written = changed.get("prescription")
    left_out = tuple(code for code in pair.extras if "extras" in changed and code not in changed["extras"])
    read = values.read
    return JobChange(
        job,
        terms,
        wearer=changed.get("wearer") or "",
        prescription=int(written) if written and written != NO_PRESCRIPTION else None,
        without_prescription=written == NO_PRESCRIPTION,
        frame=changed.get("frame") or "",
        own_frame=True if changed.get("own") else None,
        lens=changed.get("lens") or "",
        own_lenses={side: code for side in Side if (code := read.get(f"{side.value}_lens"))},
        use=changed.get("use"),
        extras=_new_extras(changed, pair),
        without_extras=left_out,
        measured=_remeasured(changed),
        off_step=read.get("off_step"),
        balance={side: power for side in Side if (power := read.get(f"{side.value}_balance")) is not None},
        codes={side: code for side in Side if (code := read.get(f"{side.value}_code"))},
        note=(changed["note"] or "") if "note" in changed else None,
    )


def _new_extras(changed: Mapping[str, Any], pair: Pair) -> tuple[str, ...]:
    return tuple(code for code in changed.get("extras", ()) if code not in pair.extras)


def _remeasured(changed: Mapping[str, Any]) -> Remeasured:
    given: list[tuple[float, ...]] = [changed.get(name) or () for name in ("pd", "near", "heights")]
    pd, near, heights = given
    alone = len(pd) == 1
    return Remeasured(
        pd=pd[0] if alone else None,
        pd_right=pd[0] if pd and not alone else None,
        pd_left=pd[-1] if pd and not alone else None,
        near=tuple(near),
        height_right=heights[0] if heights else None,
        height_left=heights[-1] if heights else None,
    )


def _lengths(name: str, label: str, *about: str) -> Field[Any]:
    hint = "Both eyes, or right and left with a space."
    return Field(
        name, label, read_lengths, Kind.NUMBER, needed=False, hint=hint, unit="mm", width="narrow", about=about
    )


def _text(typed: str, _field: str) -> str:
    return typed


def _said(value: Any) -> Any:
    """Give a value so that nothing, an empty text and an empty list are the same."""
    return value or None


def _said_typed(field: Field[Any], typed: Any) -> Any:
    """Give what would be read of what stands in a field at first."""
    if field.several:
        return tuple(typed) or None
    first = next(iter(typed), "")
    if field.kind is Kind.PICK:
        return first or None
    return _said(field.read(first, field.said)) if first else None
