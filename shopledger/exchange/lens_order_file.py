"""An order of lenses as a file for the lab: records of the trade's Data Communication Standard, or plain JSON.

The standard's body (ISO 16284; ANSI Z80.24) could not be read for this: every label below is from memory, and what each
is taken to mean stands beside it. Codes whose tables could not be checked (material, frame and edge type) are not
written, since a wrong one makes a wrong lens; such things stand in words under labels of our own, which begin with an
underscore as private labels do. The trace goes with lenses that the lab cuts to it, and with no others.
"""

from __future__ import annotations

import json
import unicodedata
from collections.abc import Callable, Iterator
from dataclasses import asdict
from typing import Any, Final

from shopledger.exchange.trace_file import write_trace_file
from shopledger.ledger.pair_words import names_in_a_row
from shopledger.ledger.papers.lens_order import LensOrderContent, LensToMake
from shopledger.ledger.traces import StatedFigures

_FIGURES: Final[tuple[tuple[str, Callable[[LensToMake], str]], ...]] = (
    ("SPH", lambda lens: _dioptres(lens.sphere)),  # sphere, D
    ("CYL", lambda lens: _dioptres(lens.cylinder)),  # cylinder in minus form, D
    ("AX", lambda lens: "" if lens.axis is None else f"{lens.axis:g}"),  # axis, degrees in standard notation
    ("ADD", lambda lens: "" if lens.add is None else _dioptres(lens.add)),  # add, D
    ("PRVIN", lambda lens: _dioptres(lens.prism_in) if lens.prism else ""),  # prescribed prism, base in is plus
    ("PRVUP", lambda lens: _dioptres(lens.prism_up) if lens.prism else ""),  # prescribed prism, base up is plus
    ("IPD", lambda lens: _mm(lens.pd)),  # monocular PD by which the lens is centred, mm
    ("NPD", lambda lens: _mm(_near(lens))),  # monocular near PD of a multifocal, mm
    ("FCSGIN", lambda lens: _placed(lens, "inward")),  # frame centre to segment, toward the nose is plus, mm
    ("FCSGUP", lambda lens: _placed(lens, "upward")),  # frame centre to segment, upward is plus, mm
    ("_SEGINSET", lambda lens: _mm(lens.inset)),
    ("_SEGSHAPE", lambda lens: _plain(lens.fitting.shape).upper() if lens.fitting else ""),
    ("_SEGWIDTH", lambda lens: _mm(lens.fitting.width) if lens.fitting else ""),
    ("_SEGSTRIP", lambda lens: _mm(lens.fitting.intermediate_depth) if lens.fitting else ""),
    ("_THINPRISM", lambda lens: "YES" if lens.thinning else ""),
    ("DIA", lambda lens: _mm(lens.blank)),  # diameter of the uncut lens, mm
    ("_LEASTDIA", lambda lens: _mm(lens.blank_needed)),
)
_IN_ASCII: Final = str.maketrans(";=\N{EN DASH}\N{EM DASH}\N{RIGHT SINGLE QUOTATION MARK}\N{DEGREE SIGN}", ",:--' ")
_OF_JSON: Final = ("asked", "centre", "radii")
"""What of a lens the plain form says elsewhere or not at all."""


def lens_order_records(content: LensOrderContent) -> str:
    """Write an order as records, with lines ended as the standard asks (CR LF), in plain ASCII.

    Two-eye values are right;left, and those of a lens that is not ordered are empty. Letters without an ASCII form are
    written as question marks; the sheet has them.
    """
    lines = [f"{label}={value}\r\n" for label, value in _records(content) if value.strip(";")]
    shape = content.shape
    if content.edged and shape is not None:
        return "".join(lines) + write_trace_file(shape, _stated(content))
    return "".join(lines) + "".join(f"{label}={value}\r\n" for label, value in _box(content) if value.strip(";?"))


def lens_order_json(content: LensOrderContent) -> str:
    """Write an order as JSON of our own plain form, for a lab that reads no records."""
    body = {
        "form": "lens order 1",
        "lens_order": content.number,
        "repeat_of": content.follows,
        "day": content.day,
        "expected_on": content.expected_on or None,
        "job": content.job_number,
        "wearer_initials": content.initials,
        "shop": {name: value for name, value in asdict(content.shop).items() if name not in {"ein", "npi"}},
        "supplier": {"name": content.supplier, "account": content.account},
        "lens": {
            "name": content.lens,
            "design": content.design,
            "material": content.material,
            "index": content.index,
            "corridor_mm": content.corridor,
            "extras": list(content.extras),
            "made_for": content.use,
            "base_curve_d": content.base_curve,
        },
        "edging": content.edging,
        "pd_is_for": "near" if content.near else "distance",
        "frame": {"name": content.frame, "dbl_mm": content.dbl, "sizes": "measured" if content.measured else "stamped"},
        "right": _lens_json(content.right) if content.right.asked else None,
        "left": _lens_json(content.left) if content.left.asked else None,
        "trace": _trace_json(content),
        "remarks": content.note,
    }
    return json.dumps(body, ensure_ascii=False, indent=2) + "\n"


