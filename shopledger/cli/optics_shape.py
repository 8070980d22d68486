"""Options for a lens in its frame: the shape, where the optical centre stands in it, and the material."""

from __future__ import annotations

import re
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final, NamedTuple

import click

from shopledger.cli.options import existing_file, together
from shopledger.cli.params import MM, NUMBER, Typed, Word, read_decimal
from shopledger.errors import RefusedError, listed
from shopledger.optics.materials import MATERIALS, Material, Mounting, least_thickness, material
from shopledger.optics.sides import Side

if TYPE_CHECKING:
    from shopledger.optics.body import Centre
    from shopledger.optics.trace import Trace

_BOX = re.compile(r"([^x×*]+)[x×*]([^x×*]+)")
_SAME_INDEX: Final = 0.005


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

shape_options = together(
    click.option("--trace", "file", type=existing_file, help="Trace file that holds the shape."),
    click.option("--box", type=Typed("AxB", read_sizes), help="Boxed width by height where there is no trace: 52x36."),
    click.option("--ed", type=MM, help="Effective diameter of the --box. Otherwise the shape is an ellipse."),
    click.option("--circle", type=MM, help="Diameter of a round shape."),
    click.option("--eye", type=Word(Side), default="right", show_default=True, help="Which eye."),
)

centre_options = together(
    click.option("--pd", type=MM, help="PD of both eyes together; half of it counts."),
    click.option("--mono-pd", type=MM, help="PD of this eye, from the middle of the bridge."),
    click.option("--dbl", type=MM, help="Distance between lenses. Otherwise as the trace file says."),
    click.option("--height", type=MM, help="Fitting height. Otherwise the optical centre is at half the height."),
    click.option("--inward", type=MM, help="Optical centre inward of the boxed centre, in place of a PD."),
    click.option("--upward", type=MM, help="Optical centre above the boxed centre, in place of a height."),
)

least_options = together(
    click.option(
        "--mounting", type=Word(Mounting), default="rim", show_default=True, help="How it is held: how thin it may be."
    ),
    click.option("--min-edge", type=MM, help="Least edge thickness. Otherwise the usual one of the mounting."),
    click.option("--base-curve", type=NUMBER, metavar="DIOPTRES", help="Front curve. Otherwise the usual one."),
)


def take_shape(given: dict[str, Any]) -> PlacedShape:
    """Take the shape out of the values of `shape_options`; exactly one kind is wanted."""
    file, sizes, ed, circle, eye = (given.pop(name) for name in ("file", "box", "ed", "circle", "eye"))
    if ed is not None and sizes is None:
        raise click.UsageError("--ed is given without --box. Give both, or leave it out.")
    kinds = [name for name, value in (("--trace", file), ("--box", sizes), ("--circle", circle)) if value is not None]
    if len(kinds) != 1:
        said = f"{listed(kinds).replace(' or ', ' and ')} are given" if kinds else "--trace is missing"
        raise click.UsageError(f"{said}. Give one of --trace, --box and --circle.")
    return _traced(file, eye) if file is not None else _plain(sizes or Sizes(circle, circle), ed, eye)


def take_centre(given: dict[str, Any], shape: PlacedShape) -> Centre:
    """Take the place of the optical centre, inward and upward of the boxed centre; there where nothing was given."""
    names = ("pd", "mono_pd", "dbl", "height", "inward", "upward")
    pd, mono_pd, dbl, height, inward, upward = (given.pop(name) for name in names)
    across = [name for name, value in (("--pd", pd), ("--mono-pd", mono_pd), ("--inward", inward)) if value is not None]
    if len(across) > 1:
        raise click.UsageError(f"{' and '.join(across)} are given. Give one of them.")
    if height is not None and upward is not None:
        raise click.UsageError("--height and --upward are given. Give one of them.")
    if pd is not None or mono_pd is not None:
        inward = _inward(shape, pd, mono_pd, shape.dbl if dbl is None else dbl)
    elif dbl is not None:
        raise click.UsageError("--dbl is given without a PD. Give --pd or --mono-pd with it.")
    return (inward or 0.0, _upward(shape, height) if height is not None else upward or 0.0)


def least(row: Material, given: dict[str, Any]) -> tuple[float, float]:
    """Give the least centre and edge: the usual ones of the material and its mounting, or the edge as given."""
    centre, edge = least_thickness(row, given["mounting"])
    return centre, edge if given["min_edge"] is None else given["min_edge"]


def _traced(file: Path, eye: Side) -> PlacedShape:
    from shopledger.exchange.shape_files import read_shapes

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
        raise click.UsageError("--dbl is missing. A PD needs the distance between the lenses.")
    mono = EyeMeasurements(mono_pd) if mono_pd is not None else Measurements.from_binocular(pd or 0.0).right
    return decentration(box(shape.trace).a, dbl, mono.mono_pd)


def _upward(shape: PlacedShape, height: float) -> float:
    from shopledger.optics.boxing import box
    from shopledger.optics.centring import vertical_offset

    return vertical_offset(height, box(shape.trace).b)
