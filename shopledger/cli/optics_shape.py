"""Shapes by calculation: how one is given with the lens in it, what is in a trace file, whether two are the same."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Final, NamedTuple

import click

from shopledger.cli.options import OptionSet, as_json, existing_file, option
from shopledger.cli.output import Drawing, show
from shopledger.cli.params import MM, NUMBER, Typed, Word
from shopledger.cli.prompts import lacking
from shopledger.errors import RefusedError, listed
from shopledger.optics.materials import MATERIALS, Material, Mounting, least_thickness, material
from shopledger.optics.sides import Side
from shopledger.typed.numbers import read_decimal

if TYPE_CHECKING:
    from shopledger.exchange.shapes import ReadTrace
    from shopledger.optics.body import Centre
    from shopledger.optics.findings import Finding
    from shopledger.optics.trace import FrameTrace, Trace

_BOX = re.compile(r"([^x×*]+)[x×*]([^x×*]+)")
_SAME_INDEX: Final = 0.005
_DRAWN_BRIDGE: Final = 18.0
"""How far apart lenses are drawn where nobody says it. [mm]"""


class Sizes(NamedTuple):
    """A lens's boxed width and height, in mm."""

    a: float
    b: float


class PlacedShape(NamedTuple):
    """One eye's shape, the frame's distance between lenses where it is known, and where the shape comes from."""

    trace: Trace
    dbl: float | None
    words: str


def read_sizes(text: str, field: str) -> Sizes:
    """Read a width by a height, as in `52x36`."""
    found = _BOX.fullmatch(text.strip().lower())
    if found is None:
        raise RefusedError(field, f"'{text.strip()}'", "it is a width by a height", "Type it like 52x36.")
    return Sizes(*(read_decimal(part, field) for part in found.groups()))


def read_material(text: str, field: str) -> Material:
    """Find a material by its index, its name, or a part of the name that fits one only."""
    try:
        index = read_decimal(text, field)
    except RefusedError:
        return material(text)
    near = [row for row in MATERIALS if abs(row.index - index) <= _SAME_INDEX + 1e-9]
    if len(near) != 1:
        known = listed([f"{row.index:g}" for row in MATERIALS])
        raise RefusedError(field, text.strip(), f"known indices are {known}", "Type one of them, or a material's name.")
    return near[0]


MATERIAL = Typed("material", read_material)
"""A material of the list, by name or by index."""


class ShapeOptions(OptionSet):
    """One eye's shape: out of a trace file, a box, or round."""

    file: Path | None = option("--trace", type=existing_file, help="Trace file that holds the shape.")
    box: Sizes | None = option(
        "--box", type=Typed("AxB", read_sizes), help="Boxed width by height where there is no trace: 52x36."
    )
    ed: float | None = option(
        "--ed", type=MM, help="Effective diameter of the --box. Otherwise the shape is an ellipse."
    )
    circle: float | None = option("--circle", type=MM, help="Diameter of a round shape.")
    eye: Side = option("--eye", type=Word(Side), default="right", show_default=True, help="Which eye.")

    @property
    def shape(self) -> PlacedShape:
        """The shape; exactly one kind is wanted."""
        if self.ed is not None and self.box is None:
            raise click.UsageError("--ed is given without --box. Give both, or leave it out.")
        given = (("--trace", self.file), ("--box", self.box), ("--circle", self.circle))
        kinds = [name for name, value in given if value is not None]
        if len(kinds) != 1:
            said = f"{listed(kinds).replace(' or ', ' and ')} are given" if kinds else "--trace is missing"
            raise click.UsageError(f"{said}. Give one of --trace, --box and --circle.")
        if self.file is not None:
            return _traced(self.file, self.eye)
        return _plain(self.box or Sizes(self.circle or 0.0, self.circle or 0.0), self.ed, self.eye)


class CentreOptions(OptionSet):
    """Where the optical centre stands in the shape."""

    pd: float | None = option("--pd", type=MM, help="PD of both eyes together; half of it counts.")
    mono_pd: float | None = option("--mono-pd", type=MM, help="PD of this eye, from the middle of the bridge.")
    dbl: float | None = option("--dbl", type=MM, help="Distance between lenses. Otherwise as the trace file says.")
    height: float | None = option(
        "--height", type=MM, help="Fitting height. Otherwise the optical centre is at half the height."
    )
    inward: float | None = option(
        "--inward", type=MM, help="Optical centre inward of the boxed centre, in place of a PD."
    )
    upward: float | None = option(
        "--upward", type=MM, help="Optical centre above the boxed centre, in place of a height."
    )

    def centre(self, shape: PlacedShape) -> Centre:
        """Give the place, inward and upward of the boxed centre; there where nothing was given."""
        given = (("--pd", self.pd), ("--mono-pd", self.mono_pd), ("--inward", self.inward))
        across = [name for name, value in given if value is not None]
        if len(across) > 1:
            raise click.UsageError(f"{' and '.join(across)} are given. Give one of them.")
        if self.height is not None and self.upward is not None:
            raise click.UsageError("--height and --upward are given. Give one of them.")
        inward = self.inward
        if self.pd is not None or self.mono_pd is not None:
            inward = _inward(shape, self.pd, self.mono_pd, shape.dbl if self.dbl is None else self.dbl)
        elif self.dbl is not None:
            raise click.UsageError("--dbl is given without a PD. Give --pd or --mono-pd with it.")
        return (inward or 0.0, _upward(shape, self.height) if self.height is not None else self.upward or 0.0)


