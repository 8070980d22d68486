"""Frames' shapes: listed, looked at, laid on one another, brought in from a tracer's file, taken over for a colour."""

from __future__ import annotations

import re
from typing import Final

from flask import Blueprint, abort, render_template, request, url_for
from werkzeug.wrappers import Response

from shopledger.counter.addresses import paper_page
from shopledger.counter.desks import desk, station
from shopledger.counter.forms.answering import Answer, Done, fill, leave
from shopledger.counter.forms.fields import Choice, Field, Form, Kind, day, file, form, hidden, line, pick
from shopledger.counter.forms.filled import Values
from shopledger.counter.pictures.frames import frame_picture
from shopledger.counter.pictures.overlays import overlay_picture
from shopledger.desk.goods import FRAMES
from shopledger.desk.trace_library import (
    adopt_trace,
    check_traces,
    compare_traces,
    list_traces,
    nearest_traces,
    trace_numbered,
    untraced_frames,
)
from shopledger.desk.tracing import keep_trace, write_trace
from shopledger.errors import RefusedError
from shopledger.files.writing import made_folder

pages: Final = Blueprint("traces", __name__, url_prefix="/traces")
BOTH: Final = ("GET", "POST")
NEAR: Final = 5
NUMBER: Final = re.compile("[0-9]{1,9}")
"""A trace's number, and nothing that could name a file."""
OURS: Final = re.compile(r"/(?![/\\])[^\\\s]*")
"""A page of the counter's own."""


def _frames() -> list[Choice]:
    return [Choice(each.code, each.description) for each, _ in FRAMES.all(desk())]


def _known(typed: str, _field: str) -> str:
    """Take a frame of the list by its code."""
    wanted = typed.strip().casefold()
    known = next((each.value for each in _frames() if each.value.casefold() == wanted), None)
    if known is None:
        raise RefusedError("frame", f"'{typed[:40]}'", "it is none of those in the list", "Choose one.")
    return known


FRAME: Final = pick("frame", "Frame", _known, _frames, about=("frame",), width="middle")
FILE: Final = file(
    "shape",
    "The tracer's file",
    needed=True,
    hint="Text as the tracer wrote it, or a table that ends in .csv: radii of both eyes, or points of each outline.",
    about=("trace", "file"),
)
DEVICE: Final = line("device", "Tracer", needed=False, hint="As you call it.", width="middle")
TRACED: Final = day("traced_on", "Day of tracing", about=("day of tracing",))
NEXT: Final[Field[str]] = hidden("next")
NEW: Final = form(FRAME, FILE, DEVICE, TRACED, NEXT)


@pages.get("")
def library() -> str:
    """List the shapes that are kept, and the frames that have none."""
    return render_template(
        "traces/library.html", traces=tuple(reversed(list_traces(desk()))), untraced=untraced_frames(desk())
    )


@pages.get("/<int:number>")
def show(number: int) -> str:
    """Show a shape with its figures, what was found on it, and the shapes nearest to it."""
    kept = trace_numbered(desk(), number)
    frame, _ = FRAMES.called(desk(), kept.stored.frame_code)
    title = f"{frame.description}, as one faces the wearer"
    return render_template(
        "traces/trace.html",
        kept=kept,
        frame=frame,
        number=number,
        near=nearest_traces(desk(), str(number), NEAR),
        picture=frame_picture(kept.stored.shape, title, letters=True, wide=1.6),
    )


@pages.get("/compare")
def compare() -> str:
    """Lay one shape on another."""
    one, other = (request.args.get(name, "") for name in ("one", "other"))
    traces = list_traces(desk())
    shown = {"traces": traces, "one": one, "other": other}
    if not (one and other):
        return render_template("traces/compare.html", found=None, **shown)
    if not (NUMBER.fullmatch(one) and NUMBER.fullmatch(other)):
        abort(404)
    found = compare_traces(desk(), one, other)
    title = f"{found.other.name} laid on {found.one.name}"
    picture = overlay_picture(found.one.shape, found.other.shape, title)
    return render_template("traces/compare.html", found=found, picture=picture, **shown)


@pages.route("/new", methods=BOTH)
def new() -> Answer:
    """Keep a tracer's file as a frame's shape, checked against the frame and its earlier shapes."""

    def store(values: Values) -> Done:
        place = values.of(FILE)
        if place is None:
            raise RefusedError("file", "missing", "it is needed", "Choose the tracer's file.")
        kept = keep_trace(desk(), values.of(FRAME), place, values.text(DEVICE), values.accept, values.of(TRACED))
        words = f"The shape of {kept.stored.frame_code} is kept. Demo lenses never leave with a customer."
        return Done(_next(values.of(NEXT)) or _page(kept.stored.number), words)

    start = {"frame": [request.args.get("frame", "")[:40]], "next": [_next(request.args.get("next", ""))]}
    return fill(
        NEW,
        store,
        "traces/new.html",
        focus="shape" if request.args.get("frame") else "frame",
        start=start if request.method == "GET" else None,
        heading="Bring in a frame's shape",
        button="Check it and keep it",
        back=(url_for("traces.library"), "Frames' shapes"),
        untraced=untraced_frames(desk()),
    )


@pages.route("/adopt/<target>", methods=BOTH)
def adopt(target: str) -> Answer:
    """Take the shape of the same frame in another colour over."""
    traced = {each.frame_code for each in list_traces(desk())} - {target}
    choices = tuple(Choice(each.code, each.description) for each, _ in FRAMES.all(desk()) if each.code in traced)
    source: Field[str] = Field(
        "source", "Whose shape it has", lambda typed, _: typed, Kind.SELECT, choices=choices, about=("trace",)
    )

    def store(values: Values) -> Done:
        kept = adopt_trace(desk(), values.of(source), target, values.accept)
        words = f"{kept.stored.frame_code} has the shape now. Lay the frame on it once before you cut."
        return Done(_next(values.of(NEXT)) or _page(kept.stored.number), words)

    frame, _ = FRAMES.called(desk(), target)
    kin = next((each.kin for each in untraced_frames(desk()) if each.frame.code == target), None)
    start = {"source": [kin.code] if kin else [], "next": [_next(request.args.get("next", ""))]}
    return fill(
        Form((("", (source, NEXT)),)),
        store,
        "form.html",
        start=start if request.method == "GET" else None,
        heading=f"A shape for {frame.description}",
        lead="Only where it is the same model and size in another colour.",
        button="Take the shape over",
        back=(url_for("traces.library"), "Frames' shapes"),
    )


@pages.get("/check")
def check() -> str:
    """Show the frames whose newest shape disagrees with the size marked on them."""
    return render_template("traces/check.html", found=check_traces(desk()))


@pages.post("/<int:number>/file")
def write(number: int) -> Response:
    """Write a shape as a file that an edger or a lab reads."""
    code = trace_numbered(desk(), number).stored.frame_code
    target = made_folder(station().papers) / f"trace-{number:05d}.txt"
    written = write_trace(desk(), code, target, number=number)
    return leave(paper_page(written.name), f"The shape of {code} was written as {written.name}.")


def _page(number: int | None) -> str:
    return url_for("traces.show", number=number)


def _next(asked: str | None) -> str:
    """Give the page to go on to, where it is one of the counter's own."""
    return asked if asked and OURS.fullmatch(asked) else ""
