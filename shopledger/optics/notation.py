"""Lens powers as text: read the many ways people write them, write them in one way."""

from __future__ import annotations

import math
import re

from shopledger.optics.power import SphereCylinder
from shopledger.optics.prescription import EyePrescription
from shopledger.optics.prism import Base, Prism, PrismVector, resolve
from shopledger.optics.refusals import IncompleteError, NotationError
from shopledger.optics.sides import Side

_EXAMPLE = "Write it like -2.50 -1.25 x 090 add 2.00."
# A number ends where its digits end, so that no digit of one is taken for the start of the next.
_NUMBER = r"(?:\d+(?:\.\d*)?|\.\d+)(?![\d.])"
_LONGEST = 120
_ZERO_WORD = r"plano|pl"
_BASES = {"i": Base.IN, "in": Base.IN, "o": Base.OUT, "out": Base.OUT}
_BASES |= {"u": Base.UP, "up": Base.UP, "d": Base.DOWN, "down": Base.DOWN}
_BASE_LETTERS = {Base.IN: "BI", Base.OUT: "BO", Base.UP: "BU", Base.DOWN: "BD"}
# Both the cut and the rounded spelling of an eighth are in use.
_EIGHTHS = {"12": 0.125, "13": 0.125, "37": 0.375, "38": 0.375, "62": 0.625, "63": 0.625, "87": 0.875, "88": 0.875}

_PRISM = rf"(?P<amount>{_NUMBER})\s*(?:Δ|\^|pd|prism)?\s*(?:base\s*(?P<word>in|out|up|down)\b|b(?P<letter>[ioud])\b)"
_EYE = re.compile(
    rf"""
    (?P<balance> bal(?:ance)?\b )? \s*
    (?: (?P<sphere> [+-]?\s*(?:{_NUMBER}) | (?:{_ZERO_WORD})\b )
        \s* (?P<spherical> d\.?s\.?(?![a-z]) | sph(?:ere)?\b )?
        \s* (?: /? \s* (?P<cylinder> [+-]\s*(?:{_NUMBER}) | 0+(?:\.0*)?(?![\d.]) )
                \s* (?: d\.?c\.?(?![a-z]) | cyl\b )?
                (?: \s* (?: x | axis | ax ) \s* (?P<axis> \d+(?:\.\d*)? ) \s* (?:°|deg(?:rees)?\b)? )? )?
    )? \s*
    (?: add \s* :? \s* (?P<add> [+-]?\s*(?:{_NUMBER}) ) )? \s*
    (?P<prisms> (?: (?:prism\s*)? (?:{_NUMBER}) \s* (?:Δ|\^|pd|prism)? \s*
                    (?: base\s*(?:in|out|up|down)\b | b[ioud]\b ) \s* )* )
    """,
    re.VERBOSE,
)


def read_dioptres(text: str, *, signed: bool = False) -> float:
    """Read a power such as `-2.50`, `+.25`, `2`, `pl` or `-1.12`; both spellings of an eighth are the eighth itself.

    Parameters
    ----------
    text : str
        As typed.
    signed : bool
        Whether plus or minus must be written, unless the value is zero.

    Returns
    -------
    float
        The power. [D]

    Raises
    ------
    NotationError
        If the text is no power, or lacks its sign or its decimal point.

    References
    ----------
    [common_practice]_ spelling of eighths
    """
    bare = _plain(text)
    if re.fullmatch(_ZERO_WORD, bare):
        return 0.0
    found = re.fullmatch(rf"(?P<sign>[+-]?)\s*(?P<size>{_NUMBER})\s*d?", bare)
    if found is None:
        raise NotationError(text, "it is no power in dioptres", "Write it like -2.50 or +1.25.")
    size = _size(found["size"])
    if size >= 100:
        hint = f"Write it like {found['sign']}{size / 100:.2f}."
        raise NotationError(text, "the decimal point seems to be missing", hint)
    if signed and size and not found["sign"]:
        hint = f"Write +{size:.2f} or -{size:.2f}."
        raise NotationError(text, "the sign is missing", hint)
    return -size + 0.0 if found["sign"] == "-" else size


def read_axis(text: str) -> int:
    """Read an axis such as `090`, `90` or `x 180`.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    int
        Axis from 1 to 180. [degrees]

    Raises
    ------
    NotationError
        If it is no whole number from 1 to 180; for 0 it says to write 180.

    References
    ----------
    [iso_8429]_ scope
    """
    found = re.fullmatch(r"(?:x|axis|ax)?\s*(\d+)\s*(?:°|deg(?:rees)?)?", _plain(text))
    if found is None:
        raise NotationError(text, "an axis is a whole number of degrees", "Write it from 1 to 180, as in 090.")
    axis = int(found[1])
    if axis == 0:
        raise NotationError(text, "standard notation has no axis 0", "Write 180.")
    if axis > 180:
        raise NotationError(text, "an axis runs from 1 to 180", "Check the digits.")
    return axis


