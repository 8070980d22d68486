"""The form of an inspection: what this job is judged by and nothing else, and how what was typed is read."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass
from typing import Any, Final

from shopledger.counter.forms.fields import (
    Choice,
    Field,
    Form,
    Group,
    Kind,
    chosen,
    day,
    file,
    length,
    line,
    tick,
    word,
)
from shopledger.counter.forms.filled import Values
from shopledger.desk.inspecting import InspectionRequest, JobNeeds
from shopledger.desk.judging_so_far import Found
from shopledger.errors import OpticsError, RefusedError, ShopledgerError
from shopledger.ledger.inspections import Checked, DemoCheck
from shopledger.optics.notation import read_eye
from shopledger.optics.prescription import EyePrescription, Prescription
from shopledger.optics.sides import Side
from shopledger.typed.thinning import read_thinning_prism

GOOD: Final = "good"
PARTS: Final = ("sphere", "cylinder", "axis", "add", "prism")


class ReadingError(OpticsError):
    """What was typed of a reading is none; it is said beside the reading's first box."""

    field: str
    said: str
    sentence = "{said}"


@dataclass(frozen=True, slots=True)
class Sheet:
    """The form of a job's inspection."""

    needs: JobNeeds
    adds: bool
    """Whether an add was ordered."""

    @property
    def form(self) -> Form:
        """Give what is asked for, under headings in the order in which it is looked at."""
        return Form(tuple(each for each in self._groups() if each[1]))

    def found(self, values: Values) -> Found:
        """Give what was read and measured, as far as it was typed."""
        needs = self.needs
        read = {side: reading(values, side) for side in needs.sides}
        each = needs.pd and needs.each_eye
        return Found(
            read={side: eye for side, eye in read.items() if eye is not None},
            pd=values.of(PD) if needs.pd and not each else None,
            pd_each=_given(values, needs.sides, "pd") if each else {},
            heights=_given(values, needs.sides, "height") if needs.heights else {},
            near=_given(values, needs.segments, "near") if needs.near else {},
            tilt=_given(values, needs.segments, "tilt"),
        )

    def request(self, job_number: int, values: Values) -> InspectionRequest:
        """Ask for the inspection of a job by what was typed."""
        needs = self.needs
        off = tuple(each for each in Checked if values.of(checked(each)) != GOOD)
        return self.found(values).request(
            job_number,
            needs,
            marks_seen=self._marks(values),
            off=off,
            thinning=self.thinning(values),
            thinning_as_read=self._as_read(values),
            compensated=compensated(values),
            sheet=values.of(SHEET),
            day=values.of(DAY),
            note=values.text(NOTE),
            accept=values.accept,
            demo_lenses=values.of(DEMO) if needs.demo_lenses else None,
        )

    def thinning(self, values: Values) -> float | None:
        """Give the thinning prism that the maker states."""
        return values.of(THINNING) if self.needs.marks else None

    def _as_read(self, values: Values) -> bool:
        """Tell whether thinning prism is the equal part of what both lenses read."""
        if not self.needs.marks or len(self.needs.sides) < len(Side) or values.of(THINNING) is not None:
            return False
        return self.needs.thinned or bool(values.of(AS_READ))

    def _marks(self, values: Values) -> tuple[bool | None, bool | None]:
        if not self.needs.marks:
            return None, None
        right, left = (values.of(marks(side)) == SEEN if side in self.needs.sides else None for side in Side)
        return right, left

    def _groups(self) -> Iterator[Group]:
        needs = self.needs
        for side in needs.sides:
            yield f"The lensmeter reads, {side.value} lens", tuple(boxes(side, adds=self.adds))
        yield "Where they stand", tuple(self._places())
        yield "Segments", tuple(self._segments())
        if needs.marks:
            more = () if needs.thinned or len(needs.sides) < len(Side) else (AS_READ,)
            yield "Progressive lenses", (*(marks(side) for side in needs.sides), THINNING, *more)
        demo = (DEMO,) if needs.demo_lenses else ()
        yield "The finished frame", (*(checked(each) for each in Checked), *demo)
        yield MAKERS, (COMPENSATED[Side.RIGHT], COMPENSATED[Side.LEFT], SHEET)
        yield "Note and day", (NOTE, DAY)

    def _places(self) -> Iterator[Field[Any]]:
        needs = self.needs
        if needs.pd and needs.each_eye:
            yield from (_length("pd", side, "PD") for side in needs.sides)
        elif needs.pd:
            yield PD
        if needs.heights:
            yield from (_length("height", side, "Height") for side in needs.sides)

    def _segments(self) -> Iterator[Field[Any]]:
        needs = self.needs
        for side in needs.segments:
            if needs.near:
                yield _length("near", side, "Near PD", about=("near PD",))
            yield _length("tilt", side, "Tilt", unit="degrees", about=("tilt",))