class LeastOptions(OptionSet):
    """How thin a lens may be, and how curved it is."""

    mounting: Mounting = option(
        "--mounting",
        type=Word(Mounting),
        default="rim",
        show_default=True,
        help="How it is held: how thin it may be.",
    )
    min_edge: float | None = option(
        "--min-edge", type=MM, help="Least edge thickness. Otherwise the usual one of the mounting."
    )
    base_curve: float | None = option(
        "--base-curve", type=NUMBER, metavar="DIOPTRES", help="Front curve. Otherwise the usual one."
    )

    def least(self, row: Material) -> tuple[float, float]:
        """Give the least centre and edge: the usual ones of the material and its mounting, or the edge as given."""
        centre, edge = least_thickness(row, self.mounting)
        return centre, edge if self.min_edge is None else self.min_edge


def _traced(file: Path, eye: Side) -> PlacedShape:
    from shopledger.exchange.trace_file import read_shapes

    read = read_shapes(file)
    return PlacedShape(read.right if eye is Side.RIGHT else read.left, read.dbl, f"{eye.value} lens of {file.name}")


def _plain(sizes: Sizes, ed: float | None, eye: Side) -> PlacedShape:
    from shopledger.optics.plain_shapes import plain_shape

    a, b = sizes
    words = f"{eye.value} lens, round, {a:g} mm" if a == b else f"{eye.value} lens, elliptic, {a:g} x {b:g} mm"
    if ed is not None:
        words = f"{eye.value} lens, rounded box, {a:g} x {b:g} mm, ED {ed:g} mm"
    return PlacedShape(plain_shape(eye, a, b, ed), None, words)


def _inward(shape: PlacedShape, pd: float | None, mono_pd: float | None, dbl: float | None) -> float:
    from shopledger.optics.boxing import box
    from shopledger.optics.centring import decentration
    from shopledger.optics.measurements import EyeMeasurements, Measurements

    if dbl is None:
        lacking("--dbl", "--dbl is missing. A PD needs the distance between the lenses.")
    mono = EyeMeasurements(mono_pd) if mono_pd is not None else Measurements.from_binocular(pd or 0.0).right
    return decentration(box(shape.trace).a, dbl, mono.mono_pd)


def _upward(shape: PlacedShape, height: float) -> float:
    from shopledger.optics.boxing import box
    from shopledger.optics.centring import vertical_offset

    return vertical_offset(height, box(shape.trace).b)


@click.command()
@click.argument("file", type=existing_file)
@click.argument("other", type=existing_file, required=False)
@click.option("--dbl", type=MM, help="Distance between lenses, where the file does not say it.")
@as_json
def trace(file: Path, other: Path | None, dbl: float | None, as_json: bool) -> None:
    """Show a trace file's shapes, or compare two files.

    One file: its figures, what was found on it, and a small picture. With another: how its shapes lie best on those of
    the first, turned, moved and mirrored, and how much then still differs.

    Example:
    shopledger optics trace wren.txt
    """
    from shopledger.exchange.trace_file import read_shapes

    read = read_shapes(file)
    if other is not None:
        if dbl is not None:
            raise click.UsageError("--dbl is given with two files. Leave it out: only shapes are compared.")
        _compared(file, read, other, read_shapes(other), as_json)
        return
    _shown(file, read, dbl, as_json)


def _shown(file: Path, read: ReadTrace, dbl: float | None, as_json: bool) -> None:
    from shopledger.cli.views.drawing import draw_pair
    from shopledger.cli.views.shapes import shape_blocks, shape_data
    from shopledger.optics.trace import FrameTrace

    known = read.dbl if dbl is None else dbl
    frame = FrameTrace(read.right, read.left, _DRAWN_BRIDGE if known is None else known)
    findings = _findings(read, frame)
    right, left = ([(float(x), float(y)) for x, y in eye.points] for eye in (frame.right, frame.left))
    head, figures, found = shape_blocks(file, read, known, findings)
    data = shape_data(file, read, known, findings)
    show(as_json, data, head, figures, Drawing(draw_pair(right, left, frame.dbl)), found)


def _findings(read: ReadTrace, frame: FrameTrace) -> tuple[Finding, ...]:
    """Check both shapes, and what the file states of them."""
    from shopledger.optics.trace_checks import StatedFigures, check_frame_trace

    said = (read.stated.a, read.stated.b, read.stated.ed, read.stated.circumference)
    right, left = (StatedFigures(*(both[place] for both in said)) for place in (0, 1))
    return check_frame_trace(frame, right, left)


def _compared(file: Path, read: ReadTrace, other: Path, laid: ReadTrace, as_json: bool) -> None:
    from shopledger.cli.views.shapes import alignment_blocks, alignment_data
    from shopledger.optics.alignment import align

    best = {Side.RIGHT: align(read.right, laid.right), Side.LEFT: align(read.left, laid.left)}
    show(as_json, alignment_data(file, other, best), *alignment_blocks(file, other, best))