def read_prism(text: str) -> Prism:
    """Read one prism such as `2 BU` or `1.5 base in`.

    Parameters
    ----------
    text : str
        As typed.

    Returns
    -------
    Prism
        Amount and base. [prism dioptres]

    Raises
    ------
    NotationError
        If it is no prism with a base.
    OutOfRangeError
        If the amount is out of range.

    References
    ----------
    [nfos_12]_ base notation
    """
    found = re.fullmatch(_PRISM, _plain(text))
    if found is None:
        raise NotationError(text, "it is no prism with a base", "Write it like 2.00 BU (BI, BO, BU or BD).")
    return Prism(float(found["amount"]), _BASES[found["word"] or found["letter"]])


def read_eye(text: str) -> EyePrescription:
    """Read what is written for one eye, such as `-2.50 -1.25 x 090 add 2.00 2 BU`, `+1.00 DS`, `pl` or `balance`.

    Parameters
    ----------
    text : str
        Sphere, cylinder, axis, add and prism as typed; plus and minus must be written.

    Returns
    -------
    EyePrescription
        The same as values; a plain `balance` has no power. [D]

    Raises
    ------
    NotationError
        If a part is not understood, or a sign or the axis is missing.
    OutOfRangeError
        If a value cannot be.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ order of the parts
    """
    found = _EYE.fullmatch(_plain(text)) if len(text) <= _LONGEST else None
    if found is None or not (found["balance"] or found["sphere"]):
        raise NotationError(text, "it is not sphere, cylinder, axis, add and prism in that order", _EXAMPLE)
    prisms = tuple(read_prism(each[0]) for each in re.finditer(_PRISM, found["prisms"]))
    add = None if found["add"] is None else read_dioptres(found["add"])
    return EyePrescription(_power(text, found), add, prisms, found["balance"] is not None)


def read_power(text: str) -> SphereCylinder:
    """Read a power alone, such as `-2.50 -1.25 x 090`.

    Parameters
    ----------
    text : str
        Sphere, cylinder and axis as typed.

    Returns
    -------
    SphereCylinder
        The power, in the form that was written. [D]

    Raises
    ------
    NotationError
        If it is no power, or more than a power.
    OutOfRangeError
        If a value cannot be.
    IncompleteError
        If a cylinder has no axis, or an axis no cylinder.

    References
    ----------
    [common_practice]_ order of the parts
    """
    eye = read_eye(text)
    if eye.balance or eye.prism or eye.add is not None:
        raise NotationError(text, "only a power is wanted here", "Leave out add, prism and balance.")
    return eye.power


def write_dioptres(power: float) -> str:
    """Write a power with its sign and two decimals; eighths are cut, as in `+0.12` and `-0.37`.

    Parameters
    ----------
    power : float
        The power. [D]

    Returns
    -------
    str
        Such as `+0.25`, `-2.50` or `0.00`.

    References
    ----------
    [common_practice]_ sign and two decimals
    """
    eighths = abs(power) * 8
    size = math.floor(eighths * 12.5) / 100 if eighths == int(eighths) else round(abs(power), 2)
    if size == 0:
        return "0.00"
    return f"{'-' if power < 0 else '+'}{size:.2f}"


def write_power(power: SphereCylinder) -> str:
    """Write a power in the one form used everywhere, in the cylinder form that it has.

    Parameters
    ----------
    power : SphereCylinder
        The power. [D]

    Returns
    -------
    str
        Such as `-2.50 -1.25 x 090`, `+1.00 DS`, `plano` or `plano -0.50 x 180`.

    References
    ----------
    [common_practice]_ axis with three digits
    """
    sphere = write_dioptres(power.sphere)
    cylinder = write_dioptres(power.cylinder)
    written = "plano" if sphere == "0.00" else sphere
    if power.axis is None or cylinder == "0.00":
        return written if written == "plano" else f"{written} DS"
    return f"{written} {cylinder} x {round(power.axis) or 180:03d}"