def boxes(side: Side, *, adds: bool) -> Iterator[Field[Any]]:
    """Give the boxes of one lens's reading; a whole line may be typed into the first."""
    name = side.value
    about = (f"{name} reading", "readings" if side is Side.RIGHT else "", f"{name} power")
    yield _part(side, "sphere", "Sphere", "D", needed=True, about=about)
    yield _part(side, "cylinder", "Cylinder", "D")
    yield _part(side, "axis", "Axis", "°")
    if adds:
        yield _part(side, "add", "Add", "D", about=(f"{name} add", "add"))
    yield _part(side, "prism", "Prism", "Δ", about=(f"{name}.prism",))


def reading(values: Values, side: Side) -> EyePrescription | None:
    """Put the boxes of one lens together and read them as one line; None where nothing was typed."""
    typed = {part: str(values.read.get(f"{side.value}_{part}") or "") for part in PARTS}
    if not any(typed.values()):
        return None
    return _read(f"{side.value} reading", written(typed), side)


def written(typed: Mapping[str, str]) -> str:
    """Write the boxes as one line, as a prescriber would."""
    line_of = [typed["sphere"] or "plano", typed["cylinder"]]
    marks_of = {"axis": "x", "add": "add", "prism": ""}
    line_of += [f"{mark} {typed[part]}" for part, mark in marks_of.items() if typed[part]]
    return " ".join(each.strip() for each in line_of if each.strip())


def compensated(values: Values) -> Prescription | None:
    """Give the powers of the maker's sheet, where any were typed."""
    typed = {side: values.text(COMPENSATED[side]) for side in Side}
    if not any(typed.values()):
        return None
    right, left = (_read(f"{side.value} compensated", typed[side] or typed[side.other], side) for side in Side)
    return Prescription(right, left)


def _read(field: str, text: str, side: Side) -> EyePrescription:
    try:
        return read_eye(text, side)
    except ShopledgerError as error:
        raise ReadingError(field, str(error)) from error


def _part(side: Side, part: str, label: str, unit: str, *, needed: bool = False, **shown: Any) -> Field[Any]:
    said = f"{side.value} {part}"
    more = {"kind": Kind.NUMBER, "width": "tiny", "unit": unit, **shown}
    return Field(f"{side.value}_{part}", label, _as_typed(said), needed=needed, **more)


def _as_typed(said: str) -> Callable[[str, str], str]:
    """Give a reader that takes what was typed as it is; the whole line is read afterwards."""

    def read(typed: str, _field: str) -> str:
        if len(typed) > 120:
            raise RefusedError(said, f"'{typed[:20]}…'", "it is at most 120 letters", "Type the figure alone.")
        return typed.strip()

    return read


def _length(name: str, side: Side, label: str, **shown: Any) -> Field[Any]:
    said = f"{label} {side.value}"
    about = (f"{side.value} {label}", *shown.pop("about", ()))
    return length(f"{name}_{side.value}", said, about=about, **{"width": "small", **shown})


def _given(values: Values, sides: tuple[Side, ...], name: str) -> dict[Side, float]:
    typed = {side: values.read.get(f"{name}_{side.value}") for side in sides}
    return {side: figure for side, figure in typed.items() if figure is not None}


SEEN: Final = "both"
_MARKS: Final = (Choice(SEEN, "Both seen"), Choice("not", "Not both"))


def marks(side: Side) -> Field[str]:
    """Ask whether both engraved marks were seen on a lens."""
    return chosen(
        f"marks_{side.value}", f"Engraved marks, {side.value} lens", _MARKS, about=("engraved marks",), width="middle"
    )


def checked(what: Checked) -> Field[str]:
    """Ask whether a part of the finished frame is good; nothing is chosen beforehand."""
    choices = (Choice(GOOD, "Good"), Choice("off", "Not right"))
    return chosen(f"checked_{what.name.lower()}", what.value.capitalize(), choices, width="middle")


PD: Final = length("pd", "PD of both eyes", hint="Where power and prism were read.")
DEMO: Final = word(
    "demo_lenses",
    "The frame's demonstration lenses",
    DemoCheck,
    needed=False,
    hint="In: at least one is in the frame yet. None: the frame came without any. Left open, no paper will say it.",
)
THINNING: Final[Field[float | None]] = Field(
    "thinning",
    "Thinning prism that the maker states",
    read_thinning_prism,
    needed=False,
    unit="Δ",
    width="middle",
    hint="Such as 1.5 BD, alike before both eyes.",
    about=("thinning prism",),
)
AS_READ: Final = tick("as_read", "Thinning prism is the equal part of what both lenses read")
MAKERS: Final = "Free-form lenses: what the maker's sheet wants read"
COMPENSATED: Final = {
    side: line(
        f"compensated_{side.value}",
        f"The sheet's powers, {side.value}",
        needed=False,
        longest=120,
        width="middle",
        about=(f"{side.value} compensated", "compensated powers"),
        hint="In one line, such as -2.43 -1.18 x 092 add 1.93.",
    )
    for side in Side
}
SHEET: Final = file(
    "sheet", "The file of the maker's sheet", hint="It is kept with the ledger.", about=("maker's sheet",)
)
NOTE: Final = line("note", "Note", needed=False, longest=400)
DAY: Final = day("day", "Day of the inspection", about=("day of the inspection",))