def _records(content: LensOrderContent) -> Iterator[tuple[str, str]]:
    """Give what goes before the shape, label by label; what is empty is left out later."""
    yield "JOB", str(content.job_number)
    yield "DO", _asked(content)  # which lenses to make: R, L or B for both
    yield "CLIENT", _plain(content.initials)  # the wearer, by initials alone
    yield "_LENSORDER", str(content.number)
    yield "_REPEATOF", "" if content.follows is None else str(content.follows)
    yield "_ORDERED", content.day
    yield "_EXPECTED", content.expected_on
    yield "_ACCOUNT", _plain(content.account)
    yield "_SHOP", _plain(", ".join((content.shop.name, *content.shop.address)))
    yield "_SHOPPHONE", _plain(content.shop.phone)
    yield "LNAM", _both(content, lambda _: _plain(content.lens))  # name of the lens
    yield "LIND", _both(content, lambda _: f"{content.index:g}")  # refractive index
    yield "_DESIGN", content.design.upper()
    yield "_MATERIAL", _plain(content.material)
    yield "_CORRIDOR", _mm(content.corridor)
    yield "_EXTRAS", _plain(names_in_a_row(content.extras))
    yield "_MADEFOR", content.use.upper()
    yield "_EDGING", content.edging.upper()
    yield "_BASECURVE", "" if content.base_curve is None else _dioptres(content.base_curve)
    for label, figure in _FIGURES:
        yield label, _both(content, figure)
    # Both heights are taken from the lowest point of the lens; a multifocal's to its fitting point or segment line.
    yield ("SEGHT" if content.multifocal else "OCHT"), _both(content, lambda lens: _mm(lens.height))
    yield "_BALANCE", _both(content, lambda lens: "YES" if lens.balance else "")
    yield "_PDFOR", "NEAR" if content.near else ""
    yield "_FRAME", _plain(content.frame)
    yield "_REMARKS", _plain(content.note)


def _box(content: LensOrderContent) -> Iterator[tuple[str, str]]:
    """Give the boxed sizes where no trace goes along: of both lenses, whichever is made."""
    for label, name in (("HBOX", "a"), ("VBOX", "b"), ("FED", "ed"), ("CIRC", "circumference")):
        yield label, ";".join(_mm(getattr(lens, name)) or "?" for lens in content.lenses)
    yield "DBL", _mm(content.dbl)


def _stated(content: LensOrderContent) -> StatedFigures:
    right, left = content.lenses
    return StatedFigures(
        (right.a, left.a),
        (right.b, left.b),
        content.dbl,
        (right.ed, left.ed),
        (right.circumference, left.circumference),
    )


def _asked(content: LensOrderContent) -> str:
    if content.right.asked and content.left.asked:
        return "B"
    return "R" if content.right.asked else "L"


def _both(content: LensOrderContent, figure: Callable[[LensToMake], str]) -> str:
    return ";".join(figure(lens) if lens.asked else "" for lens in content.lenses)


def _dioptres(value: float) -> str:
    """Write hundredths, and thousandths only where there are some, as in an eighth."""
    return f"{value:.3f}".removesuffix("0")


def _mm(length: float | None) -> str:
    return "" if length is None else f"{length:.2f}"


def _near(lens: LensToMake) -> float | None:
    """Give the near PD that was measured, and for a segment the usual one where none was."""
    return lens.fitting.near_pd if lens.near_pd is None and lens.fitting else lens.near_pd


def _placed(lens: LensToMake, way: str) -> str:
    """Give where a segment's top stands from the middle of the frame's box; nothing for lenses without one."""
    lined = lens.fitting is not None and lens.fitting.lined
    return _mm(getattr(lens.fitting, way)) if lined else ""


def _plain(text: str) -> str:
    """Give a text that a record can hold: ASCII, without the signs that part its fields."""
    parted = unicodedata.normalize("NFKD", text.translate(_IN_ASCII))
    bare = "".join(letter for letter in parted if not unicodedata.combining(letter))
    return bare.encode("ascii", "replace").decode("ascii")


def _lens_json(lens: LensToMake) -> dict[str, Any]:
    return {name: value for name, value in asdict(lens).items() if name not in _OF_JSON}


def _trace_json(content: LensOrderContent) -> dict[str, Any] | None:
    """Give the shape with how its radii are to be read, for lenses that the lab cuts to it."""
    if not content.edged or not content.right.radii:
        return None
    return {
        "radii_in": "hundredths of a millimetre",
        "start": "3 o'clock, seen from the front",
        "direction": "counter-clockwise",
        "right": list(content.right.radii),
        "left": list(content.left.radii),
    }