def write_prism(prism: Prism) -> str:
    """Write one prism, such as `2.00 BU`.

    Parameters
    ----------
    prism : Prism
        Amount and base. [prism dioptres]

    Returns
    -------
    str
        Two decimals and the letters of the base.

    References
    ----------
    [nfos_12]_ base notation
    """
    return f"{prism.amount:.2f} {_BASE_LETTERS[prism.base]}"


def write_resultant(prism: PrismVector, side: Side) -> str:
    """Write prism as one amount with the angle of its base, such as `2.50 at 037`.

    Parameters
    ----------
    prism : PrismVector
        Base in and base up of one eye. [prism dioptres]
    side : Side
        The eye.

    Returns
    -------
    str
        Two decimals, and the base from 000 to 359 counter-clockwise for who faces the wearer.

    References
    ----------
    [iso_8429]_ scope: base angles run from 0 to 360
    """
    if round(prism.amount, 2) == 0:
        return "0.00"
    return f"{prism.amount:.2f} at {round(prism.base_angle(side)) % 360:03d}"


def read_resultant(text: str, side: Side) -> PrismVector:
    """Read prism with the angle of its base, such as `2.5 at 037` or `2.50 @ 37`.

    Parameters
    ----------
    text : str
        As typed.
    side : Side
        The eye, since 0 degrees is in for the right one and out for the left.

    Returns
    -------
    PrismVector
        Base in and base up. [prism dioptres]

    Raises
    ------
    NotationError
        If it is no prism with an angle.
    OutOfRangeError
        If the amount or the angle is out of range.

    References
    ----------
    [iso_8429]_ scope: base angles run from 0 to 360
    """
    found = re.fullmatch(rf"({_NUMBER})\s*(?:Δ|pd)?\s*(?:at|@|base)\s*({_NUMBER})\s*(?:°|deg(?:rees)?)?", _plain(text))
    if found is None:
        raise NotationError(text, "it is no prism with the angle of its base", "Write it like 2.50 at 037.")
    return resolve(float(found[1]), float(found[2]), side)


def write_eye(eye: EyePrescription) -> str:
    """Write what is prescribed for one eye, such as `-2.50 -1.25 x 090 add 2.00 2.00 BU`.

    Parameters
    ----------
    eye : EyePrescription
        Power, add, prism and balance. [D]

    Returns
    -------
    str
        The parts in the order in which they are read; `balance` alone where no power goes with it.

    References
    ----------
    [common_practice]_ order of the parts
    """
    bare = eye.balance and eye.power == SphereCylinder(0)
    parts = ["balance"] if eye.balance else []
    parts += [] if bare else [write_power(eye.power)]
    parts += [] if eye.add is None else [f"add {write_dioptres(eye.add).lstrip('+')}"]
    return " ".join([*parts, *map(write_prism, eye.prism)])


def _plain(text: str) -> str:
    """Bring copied signs, decimal commas and case to one plain form."""
    bare = text.strip().lower().replace("\N{GREEK SMALL LETTER DELTA}", "Δ").replace("\N{INCREMENT}", "Δ")
    for sign in "\N{MINUS SIGN}\N{EN DASH}\N{HYPHEN}\N{NON-BREAKING HYPHEN}":
        bare = bare.replace(sign, "-")
    bare = bare.replace("\N{MULTIPLICATION SIGN}", "x").replace("\N{NO-BREAK SPACE}", " ")
    # A comma between digits is a decimal point unless the number has one already; any other comma only parts.
    bare = re.sub(r"(?<![.\d])(\d+),(\d+)(?![.\d])", r"\1.\2", bare)
    return re.sub(r"\s+", " ", re.sub(r"\s*[,;]\s*", " ", bare)).strip()


def _size(digits: str) -> float:
    """Give a number of dioptres, with an eighth for either of its spellings."""
    whole, _, part = digits.partition(".")
    if part in _EIGHTHS:
        return int(whole or 0) + _EIGHTHS[part]
    return float(digits)


def _power(text: str, found: re.Match[str]) -> SphereCylinder:
    """Give the power part of a prescription that was taken apart."""
    if found["sphere"] is None:
        return SphereCylinder(0)
    sphere = read_dioptres(found["sphere"], signed=True)
    cylinder = 0.0 if found["cylinder"] is None else read_dioptres(found["cylinder"])
    if found["spherical"] and cylinder:
        raise NotationError(text, "it is marked as a sphere and yet has a cylinder", _EXAMPLE)
    if found["axis"] is None:
        if cylinder:
            raise IncompleteError("axis", f"'{text}' has a cylinder without an axis", _EXAMPLE)
        return SphereCylinder(sphere)
    return SphereCylinder(sphere, cylinder, read_axis(found["axis"]))
